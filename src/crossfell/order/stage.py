"""From the draft to its order: arrangements, words, layers, for every band and span."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from crossfell.base.notes import Note, advice, doubt
from crossfell.draft.model import Draft, Span
from crossfell.order.joints import joints_of
from crossfell.order.model import Joint, Order, SpanOrder
from crossfell.order.moving import Batten, Crossings
from crossfell.order.shapes import Shapes

TURNS_PILE_UP = 3  # net half turns of one unit from which the note comes; common practice


def order_of(draft: Draft, former: Order | None = None) -> Order:
    """Work out the order of a draft. What cannot be done as written becomes a note.

    `former` is the order before an edit: words that it has are not worked out again.
    """
    batten = Batten(draft)
    notes = batten.notes
    shapes = Shapes(span.shape for span in former.spans) if former else Shapes()
    rows = [batten.state()]
    spans = []
    for span in draft.spans:
        done = Crossings()
        row = batten.from_the_left()
        for index, move in enumerate(span.moves):
            batten.make(move, index, done)
        spans.append(_span_order(span, done, row, shapes))
        notes += _notes_on_span(span, spans[-1], batten.names)
        rows.append(batten.state())
    place, offset, face = (_fixed(np.array(column)) for column in zip(*rows, strict=True))
    joints = joints_of(draft, place, offset, face)
    notes += _notes_on_joints(draft, joints, batten.names)
    notes += _notes_on_turns(draft, spans)
    return Order(
        names=batten.names,
        place=place,
        offset_mm=offset,
        face=face,
        spans=tuple(spans),
        joints=joints,
        notes=tuple(notes),
    )


def _span_order(span: Span, done: Crossings, row: list[int], shapes: Shapes) -> SpanOrder:
    shape = shapes.of(len(row), tuple(done.word))
    units = _fixed(np.array(row, dtype=np.int64))
    turns = np.zeros(len(row), dtype=np.int64)
    for unit, count in done.half_turns.items():
        turns[unit] = count
    return SpanOrder(
        number=span.number,
        shape=shape,
        row=units,
        over=_fixed(units[shape.over]),
        under=_fixed(units[shape.under]),
        move=_fixed(np.array(done.move, dtype=np.int64)),
        half_turns=_fixed(turns),
        where=span.where,
    )


def _notes_on_span(span: Span, done: SpanOrder, names: tuple[str, ...]) -> list[Note]:
    notes = [_interlaced(span, done, done.cycle, names)] if done.cycle else []
    return notes + _undoing(span, done, names)


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
