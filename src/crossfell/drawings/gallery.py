"""What do many small pieces look like side by side?

Each is drawn plainly: its units as ribbons, from the back to the front, its bands as rods, and a
few words below. What is tall and narrow is drawn lower than it is, so that it can be seen.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from crossfell.drawings.scene import Command, DrawnPath, Layer, Scene, Text, rectangle
from crossfell.materials.colour import lit
from crossfell.piece import Piece

ACROSS, TALL, GAP, WORDS = 34.0, 58.0, 8.0, 12.0  # mm: a picture, the room between, words below
LOWER = 2.4  # times lower than wide, at most
ROD, PAPER, WORD_INK = "#8d8a84", "#f7f5f0", "#2b2b2b"


@dataclass(frozen=True)
class Exhibit:
    """One piece of a gallery, and what stands below it."""

    piece: Piece
    name: str
    words: str


def gallery(pieces: Sequence[Exhibit], *, title: str, columns: int = 8) -> Scene:
    """All pieces in rows, in the order given."""
    columns = max(1, min(columns, len(pieces)))
    rows = -(-len(pieces) // columns)
    width = GAP + columns * (ACROSS + GAP)
    height = GAP + rows * (TALL + WORDS + GAP)
    items: list[DrawnPath | Text] = []
    for number, shown in enumerate(pieces):
        row, column = divmod(number, columns)
        left, top = GAP + column * (ACROSS + GAP), GAP + row * (TALL + WORDS + GAP)
        items += small(shown.piece, left, top, ACROSS, TALL)
        items.append(Text(left, top + TALL + 4.6, shown.name, 3.2, WORD_INK, bold=True))
        items += [
            Text(left, top + TALL + 8.6 + 3.4 * k, line, 2.7, WORD_INK)
            for k, line in enumerate(shown.words.split("\n"))
        ]
    paper = DrawnPath(rectangle(0, 0, width, height), fill=PAPER)
    layers = Layer("paper", (paper,)), Layer("gallery", tuple(items))
    says = f"{title}: {len(pieces)} drawn"
    return Scene(width_mm=width, height_mm=height, title=title, says=says, layers=layers)


def small(
    piece: Piece, left: float, top: float, width: float, height: float
) -> list[DrawnPath | Text]:
    """A piece as it hangs, within a frame (mm of the scene)."""
    paths, draft = piece.paths, piece.draft
    count = len(draft.spans)
    total = sum(span.height_mm for span in draft.spans)
    down = min(width / paths.width_total_mm, height / total)
    scale = min(width / paths.width_total_mm, LOWER * height / total)
    across = left + (width - scale * paths.width_total_mm) / 2
    inks = [draft.yarns[draft.kinds[unit.kind].ends[0][1]].colour for unit in draft.units]
    drawn: list[DrawnPath | Text] = []
    wall, x_mm = draft.on_wall(), draft.on_wall().x(paths.x_mm, paths.width_total_mm)
    y = top + (height + wall.up * down * total) / 2
    rods = [y]
    for k in range(count):
        step = -wall.up * down * draft.spans[k].height_mm
        layers = piece.order.spans[k].layers or (tuple(range(len(draft.units))),)
        for unit in (unit for layer in layers for unit in layer):
            half = scale * float(paths.width_mm[unit]) / 2
            a, b = (across + scale * float(x_mm[at, unit]) for at in (k, k + 1))
            outline: tuple[Command, ...] = (
                ("M", (a - half, y)), ("L", (a + half, y)), ("L", (b + half, y + step)),
                ("L", (b - half, y + step)), ("Z", ()),
            )  # fmt: skip
            edge = lit(inks[unit], 0.45)
            drawn.append(DrawnPath(outline, fill=inks[unit], stroke=edge, stroke_mm=0.18))
        y += step
        rods.append(y)
    right = across + scale * paths.width_total_mm + 0.6
    drawn += [
        DrawnPath(rectangle(across - 0.6, at - 0.28, right, at + 0.28), fill=ROD) for at in rods
    ]
    return drawn
