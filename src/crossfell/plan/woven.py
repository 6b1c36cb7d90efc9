"""What was really woven, how does it differ from the drawing, and how does it go on from there?

`spans` in [woven] says how far the piece is; `woven` of a span how it was really made. Three ways
are laid out: leave it where it changes nothing that is to come; put it right in the next span; or
undo it. A band that is woven holds its order: what lies below it only cutting out changes.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from crossfell.base.notes import NOWHERE, Note
from crossfell.draft.expand import Expansion
from crossfell.draft.model import Draft, Move
from crossfell.draft.whereabouts import Passage
from crossfell.order.braid import same_braid
from crossfell.order.model import Order
from crossfell.order.same import differences
from crossfell.order.stage import order_of
from crossfell.plan.model import Plan, Step
from crossfell.plan.putting_right import PutRight, put_right, row_at
from crossfell.plan.undoing import Undoing, undoing


@dataclass(frozen=True, kw_only=True)
class Differing:
    """A span that was not made as drawn."""

    span: int  # number
    says: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class AsWoven:
    """What was woven, beside what was drawn, and the draft of how it goes on."""

    done: int  # spans that are done
    differing: tuple[Differing, ...]
    places: tuple[str, ...]  # units that lie, or face, otherwise than drawn at the last band
    right: PutRight | None  # None when nothing is to be put right, or no span is left for it
    undo: Undoing | None  # None when all is as drawn
    draft: Draft  # as woven so far, then what puts it right, then as drawn
    notes: tuple[Note, ...]  # moves said to be woven that cannot have been made

    @property
    def as_drawn(self) -> bool:
        """Whether all that is woven is as drawn."""
        return not self.differing


def as_woven(draft: Draft, drawn: Order) -> AsWoven | None:
    """What was woven; None when [woven] says nothing. `drawn` is the order of the draft."""
    done = draft.woven.spans
    if not done:
        return None
    made = _made(draft)
    woven = order_of(replace(made, spans=made.spans[:done], bands=made.bands[: done + 1]))
    differing = tuple(
        Differing(span=number, says=told)
        for number in range(1, done + 1)
        if (told := _told(drawn, woven, number))
    )
    places = _places(drawn, woven, done)
    first = differing[0].span if differing else None
    is_more_to_come = done < len(draft.spans)
    right = put_right(woven, drawn, done) if differing and is_more_to_come else None
    if right is not None and not right.moves:
        right = right if right.exactly else None
    errors = tuple(note for note in woven.notes if note.severity.value == "error")
    return AsWoven(
        done=done,
        differing=differing,
        places=places,
        right=right,
        undo=undoing(made, first, done) if first is not None and not errors else None,
        draft=_going_on(made, done, right),
        notes=errors,
    )


def steps_to_come(plan: Plan, done: int) -> tuple[Step, ...]:
    """Steps of a plan once `done` spans and the bands after them are woven and brushed."""
    last = max(
        (
            index
            for index, step in enumerate(plan.steps)
            if step.band == done + 1 and step.kind in {"pick", "rod", "adhesive"}
        ),
        default=-1,
    )
    return plan.steps[last + 1 :]


def moves_from(texts: tuple[str, ...], place_count: int) -> tuple[Move, ...]:
    """Moves as the draft's own language reads them."""
    expansion = Expansion({}, place_count)
    (moves,) = expansion.spans([Passage(", ".join(texts), NOWHERE)])
    if expansion.notes:
        raise AssertionError(f"moves of our own cannot be read: {expansion.notes[0].message}")
    return moves


def _made(draft: Draft) -> Draft:
    spans = tuple(
        span if span.woven is None else replace(span, moves=span.woven) for span in draft.spans
    )
    return replace(draft, spans=spans)


def _going_on(made: Draft, done: int, right: PutRight | None) -> Draft:
    if right is None:
        return made
    span = made.spans[done]
    moves = (*moves_from(right.moves, made.place_count), *span.moves)
    following = replace(span, moves=moves)
    return replace(made, spans=(*made.spans[:done], following, *made.spans[done + 1 :]))


def _told(drawn: Order, woven: Order, number: int) -> tuple[str, ...]:
    """What differs in a span: crossings and turns, or else where units first go sideways."""
    k = number - 1
    one, other = drawn.spans[k], woven.spans[k]
    alike = (
        row_at(drawn, k) == row_at(woven, k)
        and one.half_turns.tolist() == other.half_turns.tolist()
        and same_braid(len(drawn.names), one.word, other.word)
    )
    if not alike:
        return differences(drawn, woven, number, ("as drawn", "as woven"))
    return () if _places(drawn, woven, k) else _places(drawn, woven, number)


def _places(drawn: Order, woven: Order, band: int) -> tuple[str, ...]:
    told = []
    for unit, name in enumerate(drawn.names):
        here, there = int(woven.place[band, unit]), int(drawn.place[band, unit])
        off = float(woven.offset_mm[band, unit] - drawn.offset_mm[band, unit])
        if here != there:
            told.append(f"{name} lies in place {here}, drawn in {there}")
        elif abs(off) > 1e-9:
            told.append(f"{name} lies {abs(off):.6g} mm too far to the {_side(off)}")
        if woven.face[band, unit] != drawn.face[band, unit]:
            face = "forward" if woven.face[band, unit] > 0 else "to the back"
            told.append(f"{name} lies face {face}, drawn the other way")
    return tuple(told)


def _side(amount: float) -> str:
    return "right" if amount > 0 else "left"
