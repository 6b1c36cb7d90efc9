"""How does a picture come onto a page: its shapes from the album, its letters set over them?

Letters are set by the typesetter, in the fonts of the paper, so that they can be found and read
aloud, and each font is embedded once.
"""

from __future__ import annotations

from typing import Any

from crossfell.drawings.album import Album, Pixels
from crossfell.drawings.lettering import width_em
from crossfell.drawings.scene import Scene, Text
from crossfell.papers.letters import printable

Data = dict[str, Any]
SIDES = {"start": 0.0, "middle": 0.5, "end": 1.0}  # share of a line that lies before its point


def drawn(album: Album, scene: Scene, *, fine: bool = True, letters: bool = True) -> Data:
    """A scene on a page of the album, as the templates take it; mm."""
    return {
        "page": album.add(scene, fine=fine),
        "width": scene.width_mm,
        "height": scene.height_mm,
        "says": scene.says,
        "texts": [lettered(text) for text in scene.texts] if letters else [],
    }


def shown(album: Album, pixels: Pixels, px_per_mm: float, says: str) -> Data:
    """A picture of pixels [pixels, pixels, 3] on a page of the album."""
    high, wide = pixels.shape[:2]
    return {
        "page": album.add_pixels(pixels, px_per_mm),
        "width": wide / px_per_mm,
        "height": high / px_per_mm,
        "says": says,
        "texts": [],
    }


def lettered(text: Text) -> list[Any]:
    """A line of text: its point x, y, how far before it the line begins, size (mm), and its looks.

    Placed by the widths that drawings reckon with (see lettering.py), so that it fits as drawn.
    """
    said = printable(text.text)
    back = SIDES[text.anchor] * text.size_mm * width_em(said, bold=text.bold)
    places = [round(value, 3) for value in (text.x, text.y, back, text.size_mm)]
    return [*places, said, text.colour, text.bold, text.upright]
