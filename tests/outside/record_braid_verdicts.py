"""Write braid_verdicts.json anew: which words are the same braid, as Sage's BraidGroup says.

Run it in an environment of its own (1.2 GB), never in the project's:
    python -m venv sage && sage/bin/pip install passagemath-groups passagemath-libbraiding
    sage/bin/python tests/outside/record_braid_verdicts.py
"""

import json
import random
from importlib.metadata import version
from pathlib import Path

import sage.all__sagemath_groups  # noqa: F401 - must come first, otherwise imports go in circles
from sage.groups.braid import BraidGroup

CASES = 240


def main():
    chance = random.Random(20)
    cases = [case(chance, number) for number in range(CASES)]
    out = {
        "source": "Sage BraidGroup, words compared with ==",
        "versions": {
            name: version(name) for name in ("passagemath-groups", "passagemath-libbraiding")
        },
        "cases": cases,
    }
    path = Path(__file__).with_name("braid_verdicts.json")
    rows = ",\n".join(json.dumps(case) for case in cases)
    head = json.dumps({key: out[key] for key in ("source", "versions")}, indent=1)
    path.write_text(f'{head[:-2]},\n "cases": [\n{rows}\n]}}\n', encoding="utf-8")
    print(f"{CASES} cases, {sum(case['same'] for case in cases)} of them the same braid")


def case(chance, number):
    """Half of the pairs are rewritten by the relations, half are changed in one crossing too."""
    n = chance.choice([3, 4, 5, 6, 8, 12])
    word = [chance.choice([1, -1]) * chance.randint(1, n - 1) for _ in range(chance.randint(3, 40))]
    other = rewritten(chance, n, word)
    if number % 2:
        at = chance.randrange(len(other))
        change = chance.choice(["flip", "commutator"])
        if change == "flip":
            other[at] = -other[at]
        else:
            a, b = chance.sample(range(1, n), 2)
            other[at:at] = [a, a, b, b, -a, -a, -b, -b]
        other = rewritten(chance, n, other)
    group = BraidGroup(n)
    return {"n": n, "one": word, "other": other, "same": bool(group(word) == group(other))}


def rewritten(chance, n, word):
    word = list(word)
    for _ in range(60):
        at = chance.randrange(len(word) + 1)
        if chance.random() < 0.15:
            letter = chance.choice([1, -1]) * chance.randint(1, n - 1)
            word[at:at] = [letter, -letter]
        a, b, c = [*word[at : at + 3], 0, 0, 0][:3]
        if a and b and abs(abs(a) - abs(b)) > 1:
            word[at : at + 2] = [b, a]
        elif c and a == c and abs(abs(a) - abs(b)) == 1 and (a > 0) == (b > 0):
            word[at : at + 3] = [b, a, b]
    return word


if __name__ == "__main__":
    main()
