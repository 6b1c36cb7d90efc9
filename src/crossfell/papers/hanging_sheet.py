"""How will it hang: as drawn, or askew; and what does each point carry?"""

from __future__ import annotations

import numpy as np

from crossfell.base.quantities import written
from crossfell.drawings.hung import how_drawn, hung_view
from crossfell.papers.hanging_points import Point, points_of
from crossfell.papers.measures import force_text, weight_text
from crossfell.papers.model import Block, Caution, Heading, Pairs, Paragraph, Picture, Sheet, Table
from crossfell.paths.masses import CONTAINS
from crossfell.piece import Piece
from crossfell.plan.cautions import CAUTIONS
from crossfell.search.bowing import bows_told
from crossfell.statics.cords import mass_centre_mm
from crossfell.statics.told import neglected_told, sway_told
from crossfell.statics.verdict import MOVES, TURNS_OVER
from crossfell.statics.verdict_told import sentences

TALLEST_MM = {"A4": 118.0, "Letter": 98.0}  # of the picture
WIDE_MM = 174.0  # of what is printed


def hanging(piece: Piece) -> Sheet:
    """Drawn and hung, loads, points, cautions."""
    hung, measure = piece.hung, piece.draft.measure
    rows = [
        ("Weight", weight_text(piece)),
        ("Shorter when cut down", f"{_settled(hung.shrinkage_mm, measure)} of its height"),
        ("Greatest drift of a rod", written(float(np.abs(hung.drift_mm).max()), measure)),
        ("Greatest tilt of a rod", f"{float(np.abs(hung.tilt_rad).max()) * 1000:.1f} in 1000"),
        ("Sways", " ".join(sway_told(piece.sway, measure))),
        ("Bows", bows_told(piece)),
    ]  # fmt: skip
    blocks: list[Block] = [
        Paragraph(text=_verdict(piece)),
        Paragraph(text=neglected_told(piece.neglected, measure)),
        Pairs(rows=tuple(rows)),
    ]
    tall = TALLEST_MM[piece.draft.about.paper]
    blocks += [
        Picture(scene=hung_view(piece, printed=(WIDE_MM, tall)), tallest_mm=tall,
                caption="drawn, hung, and one over the other"),
        Paragraph(text=" ".join([*how_drawn(piece)[1], "Red, and a bow, is slack."])),
        Heading(text="Points and loads"),
        _points(piece),
        Paragraph(text=_assumed(piece)),
        Caution(text=CAUTIONS["overhead"]),
        Heading(text="Rods at rest"),
        _rods(piece),
    ]  # fmt: skip
    return Sheet(name="hanging", title="How it will hang", blocks=tuple(blocks),
                 view="as it hangs, seen from the front")  # fmt: skip


def _verdict(piece: Piece) -> str:
    measure = piece.draft.measure
    told = sentences(piece.verdict, measure, mass_centre_mm(piece.draft, piece.paths))
    swings = [str(hold.number) for hold in piece.holds if not hold.holds]
    if swings and piece.verdict.says in {MOVES, TURNS_OVER}:
        told.append(f"What lets go: {'spans' if len(swings) > 1 else 'span'} {', '.join(swings)}.")
    return " ".join(told)


def _settled(value_mm: float, measure: str) -> str:
    """A length that may be too small for the marks of a rule."""
    return _little(value_mm, measure) if 0.01 < abs(value_mm) < 1.0 else written(value_mm, measure)


def _little(value_mm: float, measure: str) -> str:
    """A length of less than a millimetre."""
    return f"{value_mm / 25.4:.2g} in" if measure == "in" else f"{value_mm:.2g} mm"


def _points(piece: Piece) -> Table:
    measure = piece.draft.measure
    rail = piece.draft.hang.rail
    rows = tuple(
        (
            str(point.number),
            written(point.on_rod_mm, measure),
            side_text(point, measure),
            written(point.height_mm, measure),
            "rail" if rail else written(point.cord_mm, measure),
            load_text(point, measure),
        )
        for point in points_of(piece)
    )
    columns = ("point", "on the rod, from its left end", "from the middle", "above the floor",
               "cord", "load")  # fmt: skip
    return Table(name="points", columns=columns, align="lrrrrr", rows=rows,
                 widths=(0.6, 1.6, 1.3, 1.1, 0.9, 1.4))  # fmt: skip


def _rods(piece: Piece) -> Table:
    measure, hung = piece.draft.measure, piece.hung
    rows = tuple(
        (
            str(i + 1),
            rod.label if (rod := piece.draft.bands[i].rod) else "none",
            f"{drift:+.1f} mm" if measure != "in" else f"{drift / 25.4:+.2f} in",
            f"{rise:+.1f} mm" if measure != "in" else f"{rise / 25.4:+.2f} in",
            f"{tilt * 1000:+.2f} in 1000",
        )
        for i, (drift, rise, tilt) in enumerate(hung.rods.round(6) + 0.0)
    )
    columns = ("band", "rod", "drift, right +", "rise, up +", "tilt, left end down +")
    return Table(name="rods", columns=columns, align="rlrrr", rows=rows,
                 widths=(0.5, 1, 1, 1, 1.3))  # fmt: skip


def load_text(point: Point, measure: str) -> str:
    """The load of a wall point; a nail of several cords is told at the first of them."""
    if point.shares:
        return "same point"
    return "open" if point.load_n is None else force_text(point.load_n, measure)


def side_text(point: Point, measure: str) -> str:
    """How far a point lies from the middle line, and on which side."""
    if abs(point.aside_mm) < 0.5:
        return "in the middle"
    return f"{written(abs(point.aside_mm), measure)} {'right' if point.aside_mm > 0 else 'left'}"


def _assumed(piece: Piece) -> str:
    return (
        "Loads are those of the dry piece at rest; somebody's tug can double them. "
        f"The piece is taken as {weight_text(piece)}, from the draft: {CONTAINS}."
    )
