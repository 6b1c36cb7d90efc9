"""Which calls does the page *Figures* make: a gallery, and a piece begun with one of them?"""

from __future__ import annotations

import math
from functools import lru_cache

from crossfell.search.figures.counting import Ends, Figures, TooManyError
from crossfell.search.figures.ranking import chosen
from crossfell.search.figures.writing import (
    INKS,
    LaidFigure,
    Size,
    every,
    fragment,
    laid,
    named,
    piece_text,
)
from crossfell.studio.answers import Answers, Call, Told
from crossfell.studio.asked import Asked, whole, word
from crossfell.studio.folder import Refused

LOOKS = ("", "alternating", "open", "dense", "easy", "rich", "symmetric")
MOST_PLACES, MOST_SPANS, SHOWN = 6, 4, 12


class FigureCalls:
    """Calls of the gallery."""

    def __init__(self, answers: Answers) -> None:
        self._to = answers
        self.names: dict[str, Call] = {"figures": self.figures, "figure-begin": self.begin}

    def figures(self, asked: Asked) -> Told:
        """The best figures of a size that differ, or those most like one of them."""
        look, like = word(asked, "look"), word(asked, "like")
        if look not in LOOKS:
            raise Refused(f"a look is one of: {', '.join(LOOKS[1:])}")
        size, number = _by_name(like) if like else (_size(asked), None)
        found, only = _every(size)
        if number is not None and number >= len(found.rows):
            raise Refused(f"there are {len(found.rows)} figures of this size, from 0")
        shown = [laid(found, at, size) for at in chosen(found, SHOWN, look, number)]
        says = (
            f"{len(found.rows)} figures, {int((found.symmetric > 0).sum())} with a symmetry; in a "
            f"span a unit goes {size.reach} {'place' if size.reach == 1 else 'places'} at most"
            + (", and all spans are the same from behind." if only else ".")
        )
        return {"says": says, "inks": list(INKS), "figures": [_told(one, found) for one in shown]}

    def begin(self, asked: Asked) -> Told:
        """A new draft in which a figure is laid, to go on from."""
        name = word(asked, "name")
        size, number = _by_name(name)
        found, _ = _every(size)
        if number >= len(found.rows):
            raise Refused(f"there are {len(found.rows)} figures of this size, from 0")
        row = [int(s) for s in found.rows[number]]
        text = piece_text(found.spans, row, name, size.ends, 130)
        piece = self._to.desk.folder.create(name, text)
        self._to.hub.tell({"event": "pieces"})
        return {"piece": piece}


def _size(asked: Asked) -> Size:
    places, spans = whole(asked, "places"), whole(asked, "spans")
    if not (2 <= places <= MOST_PLACES and 1 <= spans <= MOST_SPANS):
        raise Refused(f"the gallery has figures of 2 to {MOST_PLACES} places, 1 to {MOST_SPANS} "
                      "spans; `crossfell figures` looks further")  # fmt: skip
    ends: Ends = "mirrored" if asked.get("ends") == "mirrored" else "closed"
    reach = 2 if places <= 4 or spans <= 3 else 1  # with more there are too many to wait for
    return Size(places, spans, reach, ends)


def _by_name(name: str) -> tuple[Size, int]:
    found = named(name)
    if found is None or found[0].places > MOST_PLACES or found[0].spans > MOST_SPANS:
        raise Refused(f"`{name}` is no figure of this gallery")
    return found


@lru_cache(maxsize=8)
def _every(size: Size) -> tuple[Figures, bool]:
    try:
        return every(size)
    except TooManyError as many:
        raise Refused("there are more figures of this size than can be looked through") from many


def _told(one: LaidFigure, found: Figures) -> Told:
    """What stands below a figure, and its units on their way, rows from the top."""
    piece, places = one.piece, found.spans.places
    down = piece.draft.on_wall().downwards
    rows = [list(piece.order.by_place(k, places)) for k in range(len(piece.draft.spans) + 1)]
    layers = [[unit for layer in span.layers or () for unit in layer] for span in piece.order.spans]
    inks = [min(unit, places - 1 - unit) % len(INKS) for unit in range(places)]
    return {
        "name": one.name,
        "says": f"{one.lifted:.1f} lifts and {one.minutes:.0f} min a span, "
        f"{100 * one.open:.0f} % open, lean {math.degrees(one.lean_rad):.0f}°",
        "symmetric": bool(one.says),
        "text": fragment(found.spans, one.row, one.name),
        "ribbons": {"colours": inks, "rows": rows[down], "layers": layers[down]},
    }
