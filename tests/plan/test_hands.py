"""Hands are laid so that the crossings are those that were asked for."""

import copy
import itertools
import random
from types import SimpleNamespace
from typing import NamedTuple

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strand_row import StrandRow

from crossfell.order.braid import braid_of
from crossfell.plan.hands import handed
from crossfell.plan.motions import Prices, What
from crossfell.plan.stretch import Task


def task_of(start, end, height, hand=4):
    """A task of units that lie at `start`, end at `end`, the higher over the lower."""
    pairs = [
        (u, v) if height[u] > height[v] else (v, u)
        for u, v in itertools.combinations(range(len(start)), 2)
        if (start[u] - start[v]) * (end[u] - end[v]) < 0
    ]
    return Task(
        pairs=pairs,
        before=dict(enumerate(start)),
        after=dict(enumerate(end)),
        moved=frozenset(u for u in range(len(start)) if start[u] != end[u]),
        hand=hand,
    )


def word_of(task):
    """The word of a task by sorting neighbours: none of how hands do it."""
    over = set(task.pairs)
    row = sorted(task.before, key=task.before.get)
    word = []
    for _ in row:
        for i in range(len(row) - 1):
            left, right = row[i], row[i + 1]
            if task.after[left] > task.after[right]:
                word.append(i + 1 if (left, right) in over else -i - 1)
                row[i], row[i + 1] = right, left
    return word


def replayed(task, motions):
    row = StrandRow({u: float(place) for u, place in task.before.items()})
    for motion in motions:
        row.do(motion)
    assert row.place == task.after
    return row


def check(task, most_loose=4):
    found = handed(task, Prices(), most_loose)
    row = replayed(task, found.motions)
    n = len(task.before)
    assert braid_of(n, row.word).coordinates == braid_of(n, word_of(task)).coordinates
    assert row.loosest == found.loose
    assert len(set(row.taken)) == len(row.taken), "taken a second time"
    assert found.lifted == len(row.taken)
    return found


@st.composite
def tasks(draw, most=9):
    n = draw(st.integers(1, most))
    places = draw(st.lists(st.integers(1, n + 3), min_size=n, max_size=n, unique=True))
    start = sorted(places)
    end = draw(st.lists(st.integers(1, n + 3), min_size=n, max_size=n, unique=True))
    height = draw(st.permutations(range(n)))
    return task_of(start, end, height, hand=draw(st.integers(1, 4)))


@settings(deadline=None)
@given(tasks())
def test_the_motions_make_the_crossings_of_the_task(task):
    """Every strip ends where it should, and the braid is the one that was asked for."""
    check(task)


def test_a_plait_keeps_two_strips_loose_at_most():
    """A plait right across is worked pair after pair, not lifted out whole."""
    n = 48
    row = list(range(n))
    over = set()
    for first, up in ((0, True), (1, False)):
        for i in range(first, n - 1, 2):
            over.add((row[i], row[i + 1]) if up else (row[i + 1], row[i]))
            row[i], row[i + 1] = row[i + 1], row[i]
    end = [row.index(u) + 1 for u in range(n)]
    task = Task(
        pairs=sorted(over),
        before={u: u + 1 for u in range(n)},
        after=dict(enumerate(end)),
        moved=frozenset(range(n)),
        hand=4,
    )
    assert check(task).loose == 2


@pytest.mark.parametrize("n", [6, 12])
def test_a_reversal_needs_almost_all_of_them_out(n):
    """Each over or under each: hardly anything can be laid before most is out."""
    rng = random.Random(n)
    task = task_of(range(1, n + 1), range(n, 0, -1), rng.sample(range(n), n))
    assert check(task).lifted == n - 1


class Thing(NamedTuple):
    """A hand, or one strip that slides."""

    what: What
    units: tuple
    below: bool


def orders_with(task, hands, limit):
    """Whether any order of the same hands, with fewer loose, makes the same crossings."""
    word = braid_of(len(task.before), word_of(task)).coordinates
    ends = {hand: tuple(task.after[u] for u in hand.units) for hand in hands}

    def goes_on(row, left, held):
        if not left and not held:
            return row.place == task.after and (
                braid_of(len(task.before), row.word).coordinates == word
            )
        for hand in (*left, *held):
            now = copy.deepcopy(row)
            there = tuple(row.place[u] for u in hand.units)
            takes = hand in left and hand.what is not What.SLIDE
            motion = SimpleNamespace(
                what=What.TAKE if takes else What.SLIDE if hand in left else What.LAY,
                units=hand.units,
                below=hand.below,
                from_places=there,
                to_places=there if takes else ends[hand],
            )
            try:
                now.do(motion, told=False)
            except AssertionError:
                continue
            if now.loosest > limit:
                continue
            after = tuple(h for h in left if h is not hand)
            if goes_on(
                now, after, (*held, hand) if takes else tuple(h for h in held if h is not hand)
            ):
                return True
        return False

    return goes_on(StrandRow({u: float(p) for u, p in task.before.items()}), tuple(hands), ())


@given(tasks(most=4))
@settings(max_examples=60, deadline=None)
def test_no_order_of_the_same_hands_has_fewer_loose(task):
    """Every order of takes and lays is tried on the strands themselves."""
    found = check(task)
    hands = [m for m in found.motions if m.what is not What.TAKE]
    along = [Thing(What.SLIDE, (u,), below=False) for m in hands for u, _, _ in m.along]
    things = [Thing(m.what, m.units, m.below) for m in hands] + along
    assert orders_with(task, things, found.loose)
    if found.loose_proved and found.loose:
        assert not orders_with(task, things, found.loose - 1)
