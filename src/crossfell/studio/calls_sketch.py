"""Which calls does the page *Sketch* make: yarns, a preview, better, a picture, keep?"""

from __future__ import annotations

import base64
import binascii
import hashlib
import threading
from collections import OrderedDict
from typing import Any

import numpy as np

from crossfell.search.sketch.asked import Floats, Ints
from crossfell.search.sketch.framed import PictureBox, framed, light_of
from crossfell.search.sketch.making import drafted, shown_told
from crossfell.search.sketch.painted import ANY, can_be, painted_from, ribbons_of
from crossfell.search.sketch.picture import PictureRefused
from crossfell.search.sketch.preview import preview
from crossfell.search.sketch.program import Taste, counts_of, price_of, shown_of
from crossfell.search.sketch.solving import MOST_CELLS, PricedGrid, at_once, in_windows
from crossfell.search.sketch.wishes import WALL as WALL_COLOUR
from crossfell.studio.answers import Answers, Call, Told
from crossfell.studio.asked import Asked, real, table, whole, word
from crossfell.studio.calls_shelf import file_name
from crossfell.studio.folder import Refused
from crossfell.studio.sketching import WALL, PaintedSketch, grid, sketch_of, sources, yarns_of

MOST_PICTURES = 4  # kept at once, each a few hundred cells of its own
MOST_EASY = 0.5  # price of a place moved where she would rather have it easy to lay


class SketchCalls:
    """Calls of a sketch: what is painted comes with each of them, nothing but pictures is kept."""

    def __init__(self, answers: Answers) -> None:
        self._to = answers
        self._pictures: OrderedDict[str, Floats] = OrderedDict()
        self._newest: dict[str, int] = {}
        self._whole = threading.Lock()
        self.names: dict[str, Call] = {
            "sketch-begin": self.begin,
            "sketch": self.sketch,
            "sketch-better": self.better,
            "sketch-picture": self.picture,
            "sketch-from": self.from_picture,
            "sketch-keep": self.keep,
        }

    def begin(self, asked: Asked) -> Told:
        """Where yarns can come from."""
        del asked
        return {"sources": sources(self._to.desk)}

    def sketch(self, asked: Asked) -> Told:
        """What her units can show of what is painted, at once.

        What was shown before stands where it can and is nearer than the preview: `stands`.
        """
        made = sketch_of(self._to.desk, asked)
        self._turn(asked)
        fresh, former = _priced(made, asked, preview(made.ask)), _former(made, asked)
        before = None if former is None else _priced(made, asked, former)
        stands = before is not None and before.price <= fresh.price
        return _told(made, before if before and stands else fresh) | {"stands": stands}

    def better(self, asked: Asked) -> Told:
        """Better than what is shown: a stretch of bands, or the whole with its bound.

        Who paints on meanwhile, in the same window, does not want it any more: `stale`.
        """
        made, mine = sketch_of(self._to.desk, asked), self._turn(asked)
        former = _former(made, asked)
        shown = preview(made.ask) if former is None else former
        counts = counts_of(shown, len(made.ask.counts))
        if word(asked, "stage") == "whole":
            with self._whole:
                if not self._still(asked, mine):
                    return {"stale": True}
                counts, bound = at_once(made.ask, _taste(asked), counts)
            return _told(made, _priced(made, asked, shown_of(counts), bound))
        counts, went = in_windows(
            made.ask, _taste(asked), counts, lambda *_: self._still(asked, mine),
            None if former is None else _stretch(made, asked),
        )  # fmt: skip
        return _told(made, _priced(made, asked, shown_of(counts))) if went else {"stale": True}

    def _turn(self, asked: Asked) -> int:
        window = word(asked, "window")
        if len(self._newest) > 1000:
            self._newest.clear()
        self._newest[window] = self._newest.get(window, 0) + 1
        return self._newest[window]

    def _still(self, asked: Asked, mine: int) -> bool:
        return self._newest.get(word(asked, "window")) == mine

    def picture(self, asked: Asked) -> Told:
        """A picture that is to lie under the grid; the answer is its key and its sides."""
        said = asked.get("data")
        try:
            raw = base64.b64decode(said if isinstance(said, str) else "", validate=True)
        except (binascii.Error, ValueError) as problem:
            raise Refused("`data` is a picture in base64") from problem
        light = light_of(raw, word(asked, "name") or "the picture")
        if isinstance(light, PictureRefused):
            raise Refused(light.says)
        key = hashlib.blake2s(raw, digest_size=12).hexdigest()
        self._pictures[key] = light
        while len(self._pictures) > MOST_PICTURES:
            self._pictures.popitem(last=False)
        return {"key": key, "aspect": light.shape[1] / light.shape[0]}

    def from_picture(self, asked: Asked) -> Told:
        """Cells painted as a picture shows them that lies so under the grid."""
        light = self._pictures.get(word(asked, "key"))
        if light is None:
            raise Refused("this picture is not at hand any more; choose it again")
        where = table(asked, "box")
        box = PictureBox(**{side: real(where, side) for side in ("left", "top", "width", "height")})
        if min(box.width, box.height) < 0.01:
            raise Refused("the picture is too small under the grid")
        colours = tuple(yarn.colour for yarn in yarns_of(asked))
        page = [*range(len(colours)), WALL] if asked.get("wall") else [*range(len(colours))]
        rows, places = whole(asked, "bands"), whole(asked, "places")
        grid([[ANY] * places] * rows if 0 < rows * places <= 40_000 else [], rows, places, 0)
        cells = framed(light, rows, places, box)
        near = painted_from(cells, (*colours, WALL_COLOUR)[: len(page)])
        return {"cells": np.where(near == ANY, ANY, np.array(page)[near]).tolist()}

    def keep(self, asked: Asked) -> Told:
        """Write what is shown as a draft of the folder."""
        made = sketch_of(self._to.desk, asked)
        shown = _former(made, asked)
        if shown is None:
            raise Refused("what is shown is not of this sketch; wait for it, and keep it then")
        answer = _priced(made, asked, shown)
        draft = drafted(made.ask, answer, made.means, made.wishes, brace=bool(asked.get("brace")))
        name = self._to.desk.folder.create(file_name(made.wishes.title), draft.text)
        self._to.hub.tell({"event": "pieces"})
        return {"piece": name}


def _former(made: PaintedSketch, asked: Asked) -> Ints | None:
    """What was shown, where units can show it of this sketch too."""
    shown = None if asked.get("shown") is None else made.read(asked.get("shown"))
    return shown if shown is not None and can_be(made.ask, shown) else None


def _stretch(made: PaintedSketch, asked: Asked) -> tuple[int, int] | None:
    """Bands, as they are woven, of the rows that were painted anew; None for all of them."""
    if asked.get("rows") is None:
        return None
    rows = table(asked, "rows")
    bands = made.wishes.bands
    first, last = max(0, whole(rows, "first")), min(bands - 1, whole(rows, "last"))
    if first > last:
        raise Refused("`rows` go from the first to the last")
    order = list(range(bands))[made.turned[0]]
    low, high = sorted((order[first], order[last]))
    return low, high + 1


def _taste(asked: Asked) -> Taste:
    """From like it (0) to easy to lay (1): the price of a place moved grows with the square."""
    return Taste(easy=MOST_EASY * min(max(real(asked, "easy"), 0.0), 1.0) ** 2)


def _priced(
    made: PaintedSketch, asked: Asked, shown: Ints, bound: float | None = None
) -> PricedGrid:
    counts = counts_of(shown, len(made.ask.counts))
    return PricedGrid(shown=shown, price=price_of(made.ask, _taste(asked), counts), bound=bound)


def _told(made: PaintedSketch, answer: PricedGrid) -> Told:
    """What the page shows."""
    ask, means, wishes = made.ask, made.means, made.wishes
    ribbons = ribbons_of(ask, answer.shown, means.front, wishes.woven_from)
    told: dict[str, Any] = {
        "counts": [{"colour": c, "units": n} for c, n in zip(made.listed, ask.counts, strict=True)],
        "shown": made.told(answer.shown),
        "ribbons": {
            "colours": [made.listed[c] for c in ribbons.colours],
            "rows": ribbons.rows.tolist(),
            "layers": [list(layer) for layer in ribbons.layers],
        },
        "says": shown_told(ask, answer, means, wishes),
        "proved": answer.proved,
        "whole": int(np.prod(ask.shape)) <= MOST_CELLS,
        "width": wishes.places * means.pitch_mm,
        "height": (wishes.bands - 1) * wishes.height_mm,
    }
    return told
