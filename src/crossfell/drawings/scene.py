"""What is a drawing made of, before it is SVG or PNG or part of a page?

All lengths in mm, x to the right, y DOWN from the top left corner of the picture. A scene is a
list of layers, back to front; what repeats is a symbol that is laid many times.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from crossfell.drawings.lettering import CAP_HEIGHT, DESCENT, width_em

Command = tuple[str, tuple[float, ...]]  # ("M", (x, y)), ("L", …), ("C", six numbers), ("Z", ())
Detail = Literal["always", "fine", "coarse"]  # coarse: where single ends cannot be told apart
Anchor = Literal["start", "middle", "end"]
Box = tuple[float, float, float, float]  # left, top, right, bottom


@dataclass(frozen=True, slots=True)
class DrawnPath:
    """A path, filled, stroked or both."""

    commands: tuple[Command, ...]
    fill: str | None = None
    stroke: str | None = None
    stroke_mm: float = 0.0
    opacity: float = 1.0
    round_ends: bool = False
    detail: Detail = "always"

    def box(self) -> Box:
        """Bounding box of its points, with half the stroke."""
        numbers = [command[1] for command in self.commands]
        xs = [x for part in numbers for x in part[0::2]]
        ys = [y for part in numbers for y in part[1::2]]
        half = self.stroke_mm / 2 if self.stroke else 0.0
        return min(xs) - half, min(ys) - half, max(xs) + half, max(ys) + half


@dataclass(frozen=True, slots=True)
class Text:
    """One line of text; x, y is the point on the base line that `anchor` says."""

    x: float
    y: float
    text: str
    size_mm: float
    colour: str
    anchor: Anchor = "start"
    bold: bool = False
    upright: bool = False  # turned a quarter anticlockwise, read from below upwards
    ground: str = ""  # what it stands on, for its contrast

    @property
    def width_mm(self) -> float:
        """Length of the line of text."""
        return self.size_mm * width_em(self.text, bold=self.bold)

    def box(self) -> Box:
        """Bounding box from the metrics of the shipped font."""
        back = {"start": 0.0, "middle": 0.5, "end": 1.0}[self.anchor] * self.width_mm
        rise, fall = CAP_HEIGHT * self.size_mm, DESCENT * self.size_mm
        if self.upright:
            return self.x - rise, self.y + back - self.width_mm, self.x + fall, self.y + back
        return self.x - back, self.y - rise, self.x - back + self.width_mm, self.y + fall


@dataclass(frozen=True, slots=True)
class Use:
    """A symbol laid at x, y; `clip` names a clip of the scene."""

    symbol: str
    x: float
    y: float
    clip: str = ""


Item = DrawnPath | Text | Use


@dataclass(frozen=True, slots=True)
class Symbol:
    """A group of shapes with an origin of its own."""

    name: str
    items: tuple[DrawnPath, ...]

    def box(self) -> Box:
        """Bounding box round its origin."""
        return around([item.box() for item in self.items])


@dataclass(frozen=True, slots=True)
class Fade:
    """A linear gradient between two points of the symbol that uses it, as fill "url(#name)"."""

    name: str
    start: tuple[float, float]
    end: tuple[float, float]
    stops: tuple[tuple[float, str, float], ...]  # place 0 to 1, colour, opacity


@dataclass(frozen=True, slots=True)
class Hatch:
    """A repeated tile, as fill "url(#name)": a yarn in black and white."""

    name: str
    size_mm: float
    items: tuple[DrawnPath, ...]


@dataclass(frozen=True, slots=True)
class Layer:
    """Items that belong together, in the order of drawing."""

    name: str
    items: tuple[Item, ...]


@dataclass(frozen=True, kw_only=True)
class Scene:
    """A picture."""

    width_mm: float
    height_mm: float
    title: str
    says: str  # what it shows and whose view it is; for those who cannot see it too
    layers: tuple[Layer, ...]
    symbols: tuple[Symbol, ...] = ()
    fades: tuple[Fade, ...] = ()
    hatches: tuple[Hatch, ...] = ()
    clips: tuple[tuple[str, tuple[Command, ...]], ...] = ()
    end_pitch_mm: float = 1.0  # distance of neighbouring ends, to choose the detail
    at: dict[str, float] = field(default_factory=dict)  # named places, mm: for tests and pointers

    @property
    def texts(self) -> tuple[Text, ...]:
        """Every line of text."""
        return tuple(i for layer in self.layers for i in layer.items if isinstance(i, Text))

    def box(self) -> Box:
        """Bounding box of everything drawn."""
        of = {symbol.name: symbol.box() for symbol in self.symbols}
        boxes = []
        for layer in self.layers:
            for item in layer.items:
                if isinstance(item, Use):
                    left, top, right, low = of[item.symbol]
                    boxes.append((left + item.x, top + item.y, right + item.x, low + item.y))
                else:
                    boxes.append(item.box())
        return around(boxes)


def around(boxes: list[Box]) -> Box:
    """The box round boxes."""
    return (
        min(box[0] for box in boxes),
        min(box[1] for box in boxes),
        max(box[2] for box in boxes),
        max(box[3] for box in boxes),
    )


def rectangle(left: float, top: float, right: float, low: float) -> tuple[Command, ...]:
    """The four sides of a rectangle."""
    corners = ((left, top), (right, top), (right, low), (left, low))
    return (("M", corners[0]), *(("L", corner) for corner in corners[1:]), ("Z", ()))


def polyline(points: list[tuple[float, float]], *, closed: bool = False) -> tuple[Command, ...]:
    """Straight lines through points."""
    lines = (("M", points[0]), *(("L", point) for point in points[1:]))
    return (*lines, ("Z", ())) if closed else lines
