"""Where nearly all units meet, piles are looked for otherwise and found the same."""

from dataclasses import replace
from random import Random

import numpy as np

from crossfell.draft.model import Cross
from crossfell.draft.reader import read_draft
from crossfell.order.stage import order_of
from crossfell.paths import piles
from crossfell.paths.stage import paths_of

DRAFT = """
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
order = "a*40"
[band]
rod = "steel 3"
[[span]]
height = 900
[[span]]
height = 900
"""


def at_random(chance, n):
    """Moves that bring units into any order, the higher over the lower."""
    goal, height, row, moves = list(range(n)), list(range(n)), list(range(n)), []
    chance.shuffle(goal)
    chance.shuffle(height)
    for end in range(n - 1, 0, -1):
        for i in range(end):
            if goal[row[i]] > goal[row[i + 1]]:
                over = height[row[i]] > height[row[i + 1]]
                moves.append(Cross(first=i + 1, middle=i + 2, last=i + 2, left_over=over))
                row[i], row[i + 1] = row[i + 1], row[i]
    return tuple(moves)


def test_both_ways_find_the_same_piles(monkeypatch):
    chance = Random(4)
    draft = read_draft(DRAFT)
    spans = tuple(replace(span, moves=at_random(chance, 40)) for span in draft.spans)
    draft = replace(draft, spans=spans)
    order = order_of(draft)
    found = []
    for share in (0.0, 2.0):
        monkeypatch.setattr(piles, "MANY_MEET", share)
        found.append(paths_of(draft, order))
    dense, sparse = found
    assert np.array_equal(dense.pile_mm, sparse.pile_mm)
    assert dense.pile_at == sparse.pile_at
    assert dense.pile_mm.min() > 3 * 0.3
