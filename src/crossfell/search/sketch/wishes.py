"""What does she wish for, and which yarns, strips and loom is there to make it with?"""

from __future__ import annotations

import json
import math
import re
from dataclasses import dataclass
from pathlib import Path

from crossfell.draft.edit import NotEditable
from crossfell.draft.files import read_file, workshops_of
from crossfell.draft.model import Draft
from crossfell.draft.reader import read_draft
from crossfell.draft.shared import without_shared, workshop_of
from crossfell.search.sketch.laying import InFront
from crossfell.search.sketch.picture import PictureRefused

WALL = "#f4f1ea"  # bare wall, as pictures show it
MOST_PLACES, MOST_BANDS, MOST_YARNS = 200, 200, 8
RESERVE = 0.95  # of the lean limit: units that pass over each other lean a little more
GAP = "-"
_YARN = re.compile(
    r"(?P<name>[^\W\d][\w-]*)(?:\s+(?P<colour>#[0-9a-fA-F]{6}))?(?:\s+(?P<count>\d+))?$"
)
_STRIP = '[strip.inch]\nwidth = "1 in"\ndents = 18\n'


@dataclass(frozen=True, kw_only=True)
class Wishes:
    """What she asks for, as she says it; lengths in mm, 0 where nothing is said."""

    yarns: str
    places: int
    bands: int
    gaps: int = 0
    front: str = ""  # yarns from front to back, or FEWEST
    height_mm: float = 140.0
    pitch_mm: float = 0.0
    woven_from: str = "bottom"
    title: str = "A sketch"


FEWEST = "fewest lifts"


Known = tuple[Draft, str, str | None]  # what there is, tables to be written, the workshop's text


@dataclass(frozen=True, kw_only=True)
class Means:
    """What there is to make it with."""

    names: tuple[str, ...]  # [K] yarns as listed, then "-" where there are gaps
    colours: tuple[str, ...]
    counts: tuple[int, ...] | None
    front: InFront
    reach: int
    pitch_mm: float
    limit_rad: float
    strip: str
    ends: int
    tables: str  # what the draft must say itself
    workshop: str | None

    @property
    def free(self) -> tuple[bool, ...]:
        """Which colours are bare wall."""
        return tuple(name == GAP for name in self.names)


def means_of(wishes: Wishes, file: Path, like: Path | None = None) -> Means | PictureRefused:
    """Read yarns and loom from the workshop, or from an existing draft. Errors: OSError."""
    return means_with(wishes, _known(file, like))


def means_with(wishes: Wishes, known_by: Known) -> Means | PictureRefused:
    """The same with yarns and loom that are read already."""
    if not (2 <= wishes.places <= MOST_PLACES and 2 <= wishes.bands <= MOST_BANDS):
        return PictureRefused(f"a sketch has 2 to {MOST_PLACES} places and 2 to {MOST_BANDS} bands")
    if not all(math.isfinite(mm) for mm in (wishes.height_mm, wishes.pitch_mm)):
        return PictureRefused("height and pitch are lengths in mm")
    known, tables, workshop = known_by
    listed = _listed(wishes, known)
    if isinstance(listed, PictureRefused):
        return listed
    names, colours, counts, own = listed
    if not known.strips:
        tables += "\n" + _STRIP
        known = read_draft(tables, workshop=workshop)
    strip = next(iter(known.strips.values()))
    pitch = wishes.pitch_mm or math.ceil(strip.width_mm + 2)
    if pitch < strip.width_mm:
        return PictureRefused(f"the pitch is less than the strip `{strip.name}` is wide")
    reach = math.floor(RESERVE * wishes.height_mm * math.tan(known.loom.lean_limit_rad) / pitch)
    if reach < 1:
        return PictureRefused(f"in spans of {wishes.height_mm:g} mm no unit can lean over to the "
                       f"next place, {pitch:g} mm away; higher spans, "
                       "or a smaller pitch")  # fmt: skip
    front = _front(wishes.front, names)
    if isinstance(front, PictureRefused):
        return front
    return Means(names=names, colours=colours, counts=counts, front=front, reach=reach,
                 pitch_mm=pitch, limit_rad=known.loom.lean_limit_rad, strip=strip.name,
                 ends=strip.dents, tables=f"{tables}\n{own}", workshop=workshop)  # fmt: skip


def known_from(draft: Draft) -> Known:
    """Yarns and loom of a draft."""
    try:
        head = workshop_of(draft.text)
        tables = head.partition("\n\n")[2] if without_shared(draft.text) != draft.text else ""
    except NotEditable:
        tables = ""
    return draft, tables, draft.workshop_text or None


def _known(file: Path, like: Path | None) -> Known:
    if like:
        return known_from(read_file(like))
    for path in workshops_of(file):
        if path.is_file():
            text = path.read_text(encoding="utf-8", errors="replace")
            return read_draft("", workshop=text), "", text
    return read_draft(""), "", None


def _listed(
    wishes: Wishes, known: Draft
) -> tuple[tuple[str, ...], tuple[str, ...], tuple[int, ...] | None, str] | PictureRefused:
    """Names, colours, counts of the yarns as listed, and tables for those that nobody knows."""
    names, colours, counts, own = [], [], [], ""
    for part in (part.strip() for part in wishes.yarns.split(",")):
        read = _YARN.match(part)
        if not read:
            return PictureRefused(
                f"`{part}` is no yarn; write a name and how many units, as `chalk 8`"
            )
        name, colour, count = read["name"], read["colour"], read["count"]
        if name not in known.yarns and not colour:
            there = ", ".join(known.yarns) or "none"
            return PictureRefused(f"there is no yarn `{name}`; known are: {there}. Give one with "
                           f"its colour, as `{name} #b0512f 8`, or a draft "
                           "with --like")  # fmt: skip
        if name not in known.yarns:
            own += f'[yarn.{name}]\ncount  = "tex 200"  # invented: say your own\n'
            own += f"colour = {json.dumps(colour)}\n\n"
        names.append(name)
        colours.append(colour or known.yarns[name].colour)
        counts.append(int(count) if count else 0)
    if len(set(names)) < len(names) or len(names) > MOST_YARNS:
        return PictureRefused(f"each yarn is named once, and at most {MOST_YARNS} of them")
    if wishes.gaps:
        names.append(GAP)
        colours.append(WALL)
        counts.append(wishes.gaps)
    some = [count for count in counts[: len(names) - bool(wishes.gaps)] if count]
    if not some and not wishes.gaps:
        return tuple(names), tuple(colours), None, own
    if 0 in counts or sum(counts) != wishes.places:
        units = sum(some)
        return PictureRefused(f"{wishes.places} places, {wishes.gaps} of them open, want "
                       f"{wishes.places - wishes.gaps} units; the yarns give {units}")  # fmt: skip
    return tuple(names), tuple(colours), tuple(counts), own


def _front(said: str, names: tuple[str, ...]) -> InFront | PictureRefused:
    """Ranks from a list of yarns, front to back; as listed where nothing is said."""
    yarns = [name for name in names if name != GAP]
    least = said == FEWEST
    order = yarns if least or not said else re.split(r"[,\s]+", said.strip())
    if sorted(order) != sorted(yarns):
        return PictureRefused(f"front to back wants each of {', '.join(yarns)} once, or `{FEWEST}`")
    return InFront(
        rank=tuple(-order.index(n) if n != GAP else -len(names) for n in names), least=least
    )
