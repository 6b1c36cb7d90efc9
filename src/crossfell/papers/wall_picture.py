"""Where on the wall, for a stranger: points, cords, top rod, lowest edge, floor, middle line?

As one faces the wall, to scale: what is measured stands beside it. Letters are as large on paper
as those of the text round it.
"""

from __future__ import annotations

from dataclasses import dataclass

from crossfell.base.quantities import written
from crossfell.drawings.lettering import CAP_HEIGHT
from crossfell.drawings.look import INK, QUIET
from crossfell.drawings.scene import (
    DrawnPath,
    Item,
    Layer,
    Scene,
    Text,
    polyline,
    rectangle,
)
from crossfell.papers.hanging_points import Point, points_of, top_rod_mm
from crossfell.papers.hanging_sheet import side_text
from crossfell.paths.rods import rods_on_wall_mm
from crossfell.piece import Piece

WIDE_MM, TALL_MM = 150.0, 88.0  # on paper
LETTER_MM = 3.0  # on paper
WORDS, LEAST = 14.0, 1.5  # room beside the piece and between lines, in letters
SKIN = "#efebe3"


@dataclass(frozen=True, slots=True)
class Facing:
    """Where things lie in the picture (mm): y of the floor, x of the middle, size of letters."""

    width: float
    floor: float
    middle: float
    letter: float


def wall_view(piece: Piece) -> Scene:
    """The wall with its points, the piece as an outline of its rods, and what is measured."""
    points = points_of(piece)
    reach = max(_beside_mm(piece), *(abs(point.aside_mm) for point in points))
    rows = len(points)  # of words above: each point on a line of its own
    high = max(point.height_mm for point in points)
    letter = LETTER_MM * max(
        2 * reach / (WIDE_MM - (WORDS + 2) * LETTER_MM),
        high / (TALL_MM - (1.6 * rows + 5.5) * LETTER_MM),
    )
    frame = Facing(
        width=2 * reach + (WORDS + 2) * letter,
        floor=high + (1.6 * rows + 3.5) * letter,
        middle=reach + letter,
        letter=letter,
    )
    heights, ceiling = _levels(piece, points, frame)
    sides = [side_text(point, piece.draft.measure) for point in points]
    items = [*_piece(piece, frame), *heights, *_cords(points, sides, frame, ceiling)]
    height = frame.floor + 2 * letter
    ground = DrawnPath(rectangle(0, 0, frame.width, height), fill="#ffffff")
    return Scene(
        width_mm=frame.width,
        height_mm=height,
        title="Points on the wall",
        says="points on the wall, as you face it",
        layers=(Layer("ground", (ground,)), Layer("wall", tuple(items))),
    )


def _beside_mm(piece: Piece) -> float:
    """How far the piece reaches to a side of the middle of its top rod."""
    ends = rods_on_wall_mm(piece.draft, piece.paths)
    middle = float(ends[piece.draft.on_wall().top].mean())
    both = (0.0, piece.paths.width_total_mm, float(ends.min()), float(ends.max()))
    return max(abs(x - middle) for x in both)


def _piece(piece: Piece, frame: Facing) -> list[Item]:
    paths, hang = piece.paths, piece.draft.hang
    ends = rods_on_wall_mm(piece.draft, paths)
    left = frame.middle - float(ends[piece.draft.on_wall().top].mean())  # of the woven width
    low = frame.floor - hang.above_floor_mm
    box = rectangle(left, low - paths.height_total_mm, left + paths.width_total_mm, low)
    items: list[Item] = [DrawnPath(box, fill=SKIN, stroke=QUIET, stroke_mm=0.06 * frame.letter)]
    middles = ((paths.band_bottom_mm + paths.band_top_mm) / 2).tolist()
    for (one, two), middle in zip(ends.tolist(), middles, strict=True):
        y = low - piece.draft.on_wall().y(middle, paths.height_total_mm)
        rod = [(left + one, y), (left + two, y)]
        items.append(DrawnPath(polyline(rod), stroke=QUIET, stroke_mm=0.12 * frame.letter))
    return items


def _cords(
    points: tuple[Point, ...], sides: list[str], frame: Facing, ceiling: float
) -> list[Item]:
    """Cords, points with their numbers and distances above all else, and the middle line."""
    letter = frame.letter
    line = [(frame.middle, ceiling), (frame.middle, frame.floor)]
    items: list[Item] = [DrawnPath(polyline(line), stroke=QUIET, stroke_mm=0.05 * letter)]
    for row, (point, side) in enumerate(zip(points, sides, strict=True)):
        x, y = frame.middle + point.aside_mm, frame.floor - point.height_mm
        if point.cord_mm:
            tied = (frame.middle + point.tied_mm, y + point.up_mm)
            items.append(DrawnPath(polyline([(x, y), tied]), stroke=INK, stroke_mm=0.1 * letter))
        r = 0.28 * letter
        items.append(DrawnPath(rectangle(x - r, y - r, x + r, y + r), fill=INK))
        words = ceiling - 1.6 * (len(points) - 1 - row) * letter
        leader = [(x, y), (x, words - 0.3 * letter)]
        items.append(DrawnPath(polyline(leader), stroke=QUIET, stroke_mm=0.05 * letter))
        says = f"{point.number}: {side}"
        items.append(Text(x + 0.4 * letter, words, says, letter, INK, ground="#ffffff"))
    return items


def _levels(piece: Piece, points: tuple[Point, ...], frame: Facing) -> tuple[list[Item], float]:
    """Heights above the floor, at the right, one above the other; and the y above them all."""
    measure, letter = piece.draft.measure, frame.letter
    low = piece.draft.hang.above_floor_mm
    levels = [(0.0, "floor"), (low, f"lowest edge {written(low, measure)}")]
    levels.append((top_rod_mm(piece), f"top rod {written(top_rod_mm(piece), measure)}"))
    if not piece.draft.hang.rail:
        named: dict[str, list[Point]] = {}
        for point in points:
            named.setdefault(written(point.height_mm, measure), []).append(point)
        for text, same in named.items():
            which = "points" if len(same) > 1 else f"point {same[0].number}"
            levels.append((same[0].height_mm, f"{which} {text}"))
    items: list[Item] = []
    right = frame.width - (WORDS - 1) * letter
    below = frame.floor + 2 * LEAST * letter
    for height, text in sorted(levels):
        y = frame.floor - height
        base = min(y, below - LEAST * letter)
        below = base
        start = 0.1 * letter if text == "floor" else frame.middle
        line = [(start, y), (right - 0.6 * letter, y), (right - 0.2 * letter, base)]
        items.append(DrawnPath(polyline(line), stroke=QUIET, stroke_mm=0.05 * letter))
        items.append(
            Text(right, base + CAP_HEIGHT * letter / 2, text, letter, INK, ground="#ffffff")
        )
    return items, below - 1.3 * letter
