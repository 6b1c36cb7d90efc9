"""How fast is the order kernel beside general-purpose programs for the same questions?

    python bench/order.py                       ours, networkx, spherogram, Garside of the tests
    python bench/order.py --sage sage/bin/python    and Sage's BraidGroup, in its own environment

Prints times of the processor and ratios measured in one run. Asserts nothing.
"""

from __future__ import annotations

import argparse
import json
import subprocess
import sys
import time
from collections.abc import Sequence
from pathlib import Path
from random import Random

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT / "tests" / "outside"))

import networkx as nx  # noqa: E402
import spherogram  # noqa: E402
from garside import normal_form  # noqa: E402

from crossfell.order.braid import same_braid  # noqa: E402
from crossfell.order.pairs import pairs_in, signed_sums  # noqa: E402
from crossfell.order.relation import layers_of, rows_of  # noqa: E402

SAGE = """
import json, sys, time
import sage.all__sagemath_groups
from sage.groups.braid import BraidGroup
for n, one, other in json.load(sys.stdin):
    group = BraidGroup(n)
    a, b = group(one), group(other)
    start = time.process_time()
    forms = [x.left_normal_form(algorithm="libbraiding") for x in (a, b)]
    same = forms[0] == forms[1]
    print(json.dumps([time.process_time() - start, bool(same)]), flush=True)
"""


def seconds(task, least: float = 0.2) -> float:
    """Shortest time of a task, tried for at least a fifth of a second."""
    best, until = float("inf"), time.process_time() + least
    while True:
        start = time.process_time()
        task()
        best = min(best, time.process_time() - start)
        if time.process_time() > until:
            return best


def rewritten(chance: Random, n: int, word: list[int]) -> list[int]:
    """The same braid, in another and longer word."""
    word = list(word)
    for _ in range(2 * len(word)):
        at = chance.randrange(len(word) + 1)
        if chance.random() < 0.1:
            letter = chance.choice([1, -1]) * chance.randint(1, n - 1)
            word[at:at] = [letter, -letter]
        a, b, c = [*word[at : at + 3], 0, 0, 0][:3]
        if a and b and abs(abs(a) - abs(b)) > 1:
            word[at : at + 2] = [b, a]
        elif c and a == c and abs(abs(a) - abs(b)) == 1 and (a > 0) == (b > 0):
            word[at : at + 3] = [b, a, b]
    return word


SIZES = ((8, 200), (24, 500), (100, 500))


def equality(sage: str, sizes: Sequence[tuple[int, int]]) -> None:
    """Two words: the same braid or not."""
    chance = Random(1)
    cases = []
    for n, length in sizes:
        word = [chance.choice([1, -1]) * chance.randint(1, n - 1) for _ in range(length)]
        cases.append((n, word, rewritten(chance, n, word)))
    theirs = _sage(sage, cases)
    for (n, one, other), recorded in zip(cases, theirs, strict=True):
        ours = seconds(lambda n=n, one=one, other=other: same_braid(n, one, other))
        row = f"equality n={n}, {len(one)} and {len(other)} letters: {1000 * ours:.2f} ms"
        if recorded:
            row += f"; BraidGroup {1000 * recorded[0]:.0f} ms, {recorded[0] / ours:.0f}×"
            row += "" if recorded[1] == same_braid(n, one, other) else " BUT THE VERDICTS DIFFER"
        if n <= 8:
            slow = seconds(lambda n=n, one=one: normal_form(n, one), 0)
            row += f"; Garside of the tests, one word {1000 * slow:.0f} ms, {slow / ours:.0f}×"
        print(row)


def _sage(python: str, cases: list) -> list:
    if not python:
        print("BraidGroup is not compared: give --sage PYTHON, see tests/outside/"
              "record_braid_verdicts.py for its environment")  # fmt: skip
        return [None] * len(cases)
    said = subprocess.run(
        [python, "-c", SAGE], input=json.dumps(cases), capture_output=True, text=True, check=True
    )
    return [json.loads(line) for line in said.stdout.splitlines() if line.startswith("[")]


def linking(n: int, length: int) -> None:
    """Signed sums of all pairs, against the linking matrix of the closed braid."""
    chance = Random(2)
    word = [chance.choice([1, -1]) * chance.randint(1, n - 1) for _ in range(length // 2)]
    word += [
        chance.choice([1, -1]) * abs(letter) for letter in reversed(word)
    ]  # and all the way back
    ours = seconds(lambda: signed_sums(word, pairs_in(n, word)))
    theirs = seconds(lambda: spherogram.Link(braid_closure=word).linking_matrix(), 0)
    print(f"linking n={n}, {len(word)} letters: {1000 * ours:.2f} ms; spherogram {theirs:.2f} s, "
          f"{theirs / ours:.0f}×")  # fmt: skip


def layers(n: int) -> None:
    """Layers of a full reversal with heights at random."""
    chance = Random(3)
    height = list(range(n))
    chance.shuffle(height)
    pairs = [(a, b) if height[a] > height[b] else (b, a) for a in range(n) for b in range(a)]
    over, under = [a for a, _ in pairs], [b for _, b in pairs]
    ours = seconds(lambda: layers_of(n, rows_of(n, over, under)))

    def theirs() -> list:
        graph = nx.DiGraph()
        graph.add_edges_from((b, a) for a, b in pairs)
        return [sorted(layer) for layer in nx.topological_generations(graph)]

    other = seconds(theirs)
    print(f"layers n={n}, {len(pairs)} crossings: {1000 * ours:.1f} ms; networkx "
          f"{1000 * other:.1f} ms, {other / ours:.1f}×")  # fmt: skip


def main() -> None:
    """Everything in one run."""
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    options.add_argument("--sage", default="", help="a Python with Sage's braid groups")
    options.add_argument("--quick", action="store_true", help="without the slowest comparison")
    options.add_argument("--toy", action="store_true", help="small, to see that it runs")
    chosen = options.parse_args()
    equality(chosen.sage, SIZES[: 1 if chosen.toy else None])
    layers(20 if chosen.toy else 400)
    linking(4, 20) if chosen.toy else linking(24, 500)
    if not (chosen.quick or chosen.toy):
        linking(100, 2000)


if __name__ == "__main__":
    main()
