"""How does the draft say what was woven, and what puts it right, in place of what was drawn?

Each span that was made otherwise gets what was made as its moves; the first span still to come gets
what puts it right before its own moves. Remarks and layout stay. A figure that runs through such a
span and others is written out, move by move, in all of them.
Checked: the new text is read again, and gives exactly the order of how the piece goes on.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from crossfell.draft.edit_keys import unset_key
from crossfell.draft.edit_moves import add_move, find_move, listed_at, moves_of, set_moves
from crossfell.draft.edit_repeats import has_repeats, written_out
from crossfell.draft.kinds import said_of
from crossfell.draft.model import Draft, Move
from crossfell.draft.reader import read_draft
from crossfell.draft.script import NotEditable, opened
from crossfell.order.stage import order_of
from crossfell.plan.woven import AsWoven

Spot = tuple[int, int]  # line and column at which a move is written


def written_as_woven(draft: Draft, woven: AsWoven) -> str:
    """The text of the draft as woven so far, then what puts it right, then as drawn.

    Errors: NotEditable, in a sentence.
    """
    draft = _plain(draft)
    made = {span.number for span in draft.spans if span.woven is not None}
    right = woven.right.moves if woven.right else ()
    following = woven.done + 1
    changed = made | ({following} if right else set())
    runs = _runs(draft)
    out = _written_out(changed, runs)
    text = draft.text
    for number in sorted(changed | out):
        if number in made:
            listed = listed_at(opened(draft.text), ("span", number - 1, "woven"))
            text = set_moves(text, number, [item.text for item in listed.items] if listed else [])
            text = unset_key(text, f"span.{number}.woven")
        elif number in out:
            own = list(_moves(draft, number, runs))
            before = right if number == following else ()
            text = set_moves(text, number, [*before, *own])
        else:
            for move in reversed(right):
                text = add_move(text, number, move, before=1)
    _check(draft, text, woven.draft)
    return text


def _plain(draft: Draft) -> Draft:
    """The draft with its repeats written out."""
    text = written_out(draft.text) if has_repeats(draft.text) else draft.text
    if text == draft.text:
        return draft
    return read_draft(text, file=draft.file, workshop=draft.workshop_text or None)


def _runs(draft: Draft) -> Mapping[Spot, set[int]]:
    """Where a figure is laid that moves units in other spans than its own: all of them."""
    lines = [span.where.line for span in draft.spans]
    runs: dict[Spot, set[int]] = {}
    for span in draft.spans:
        for move in span.moves:
            own = sum(line <= move.where.line for line in lines)
            runs.setdefault(_spot(move), {own}).add(span.number)
    return {spot: spans for spot, spans in runs.items() if len(spans) > 1}


def _written_out(changed: set[int], runs: Mapping[Spot, set[int]]) -> set[int]:
    """Spans that share a figure with one that changes, or with one that is written out."""
    out: set[int] = set()
    grown = True
    while grown:
        met = [spans for spans in runs.values() if spans & (changed | out)]
        new = set().union(*met)
        grown, out = new > out, new
    return out


def _moves(draft: Draft, number: int, runs: Mapping[Spot, set[int]]) -> Iterator[str]:
    """The moves of a span: as written, but those of a figure of several spans written out."""
    last: Spot | None = None
    for move in draft.spans[number - 1].moves:
        spot = _spot(move)
        if spot in runs:
            yield said_of(move).text()
        elif spot != last:
            found = find_move(draft.text, *spot)
            if found is None:
                raise NotEditable(f"the moves of span {number} are written in a way of their own")
            yield moves_of(draft.text, found[0])[found[1] - 1]
        last = spot


def _check(draft: Draft, text: str, wanted: Draft) -> None:
    new = read_draft(text, file=draft.file, workshop=draft.workshop_text or None)
    one, other = order_of(new), order_of(wanted)
    alike = (
        len(one.spans) == len(other.spans)
        and one.place.tolist() == other.place.tolist()
        and one.face.tolist() == other.face.tolist()
        and one.offset_mm.tolist() == other.offset_mm.tolist()
        and all(
            a.word == b.word and a.half_turns.tolist() == b.half_turns.tolist()
            for a, b in zip(one.spans, other.spans, strict=True)
        )
    )
    if not alike:
        raise NotEditable("these moves cannot be written into this draft; write them by hand")


def _spot(move: Move) -> Spot:
    return move.where.line, move.where.column
