"""What do the batten and the row of bobbins look like after any step of the plan?

A row has a unit or None for each place, as places count from the weaver's left. Bobbins follow the
strips when what is crossed behind the reed is cleared; their faces are those of their labels.
"""

from __future__ import annotations

from collections.abc import Iterable

from crossfell.drawings.cards import step_view
from crossfell.drawings.scene import Scene
from crossfell.piece import Piece
from crossfell.plan.model import Moment, Step


def begins(piece: Piece, band: int = 0) -> Moment:
    """Strips and bobbins at a band (index from 0), before anything moves."""
    row = piece.order.by_place(band, piece.draft.place_count)
    return Moment(row=row, faces=tuple(piece.order.face[band].tolist()))


def after(now: Moment, steps: Iterable[Step], *, behind: bool) -> Moment:
    """The batten, or the row of bobbins, after further steps of the plan."""
    for step in steps:
        if not behind:
            now = step.after or now
        elif step.side == "back":
            now = _bobbins(now, step)
    return now


def _bobbins(now: Moment, step: Step) -> Moment:
    row, faces = list(now.row), list(now.faces)
    for place in step.from_places:
        if row[place - 1] in step.units:
            row[place - 1] = None
    for unit, place in zip(step.units, step.to_places, strict=False):
        row[place - 1] = unit
    if step.kind == "clear-turn" and step.half_turns % 2:
        for unit in step.units:
            faces[unit] = -faces[unit]
    return Moment(row=tuple(row), faces=tuple(faces))


def now_view(piece: Piece, done: int, *, behind: bool = False, style: str = "full") -> Scene:
    """A picture of the batten, or of the row of bobbins, when so many steps are done."""
    steps = piece.plan.steps[:done]
    now = after(begins(piece), steps, behind=behind)
    head = f"After step {done} of {len(piece.plan.steps)}: {steps[-1].text}" if steps else "Begin"
    view = "back" if behind else "front"
    return step_view(piece, now.row, now.faces, view=view, head=head, style=style)
