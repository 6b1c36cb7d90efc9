"""How does a span lie, how should it, and how is that said in a draft and in a book of steps?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from crossfell.draft.model import Draft, Move
from crossfell.loomside.leading import LedPlan
from crossfell.loomside.mistake import Outcome
from crossfell.loomside.sights import Sight
from crossfell.order.braid import inverse_of
from crossfell.order.reduce import reduced
from crossfell.order.stage import order_of
from crossfell.plan.book import Book, book_of
from crossfell.plan.loom_states import StepRefused
from crossfell.plan.model import WITH_STRIPS, Step
from crossfell.plan.phrasebook import teller_of
from crossfell.plan.putting_right import moves_of_word
from crossfell.plan.woven import moves_from


@dataclass(frozen=True, kw_only=True)
class WayBack:
    """Steps to be made before the plan goes on, and what they cost."""

    at: int  # index of the plan's step that they come before
    steps: tuple[Step, ...]
    sights: tuple[Sight, ...]  # before each of them, and after the last
    then: tuple[int, Step] | None = None  # one step more, after that of this index
    bands: tuple[int, ...] = ()  # cut out and woven again, by number

    def lines(self, draft: Draft) -> tuple[str, ...]:
        """The steps as sentences."""
        return tuple(map(teller_of(draft).sentence, self.steps))

    @property
    def minutes(self) -> float:
        """What they cost."""
        return sum(s.minutes for s in self.steps) + (self.then[1].minutes if self.then else 0.0)

    @property
    def strips(self) -> int:
        """Strips laid, moved along or turned."""
        return sum(len(s.moving) for s in self.steps if s.kind in WITH_STRIPS - {"lift"})


@dataclass(frozen=True, kw_only=True)
class NoWayBack:
    """Why no steps are given."""

    says: str


@dataclass(frozen=True, kw_only=True)
class Wrong:
    """How a span lies, and how it should."""

    span: int
    did: Outcome
    meant: Outcome

    @property
    def word(self) -> tuple[int, ...]:
        """Crossings that are missing: what was done undone, then what was meant."""
        whole = [*inverse_of(self.did.word), *self.meant.word]
        shorter = reduced(whole)
        return tuple(whole) if shorter is None else shorter

    @property
    def turns(self) -> tuple[int, ...]:
        """[units] half turns that are missing."""
        both = zip(self.meant.turns, self.did.turns, strict=True)
        return tuple(meant - did for meant, did in both)


def as_it_lies(plan: LedPlan, wrong: Wrong) -> Draft:
    """The draft up to a span, and that as it was really made."""
    draft, order, k = plan.piece.draft, plan.piece.order, wrong.span - 1
    texts = moves_of_word(
        wrong.did.word,
        order.place[k].tolist(),
        _places(wrong.did.row),
        (order.offset_mm[k].tolist(), wrong.did.off_mm),
        {u: by for u, by in enumerate(wrong.did.turns) if by},
    )
    before = replace(draft, spans=draft.spans[:k], bands=draft.bands[: k + 1])
    return with_span(before, draft, wrong.span, moves_from(texts, draft.place_count))


def put_right(plan: LedPlan, draft: Draft, wrong: Wrong) -> Draft:
    """The draft, and one more span in which what is missing is made."""
    texts = moves_of_word(
        wrong.word,
        _places(wrong.did.row),
        _places(wrong.meant.row),
        (wrong.did.off_mm, wrong.meant.off_mm),
        {u: by for u, by in enumerate(wrong.turns) if by},
    )
    moves = moves_from(texts, draft.place_count)
    return with_span(draft, plan.piece.draft, wrong.span, moves)


def with_span(draft: Draft, planned: Draft, like: int, moves: Sequence[Move]) -> Draft:
    """A draft and one more span, with these moves, else like span `like` of the planned one."""
    at, model = len(draft.spans), planned.spans[like - 1]
    span = replace(model, number=at + 1, moves=tuple(moves))
    bands = (*draft.bands, planned.bands[like])
    return replace(draft, spans=(*draft.spans, span), bands=bands)


def book_at(plan: LedPlan, draft: Draft, side: str) -> Book:
    """An empty book for a draft. Errors: StepRefused."""
    order = order_of(draft)
    wrong = [note.message for note in order.notes if note.severity.value == "error"]
    if wrong:
        raise StepRefused(plan.steps[0], wrong[0])
    book = book_of(draft, order)
    book.side = side
    return book


def _places(row: Sequence[int | None]) -> list[int]:
    at = {unit: place for place, unit in enumerate(row, 1) if unit is not None}
    return [at[unit] for unit in range(len(at))]
