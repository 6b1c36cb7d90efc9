"""How is the cartoon printed at true size on sheets that a household printer takes?"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from crossfell.base.quantities import written
from crossfell.drawings.album import Album
from crossfell.drawings.front import cartoon
from crossfell.drawings.scene import Box, Text
from crossfell.drawings.views import SAYS
from crossfell.papers.art import Data, drawn, lettered
from crossfell.papers.typeset import SIZES, bound
from crossfell.piece import Piece

MARGIN_MM = 10.0
TOP_MM = 15.0
FOOT_MM = 14.0
OVERLAP_MM = 10.0


def cartoon_pdf(piece: Piece) -> bytes:
    """The cartoon: a map of the sheets, then the sheets, true size, with marks and a ruler."""
    album = Album()
    return bound(piece.draft, [tiled(piece, album)], album, tags=False)


def tiled(piece: Piece, album: Album, *, title: str = "") -> Data:
    """The cartoon as a part of a document. Its picture is set once and placed on each sheet."""
    draft = piece.draft
    scene = cartoon(piece)
    round_it = piece.paths.rod_side_mm + 6.0  # what is printed of the wall round the piece
    width = piece.paths.width_total_mm + 2 * round_it
    height = piece.paths.height_total_mm + 2 * round_it
    paper_x, paper_y = SIZES[draft.about.paper]
    tile_x, tile_y = paper_x - 2 * MARGIN_MM, paper_y - TOP_MM - FOOT_MM - 4.0
    step_x, step_y = tile_x - OVERLAP_MM, tile_y - OVERLAP_MM
    columns = max(math.ceil((width - OVERLAP_MM) / step_x), 1)
    rows = max(math.ceil((height - OVERLAP_MM) / step_y), 1)
    art_x, art_y = scene.at["x"] - round_it, scene.at["y"] - round_it
    tiles = [
        (x, y, x + tile_x, y + tile_y)
        for y in (art_y + row * step_y for row in range(rows))
        for x in (art_x + column * step_x for column in range(columns))
    ]
    inches = draft.measure == "in"
    return {
        "kind": "cartoon",
        "title": title,
        "heading": "Cartoon",
        "view": SAYS["front"],
        "size": f"{written(piece.paths.width_total_mm, draft.measure)} × "
        f"{written(piece.paths.height_total_mm, draft.measure)}",
        "art": drawn(album, scene, letters=False),
        "texts": _letters_of(scene.texts, tiles),
        "art_x": art_x,
        "art_y": art_y,
        "width": width,
        "height": height,
        "margin": MARGIN_MM,
        "top": TOP_MM,
        "tile_x": tile_x,
        "tile_y": tile_y,
        "step_x": step_x,
        "step_y": step_y,
        "columns": columns,
        "rows": rows,
        "overlap": written(OVERLAP_MM, draft.measure),
        "ruler": 101.6 if inches else 100.0,
        "ruler_says": "4 in (101.6 mm)" if inches else "100 mm",
        "how": f"marks are {written(step_x, draft.measure)} and "
        f"{written(step_y, draft.measure)} apart; overlap {written(OVERLAP_MM, draft.measure)}",
    }


def _letters_of(texts: Sequence[Text], tiles: Sequence[Box]) -> list[list[Any]]:
    """For each sheet the lines of text that lie at least partly on it."""
    found: list[list[Any]] = [[] for _ in tiles]
    for text in texts:
        left, top, right, low = text.box()
        line = lettered(text)
        for on, (x, y, x_end, y_end) in zip(found, tiles, strict=True):
            if left < x_end and right > x and top < y_end and low > y:
                on.append(line)
    return found
