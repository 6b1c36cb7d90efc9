"""What does the batten look like after each step, and the row of bobbins behind the reed?

A row has a cell for each place, from the left of who stands there. Where all places do not fit
side by side, those about what has changed are shown, in as many rows as it takes.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from crossfell.base.frame import Frame
from crossfell.order.batten import Row, batten_at
from crossfell.piece import Piece
from crossfell.plan.following import follow
from crossfell.plan.model import Moment, Step

Data = dict[str, Any]


def moments(piece: Piece, span: int | None, side: str, steps: Sequence[Step]) -> list[Moment]:
    """What is seen before the first step, and after each; from the left of who stands there."""
    if span is None:
        return []
    behind = side == "back"
    batten = batten_at(piece.order, span - 1, piece.draft.place_count)
    frame, row = piece.draft.at_loom(behind=behind), batten.row(behind=behind)
    seen = [_seen(row, frame)]
    for step in steps:
        follow(batten, step)
        seen.append(_seen(row, frame))
    return seen


def _seen(row: Row, frame: Frame) -> Moment:
    return Moment(row=tuple(frame.row(row.now)), faces=tuple(row.face))


def rows_of(before: Moment, now: Moment, names: Sequence[str], most: int) -> Iterator[Data]:
    """Rows of up to `most` cells; all places where nothing has changed."""
    changed = [
        place
        for place, unit in enumerate(now.row)
        if unit != before.row[place] or (unit is not None and now.faces[unit] != before.faces[unit])
    ]
    for first, last in shown(changed, len(now.row), most):
        cells = list(enumerate(now.row[first:last]))
        yield {
            "names": ["" if unit is None else names[unit] for _, unit in cells],
            "back": [x for x, unit in cells if unit is not None and now.faces[unit] < 0],
            "new": [x for x, unit in cells if first + x in changed and unit is not None],
            "ends": [first + 1, last] if last - first < len(now.row) else [],
        }


def shown(changed: Sequence[int], count: int, most: int) -> list[tuple[int, int]]:
    """First place (from 0) of each row and the one after its last; all that changed is shown."""
    if count <= most:
        return [(0, count)]
    if not changed:
        rows = -(-count // most)
        size = -(-count // rows)
        return [(at, min(at + size, count)) for at in range(0, count, size)]
    if changed[-1] - changed[0] < most:
        middle = (changed[0] + changed[-1] + 1) // 2
        first = min(max(middle - most // 2, 0), count - most)
        return [(first, first + most)]
    found: list[tuple[int, int]] = []
    for place in changed:
        if found and place < found[-1][1]:
            continue
        least = found[-1][1] if found else 0
        first = max(min(place - (most > 1), count - most), least)
        found.append((first, min(first + most, count)))
    return found
