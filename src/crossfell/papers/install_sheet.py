"""How does a stranger unpack it, hang it and check it; and how does it travel?"""

from __future__ import annotations

import math

from crossfell.base.quantities import written
from crossfell.papers.hanging_points import points_of, top_rod_mm
from crossfell.papers.hanging_sheet import load_text, side_text
from crossfell.papers.measures import size_text, weight_text
from crossfell.papers.model import Block, Caution, Heading, Pairs, Paragraph, Picture, Sheet, Table
from crossfell.papers.wall_picture import TALL_MM, wall_view
from crossfell.piece import Piece
from crossfell.plan.cautions import CAUTIONS
from crossfell.statics.cords import rod_length_mm

CORE_MM = 100.0  # tube to roll on; published: CCI Notes 13/3, 5 to 15 cm
LEAF_MM = 2.0  # tissue or wadding between the turns; common practice, no source
ROOM_MM = 30.0  # round the roll in its crate; common practice, no source
TWO_CARRY_G = 10000.0  # above it, a third person; common practice, no source
WIDE_MM = 2000.0


def installation(piece: Piece) -> Sheet:
    """Tools, people, points and heights, order of lifting, check list."""
    measure = piece.draft.measure
    blocks: list[Block] = [
        Pairs(rows=(
            ("Piece", f"{size_text(piece)}, {weight_text(piece)}"),
            ("People", people_text(piece)),
            ("Tools", "tape measure, spirit level, pencil, plumb line, two step ladders of the "
             "same height, clean cotton gloves, a clean sheet for the floor, fixings and drill for "
             "this wall"),
            ("Above the floor", f"top rod {written(top_rod_mm(piece), measure)}, lowest edge "
             f"{written(piece.draft.hang.above_floor_mm, measure)}"),
        )),
        Heading(text="Points on the wall"),
        Paragraph(text="Mark with a plumb line where the middle of the top rod will hang; "
              "measure every point from it and from the floor below it."),
        Picture(scene=wall_view(piece), tallest_mm=TALL_MM, share=0.9),
        _points(piece),
        Caution(text=CAUTIONS["overhead"]),
        Heading(text="Order of work"),
        _steps("lifting", _order(piece)),
        Heading(text="Check before you go"),
        _steps("check", _checks(piece)),
    ]  # fmt: skip
    return Sheet(name="installation", title="Hanging it on the wall", blocks=tuple(blocks),
                 view="left and right as you face the wall")  # fmt: skip


def people_text(piece: Piece) -> str:
    """Two, one at each end of the top rod; a third where it is heavy or wide."""
    third = piece.masses.total_g > TWO_CARRY_G or rod_length_mm(piece.draft, piece.paths) > WIDE_MM
    both = "two, one at each end of the top rod"
    return f"three: {both}, and one for the lower rods" if third else both


def _points(piece: Piece) -> Table:
    measure, rail = piece.draft.measure, piece.draft.hang.rail
    rows = tuple(
        (
            str(point.number),
            side_text(point, measure),
            written(point.height_mm, measure),
            "" if rail else written(point.cord_mm, measure),
            load_text(point, measure),
        )
        for point in points_of(piece)
    )
    columns = ("point", "from the middle", "above the floor", "cord", "load")
    return Table(name="wall-points", columns=columns, align="lrrrr", rows=rows, tick=True,
                 widths=(0.6, 1, 1, 1, 1.2))  # fmt: skip


def _order(piece: Piece) -> tuple[str, ...]:
    measure = piece.draft.measure
    cords = " and ".join(written(point.on_rod_mm, measure) for point in points_of(piece))
    hung = (
        "Lay the top rod into the rail, left end first; it must not roll."
        if piece.draft.hang.rail
        else f"Tie the cords to the top rod at {cords} from its left end, with knots that do not "
        "slip; all of the length above."
    )
    return (
        "Let the room be clear below and around; nobody stands under the piece while it is lifted.",
        "Mark and set the points. Over people, fixings are for a licensed rigger.",
        "Put on gloves. Open the crate on the clean sheet, face up, the top rod towards the wall.",
        "Photograph it as it came, and fill in the condition report.",
        hung,
        "Lift the top rod level, one person at each end; never lift by units, bands or lower rods.",
        "Hang it, left point first, and unroll downwards, rod by rod, without a jerk.",
        "Let the lowest rod come free last; do not pull the piece straight.",
        "Take out tissue and ties from below upwards.",
    )


def _checks(piece: Piece) -> tuple[str, ...]:
    measure = piece.draft.measure
    return (
        f"Top rod level, its middle {written(top_rod_mm(piece), measure)} above the floor.",
        f"Lowest edge {written(piece.draft.hang.above_floor_mm, measure)} above the floor.",
        f"The piece hangs free, {written(piece.draft.hang.off_wall_mm, measure)} before the wall.",
        "No unit is caught, no rod end bent, every end cap is on.",
        "No heater, air outlet, door, sprinkler or lamp touches or blows at it.",
        "Out of the reach of children and pets; nobody walks into it.",
        "Photographs: whole, from the left, from the right, points, anything that is not right.",
        "Look again after a day: it settles by its own weight.",
    )


def _steps(name: str, texts: tuple[str, ...]) -> Table:
    rows = tuple((str(i + 1), text) for i, text in enumerate(texts))
    return Table(
        name=name, columns=("no.", "what"), align="rl", rows=rows, tick=True, widths=(0.4, 10)
    )


def packing(piece: Piece) -> Sheet:
    """Rolled on a tube or laid flat, what must not be bent, sizes, weight."""
    measure = piece.draft.measure
    long = piece.paths.across_mm
    across = roll_mm(piece)
    flat = (long, piece.paths.height_total_mm)
    inside = (long + 2 * ROOM_MM, across + 2 * ROOM_MM)
    blocks: list[Block] = [
        Paragraph(text="Rods lie across the piece: it can be rolled round a tube that is parallel "
              "to them, or lie flat. It must never be rolled the other way, folded, or stood on a "
              "rod end. Do not bend the rods, do not press the bands."),
        Pairs(rows=(
            ("Rolled", f"on a tube of {written(CORE_MM, measure)}, at least "
             f"{written(long, measure)} long; the roll about {written(across, measure)} thick"),
            ("Crate for the roll", f"inside {written(inside[0], measure)} × "
             f"{written(inside[1], measure)} × {written(inside[1], measure)}"),
            ("Flat", f"{written(flat[0], measure)} × {written(flat[1], measure)}, on a board"),
            ("Weight of the piece", f"{weight_text(piece)}, without tube and crate"),
        )),
        Heading(text="Order of packing"),
        _steps("packing", (
            "Adhesive must have aired some weeks before it is closed in.",
            "Cap every rod end; tie each rod to its band at both ends with soft tape.",
            "Acid-free tissue on the tube, and between the turns; wadding beside thick rods.",
            "Roll from the lowest rod, face outwards, rods parallel to the tube, without pulling.",
            "Tie the roll with soft tape in three places; tie units so that they do not slip.",
            "Hang the tube in the crate by its ends: nothing presses on the roll.",
            "Put in: this booklet, cords, fixings, gloves, spare yarn, the condition report.",
            "Outside: this side up, keep dry, two people, name, address, telephone.",
        )),
        Heading(text="For the carrier"),
        Table(name="parcels", columns=("parcel", "length", "width", "height", "weight", "value"),
              align="llllll", rows=(("1\n\u00a0", *[""] * 5), ("2\n\u00a0", *[""] * 5)),
              widths=(0.6, 1, 1, 1, 1, 1)),
        Paragraph(text="The size of the roll is computed for a turn as thick as the thickest rod "
              f"and {written(LEAF_MM, measure)} of tissue; measure the finished roll."),
    ]  # fmt: skip
    return Sheet(name="packing", title="Packing and transport", blocks=tuple(blocks))


def roll_mm(piece: Piece) -> float:
    """Thickness of the roll: π D²/4 = π D₀²/4 + length × thickness of a turn.

    A turn is taken as thick as the thickest rod with its tissue, which is a little too much.
    Source: derived (area of a spiral). Checked: tests/papers/test_handover.py.
    """
    rods = [band.rod.diameter_mm for band in piece.draft.bands if band.rod]
    turn = max(rods, default=2.0) + LEAF_MM
    return math.sqrt(CORE_MM**2 + 4 * piece.paths.height_total_mm * turn / math.pi)
