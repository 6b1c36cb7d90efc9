"""How does a sheet of labels look: frames, words, marks for a camera, cut marks?

Sheets of labels are sold for both papers: 3 × 8 of 70 × 37 mm on A4, 3 × 10 of 2 5/8 × 1 in on
Letter (common practice, no source); cut marks serve plain paper. The last place of each sheet has
no label: it says which sheet it is and which page, as every page does.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from crossfell.drawings.lettering import CAP_HEIGHT, DESCENT, width_em
from crossfell.drawings.margins import fitted
from crossfell.drawings.scene import (
    Command,
    DrawnPath,
    Item,
    Layer,
    Scene,
    Text,
    rectangle,
)
from crossfell.papers.letters import printable
from crossfell.papers.typeset import SIZES, version_of
from crossfell.piece import Piece

FRONT, BACK = "front", "back"  # of a unit: its face and its back
NAME_MM, TEXT_MM = 12.0, 2.75  # greatest size of a name, size of the lines under it
EDGE_MM, PAD_MM, ROUND_MM = 1.2, 2.2, 1.0  # round a label's frame, in it, of its corners
CUT_MM, THIN_MM = 3.0, 0.09  # length and width of a cut mark
TAG_STEP_MM = 4.2  # from line to line of the last place
QUIET_MODULES = 4  # light margin of a mark; published: ISO/IEC 18004
ANY_MASK = 2  # of the eight; readers take each of them, and choosing the evenest takes most time
INK, WHITE = "#1d1b18", "#ffffff"


@dataclass(frozen=True, kw_only=True)
class Label:
    """One label: what it is on, its name, which side, two lines, and what its mark says."""

    thing: str  # unit, bobbin, weight, rod, band
    name: str
    side: str  # front (of a unit: its face) or back
    lines: tuple[str, ...]
    mark: str


@dataclass(frozen=True, kw_only=True)
class LabelSheet:
    """A sheet of labels (mm)."""

    columns: int
    rows: int
    width: float
    height: float
    left: float  # of the first label
    top: float
    step_x: float  # from label to label
    step_y: float

    @property
    def on_a_sheet(self) -> int:
        """Labels on a sheet; the last place is kept."""
        return self.columns * self.rows - 1

    @property
    def mark(self) -> float:
        """Size of a mark."""
        return min(self.height - 6.0, 23.0)

    @property
    def room(self) -> float:
        """Width for words beside a mark."""
        return self.width - self.mark - 9.0

    def corner(self, place: int) -> tuple[float, float]:
        """Upper left corner of a place, from 0, row by row."""
        row, column = divmod(place, self.columns)
        return self.left + column * self.step_x, self.top + row * self.step_y


STOCKS = {
    "A4": LabelSheet(columns=3, rows=8, width=70, height=37, left=0, top=0.5, step_x=70, step_y=37),
    "Letter": LabelSheet(
        columns=3, rows=10, width=66.675, height=25.4, left=4.7625, top=12.7,
        step_x=69.85, step_y=25.4,
    ),
}  # fmt: skip


def sheet_of(piece: Piece, labels: Sequence[Label], says: str) -> Scene:
    """One sheet, with what its last place says of it."""
    draft = piece.draft
    stock, (width, height) = STOCKS[draft.about.paper], SIZES[draft.about.paper]
    version = f"draft {version_of(draft)}"
    frames: list[Item] = [*_cuts(stock)]
    words: list[Text] = []
    for place, label in enumerate(labels):
        x, y = stock.corner(place)
        frames += _frame(stock, x, y, black=label.side == BACK)
        size = stock.mark
        at = (x + stock.width - EDGE_MM - 1.6 - size, y + (stock.height - size) / 2)
        frames += mark_shapes(label.mark, *at, size)
        words += words_of(label, stock, version, x, y)
    x, y = stock.corner(stock.columns * stock.rows - 1)
    lines = (draft.about.title, f"Labels, {says}", "white: face or front", "black: back", version)
    words += _tag(stock, lines, x, y)
    return Scene(
        width_mm=width,
        height_mm=height,
        title=draft.about.title,
        says=f"labels, {says}",
        layers=(Layer("labels", tuple(frames)), Layer("words", tuple(words))),
    )


def words_of(label: Label, stock: LabelSheet, version: str, x: float, y: float) -> list[Text]:
    """The words of a label whose corner lies at x, y: one below the other, in its middle."""
    room, back = stock.room, label.side == BACK
    name = printable(label.name)
    size = min(NAME_MM, 0.34 * stock.height, room / max(width_em(name, bold=True), 0.1))
    side = "face" if label.side == FRONT and label.thing == "unit" else label.side
    small = 0.95 * TEXT_MM
    lines = [
        (line, min(TEXT_MM, room / max(width_em(printable(line)), 0.1))) for line in label.lines
    ]
    rows = [(0.0, small), (1.5, size), *((1.1, each) for _, each in lines), (1.3, 0.75 * TEXT_MM)]
    high = sum(gap + CAP_HEIGHT * each for gap, each in rows) + DESCENT * size
    ink, ground = (WHITE, INK) if back else (INK, WHITE)
    base, left, at = y + (stock.height - high) / 2, x + EDGE_MM + PAD_MM, []
    for number, (gap, each) in enumerate(rows):
        base += gap + CAP_HEIGHT * each
        at.append(base)
        base += DESCENT * size if number == 1 else 0.0
    return [
        Text(left, at[0], label.thing.upper(), small, ink, ground=ground),
        Text(left + room, at[0], side.upper(), small, ink, "end", bold=True, ground=ground),
        Text(left, at[1], label.name, size, ink, bold=True, ground=ground),
        *(
            Text(left, low, line, each, ink, ground=ground)
            for low, (line, each) in zip(at[2:], lines, strict=False)
        ),
        Text(left, at[-1], version, 0.75 * TEXT_MM, ink, ground=ground),
    ]


def _tag(stock: LabelSheet, lines: Sequence[str], x: float, y: float) -> list[Text]:
    """What the last place says; its page is added by the typesetter, one line below."""
    left, room = x + EDGE_MM + PAD_MM, stock.width - 2 * (EDGE_MM + PAD_MM)
    return [
        Text(left, tag_base(stock, y, line), fitted(printable(said), TEXT_MM, room), TEXT_MM, INK,
             bold=line == 0, ground=WHITE)
        for line, said in enumerate(lines)
    ]  # fmt: skip


def tag_base(stock: LabelSheet, y: float, line: int) -> float:
    """The base line of a line of the last place, whose corner lies at y; line 5 is the page."""
    step = min(TAG_STEP_MM, (stock.height - 2 * (EDGE_MM + PAD_MM) - CAP_HEIGHT * TEXT_MM) / 5)
    return y + EDGE_MM + PAD_MM + CAP_HEIGHT * TEXT_MM + line * step


def _frame(stock: LabelSheet, x: float, y: float, *, black: bool) -> list[DrawnPath]:
    left, top = x + EDGE_MM, y + EDGE_MM
    right, low = x + stock.width - EDGE_MM, y + stock.height - EDGE_MM
    outline = _rounded(left, top, right, low)
    if black:
        return [DrawnPath(outline, fill=INK)]
    return [DrawnPath(outline, fill=WHITE, stroke=INK, stroke_mm=0.18)]


def _rounded(left: float, top: float, right: float, low: float) -> tuple[Command, ...]:
    """A rectangle with round corners; 0.45 of a radius for a quarter of a circle."""
    r, k = ROUND_MM, 0.45 * ROUND_MM
    return (
        ("M", (left + r, top)),
        ("L", (right - r, top)),
        ("C", (right - k, top, right, top + k, right, top + r)),
        ("L", (right, low - r)),
        ("C", (right, low - k, right - k, low, right - r, low)),
        ("L", (left + r, low)),
        ("C", (left + k, low, left, low - k, left, low - r)),
        ("L", (left, top + r)),
        ("C", (left, top + k, left + k, top, left + r, top)),
        ("Z", ()),
    )


def _cuts(stock: LabelSheet) -> Iterator[DrawnPath]:
    """A cross at each corner of each label."""
    half, lines = CUT_MM / 2, list[Command]()
    edges = [stock.left + column * stock.step_x for column in range(stock.columns)]
    across = sorted({round(edge + more, 3) for edge in edges for more in (0.0, stock.width)})
    for row in range(stock.rows + 1):
        y = stock.top + row * stock.step_y
        for x in across:
            lines += [("M", (x - half, y)), ("L", (x + half, y))]
            lines += [("M", (x, y - half)), ("L", (x, y + half))]
    yield DrawnPath(tuple(lines), stroke=INK, stroke_mm=THIN_MM)


def mark_shapes(text: str, x: float, y: float, size: float) -> list[DrawnPath]:
    """A QR mark (ISO/IEC 18004, level M) with its light margin, dark on white; mm.

    Checked: tests/outside/test_marks.py, read again by another library.
    """
    import segno

    code = segno.make(text, error="m", micro=False, boost_error=False, mask=ANY_MASK)
    matrix = code.matrix
    module = size / (len(matrix) + 2 * QUIET_MODULES)
    left, top = x + QUIET_MODULES * module, y + (QUIET_MODULES + 0.5) * module
    lines: list[Command] = []
    for row, modules in enumerate(matrix):
        at = top + row * module
        for start, end in _dark_runs(modules):
            lines += (("M", (left + start * module, at)), ("L", (left + end * module, at)))
    dark = DrawnPath(tuple(lines), stroke="#000000", stroke_mm=module)
    return [DrawnPath(rectangle(x, y, x + size, y + size), fill=WHITE), dark]


def _dark_runs(row: bytes | bytearray) -> Iterator[tuple[int, int]]:
    """Start and end of each run of dark modules, of bytes that are 1 for dark and 0 for light."""
    start = row.find(1)
    while start >= 0:
        end = row.find(0, start)
        yield start, len(row) if end < 0 else end
        start = row.find(1, end) if end >= 0 else -1
