"""What is a drawing made of?

A scene is a sheet in millimetres, y downwards, with shapes and words in painting order. It knows
nothing of SVG or PDF; `svg.py` writes it down.
"""

from __future__ import annotations

from dataclasses import dataclass, field

INK = "#1d1b18"
SOFT = "#595650"
FAINT = "#b9b3a8"
WALL = "#f4f0e8"
PAPER = "#ffffff"
LETTER_WIDTH = 0.56  # of the size, mean of the letters that we ship; for boxes

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Shape:
    """Runs of straight lines; `closed` ones can be filled."""

    runs: tuple[tuple[Point, ...], ...]
    fill: str = "none"
    stroke: str = "none"
    width: float = 0.0
    opacity: float = 1.0
    closed: bool = False
    dash: tuple[float, ...] = ()
    shift: float = 0.0  # where the dashes begin
    round: bool = False


@dataclass(frozen=True, slots=True)
class Word:
    """A line of letters; `at` is on its baseline, `anchor` start, middle or end."""

    text: str
    at: Point
    size: float
    anchor: str = "start"
    fill: str = INK
    bold: bool = False
    upright: bool = True  # False: turned a quarter, reading upwards

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Left, top, right, bottom (mm), from the mean width of letters."""
        length = len(self.text) * self.size * LETTER_WIDTH
        back = {"start": 0.0, "middle": length / 2, "end": length}[self.anchor]
        x, y = self.at
        if self.upright:
            return x - back, y - 0.75 * self.size, x - back + length, y + 0.22 * self.size
        return x - 0.75 * self.size, y - length + back, x + 0.22 * self.size, y + back


@dataclass
class Scene:
    """A drawing: its size (mm), whose view it shows, its items in painting order."""

    width_mm: float
    height_mm: float
    view: str
    title: str
    ground: str = WALL
    items: list[Shape | Word] = field(default_factory=list)

    @property
    def words(self) -> list[Word]:
        """All words."""
        return [item for item in self.items if isinstance(item, Word)]
