"""From the draft to its order: arrangements, words, layers, for every band and span."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from crossfell.base.notes import Note, advice, doubt
from crossfell.draft.model import Cross, Draft, Move, Span
from crossfell.order.joints import joints_of
from crossfell.order.model import Ints, Joint, Made, Order, SpanOrder
from crossfell.order.moving import Stand, made_by, name_of
from crossfell.order.relation import cycle_of, rows_of
from crossfell.order.shapes import Shapes

TURNS_PILE_UP = 3  # net half turns of one unit from which the note comes; common practice


def order_of(draft: Draft, former: Order | None = None) -> Order:
    """Work out the order of a draft. What cannot be done as written becomes a note.

    `former` is the order before an edit: what the moves of a span do, and what its word does, is
    not worked out again where it is known from there.
    """
    units = range(len(draft.units))
    names = tuple(unit.name for unit in draft.units)
    known = _Known(former)
    place = [np.array([unit.place for unit in draft.units], dtype=np.int64)]
    offset = [np.zeros(len(units))]
    face = [np.ones(len(units), dtype=np.int64)]
    spans: list[SpanOrder] = []
    notes: list[Note] = []
    for span in draft.spans:
        row = np.argsort(place[-1])
        stand = Stand(
            places=draft.place_count,
            pitch_mm=draft.pitch_mm,
            place=place[-1][row],
            offset_mm=offset[-1][row],
        )
        made = known.made(span.moves, stand, names, row)
        spans.append(_span_order(span, made, row))
        notes += (*made.notes, *_notes_on_span(span, spans[-1], names))
        slid = stand.offset_mm * made.mirrored if made.slid_mm is None else made.slid_mm
        place.append(_by_unit(row, made.place))
        offset.append(_by_unit(row, slid))
        face.append(face[-1] * (1 - 2 * (spans[-1].half_turns % 2)))
    places, offsets, faces = (
        _fixed(np.array(place)),
        _fixed(np.array(offset)),
        _fixed(np.array(face)),
    )
    joints = joints_of(draft, places, offsets, faces)
    return Order(
        names=names,
        place=places,
        offset_mm=offsets,
        face=faces,
        spans=tuple(spans),
        joints=joints,
        notes=(*notes, *_notes_on_joints(draft, joints, names), *_notes_on_turns(draft, spans)),
    )


class _Known:
    """What moves do, each worked out once."""

    def __init__(self, former: Order | None) -> None:
        spans = former.spans if former else ()
        self._shapes = Shapes(span.shape for span in spans)
        self._made = {span.made.name: span.made for span in spans if _is_lasting(span.made)}

    def made(self, moves: Sequence[Move], stand: Stand, names: Sequence[str], row: Ints) -> Made:
        name = name_of(moves, stand)
        found = self._made.get(name)
        if found is None:
            called = [names[unit] for unit in row.tolist()]
            found = made_by(moves, stand, called, name, self._shapes)
            if _is_lasting(found):
                self._made[name] = found
        return found


def _is_lasting(made: Made) -> bool:
    """Whether it is known by its name alone: notes have the names of units, and their own place."""
    return made.slid_mm is None and not made.notes


def _span_order(span: Span, made: Made, row: Ints) -> SpanOrder:
    return SpanOrder(
        number=span.number,
        made=made,
        row=_fixed(row),
        over=_fixed(row[made.shape.over]),
        under=_fixed(row[made.shape.under]),
        half_turns=_fixed(_by_unit(row, made.half_turns)),
        where=span.where,
    )


def _by_unit(row: Ints, by_rank: NDArray[Any]) -> NDArray[Any]:
    out = np.empty_like(by_rank)
    out[row] = by_rank
    return out


def _notes_on_span(span: Span, done: SpanOrder, names: tuple[str, ...]) -> list[Note]:
    cycle = done.cycle
    wrapped = _wrapped(span) if cycle else set()
    if wrapped:  # she knows that who goes round is laid twice; is anything else interlaced?
        stays = [k for k, move in enumerate(done.move.tolist()) if move not in wrapped]
        over, under = (side[stays].tolist() for side in (done.over, done.under))
        cycle = cycle_of(len(names), rows_of(len(names), over, under))
    notes = [_interlaced(span, done, cycle, names)] if cycle else []
    return notes + _undoing(span, done, names)


def _wrapped(span: Span) -> set[int]:
    """Moves that go right round: a crossing, and the same block back on its other side."""
    found = set()
    for k, (out, home) in enumerate(pairwise(span.moves)):
        if isinstance(out, Cross) and isinstance(home, Cross):
            back = out.undone()
            sides = home.first, home.middle, home.last, not home.left_over
            if sides == (back.first, back.middle, back.last, back.left_over):
                found |= {k, k + 1}
    return found


def _interlaced(
    span: Span, done: SpanOrder, cycle: tuple[int, ...], names: tuple[str, ...]
) -> Note:
    """Points at the move that closes the cycle."""
    sides = list(zip(cycle, cycle[1:] + cycle[:1], strict=True))
    way = ", ".join(f"{names[u]} over {names[v]}" for u, v in sides)
    crossings = list(zip(done.over.tolist(), done.under.tolist(), strict=True))
    closing = int(done.move[max(crossings.index(side) for side in sides)])
    facts = {
        "span": span.number,
        "way": way,
        "passes": len(done.passes),
        "fewest": "no fewer will do"
        if done.passes_least == len(done.passes)
        else "few, not proved fewest",
        "twice": ", ".join(names[u] for u in done.twice),
    }
    return advice("interlaced", span.moves[closing].where, **facts)


def _undoing(span: Span, done: SpanOrder, names: tuple[str, ...]) -> list[Note]:
    """The first two crossings of a span that undo each other, when they come from two moves."""
    for first, second in done.shape.undone:
        one, other = int(done.move[first]), int(done.move[second])
        if one != other:
            a, b = sorted((int(done.over[first]), int(done.under[first])))
            facts = {"a": names[a], "b": names[b], "line": span.moves[one].where.line}
            return [advice("undo-each-other", span.moves[other].where, **facts)]
    return []


def _notes_on_joints(draft: Draft, joints: tuple[Joint, ...], names: tuple[str, ...]) -> list[Note]:
    if not joints:
        return []
    first = joints[0]
    where = draft.spans[first.band - 2].where if first.band > 1 else draft.bands[0].where
    return [
        doubt(
            "like-dents",
            where,
            count=len(joints),
            band=first.band,
            left=names[first.left],
            right=names[first.right],
            dent=first.dent,
        )
    ]


def _notes_on_turns(draft: Draft, spans: list[SpanOrder]) -> list[Note]:
    turns = np.array([span.half_turns for span in spans]).reshape(-1, len(draft.units))
    net = turns.sum(axis=0)
    return [
        doubt(
            "turns-pile-up",
            draft.spans[int(np.flatnonzero(turns[:, u])[-1])].where,
            unit=draft.units[u].name,
            turns=abs(int(net[u])),
            twist="Z" if net[u] > 0 else "S",
            side="left" if net[u] > 0 else "right",
        )
        for u in np.flatnonzero(np.abs(net) >= TURNS_PILE_UP).tolist()
    ]


def _fixed(array: NDArray[Any]) -> NDArray[Any]:
    array.setflags(write=False)
    return array
