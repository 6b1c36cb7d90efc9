"""What a screen is told to paint: stencils keep their numbers, a sheet lays what the SVG shows."""

import re
from pathlib import Path

import pytest

from crossfell.draft.edit import add_move
from crossfell.draft.files import read_file
from crossfell.draft.reader import read_draft
from crossfell.drawings.slices import slice_cloth, slices_of
from crossfell.drawings.stencils import Stencils
from crossfell.drawings.svg import number
from crossfell.piece import Piece

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="module")
def tideline():
    return read_file(EXAMPLES / "02-tideline" / "tideline.toml")


def sheets(stencils, piece, view="front", style="full"):
    return [
        stencils.sheet(piece, view, style, part.number, part.key)
        for part in slices_of(piece, view, style)
    ]


def test_a_stencil_keeps_its_number_when_more_are_laid(tideline):
    stencils = Stencils()
    first = sheets(stencils, Piece(tideline))
    before = list(stencils.told)
    text = add_move(tideline.text, 3, "turn 2 right twice")
    after = Piece(read_draft(text, workshop=tideline.workshop_text))
    sheets(stencils, after)
    assert len(stencils) > len(before)
    assert stencils.told[: len(before)] == before
    assert sheets(stencils, Piece(tideline)) == first


@pytest.mark.parametrize("style", ["full", "line"])
def test_all_that_a_slice_lays_is_told_where_the_svg_has_it(tideline, style):
    piece, stencils = Piece(tideline), Stencils()
    for part, sheet in zip(
        slices_of(piece, "behind", style),
        sheets(stencils, piece, "behind", style),
        strict=True,
    ):
        cloth = slice_cloth(piece, "behind", style, part.number)
        lays = [lay for layer in cloth.layers() for lay in layer.items]
        told = [
            (number(x), number(y), bool(clip))
            for clip, flat in sheet
            for x, y in zip(flat[1::3], flat[2::3], strict=True)
        ]
        assert told == [(number(lay.x), number(lay.y), bool(lay.clip)) for lay in lays]


def test_path_data_and_colours_are_numbers_and_plain_colours(tideline):
    # what a screen paints is built from numbers: no word of a draft can come into it
    stencils = Stencils()
    sheets(stencils, Piece(tideline))
    sheets(stencils, Piece(tideline), "loom", "line")
    shapes = [shape for stencil in stencils.told for shape in stencil["shapes"]]
    shapes += [part for shape in shapes for part in shape.get("hatch", [])]
    assert shapes
    for shape in shapes:
        assert re.fullmatch(r"[MLCZ0-9. -]+", shape["d"])
        for key in ("fill", "stroke"):
            assert re.fullmatch("#[0-9a-f]{6}", shape.get(key, "#000000"))


def test_the_box_of_a_stencil_holds_its_shapes(tideline):
    stencils = Stencils()
    sheets(stencils, Piece(tideline))
    for stencil in stencils.told:
        left, top, right, low = stencil["box"]
        for shape in stencil["shapes"]:
            numbers = [float(n) for n in re.findall(r"-?\d+(?:\.\d+)?", shape["d"])]
            assert left - 0.02 <= min(numbers[0::2]) and max(numbers[0::2]) <= right + 0.02  # noqa: PT018
            assert top - 0.02 <= min(numbers[1::2]) and max(numbers[1::2]) <= low + 0.02  # noqa: PT018


def test_sheets_that_were_laid_long_ago_are_forgotten_but_their_stencils_stay(tideline):
    stencils = Stencils()
    first = sheets(stencils, Piece(tideline))
    known = len(stencils)
    stencils.forget(2)
    assert sheets(stencils, Piece(tideline)) == first
    assert len(stencils) == known
