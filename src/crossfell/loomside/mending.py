"""What does the page "that is not what I did" ask for, and what is it told?"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from crossfell.drawings.cards import span_card
from crossfell.drawings.svg import svg
from crossfell.loomside.asked import (
    Answer,
    NotShown,
    adopt,
    answer,
    as_it_lies,
    crossings_of,
    shown_from_words,
    span_asked,
)
from crossfell.loomside.guide import Guide, Plan
from crossfell.loomside.keeping import Kept
from crossfell.piece import Piece


def lying_table(guide: Guide, span: int | None) -> dict[str, Any]:
    """How the strips of a span should lie now. Errors: NotShown."""
    now = guide.now()
    number = span_asked(now, span)
    moves, meant = as_it_lies(now, number)
    names = now.plan.piece.order.names
    return {
        "span": number,
        "row": [
            None if u is None else {"name": names[u], "face": meant.faces[u]} for u in meant.row
        ],
        "crossings": [
            {"over": names[top], "under": names[low]} for top, low in crossings_of(moves)
        ],
    }


def answered(guide: Guide, body: Any) -> tuple[Answer, Plan]:
    """The answer to what she shows: {span, row, other_way}. Errors: NotShown."""
    if not isinstance(body, Mapping):
        raise NotShown("nothing is shown")
    row, pairs, span = body.get("row"), body.get("other_way", []), body.get("span")
    if not isinstance(row, list) or not all(isinstance(word, str) for word in row):
        raise NotShown("a row of names is shown")
    if not isinstance(pairs, list) or not all(_is_pair(pair) for pair in pairs):
        raise NotShown("pairs of names cross the other way")
    if span is not None and not isinstance(span, int):
        raise NotShown("a span has a number")
    now = guide.now()
    shown = shown_from_words(now.plan, row, [(a, b) for a, b in pairs])
    return answer(now, span_asked(now, span), shown), now.plan


def answer_table(found: Answer, plan: Plan) -> dict[str, Any]:
    """The answer for the page, with pictures of both ways."""
    back, keep = found.back, found.keep
    table: dict[str, Any] = {"says": found.says, "also": list(found.also), "back": None}
    if back is not None:
        table["back"] = {
            "lines": list(back.lines),
            "minutes": round(back.minutes, 1),
            "strips": back.strips,
            "bands": list(back.bands),
            "pictures": [_drawn(plan.piece, found.span)],
        }
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
    return table


def keep_it(guide: Guide, body: Any) -> None:
    """Keep what she shows. Errors: NotShown, NotSaved, OSError."""
    found, _ = answered(guide, body)
    adopt(guide, found)


def _drawn(piece: Piece, span: int) -> dict[str, str]:
    scene = span_card(piece, span)
    return {"svg": svg(scene), "says": scene.says}


def _is_pair(pair: Any) -> bool:
    return isinstance(pair, list) and len(pair) == 2 and all(isinstance(n, str) for n in pair)
