"""How papers look: letters of pictures can be read as printed, nothing overlaps, nothing is cut."""

import itertools
from functools import lru_cache
from pathlib import Path

import pytest

from crossfell.draft.files import read_file
from crossfell.draft.reader import read_draft
from crossfell.materials.colour import contrast
from crossfell.papers.hanging_sheet import hanging
from crossfell.papers.install_sheet import installation
from crossfell.papers.model import Picture
from crossfell.papers.sheets import first_papers
from crossfell.papers.wall_picture import wall_view
from crossfell.piece import Piece

EXAMPLES = Path(__file__).parents[2] / "examples"
WIDE_MM = 174.0
LEAST_MM = 1.2  # letters in a picture on paper: three and a half points; those of lines are larger

HEAD = """
[yarn.slate]
count = "lea 16/2"
fibre = "linen"
colour = "#3f4f5c"
[strip.inch]
width = "1 in"
dents = 18
[unit.a]
strip = "inch"
ends = "18 slate"
[warp]
pitch = "28 mm"
order = "{order}"
[band]
picks = "3, rod, 3"
rod = "steel 3 mm"
"""
SPAN = '[[span]]\nheight = "{height} mm"\nmoves = "{moves}"\n'
SHAPES = {
    "one": ("a", [(120, "")]),
    "three": ("a*3", [(120, "1 over 2"), (120, "2 under 3")]),
    "wide": ("a*60", [(150, "plait 1-60"), (200, "1-20 over 21-40"), (150, "")]),
    "tall": ("a*8", [(60 + 10 * (i % 5), "plait 1-8") for i in range(60)]),
    "gaps": (
        "a*3 - - a*2 - a",
        [(180, "1 over 2, 2 over 3, 1 over 2"), (150, "shift 7 right 1 place")],
    ),
}


@lru_cache
def piece(name, paper="A4"):
    if name in SHAPES:
        order, spans = SHAPES[name]
        text = f'[piece]\npaper = "{paper}"\ntitle = "{name}"\n' + HEAD.format(order=order)
        return Piece(read_draft(text + "".join(SPAN.format(height=h, moves=m) for h, m in spans)))
    return Piece(read_file(next((EXAMPLES / name).glob("*.toml"))))


PIECES = [*sorted(path.name for path in EXAMPLES.iterdir() if path.is_dir()), *SHAPES]


def pictures(made):
    for sheet in (*first_papers(made), hanging(made), installation(made)):
        for block in sheet.blocks:
            if isinstance(block, Picture):
                yield sheet.name, block


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("name", PIECES)
def test_letters_of_pictures_can_be_read_as_printed(name, paper):
    for sheet, block in pictures(piece(name, paper)):
        scene = block.scene
        scale = min(block.share * WIDE_MM / scene.width_mm, block.tallest_mm / scene.height_mm)
        assert scene.texts
        for text in scene.texts:
            assert text.size_mm * min(scale, 4) >= LEAST_MM, (sheet, text.text)
            assert contrast(text.colour, text.ground) >= 4.5


@pytest.mark.parametrize("name", PIECES)
def test_the_picture_of_the_wall_is_whole_and_no_words_overlap(name):
    scene = wall_view(piece(name))
    left, top, right, low = scene.box()
    assert min(left, top) >= -0.01
    assert right <= scene.width_mm + 0.01
    assert low <= scene.height_mm + 0.01
    for one, two in itertools.combinations(scene.texts, 2):
        a, b = one.box(), two.box()
        assert a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1], (one.text, two.text)


def test_the_wall_shows_what_the_list_of_points_says():
    """Heights and sides of the list stand in the picture, at their place to scale."""
    made = piece("02-tideline")
    scene = wall_view(made)
    said = {text.text: text for text in scene.texts}
    assert {"1: 209 mm left", "2: 209 mm right", "points 2920 mm", "top rod 2520 mm",
            "lowest edge 300 mm", "floor"} <= set(said)  # fmt: skip
    assert said["2: 209 mm right"].x - said["1: 209 mm left"].x == pytest.approx(418, abs=1)
    assert said["floor"].y - said["top rod 2520 mm"].y == pytest.approx(2520, abs=2)
