"""What stands on the card of each span, at the front of the loom and behind it?

A card has the picture of before and after, the steps in order with a box to tick, what the batten
looks like after each lay, picks and sheds of the band that follows, and room for notes. In large
print its letters can be read from 1.5 m.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from crossfell.base.quantities import written
from crossfell.drawings.cards import span_card
from crossfell.drawings.lettering import width_em
from crossfell.drawings.stretches import windows
from crossfell.drawings.svg import svg
from crossfell.papers.letters import size_for_mm
from crossfell.papers.typeset import PAPERS, compiled, short_title, version_of
from crossfell.piece import Piece
from crossfell.plan.cautions import CAUTIONS
from crossfell.plan.model import Moment, Step

READ_FROM_MM = 1500.0
LETTER_EM = 0.55  # width of a usual letter
MOST_PLACES = {False: 16, True: 11}  # in one picture, in usual and in large print
CELLS = {False: 19, True: 11}  # places of the batten in one row
SAYS = {"front": "as seen from the weaver's seat", "back": "from behind the loom"}
BEFORE, AFTER = "Before the first span", "After the last band"
Data = dict[str, Any]


def cards_pdf(piece: Piece, *, large: bool = False) -> bytes:
    """All loom cards as one PDF on the draft's paper, in usual or in large print."""
    draft = piece.draft
    data = {
        "title": draft.about.title,
        "short": short_title(draft),
        "version": version_of(draft),
        "paper": PAPERS[draft.about.paper],
        "large": large,
        "letter_mm": size_for_mm(READ_FROM_MM) if large else 0.0,
        "cards": list(_cards(piece, large)),
    }
    return compiled("loom_cards.typ", data, tags=False)


def _cards(piece: Piece, large: bool) -> Iterator[Data]:
    steps = piece.plan.steps
    before = [step for step in steps if step.span is None and (step.band or 1) == 1]
    last = [step for step in before if step.kind in {"cut-down", "finish"}]
    first = [step for step in before if step not in last]
    yield _card(piece, BEFORE, "front", first, large, cautions=("weights", "springs"))
    for span in piece.draft.spans:
        head = f"Span {span.number}" + (f": {span.name}" if span.name else "")
        mine = [step for step in steps if step.span == span.number]
        band = [step for step in steps if step.band == span.number + 1]
        front = [step for step in mine if step.side != "back"]
        behind = [step for step in mine if step.side == "back"]
        height = written(span.height_mm, piece.draft.measure)
        yield _card(
            piece,
            head,
            "front",
            front,
            large,
            span=span.number,
            says=height,
            band=_band(band),
            note=span.note,
        )
        if behind:
            yield _card(piece, head, "back", behind, large, span=span.number, says=height)
    yield _card(piece, AFTER, "front", last, large, cautions=("weights",))


def _card(
    piece: Piece,
    head: str,
    side: str,
    steps: Sequence[Step],
    large: bool,
    *,
    span: int | None = None,
    says: str = "",
    cautions: Sequence[str] = (),
    band: Sequence[Data] = (),
    note: str = "",
) -> Data:
    rows: list[Moment | None] = [_start(piece, span)]
    written_steps = []
    for step in steps:
        written_steps.append(_step(piece, step, rows[-1], large))
        rows.append(step.after or rows[-1])
    return {
        "head": head,
        "side": side,
        "view": SAYS[side],
        "says": says,
        "pictures": list(_pictures(piece, span, side, large)) if span else [],
        "steps": written_steps,
        "band": list(band),
        "note": note,
        "cautions": [CAUTIONS[name] for name in cautions],
    }


def _start(piece: Piece, span: int | None) -> Moment | None:
    """What the batten looks like before a span."""
    if span is None:
        return None
    order, count = piece.order, piece.draft.place_count
    return Moment(row=order.by_place(span - 1, count), faces=tuple(order.face[span - 1].tolist()))


def _pictures(piece: Piece, span: int, side: str, large: bool) -> Iterator[Data]:
    stretches = windows(piece, span - 1, MOST_PLACES[large])
    for places in reversed(stretches) if side == "back" else stretches:
        scene = span_card(piece, span, view=side, places=places, large=large)
        yield {
            "svg": svg(scene, fine=False, letters=False),
            "width": scene.width_mm,
            "height": scene.height_mm,
            "places": f"places {places[0]} to {places[1]}",
        }


def _step(piece: Piece, step: Step, before: Moment | None, large: bool) -> Data:
    return {
        "number": step.number,
        "side": step.side,
        "text": step.spoken if large else step.text,
        "wait": _waiting(step.not_before_min),
        "stop": step.may_stop,
        "row": _row(piece, step, before, large),
    }


def _waiting(minutes: float) -> str:
    if not minutes:
        return ""
    return f"not before {minutes / 60:g} h after the adhesive" if minutes >= 60 else (
        f"not before {minutes:g} min after the adhesive")  # fmt: skip


def _row(piece: Piece, step: Step, before: Moment | None, large: bool) -> Data | None:
    """What the batten looks like after a step, round the places that have changed."""
    now = step.after
    if now is None:
        return None
    old = before.row if before else (None,) * len(now.row)
    faces = before.faces if before else now.faces
    changed = [
        place
        for place, unit in enumerate(now.row)
        if unit != old[place] or (unit is not None and now.faces[unit] != faces[unit])
    ]
    first, last = _shown(changed, len(now.row), CELLS[large])
    shown = list(enumerate(now.row[first:last]))
    names = ["" if unit is None else piece.order.names[unit] for _, unit in shown]
    return {
        "names": names,
        "longest": max(2.0, *(width_em(name, bold=True) / LETTER_EM for name in names)),
        "back": [x for x, unit in shown if unit is not None and now.faces[unit] < 0],
        "new": [x for x, unit in shown if first + x in changed and unit is not None],
        "places": f"places {first + 1} to {last}" if last - first < len(now.row) else "",
    }


def _shown(changed: Sequence[int], count: int, most: int) -> tuple[int, int]:
    """First place and the one after the last, up to `most`, about the changed ones."""
    if count <= most or not changed:
        return 0, min(count, most)
    middle = (changed[0] + changed[-1] + 1) // 2
    first = min(max(middle - most // 2, 0), count - most)
    return first, first + most


def _band(steps: Sequence[Step]) -> list[Data]:
    """Picks, rods, adhesive: each pick with its shed."""
    return [
        {
            "number": step.number,
            "text": step.text,
            "sheds": list(step.sheds),
            "wait": _waiting(step.not_before_min),
            "stop": step.may_stop,
        }
        for step in steps
    ]
