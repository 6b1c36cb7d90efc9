"""What is a plan that somebody is led through?"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from crossfell.draft.files import read_file
from crossfell.draft.reader import read_draft
from crossfell.loomside.sights import Sight, sights_from
from crossfell.order.batten import batten_at
from crossfell.piece import Piece
from crossfell.plan.model import Step
from crossfell.record.events import StepMark
from crossfell.record.identity import keys_of, mark_of
from crossfell.record.store import draft_hash


class CannotLead(Exception):  # noqa: N818 - it is a sentence for the maker
    """There is no plan to lead her through; the sentence says why."""


@dataclass(frozen=True, kw_only=True)
class LedPlan:
    """A plan as it is led: its steps, their keys, what she sees at each."""

    piece: Piece
    draft: str  # hash of the draft's text, and how many ways back are in it
    steps: tuple[Step, ...]
    keys: tuple[str, ...]
    sights: tuple[Sight, ...]  # one more than steps
    aside: frozenset[int] = frozenset()  # indices of steps that lead back from a mistake

    def mark(self, index: int) -> StepMark:
        """The mark of a step (index from 0) for the record."""
        return mark_of(self.piece.draft, self.steps, self.keys, index)

    def index_of(self, key: str) -> int | None:
        """Index of the step with this key."""
        return self.keys.index(key) if key in self.keys else None


def plan_of_file(file: Path) -> LedPlan:
    """Read a draft and plan it. Errors: CannotLead, OSError."""
    piece = Piece(read_file(file))
    if not piece.computable:
        raise CannotLead(f"{file.name} has errors: `crossfell check {file.name}` says which.")
    return planned(piece)


def plan_of_texts(text: str, workshop: str) -> LedPlan | None:
    """Plan a text from the record; None when it has errors."""
    piece = Piece(read_draft(text, workshop=workshop))
    return planned(piece) if piece.computable else None


def planned(piece: Piece) -> LedPlan:
    """Plan a piece to be led through, as woven so far. Errors: StepRefused, which is our fault."""
    piece = piece.going_on
    steps = piece.plan.steps
    return LedPlan(
        piece=piece,
        draft=draft_hash(piece.draft),
        steps=steps,
        keys=keys_of(steps, piece.order.names),
        sights=sights_from(batten_at(piece.order, 0, piece.draft.place_count), steps),
    )
