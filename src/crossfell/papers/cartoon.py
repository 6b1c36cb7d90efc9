"""How is the cartoon printed at true size on sheets that a household printer takes?"""

from __future__ import annotations

import math

from crossfell.base.quantities import written
from crossfell.drawings.front import cartoon
from crossfell.drawings.png import one_page
from crossfell.papers.typeset import PAPERS, compiled, version_of
from crossfell.piece import Piece

SIZES = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}  # mm; ISO 216, ANSI/ASME Y14.1
MARGIN_MM = 10.0
TOP_MM = 15.0
FOOT_MM = 14.0
OVERLAP_MM = 10.0


def cartoon_pdf(piece: Piece) -> bytes:
    """The cartoon: a map of the sheets, then the sheets, true size, with marks and a ruler.

    The picture is set once and placed on each sheet, so that the file stays small.
    """
    draft = piece.draft
    scene = cartoon(piece)
    round_it = draft.stock.overhang_mm + 6.0  # what is printed of the wall round the piece
    width = piece.paths.width_total_mm + 2 * round_it
    height = piece.paths.height_total_mm + 2 * round_it
    paper_x, paper_y = SIZES[draft.about.paper]
    tile_x, tile_y = paper_x - 2 * MARGIN_MM, paper_y - TOP_MM - FOOT_MM - 4.0
    step_x, step_y = tile_x - OVERLAP_MM, tile_y - OVERLAP_MM
    inches = draft.measure == "in"
    data = {
        "title": draft.about.title,
        "version": version_of(draft),
        "paper": PAPERS[draft.about.paper],
        "view": scene.says,
        "size": f"{written(piece.paths.width_total_mm, draft.measure)} × "
        f"{written(piece.paths.height_total_mm, draft.measure)}",
        "art_width": scene.width_mm,
        "art_height": scene.height_mm,
        "art_x": scene.at["x"] - round_it,
        "art_y": scene.at["y"] - round_it,
        "width": width,
        "height": height,
        "margin": MARGIN_MM,
        "top": TOP_MM,
        "tile_x": tile_x,
        "tile_y": tile_y,
        "step_x": step_x,
        "step_y": step_y,
        "columns": max(math.ceil((width - OVERLAP_MM) / step_x), 1),
        "rows": max(math.ceil((height - OVERLAP_MM) / step_y), 1),
        "overlap": OVERLAP_MM,
        "ruler": 101.6 if inches else 100.0,
        "ruler_says": "4 in (101.6 mm)" if inches else "100 mm",
        "how": f"marks are {step_x:g} mm and {step_y:g} mm apart; overlap {OVERLAP_MM:g} mm",
    }
    return compiled("cartoon.typ", data, art=one_page(scene))
