"""From the draft to its order: arrangements, words, layers, for every band and span."""

from __future__ import annotations

import numpy as np

from crossfell.base.notes import Note, advice, doubt
from crossfell.draft.model import Draft, Span
from crossfell.order.joints import joints_of
from crossfell.order.model import Ints, Joint, Order, SpanOrder
from crossfell.order.moving import Batten, Crossings
from crossfell.order.pairs import signed_sums, undone_of
from crossfell.order.passes import Passes, fewest_passes
from crossfell.order.relation import (
    closure_of,
    cycle_of,
    layers_of,
    net_of,
    rows_of,
    standing,
)
from crossfell.order.staying import antichain_of
from crossfell.order.twice import Twice, laid_twice

TURNS_PILE_UP = 3  # net half turns of one unit from which the note comes; common practice


def order_of(draft: Draft) -> Order:
    """Work out the order of a draft. What cannot be done as written becomes a note."""
    batten = Batten(draft)
    notes = batten.notes
    rows = [(list(batten.place), list(batten.offset), list(batten.face))]
    spans = []
    for span in draft.spans:
        done = Crossings()
        for index, move in enumerate(span.moves):
            batten.make(move, index, done)
        spans.append(_span_order(span, done, batten.names, notes))
        rows.append((list(batten.place), list(batten.offset), list(batten.face)))
    shape = (len(rows), len(draft.units))
    place = _fixed(np.array([row[0] for row in rows], dtype=np.int64).reshape(shape))
    offset = np.array([row[1] for row in rows], dtype=np.float64).reshape(shape)
    offset.setflags(write=False)
    face = _fixed(np.array([row[2] for row in rows], dtype=np.int64).reshape(shape))
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


def _span_order(
    span: Span, done: Crossings, names: tuple[str, ...], notes: list[Note]
) -> SpanOrder:
    n = len(names)
    stand = standing(done.over, done.under)
    over, under = [done.over[i] for i in stand], [done.under[i] for i in stand]
    rows = rows_of(n, over, under)
    layers = layers_of(n, rows)
    cycle, twice, least = None, Twice(units=(), least=0), min(len(stand), 1)
    parts: tuple[tuple[int, ...], ...] = (tuple(range(len(stand))),) if stand else ()
    if layers is None:
        cycle = cycle_of(n, rows)
        passes = fewest_passes(n, over, under)
        parts, least = passes.parts, passes.least
        twice = laid_twice(n, rows)
        notes.append(_interlaced(span, done, cycle, names, passes, twice))
    else:
        layers = layers_of(n, rows_of(n, *_split(net_of(over, under))))
    if len(stand) < len(done.word) or len(net_of(over, under)) < len(stand):
        notes += _undoing(span, done, names)
    turns = np.zeros(n, dtype=np.int64)
    for unit, count in done.half_turns.items():
        turns[unit] = count
    return SpanOrder(
        number=span.number,
        word=tuple(done.word),
        over=_fixed(np.array(done.over, dtype=np.int64)),
        under=_fixed(np.array(done.under, dtype=np.int64)),
        move=_fixed(np.array(done.move, dtype=np.int64)),
        half_turns=_fixed(turns),
        layers=layers,
        cycle=cycle,
        lifted=sum(_lifted(n, [over[i] for i in part], [under[i] for i in part]) for part in parts),
        passes=tuple(tuple(stand[i] for i in part) for part in parts),
        passes_least=least,
        twice=twice.units,
        twice_least=twice.least,
        where=span.where,
    )


def _split(pairs: list[tuple[int, int]]) -> tuple[list[int], list[int]]:
    return [top for top, _ in pairs], [bottom for _, bottom in pairs]


def _lifted(n: int, over: list[int], under: list[int]) -> int:
    rows = rows_of(n, *_split(net_of(over, under)))
    layers = layers_of(n, rows)
    if layers is None:
        raise AssertionError("a pass is layable by construction")
    return n - len(antichain_of(closure_of(layers, rows)))


def _interlaced(
    span: Span,
    done: Crossings,
    cycle: tuple[int, ...] | None,
    names: tuple[str, ...],
    passes: Passes,
    twice: Twice,
) -> Note:
    """Points at the move that closes the cycle."""
    if cycle is None:
        raise AssertionError("an interlaced span has a cycle")
    sides = list(zip(cycle, cycle[1:] + cycle[:1], strict=True))
    way = ", ".join(f"{names[u]} over {names[v]}" for u, v in sides)
    crossings = list(zip(done.over, done.under, strict=True))
    closing = done.move[max(crossings.index(side) for side in sides)]
    facts = {
        "span": span.number,
        "way": way,
        "passes": len(passes.parts),
        "fewest": "no fewer will do"
        if passes.least == len(passes.parts)
        else "few, not proved fewest",
        "twice": ", ".join(names[u] for u in twice.units),
    }
    return advice("interlaced", span.moves[closing].where, **facts)


def _undoing(span: Span, done: Crossings, names: tuple[str, ...]) -> list[Note]:
    """The first two crossings of a span that undo each other, when they come from two moves."""
    pairs = [(min(p), max(p)) for p in zip(done.over, done.under, strict=True)]
    _, crossings = signed_sums(done.word, pairs)
    for (a, b), at in crossings.items():
        for first, second in undone_of(done.word, pairs, at, len(names)):
            one, other = done.move[first], done.move[second]
            if one != other:
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
    net = sum((span.half_turns for span in spans), start=np.zeros(len(draft.units), np.int64))
    notes = []
    for u, (unit, turns) in enumerate(zip(draft.units, net.tolist(), strict=True)):
        if abs(turns) >= TURNS_PILE_UP:
            last = max(span.number for span in spans if span.half_turns[u])
            notes.append(
                doubt(
                    "turns-pile-up",
                    draft.spans[last - 1].where,
                    unit=unit.name,
                    turns=abs(turns),
                    twist="Z" if turns > 0 else "S",
                    side="left" if turns > 0 else "right",
                )
            )
    return notes


def _fixed(array: Ints) -> Ints:
    array.setflags(write=False)
    return array
