"""What do the batten and the row of bobbins look like after any step of the plan?

Bobbins follow the strips when what is crossed behind the reed is cleared; their faces are those of
their labels.
"""

from __future__ import annotations

from crossfell.drawings.cards import step_view
from crossfell.drawings.scene import Scene
from crossfell.order.batten import batten_at
from crossfell.piece import Piece
from crossfell.plan.following import follow_all
from crossfell.plan.phrasebook import teller_of


def now_view(piece: Piece, done: int, *, behind: bool = False, style: str = "full") -> Scene:
    """A picture of the batten, or of the row of bobbins, when so many steps are done."""
    steps = piece.plan.steps[:done]
    batten = follow_all(batten_at(piece.order, 0, piece.draft.place_count), steps)
    now = batten.row(behind=behind)
    head = "Begin"
    if steps:
        last = teller_of(piece.draft).sentence(steps[-1])
        head = f"After step {done} of {len(piece.plan.steps)}: {last}"
    view = "back" if behind else "front"
    lie = (piece, now.now, now.face)
    return step_view(*lie, off_mm=now.off_mm, view=view, head=head, style=style)
