"""How long does a plan take, with its rehearsal, and the searches behind it?

    python bench/plan.py

Prints times of the processor, and ratios measured in one run. Asserts nothing.
"""

from __future__ import annotations

import heapq
import sys
import time
from dataclasses import replace
from itertools import combinations
from pathlib import Path
from random import Random

from crossfell.draft.files import read_file
from crossfell.draft.model import Cross
from crossfell.draft.reader import read_draft
from crossfell.order.stage import order_of
from crossfell.piece import Piece
from crossfell.plan.handling import work_of
from crossfell.plan.own_minutes import usual_minutes
from crossfell.plan.passing import HAND, STRIP, passed_in_place
from crossfell.plan.rehearsal import rehearsed

ROOT = Path(__file__).resolve().parent.parent
LARGE = ROOT / "examples" / "03-long-harvest" / "long-harvest.toml"
HEAD = """
[yarn.flax]
count = "tex 100"
fibre = "linen"
[strip.s]
width = 5
dents = 4
[unit.a]
strip = "s"
ends = "4 flax"
[warp]
pitch = 6
order = "a*{n}"
[band]
rod = "steel 3"
[[span]]
height = 900
"""


def seconds(task) -> float:
    """Time of a task."""
    start = time.process_time()
    task()
    return time.process_time() - start


def whole_plan() -> None:
    """The large example: plan and rehearsal together, after the stages before it."""
    best = float("inf")
    for _ in range(5):
        piece = Piece(read_file(LARGE))
        piece.order, piece.paths, piece.amounts  # noqa: B018 - computed, not used
        best = min(best, seconds(lambda piece=piece: piece.plan))
    plan = piece.plan
    again = seconds(lambda: rehearsed(piece.draft, piece.order, plan.steps))
    print(f"{len(piece.draft.units)} × {len(piece.draft.spans)} example: {len(plan.steps)} steps "
          f"in {best:.3f} s, of which the rehearsal {again:.3f} s")  # fmt: skip


def reversal(n: int) -> None:
    """All units reversed, each at a height of its own: order, laying, and rehearsal."""
    chance = Random(1)
    height = list(range(n))
    chance.shuffle(height)
    row, moves = list(range(n)), []
    for end in range(n - 1, 0, -1):
        for i in range(end):
            over = height[row[i]] > height[row[i + 1]]
            moves.append(Cross(first=i + 1, middle=i + 2, last=i + 2, left_over=over))
            row[i], row[i + 1] = row[i + 1], row[i]
    draft = read_draft(HEAD.format(n=n))
    draft = replace(draft, spans=(replace(draft.spans[0], moves=tuple(moves)),))
    start = time.process_time()
    order = order_of(draft)
    ordered = time.process_time()
    work = work_of(order, 0, draft.loom, usual_minutes())
    laid = time.process_time()
    print(f"{n} reversed at random heights, {len(moves)} crossings: order {ordered - start:.2f} s, "
          f"handling {laid - ordered:.2f} s; {work.handling.says}")  # fmt: skip
    piece = Piece(draft)
    piece.__dict__["order"] = order
    from crossfell.plan.book import book_of
    from crossfell.plan.moving import write_span

    book = book_of(draft, order)
    book.side = "front"
    start = time.process_time()
    write_span(book, 0)
    print(f"  its steps written: {len(book.steps)} in {time.process_time() - start:.2f} s")


def in_place(n: int) -> None:
    """Nothing laid aside: our search against a uniform-cost search without floors."""
    chance = Random(n)
    goal, height = list(range(n)), list(range(n))
    chance.shuffle(goal)
    chance.shuffle(height)
    pairs = {
        (u, v) if height[u] > height[v] else (v, u)
        for u, v in combinations(range(n), 2)
        if goal[u] > goal[v]
    }
    over, under = [u for u, _ in pairs], [v for _, v in pairs]
    ours = seconds(lambda: passed_in_place(range(n), over, under, 4))
    found = passed_in_place(range(n), over, under, 4)
    said = f"passed in place, {n} units, {len(pairs)} crossings: effort {found.cost}, "
    said += f"floor {found.least}, {1000 * ours:.1f} ms"
    if n <= 7:
        theirs = seconds(lambda: uniform_cost(tuple(range(n)), frozenset(pairs), 4))
        said += f"; without floors {1000 * theirs:.0f} ms, {theirs / ours:.0f}×"
    print(said)


def uniform_cost(row: tuple, pairs: frozenset, hand: int) -> int:
    """Least effort, every row tried in the order of its cost."""
    queue, known = [(0, row, pairs)], {}
    while queue:
        spent, here, left = heapq.heappop(queue)
        if not left:
            return spent
        if known.get(here, spent + 1) <= spent:
            continue
        known[here] = spent
        for a, m, b in combinations(range(len(here) + 1), 3):
            one, two = here[a:m], here[m:b]
            for made in ({(u, v) for u in one for v in two}, {(v, u) for u in one for v in two}):
                if made <= left:
                    after = here[:a] + two + one + here[b:]
                    for lifted in {len(one), len(two)}:
                        if lifted <= hand:
                            cost = spent + HAND + STRIP * lifted
                            heapq.heappush(queue, (cost, after, left - made))
    raise AssertionError("no way")


def main() -> None:
    """Everything in one run."""
    whole_plan()
    toy = "--toy" in sys.argv  # small, to see that it runs
    reversal(20 if toy else 400)
    for n in (6,) if toy else (6, 7, 8, 10, 12, 24):
        in_place(n)


if __name__ == "__main__":
    main()
