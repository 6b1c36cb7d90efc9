"""What a real browser makes of the pictures.

| what | source | licence | tolerance |
| --- | --- | --- | --- |
| colours at crossings | Chromium (BSD-3-Clause) | not shipped | which yarn is nearer, CIEDE2000 |
| lengths of words | Chromium with the embedded font | - | 4 % and 0.3 mm: kerning is neglected |
| PNG against the browser | Chromium | - | mean 4 of 255: two rasterisers, two ways of blending |
"""

import io
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from crossfell.draft.files import read_file
from crossfell.draft.reader import read_draft
from crossfell.drawings.front import behind, front_view
from crossfell.drawings.png import png
from crossfell.drawings.svg import svg
from crossfell.materials.colour import difference, hex_from_linear, lab_from_hex, linear_from_hex
from crossfell.piece import Piece

EXAMPLES = Path(__file__).parents[2] / "examples"
PX = 3  # for each mm
COLOURS = {"r": "#b02a20", "b": "#2848b0", "g": "#2c8a3c"}
DRAFT = """
measure = "mm"
[piece]
woven_from = "{woven}"
[yarn.r]
count = "tex 400"
colour = "#b02a20"
[yarn.b]
count = "tex 400"
colour = "#2848b0"
[yarn.g]
count = "tex 400"
colour = "#2c8a3c"
[strip.wide]
width = {width}
dents = 10
[unit.r]
strip = "wide"
ends = "10 r"
[unit.b]
strip = "wide"
ends = "10 b"
[unit.g]
strip = "wide"
ends = "10 g"
[warp]
pitch = 40
order = "{order}"
[band]
picks = "3, rod, 3"
rod = "steel 3"
[[span]]
height = 240
moves = "{moves}"
"""


@pytest.fixture
def shoot(chromium):
    pages = []

    def picture(scene, **how):
        size = {"width": round(scene.width_mm * PX), "height": round(scene.height_mm * PX)}
        page = chromium.new_page(viewport=size)
        pages.append(page)
        faults = []
        page.on("console", lambda message: faults.append(message.text))
        text = svg(scene, **how)
        width = f"<style>body{{margin:0}}body>svg{{width:{size['width']}px;height:auto}}</style>"
        page.set_content(f"<!doctype html>{width}{text}")
        page.evaluate("document.fonts.ready")
        shot = Image.open(io.BytesIO(page.screenshot())).convert("RGB")
        assert faults == []
        return np.asarray(shot), page

    yield picture
    for page in pages:
        page.close()


def piece(moves, woven="bottom", order="r b g", width=30):
    draft = read_draft(DRAFT.format(moves=moves, woven=woven, order=order, width=width))
    assert not [n for n in draft.notes if n.severity.value == "error"]
    return Piece(draft)


def nearest(shot, scene, x, y, half=15):
    """The yarn whose colour is nearest to a square of the picture (2 × half px), mixed as light."""
    middle = (round((scene.at["x"] + x) * PX), round((scene.at["y"] + y) * PX))
    rows, columns = (slice(m - half, m + half) for m in reversed(middle))
    patch = shot[rows, columns].reshape(-1, 3)
    table = [linear_from_hex(f"#{v:02x}0000")[0] for v in range(256)]
    red, green, blue = np.array(table)[patch].mean(axis=0)
    seen = lab_from_hex(hex_from_linear((red, green, blue)))
    return min(COLOURS, key=lambda yarn: difference(seen, lab_from_hex(COLOURS[yarn])))


@pytest.mark.parametrize("fine", [True, False])
@pytest.mark.parametrize(("moves", "top"), [("1 over 2", "r"), ("1 under 2", "b")])
def test_the_unit_that_passes_over_is_seen_at_the_crossing(shoot, moves, top, fine):
    made = piece(moves)
    middle = made.paths.height_total_mm / 2
    for view, want in ((front_view, top), (behind, {"r": "b", "b": "r"}[top])):
        scene = view(made)
        shot, _ = shoot(scene, fine=fine)
        x = 40 if view is front_view else 80
        assert nearest(shot, scene, x, middle) == want


def test_an_interlaced_span_shows_each_of_its_crossings(shoot):
    """Red over blue, blue over green, green over red: no order of laying draws it."""
    made = piece("1 over 2, 2-4 under 5, 1 over 2", order="r b - - g", width=12)
    assert made.order.spans[0].layers is None
    names = made.order.names
    scene = front_view(made)
    shot, _ = shoot(scene)
    seen = set()
    for over, under in zip(made.order.spans[0].over, made.order.spans[0].under, strict=True):
        x, y = meeting(made, int(over), int(under))
        seen.add((nearest(shot, scene, x, y, half=5), names[over][0]))
    assert {a for a, b in seen if a != b} == set()
    assert len(seen) == 3


def meeting(made, one, two):
    """Where two centre lines cross, on the chords (mm, picture frame, y down)."""
    (a0, b0), (a1, b1) = (made.paths.x_mm[band, [one, two]] for band in (0, 1))
    share = (b0 - a0) / ((b0 - a0) - (b1 - a1))
    low, high = made.paths.band_top_mm[0], made.paths.band_bottom_mm[1]
    return a0 + share * (a1 - a0), made.paths.height_total_mm - (low + share * (high - low))


def test_a_piece_woven_from_its_top_hangs_the_other_way_up(shoot):
    """Its first band is uppermost, the weaver's left is the viewer's right."""
    made = piece("", woven="top")
    scene = front_view(made)
    shot, _ = shoot(scene)
    middle = made.paths.height_total_mm / 2
    assert [nearest(shot, scene, x, middle) for x in (20, 60, 100)] == ["g", "b", "r"]


def test_words_are_as_long_in_the_browser_as_we_reckon(shoot):
    folder = min(path for path in EXAMPLES.iterdir() if path.is_dir())
    scene = front_view(Piece(read_file(next(folder.glob("*.toml")))))
    _, page = shoot(scene)
    lengths = page.evaluate(
        "[...document.querySelectorAll('svg text')].map(t => t.getComputedTextLength())"
    )
    assert len(lengths) == len(scene.texts)
    for text, length in zip(scene.texts, lengths, strict=True):
        assert length == pytest.approx(text.width_mm, rel=0.04, abs=0.3)


def test_the_png_shows_what_the_browser_shows(shoot):
    made = piece("1 over 2, 2 under 3, 1 over 2")
    scene = front_view(made)
    shot, _ = shoot(scene)
    ours = np.asarray(Image.open(io.BytesIO(png(scene, width_px=shot.shape[1]))).convert("RGB"))
    height = min(len(ours), len(shot))
    apart = np.abs(ours[:height].astype(float) - shot[:height].astype(float)).mean()
    assert apart < 4
    other = png(front_view(piece("1 under 2, 2 over 3, 1 under 2")), width_px=shot.shape[1])
    wrong = np.asarray(Image.open(io.BytesIO(other)).convert("RGB"))
    assert np.abs(wrong[:height].astype(float) - shot[:height].astype(float)).mean() > apart
