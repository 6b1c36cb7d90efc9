"""What does the page *Sketch* ask for, and what does a painted grid come to?

Cells come and go as the piece hangs, rows from the top: the number of a yarn as she listed them,
WALL for bare wall, ANY where it does not matter.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from crossfell.draft.reader import read_draft
from crossfell.search.sketch.asked import Ask, Ints
from crossfell.search.sketch.making import turned_of
from crossfell.search.sketch.painted import ANY, painted_ask, shared_out
from crossfell.search.sketch.picture import PictureRefused
from crossfell.search.sketch.wishes import (
    MOST_BANDS,
    MOST_PLACES,
    MOST_YARNS,
    Known,
    Means,
    Wishes,
    known_from,
    means_with,
)
from crossfell.studio.asked import Asked, real, whole, word
from crossfell.studio.desk import Desk
from crossfell.studio.folder import Refused

WALL = -2
OWN = (("night", "#2b3a4a"), ("brick", "#a85432"), ("sand", "#d9c7a0"))  # where she has none
WORKSHOP, INVENTED = "workshop", "invented"


@dataclass(frozen=True, kw_only=True)
class PaintedSketch:
    """A painted grid, understood."""

    wishes: Wishes
    means: Means
    ask: Ask
    listed: tuple[int, ...]  # what each colour of the ask is called by the page: a yarn, or WALL

    @property
    def turned(self) -> tuple[slice, slice]:
        """From rows as they hang to bands as they are woven, and back."""
        return turned_of(self.wishes.woven_from)

    def told(self, shown: Ints) -> list[list[int]]:
        """Bands [T, n] as the page shows them."""
        cells: list[list[int]] = np.array(self.listed)[shown[self.turned]].tolist()
        return cells

    def read(self, cells: object) -> Ints | None:
        """Bands as the page showed them; None where they are not of this sketch."""
        size = self.wishes.bands, self.wishes.places
        try:
            shown = grid(cells, *size, len(self.means.names) + MOST_YARNS)
        except Refused:  # of another size, before she changed it
            return None
        number = {page: c for c, page in enumerate(self.listed)}
        if not set(np.unique(shown).tolist()) <= number.keys():
            return None
        own = np.zeros_like(shown)
        for page, c in number.items():
            own[shown == page] = c
        turned: Ints = own[self.turned]
        return turned


def sources(desk: Desk) -> list[dict[str, Any]]:
    """Where yarns can come from: the workshop, the drafts, and three that are invented."""
    found = []
    known, _, _ = of_workshop(desk)
    if known.yarns:
        found.append(_source(WORKSHOP, "The workshop", known.yarns.values()))
    for name in desk.folder.drafts():
        try:
            draft = desk.open(name).piece.draft
        except (Refused, OSError):
            continue  # the list of pieces says what is wrong with it
        if draft.yarns:
            found.append(_source(name, draft.about.title, draft.yarns.values()))
    yarns = [{"name": name, "colour": colour, "own": True} for name, colour in OWN]
    return [*found, {"source": INVENTED, "says": "Three invented yarns", "yarns": yarns}]


def _source(name: str, says: str, yarns: Any) -> dict[str, Any]:
    told = [{"name": yarn.name, "colour": yarn.colour, "own": False} for yarn in yarns]
    return {"source": name, "says": says, "yarns": told[:MOST_YARNS]}


def of_workshop(desk: Desk) -> Known:
    """Yarns and loom of the folder's own workshop."""
    path = desk.folder.workshop_of(desk.folder.root / "new.toml")
    if path is None:
        return read_draft(""), "", None
    text = desk.folder.read(path).decode("utf-8", "replace")
    return read_draft("", workshop=text), "", text


def sketch_of(desk: Desk, asked: Asked) -> PaintedSketch:
    """What the page asks for. Errors: Refused."""
    places, bands = whole(asked, "places"), whole(asked, "bands")
    if not (2 <= places <= MOST_PLACES and 2 <= bands <= MOST_BANDS):
        raise Refused(f"a sketch has 2 to {MOST_PLACES} places and 2 to {MOST_BANDS} bands")
    yarns = yarns_of(asked)
    cells = grid(asked.get("cells"), bands, places, len(yarns))
    listed, counts, painted = _counted(asked, cells, len(yarns))
    named = [yarns[c] for c in listed if c != WALL]
    given = dict(zip(listed, counts, strict=True))
    said = ", ".join(
        " ".join((yarn.name, *((yarn.colour,) if yarn.own else ()), str(given[c])))
        for c, yarn in zip((c for c in listed if c != WALL), named, strict=True)
    )
    wishes = Wishes(
        yarns=said, places=places, bands=bands, gaps=given.get(WALL, 0),
        front=_front(word(asked, "front"), [yarn.name for yarn in named]),
        height_mm=real(asked, "height"), pitch_mm=real(asked, "pitch"),
        title=word(asked, "title").strip() or "A sketch",
    )  # fmt: skip
    means = means_with(wishes, known_of(desk, word(asked, "source")))
    if isinstance(means, PictureRefused):
        raise Refused(means.says)
    ask = painted_ask(painted, means, counts, wishes.woven_from)
    return PaintedSketch(wishes=wishes, means=means, ask=ask, listed=listed)


def known_of(desk: Desk, source: str) -> Known:
    """Yarns and loom of a source. Errors: Refused."""
    if source in {WORKSHOP, INVENTED}:
        return of_workshop(desk)
    return known_from(desk.open(source).piece.draft)


@dataclass(frozen=True)
class ListedYarn:
    """A yarn of the page; `own` is one that neither workshop nor draft knows."""

    name: str
    colour: str
    own: bool


def yarns_of(asked: Asked) -> list[ListedYarn]:
    """The yarns that are listed. Errors: Refused."""
    said = asked.get("yarns")
    if not isinstance(said, list) or not 1 <= len(said) <= MOST_YARNS:
        raise Refused(f"a sketch has 1 to {MOST_YARNS} yarns")
    if not all(isinstance(yarn, dict) for yarn in said):
        raise Refused("`yarns` are names and colours")
    return [ListedYarn(word(y, "name"), word(y, "colour"), bool(y.get("own"))) for y in said]


def _counted(
    asked: Asked, cells: Ints, yarns: int
) -> tuple[tuple[int, ...], tuple[int, ...], Ints]:
    """Colours in use as the page calls them, units of each, and the cells with their numbers.

    Where she says no counts, units are shared out among the yarns that are painted.
    """
    said = asked.get("counts")
    if said is None:
        listed = [c for c in [*range(yarns), WALL] if (cells == c).any()]
        if all(c == WALL for c in listed):
            raise Refused("nothing is painted yet: choose a yarn and draw")
        painted = _numbered(cells, listed)
        return tuple(listed), shared_out(painted, len(listed)), painted
    if not isinstance(said, list) or len(said) != yarns + 1:
        raise Refused("`counts` are units of each yarn, and the open places")
    counts = [whole({"count": count}, "count") for count in said]
    listed = [c for c, count in zip([*range(yarns), WALL], counts, strict=True) if count > 0]
    places = cells.shape[1]
    if sum(counts) != places or min(counts) < 0 or not any(counts[:-1]):
        raise Refused(f"{places} places want as many units and open places; these give "
                      f"{sum(counts)}: change one, or share them out as painted")  # fmt: skip
    return tuple(listed), tuple(n for n in counts if n > 0), _numbered(cells, listed)


def _numbered(cells: Ints, listed: list[int]) -> Ints:
    """Cells by the number of their colour in the ask; what is not in use does not matter."""
    painted = np.full_like(cells, ANY)
    for number, page in enumerate(listed):
        painted[cells == page] = number
    return painted


def _front(said: str, names: list[str]) -> str:
    """The order from front to back without the yarns that are not in use."""
    order = said.split()
    return " ".join(name for name in order if name in names) if set(names) <= set(order) else said


def grid(cells: object, bands: int, places: int, yarns: int) -> Ints:
    """Cells [bands, places]. Errors: Refused."""
    try:
        found = np.array(cells)
    except ValueError:
        found = np.empty(0)
    if found.shape != (bands, places) or found.dtype.kind != "i":
        raise Refused(f"`cells` are {bands} rows of {places} whole numbers")
    if found.min() < WALL or found.max() >= yarns:
        raise Refused("a cell is painted with a yarn that is not listed")
    return found.astype(np.int64)
