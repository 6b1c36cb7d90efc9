"""Which neighbours are turned over as one?

A block that lies together, each of whose pairs crosses the same way round, and each of whose units
gets a half turn that way, is rolled: one motion in front and one behind. It is done first; what the
block's units still have to pass comes after. In a layable span heights and places fix the braid, so
it may be. Source: derived.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from crossfell.plan.motions import Motion, What
from crossfell.plan.stretch import Task


def rolled(task: Task, half_turns: Mapping[int, int]) -> tuple[list[Motion], Task]:
    """Rolls of a task, from the left, and what is left of it."""
    over = set(task.pairs)
    row = sorted(task.before, key=task.before.__getitem__)
    motions: list[Motion] = []
    before = dict(task.before)
    start = 0
    while start < len(row):
        block = max((_block(row, start, sign, over, task, half_turns) for sign in (1, -1)), key=len)
        if len(block) > 1:
            sign = 1 if (block[0], block[1]) in over else -1
            places = [task.before[u] for u in block]
            before.update(zip(block, reversed(places), strict=True))
            motions.append(
                Motion(
                    what=What.ROLL,
                    units=tuple(block),
                    from_places=tuple(places),
                    to_places=tuple(reversed(places)),
                    half_turns=sign,
                )
            )
            over -= {pair for pair in over if set(pair) <= set(block)}
        start += len(block)
    pairs = [pair for pair in task.pairs if pair in over]
    return motions, replace(task, pairs=pairs, before=before)


def _block(
    row: Sequence[int],
    start: int,
    sign: int,
    over: set[tuple[int, int]],
    task: Task,
    half_turns: Mapping[int, int],
) -> list[int]:
    """Units from `start` on that one roll can take; at least the first."""
    block = [row[start]]
    if half_turns.get(row[start], 0) * sign <= 0:
        return block
    for unit in row[start + 1 :]:
        near = task.before[unit] == task.before[block[-1]] + 1
        pairs = {(u, unit) if sign > 0 else (unit, u) for u in block}
        if not near or half_turns.get(unit, 0) * sign <= 0 or not pairs <= over:
            break
        block.append(unit)
    return block
