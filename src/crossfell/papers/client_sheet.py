"""What does the client see: picture, size, materials, how it hangs, price, care?"""

from __future__ import annotations

import math

from crossfell.base.quantities import written
from crossfell.drawings.lettering import width_em
from crossfell.model3d.still import still
from crossfell.papers.hanging_points import points_of
from crossfell.papers.letters import printable
from crossfell.papers.measures import money, size_text, weight_text
from crossfell.papers.model import Blanks, Block, Pairs, Paragraph, Sheet, Still
from crossfell.piece import Piece

CARE = (
    "Dust it with a soft brush, keep it out of sunlight (50 lux or less), do not wash or bend the "
    "rods, do not let it be touched."
)
DPI = 150.0
WIDE_MM = 174.0
TALL_MM = {"A4": 160.0, "Letter": 140.0}  # of the picture, under a title of one line
TITLE_MM, LINE_MM = 7.06, 8.6  # size of the title's letters, and from line to line


def client(piece: Piece) -> Sheet:
    """For the client, on one page."""
    draft = piece.draft
    about = draft.about
    rows = [
        ("For", about.client),
        ("By", about.maker),
        ("Number", about.number),
        ("Size", size_text(piece)),
        ("Weight", weight_text(piece)),
        ("Materials", materials_text(piece)),
        ("How it hangs", hangs_text(piece)),
        ("Price", price_text(piece)),
        ("Care", CARE),
    ]
    blocks: list[Block] = [
        still_picture(piece, WIDE_MM, _tall_mm(piece)),
        Pairs(rows=tuple(row for row in rows if row[1])),
        Paragraph(text=f"Valid for {draft.rates.valid_days} days from the date below. The picture "
              "is computed from the draft; yarn, light and hand make small differences."),
        Blanks(labels=("Date", "Signature")),
    ]  # fmt: skip
    return Sheet(name="client", title=about.title, called="Client page", blocks=tuple(blocks),
                 view="on its wall, from the front and a little from the right")  # fmt: skip


def _tall_mm(piece: Piece) -> float:
    """How tall the picture may be so that the sheet stays on one page."""
    about = piece.draft.about
    lines = math.ceil(width_em(printable(about.title), bold=True) * TITLE_MM / WIDE_MM)
    return max(TALL_MM[about.paper] - LINE_MM * (max(lines, 1) - 1), 45.0)


def still_picture(piece: Piece, wide_mm: float, tall_mm: float) -> Still:
    """The piece on its wall with its shadow, as a picture on the page."""
    pixels = still(
        piece,
        width_px=round(wide_mm * DPI / 25.4),
        tallest_px=round(tall_mm * DPI / 25.4),
        fill=True,
    )
    says = f"{piece.draft.about.title} on its wall"
    return Still(pixels=pixels, px_per_mm=DPI / 25.4, says=says, tallest_mm=tall_mm)


def materials_text(piece: Piece) -> str:
    """Fibres with their colours' names, rods, adhesive."""
    draft = piece.draft
    fibres: dict[str, list[str]] = {}
    for need in piece.amounts.yarns:
        fibres.setdefault(draft.yarns[need.yarn].fibre or "yarn", []).append(need.yarn)
    parts = [f"{fibre} ({', '.join(names)})" for fibre, names in fibres.items()]
    rods = [f"{need.rod.material} {need.rod.diameter_mm:g} mm"
            for need in piece.amounts.rods]  # fmt: skip
    if rods:
        parts.append(f"rods of {', '.join(rods)}")
    if any(band.adhesive for band in draft.bands):
        parts.append(draft.adhesive.name)
    return "; ".join(parts)


def hangs_text(piece: Piece) -> str:
    """By what it hangs, from how many points, how far from the wall and the floor."""
    hang, measure = piece.draft.hang, piece.draft.measure
    points = points_of(piece)
    by = "its top rod held by a rail" if hang.rail else f"{len(points)} cords"
    top = max(point.height_mm for point in points)
    return (
        f"by {by}, {written(hang.off_wall_mm, measure)} before the wall; highest point "
        f"{written(top, measure)} and lowest edge {written(hang.above_floor_mm, measure)} "
        "above the floor"
    )


def price_text(piece: Piece) -> str:
    """The total, or what is still without a price."""
    quote = piece.quote()
    if not quote.complete:
        return "on request"
    tax = "tax included" if quote.tax.likely else "no tax"
    return f"{money(piece, quote.total.likely)}, {tax}"
