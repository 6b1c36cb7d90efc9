"""How long does a weaver take for a span, and how many strips are loose at once?

    python bench/handling.py           the table of docs/order-and-plan.md
    python bench/handling.py --toy     the least that shows that it runs

Minutes of hands, slides, turns and weights, in front and behind, beside those of the model before
(all strips of a span lifted together, recorded from the last version that had it, on the same
cases) and of one pair after another. Prints processor time a span. Asserts nothing.
"""

from __future__ import annotations

import argparse
import time
from collections.abc import Callable
from random import Random

from crossfell.draft.reader import read_draft
from crossfell.order.stage import order_of
from crossfell.plan.handling import work_of
from crossfell.plan.own_minutes import usual_minutes

HEAD = """
[yarn.y]
count = "tex 100"
[strip.s]
width = 20
dents = 10
[unit.a]
strip = "s"
ends = "10 y"
[warp]
pitch = 30
order = "{row}"
[band]
rod = "steel 3"
[[span]]
height = 400
moves = '''
{moves}
'''
"""
Case = tuple[str, str]  # order of the warp, moves
PAIR_MIN, TURN_MIN = 4.25, 2.0  # a hand and a slide; half a turn
BEFORE = {  # minutes, most strips loose
    "blocks": (1558, 18), "stirred": (1751, 17), "interlaced": (2366, 7), "gaps": (1706, 5),
    "plaits": (351, 47), "rolls": (185, 7), "round": (36, 2), "reversals": (144, 11),
    "carried": (1822, 3),
}  # fmt: skip


def blocks(chance: Random, n: int = 48) -> str:
    """Neighbouring blocks change sides, right across."""
    moves, at = [], 1
    while at < n:
        a, b = chance.randint(1, 4), chance.randint(1, 4)
        if at + a + b - 1 > n:
            break
        word = chance.choice(["over", "under"])
        moves.append(f"{at}-{at + a - 1} {word} {at + a}-{at + a + b - 1}")
        at += a + b + chance.randint(0, 2)
    return "\n".join(moves)


def stirred(chance: Random, n: int, most: int, times: int) -> str:
    """Blocks change sides anywhere, one after another."""
    moves = []
    for _ in range(times):
        at, a, b = chance.randint(1, n - 2 * most), chance.randint(1, most), chance.randint(1, most)
        word = chance.choice(["over", "under"])
        moves.append(f"{at}-{at + a - 1} {word} {at + a}-{at + a + b - 1}")
    return "\n".join(moves)


def cases() -> dict[str, list[Case]]:
    """The cases of the table."""
    chance = Random(3)
    found = {"blocks": [("a*48", blocks(chance)) for _ in range(25)]}
    found["stirred"] = [("a*48", stirred(chance, 48, 3, 12)) for _ in range(25)]
    found["interlaced"] = [("a*13", stirred(chance, 13, 2, 5)) for _ in range(100)]
    found["gaps"] = [("a*4 - a*5 - - a*2", stirred(chance, 13, 2, 4)) for _ in range(100)]
    found["plaits"] = [("a*48", f"plait {a}-{b}") for a, b in ((1, 48), (3, 20), (1, 7), (10, 41))]
    found["rolls"] = [("a*13", f"roll 1-{i} right") for i in range(2, 9)]
    rounds = ("1 over 2-4\n4 under 1-3", "1 over 2\n2 under 1", "3-4 over 5-7\n6-7 under 3-5")
    found["round"] = [("a*13", moves) for moves in rounds]
    way = [f"{j} over {j + 1}" for i in range(1, 12) for j in range(1, 13 - i)]
    mixed = [text.replace("over", chance.choice(["over", "under"])) for text in way]
    found["reversals"] = [("a*12", "\n".join(way)), ("a*12", "\n".join(mixed))]
    return found


def row(name: str, some: list[Case], loom: str = "") -> None:
    """Print one row of the table."""
    minutes = pairs = seconds = 0.0
    loose = 0
    for order, moves in some:
        draft = read_draft(loom + HEAD.format(row=order, moves=moves))
        ordered = order_of(draft)
        start = time.process_time()
        handling = work_of(ordered, 0, draft.loom, usual_minutes()).handling
        seconds += time.process_time() - start
        minutes, loose = minutes + handling.minutes, max(loose, handling.loose)
        span = ordered.spans[0]
        pairs += PAIR_MIN * len(span.word) + TURN_MIN * int(abs(span.half_turns).sum())
    before, held = BEFORE[name]
    print(f"{name:11} {len(some):4} spans   before {before:5} min, {held:2} loose   "
          f"now {minutes:6.0f} min, {loose:2} loose   pair by pair {pairs:6.0f} min   "
          f"{1000 * seconds / len(some):5.1f} ms a span")  # fmt: skip


def main() -> None:
    """Print the table."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--toy", action="store_true")
    some = cases()
    if asked.parse_args().toy:
        some = {name: few[:1] for name, few in some.items()}
    show: Callable[..., None] = row
    for name, few in some.items():
        show(name, few)
    show("carried", some["stirred"], loom="[loom]\nlay_aside = false\n")


if __name__ == "__main__":
    main()
