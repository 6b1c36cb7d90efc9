"""What must she do now, and how must it look after it, in one flat picture?

Below, how the units lay before they were lifted; above, how they lie when the step is done; between
the two, who passes over whom. Up on the loom is nearer to who looks, on both sides of it. Drawn
for reading at 1.5 m: few columns, large letters, nothing told by colour alone.
"""

from __future__ import annotations

from collections.abc import Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, field, replace

from crossfell.drawings.lettering import CAP_HEIGHT, width_em
from crossfell.drawings.look import INK, QUIET, look_of, runs_of
from crossfell.drawings.scene import (
    DrawnPath,
    Item,
    Layer,
    Scene,
    Text,
    polyline,
    rectangle,
)
from crossfell.loomside.columns import COLUMN, Columns, columns_for
from crossfell.loomside.sights import Sight
from crossfell.order.batten import Lying
from crossfell.piece import Piece
from crossfell.plan.model import WITH_BOBBINS, WITH_STRIPS, Step
from crossfell.plan.phrasebook import teller_of

RIBBON = 12.0  # mm, of a column of 20
HALO = 1.8
TAG = 15.0
OPEN = 44.0
EDGE = 3.0
MOST_IN_ROW = 16  # names
MOST_MOVED = 8  # units that one picture can show on their way; more are shown as rows
PAPER = "#ffffff"
MARKED = "#f0e442"  # behind the name of what moves; the thick edge says the same
_LIFTS = frozenset({"lift", "clear-lift"})
_MOVES = WITH_STRIPS | WITH_BOBBINS
_ROWS = frozenset({"check", "hang", "weights-off", "weights-on"})


@dataclass
class _Sheet:
    """A picture as it grows."""

    piece: Piece
    columns: Columns
    faces: Sequence[int]
    items: list[Item] = field(default_factory=list)

    def ribbon(self, unit: int, start: int, end: int, low: float, top: float) -> None:
        """A unit from a place below (y `low`) to one above (y `top`), with a clear edge."""
        x0, x1 = self.columns.x(start), self.columns.x(end)
        self._strip(x0, x1, low, top, (-RIBBON / 2 - HALO, RIBBON / 2 + HALO), PAPER)
        draft = self.piece.draft
        colours = look_of(draft, "full").colours
        flip = self.columns.frame.ends(self.faces[unit]) < 0
        for run in runs_of(draft.kinds[draft.units[unit].kind].ends, RIBBON):
            sides = (-run.end, -run.start) if flip else (run.start, run.end)
            self._strip(x0, x1, low, top, sides, colours[run.yarn])
        for side in (-RIBBON / 2, RIBBON / 2):
            edge = polyline([(x0 + side, low), (x1 + side, top)])
            self.items.append(DrawnPath(edge, stroke=INK, stroke_mm=0.8))

    def tag(self, unit: int, place: int, y: float, *, marked: bool, lifted: bool = False) -> None:
        """The name of a unit; one whose back is up stands white on black."""
        x, half = self.columns.x(place), 9.2
        back = self.faces[unit] < 0
        fill, ink = (INK, PAPER) if back else (MARKED if marked else PAPER, INK)
        box = rectangle(x - half, y, x + half, y + TAG)
        self.items.append(DrawnPath(box, fill=fill, stroke=INK, stroke_mm=1.6 if marked else 0.5))
        name = self.piece.order.names[unit]
        size = min(11.0, 17.0 / width_em(name, bold=True))
        drop = 0.4 if back or lifted else 0.5
        base = y + drop * TAG + CAP_HEIGHT * size / 2
        self.items.append(Text(x, base, name, size, ink, "middle", bold=True, ground=fill))
        below = "lifted" if lifted else "back" if back else ""
        if below:
            at = y + TAG - 1.2
            self.items.append(Text(x, at, below, 3.8, ink, "middle", ground=fill))

    def numbers(self, y: float) -> None:
        """Places as she counts them, and how many are left out."""
        for place in self.columns.shown:
            text = str(self.columns.counted(place))
            x = self.columns.x(place)
            self.items.append(Text(x, y, text, 5.5, QUIET, "middle", ground=PAPER))
        for x, count in self.columns.gaps:
            self.items.append(Text(x, y, f"+{count}", 5.5, QUIET, "middle", ground=PAPER))

    def says(self, text: str, y: float) -> None:
        """A word at the left edge."""
        self.items.append(Text(2.0, y, text, 6.0, INK, bold=True, ground=PAPER))

    def scene(self, height: float, title: str) -> Scene:
        """The finished picture."""
        where = (
            "from behind the loom" if self.columns.frame.across < 0 else "from the weaver's seat"
        )
        ground = DrawnPath(rectangle(0, 0, self.columns.width, height), fill=PAPER)
        return Scene(
            width_mm=self.columns.width,
            height_mm=height,
            title=title,
            says=f"{title}; {where}",
            layers=(Layer("ground", (ground,)), Layer("units", tuple(self.items))),
        )

    def _strip(
        self, x0: float, x1: float, low: float, top: float, sides: tuple[float, float], fill: str
    ) -> None:
        left, right = sides
        corners = [(x0 + left, low), (x1 + left, top), (x1 + right, top), (x0 + right, low)]
        self.items.append(DrawnPath(polyline(corners, closed=True), fill=fill))


def has_picture(step: Step) -> bool:
    """Whether there is anything to see at a step."""
    return step.kind in _MOVES | _ROWS


def picture_of(
    piece: Piece, step: Step, sights: tuple[Sight, Sight], *, behind: bool, most: int = MOST_IN_ROW
) -> Scene | None:
    """The picture of a step for who stands in front or behind; None where words are enough.

    `sights` are those before and after it; `most` names stand in a row.
    """
    if not has_picture(step):
        return None
    at_back = step.kind.startswith(("clear", "weights"))
    before, after = sights
    was, now = before.row(behind=at_back), after.row(behind=at_back)
    if step.kind in {"check", "hang"}:
        return _rows(piece, now.now, now.faces, behind=behind, most=most)
    if step.kind.startswith("weights"):
        marked = {p for low, high in step.windows for p in range(low, high + 1)}
        return _rows(piece, now.now, now.faces, behind=behind, most=most, marked=marked)
    if step.kind in _MOVES and len(step.moving) > MOST_MOVED:
        row, places = (now, step.to_places) if step.to_places else (was, step.from_places)
        return _rows(piece, row.now, now.faces, behind=behind, most=most, marked=set(places))
    return _move(piece, step, (was, now), behind)


def _move(piece: Piece, step: Step, rows: tuple[Lying, Lying], behind: bool) -> Scene:
    before, after = rows
    base = {u: p for p, u in enumerate(after.base, 1) if u is not None}
    now = {u: p for p, u in enumerate(after.now, 1) if u is not None}
    moved = set(step.moving)
    touched = {*step.from_places, *step.to_places, *(base[u] for u in moved)}
    passed = (*step.over, *step.under, *(u for leg in step.legs for u in leg.passed))
    touched |= {at[u] for u in passed for at in (base, now)}
    sheet = _Sheet(piece, columns_for(touched, piece.draft.at_loom(behind=behind)), after.faces)
    top, low = 3.0 + TAG + 1.0, 3.0 + TAG + 1.0 + OPEN
    shown = set(sheet.columns.shown)
    first, last = min(shown), max(shown)
    for unit in after.stack:
        ends = {base[unit], now[unit]}
        if ends & shown and first <= min(ends) and max(ends) <= last:
            sheet.ribbon(unit, base[unit], now[unit], low, top)
    for unit, place in now.items():
        if place in shown:
            sheet.tag(unit, place, 3.0, marked=unit in moved)
    for unit, place in base.items():
        if place in shown:
            lifted = unit in after.lifted
            sheet.tag(unit, place, low + 1.0, marked=unit in moved, lifted=lifted)
            if lifted and unit in moved and unit not in before.lifted:
                _arrow(sheet, place, low - 2.0)
    sheet.says("AFTER", 3.0 + TAG * 0.65)
    sheet.says("BEFORE", low + 1.0 + TAG * 0.65)
    sheet.numbers(low + TAG + 8.0)
    says = teller_of(piece.draft).sentence(step)
    return sheet.scene(low + TAG + 11.0, f"Step {step.number}: {says}")


def _arrow(sheet: _Sheet, place: int, y: float) -> None:
    """Up and out."""
    x = sheet.columns.x(place)
    shaft = polyline([(x, y), (x, y - 16)])
    head = polyline([(x - 5, y - 14), (x, y - 22), (x + 5, y - 14)], closed=True)
    sheet.items.append(DrawnPath(shaft, stroke=INK, stroke_mm=2.2))
    sheet.items.append(DrawnPath(head, fill=INK))


def _rows(
    piece: Piece,
    row: Sequence[int | None],
    faces: Sequence[int],
    *,
    behind: bool,
    most: int,
    marked: AbstractSet[int] = frozenset(),
) -> Scene:
    """The whole batten as rows of names, from her left, wrapped like a text."""
    count = piece.draft.place_count
    rows = -(-count // most)
    width = -(-count // rows)
    seen = piece.draft.at_loom(behind=behind)
    order = list(seen.row(range(1, count + 1)))
    wide = width * COLUMN + 2 * EDGE
    columns = Columns(shown=(1,), frame=seen, width=wide, margin=EDGE)
    sheet, y = _Sheet(piece, columns, faces), 3.0
    for at in range(0, count, width):
        line = order[at : at + width]
        sheet.columns = replace(columns, shown=tuple(sorted(line)))
        for place in line:
            unit = row[place - 1]
            if unit is not None:
                sheet.tag(unit, place, y, marked=place in marked)
        sheet.numbers(y + TAG + 6.5)
        y += TAG + 11.0
    return sheet.scene(y, "The batten, place by place")
