"""Pictures written as pages of a PDF look as their SVG does, and what they share stands once.

Sources: PDFium (draws the pages), resvg within the typesetter (draws the SVG), pypdf (reads sizes
and forms; ISO 32000-1). Both soften edges in their own way, so spots of 9 × 9
pixels are compared, not pixels: a mean of 3 of 255, a hundredth of the spots by more than 45.
"""

import io
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pypdf
import pypdfium2
import pytest
from PIL import Image

from crossfell.draft.files import read_file
from crossfell.draft.reader import read_draft
from crossfell.drawings.album import Album
from crossfell.drawings.cards import span_card
from crossfell.drawings.front import behind, front_view
from crossfell.drawings.png import png
from crossfell.drawings.scene import Scene, Text
from crossfell.piece import Piece

EXAMPLES = Path(__file__).parents[2] / "examples"
WIDE, SPOT = 900, 9  # pixels of a picture across, and of a spot whose mean colour is compared
FINER = 3  # PDFium draws no line thinner than a pixel
MM = 72 / 25.4
INTERLACED = """
[yarn.a]
count = "tex 400"
[yarn.b]
count = "tex 400"
[yarn.r]
count = "tex 400"
[strip.wide]
width = 12
dents = 10
[unit.r]
strip = "wide"
ends = "10 r"
[warp]
pitch = 40
order = "r r - - r"
[band]
picks = "3, rod, 3"
rod = "steel 3"
[[span]]
height = 240
moves = "1 over 2, 2-4 under 5, 1 over 2"
"""


@cache
def piece():
    return Piece(read_file(next((EXAMPLES / "01-first-sampler").glob("*.toml"))))


def bare(scene: Scene) -> Scene:
    """A scene without its letters."""
    layers = tuple(
        replace(layer, items=tuple(item for item in layer.items if not isinstance(item, Text)))
        for layer in scene.layers
    )
    return replace(scene, layers=layers)


SCENES = {
    "ends, shade, rods": lambda: front_view(piece()),
    "patterns": lambda: front_view(Piece(read_draft(INTERLACED)), style="line"),
    "outlines, from behind": lambda: behind(piece(), style="cartoon"),
    "a turn": lambda: span_card(piece(), 3, view="back"),
    "a clip": lambda: front_view(Piece(read_draft(INTERLACED))),
}


@pytest.mark.parametrize("fine", [True, False])
@pytest.mark.parametrize("what", SCENES)
def test_a_page_shows_what_the_svg_shows(what, fine):
    scene = bare(SCENES[what]())
    scene = replace(scene, end_pitch_mm=1e6 if fine else 0.0)  # so that the PNG is as fine
    album = Album()
    album.add(scene, fine=fine)
    drawn = Image.open(io.BytesIO(png(scene, width_px=WIDE))).convert("RGB")
    page = pypdfium2.PdfDocument(album.written())[0]
    shown = page.render(scale=FINER * WIDE / page.get_width()).to_pil().convert("RGB")
    shown = shown.resize((drawn.width * FINER, drawn.height * FINER)).reduce(FINER)
    small = [np.asarray(picture.reduce(SPOT), dtype=float) for picture in (drawn, shown)]
    apart = np.abs(small[0] - small[1])
    assert apart.mean() < 3.0
    assert (apart.max(axis=2) > 45).mean() < 0.01
    assert np.abs(small[0][::-1] - small[1]).mean() > 4 * apart.mean()  # it can fail


def test_pages_are_of_true_size_and_share_their_forms():
    album, scenes = Album(), [front_view(piece()), front_view(piece(), labels=False)]
    one = Album()
    one.add(scenes[0])
    assert [album.add(scene) for scene in scenes] == [1, 2]
    pages = pypdf.PdfReader(io.BytesIO(album.written())).pages
    for page, scene in zip(pages, scenes, strict=True):
        size = (float(page.mediabox.width) / MM, float(page.mediabox.height) / MM)
        assert size == pytest.approx((scene.width_mm, scene.height_mm), abs=0.01)
    assert len(album.written()) < 1.2 * len(one.written())


def test_pixels_come_back_as_they_were():
    pixels = np.random.default_rng(3).integers(0, 256, (7, 5, 3), dtype=np.uint8)
    album = Album()
    album.add_pixels(pixels, px_per_mm=2.0)
    page = pypdf.PdfReader(io.BytesIO(album.written())).pages[0]
    assert float(page.mediabox.width) / MM == pytest.approx(2.5, abs=0.01)
    assert (np.asarray(page.images[0].image) == pixels).all()


def test_same_pictures_same_bytes():
    files = []
    for _ in range(2):
        album = Album()
        for scene in (front_view(piece()), span_card(piece(), 1)):
            album.add(scene, fine=False)
        files.append(album.written())
    assert files[0] == files[1]
