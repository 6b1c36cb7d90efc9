"""What does the page "that is not what I did" ask for, and what is it told?"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from crossfell.drawings.cards import span_card
from crossfell.drawings.svg import svg
from crossfell.loomside.answering import (
    NotShown,
    WaysOn,
    as_planned,
    crossings_of,
    span_asked,
)
from crossfell.loomside.asked import adopt, asked, go_back, leave_way
from crossfell.loomside.guide import Guide
from crossfell.loomside.keeping import Kept
from crossfell.loomside.leading import LedPlan
from crossfell.loomside.wrongs import WayBack
from crossfell.piece import Piece


def lying_table(guide: Guide, span: int | None) -> dict[str, Any]:
    """How the strips of a span should lie now. Errors: NotShown."""
    now = guide.now()
    plan, at = now.plan, now.progress.at
    number = span_asked(plan, at, span)
    moves, meant = as_planned(plan, at, number)
    names = plan.piece.order.names
    turned = {u: s.half_turns for s in moves.moves if s.kind == "turn" for u in s.units}
    return {
        "span": number,
        "row": [
            None if u is None else {"name": names[u], "face": meant.faces[u]} for u in meant.row
        ],
        "crossings": [
            {"over": names[top], "under": names[low]} for top, low in crossings_of(moves)
        ],
        "turned": [
            {"name": names[u], "way": "right" if by > 0 else "left"} for u, by in turned.items()
        ],
        "units": list(names),
        "bands": sorted({s.band for s in plan.steps[:at] if s.band and s.kind in {"pick", "rod"}}),
        "on_a_way": bool(plan.aside) and at in plan.aside,
    }


def answered(guide: Guide, body: Any) -> WaysOn:
    """The answer to what she shows. Errors: NotShown."""
    return asked(guide, _says(body))


def walked(guide: Guide, body: Any) -> None:
    """She walks the way back, or leaves it ({"leave": true}). Errors: NotShown, NotSaved."""
    if isinstance(body, Mapping) and body.get("leave"):
        leave_way(guide)
    else:
        go_back(guide, _says(body))


def _says(body: Any) -> dict[str, object]:
    """What she says, of the kinds that detours.py knows. Errors: NotShown."""
    if not isinstance(body, Mapping):
        raise NotShown("nothing is shown")
    known = {"span", "row", "other_way", "turned", "band", "picks", "weights"}
    says = {str(name): value for name, value in body.items() if name in known}
    if not all(isinstance(value, (str, int)) for value in says.values()):
        raise NotShown("what is shown are words and whole numbers")
    return says


def answer_table(found: WaysOn, plan: LedPlan) -> dict[str, Any]:
    """The answer for the page, with pictures of both ways."""
    back, keep = found.back, found.keep
    table: dict[str, Any] = {"says": found.says, "also": list(found.also), "back": None}
    if isinstance(back, WayBack):
        table["back"] = {
            "go_on_to": found.go_on_to,
            "lines": list(back.lines(plan.piece.draft)),
            "minutes": round(back.minutes, 1),
            "strips": back.strips,
            "bands": list(back.bands),
            "pictures": [_drawn(plan.piece, found.span)] if found.span else [],
        }
    elif back is not None:
        table["no_back"] = back.says
    table["keep"] = None
    if isinstance(keep, Kept):
        table["keep"] = {
            "span": keep.next_span,
            "moves": list(keep.moves),
            "minutes": round(keep.minutes, 1),
            "pictures": [
                _drawn(keep.piece, number)
                for number in (found.span, keep.next_span)
                if number is not None
            ],
        }
    elif keep is not None:
        table["not_kept"] = keep.says
    if found.live is not None:
        table["live"] = {"says": found.live.says, "minutes": round(found.live.minutes, 1)}
    return table


def keep_it(guide: Guide, body: Any) -> None:
    """Keep what she shows. Errors: NotShown, NotSaved, OSError."""
    adopt(guide, answered(guide, body))


def _drawn(piece: Piece, span: int) -> dict[str, str]:
    scene = span_card(piece, span)
    return {"svg": svg(scene), "says": scene.says}
