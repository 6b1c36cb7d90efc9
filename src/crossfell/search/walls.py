"""What could hang on this wall, from these yarns, in the hours that she is ready to spend?

Each proposal is a draft: one figure laid across and up again and again. The pitch follows from the
strip, places from the width, the height of a span from the distance of looking, the number of spans
from the height of the wall or from the hours, whichever gives fewer.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from crossfell.base.notes import Severity
from crossfell.draft.reader import read_draft
from crossfell.piece import Piece
from crossfell.search.figures.ranking import chosen
from crossfell.search.figures.writing import Size, every, fragment
from crossfell.search.sketch.picture import PictureRefused
from crossfell.search.sketch.wishes import GAP, Means

TRIED = (("quiet", Size(4, 4, 1), "easy"), ("plaited", Size(4, 3), "alternating"),
         ("open", Size(5, 4), "open"), ("rich", Size(6, 3), "rich"))  # fmt: skip
AIR = 0.85  # of the wall that the piece takes. Common practice, no source
LOW_MM, HIGH_MM, PER_METRE = 110.0, 240.0, 45.0  # height of a span by the distance. The same
BAND_MM = 8.0  # of a band with its rod, until it is computed
MOST_SPANS, MOST_PLACES = 120, 160


@dataclass(frozen=True, kw_only=True)
class WallToFill:
    """What is there to fill."""

    width_mm: float
    height_mm: float
    distance_m: float = 3.0
    hours: float = math.inf


@dataclass(frozen=True)
class Proposal:
    """A draft that fits, and why it is as it is."""

    name: str
    text: str
    piece: Piece

    @property
    def says(self) -> str:
        """Its size, hours and price in a line."""
        piece, quote = self.piece, self.piece.quote()
        high = sum(span.height_mm for span in piece.draft.spans)
        price = "" if quote.missing else f", {quote.amount(quote.lines[-1].likely)} "
        return (f"{self.name}: {len(piece.draft.units)} units, {len(piece.draft.spans)} spans, "
                f"{piece.paths.width_total_mm:.0f} × {high:.0f} mm open warp, "
                f"{quote.hours[1]:.1f} hours{price}{quote.currency if price else ''}")  # fmt: skip


def proposals(wall: WallToFill, means: Means) -> list[Proposal] | PictureRefused:
    """Proposals for a wall, the quietest first; those that do not fit are left out."""
    if not all(0 < mm < 50_000 for mm in (wall.width_mm, wall.height_mm)) or wall.distance_m <= 0:
        return PictureRefused(
            "a wall has a width and a height in mm, less than 50 m, and is looked at"
        )
    found = []
    for name, size, look in TRIED:
        places = min(int(AIR * wall.width_mm / means.pitch_mm), MOST_PLACES)
        places -= places % size.places
        if places:
            made = _fitted(wall, means, name, size, look, places)
            found += [made] if made else []
    if not found:
        return PictureRefused(
            "nothing fits: the wall is too small for two spans, or the hours are too few"
        )
    return found


def _fitted(
    wall: WallToFill, means: Means, name: str, size: Size, look: str, places: int
) -> Proposal | None:
    """As many rounds of a figure as wall and hours allow; None where not even one does."""
    height = min(max(PER_METRE * wall.distance_m, LOW_MM), HIGH_MM)
    needed = size.reach * means.pitch_mm / math.tan(means.limit_rad) * 1.1
    height = 5 * math.ceil(max(height, needed) / 5)
    rounds = int(AIR * wall.height_mm / (height + BAND_MM)) // size.spans
    rounds = min(rounds, MOST_SPANS // size.spans)
    figures, _ = every(size)
    text = fragment(figures.spans, figures.rows[chosen(figures, 1, look)[0]], name)
    one = _piece(means, name, text, size, places, height, 1)
    if math.isfinite(wall.hours) and rounds > 1:
        two = _piece(means, name, text, size, places, height, 2)
        first, step = one.quote().hours[1], two.quote().hours[1] - one.quote().hours[1]
        rounds = min(rounds, 1 + int((wall.hours - first) / max(step, 1e-9)))
    while rounds > 0:
        piece = _piece(means, name, text, size, places, height, rounds)
        if any(note.severity is Severity.ERROR for note in piece.notes):
            return None
        if piece.quote().hours[1] <= wall.hours:
            return Proposal(name, piece.draft.text, piece)
        rounds -= 1
    return None


def _piece(
    means: Means, name: str, figure: str, size: Size, places: int, height: float, rounds: int
) -> Piece:
    yarns = [yarn for yarn in means.names if yarn != GAP]
    order = _order(yarns, size.places, places)
    tables = f"{means.tables.strip()}\n\n" if means.tables.strip() else ""
    units = "".join(
        f'[unit.{yarn}]\nstrip = "{means.strip}"\nends  = "{means.ends} {yarn}"\n\n'
        for yarn in yarns
        if yarn in order
    )
    last = places - size.places + 1
    laid = f"{name} at 1" + (f" every {size.places} to {last}" if last > 1 else "")
    spans = "".join(
        f"[[span]]\nheight = {height:g}\n" + (f'moves  = "{laid}"\n' if k == 0 else "") + "\n"
        for k in range(size.spans)
    )
    again = f"[[repeat]]\nspans = {size.spans}\ntimes = {rounds}\n" if rounds > 1 else ""
    text = (
        f'measure = "mm"\n\n[piece]\ntitle = "{name.capitalize()}"\n\n{tables}'
        f'{units}[warp]\npitch = {means.pitch_mm:g}\norder = "{" ".join(order)}"'
        f'\n\n[band]\npicks = "3, rod, 3"\nweft  = "{yarns[-1]}"\nrod   = "steel 3"\n\n'
        f'[band.last]\nrod   = "steel 6"\n\n{figure}\n{spans}{again}'
    )
    return Piece(read_draft(text, workshop=means.workshop))


def _order(yarns: Sequence[str], wide: int, places: int) -> list[str]:
    """Yarns by turns within a figure, a unit and its mirror image alike; the same in each."""
    own = [yarns[min(k, wide - 1 - k) % len(yarns)] for k in range(wide)]
    return own * (places // wide)
