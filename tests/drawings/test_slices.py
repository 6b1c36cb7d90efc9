"""Slices laid one over another are the whole picture; a key changes when the picture does."""

from pathlib import Path

import pytest

from crossfell.draft.edit import add_move
from crossfell.draft.files import read_file
from crossfell.draft.reader import read_draft
from crossfell.drawings.cloth import cloth_of
from crossfell.drawings.look import look_of
from crossfell.drawings.slices import slice_cloth, slices_of
from crossfell.drawings.stencils import Stencils
from crossfell.drawings.views import view_of
from crossfell.piece import Piece

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="module")
def tideline():
    return read_file(EXAMPLES / "02-tideline" / "tideline.toml")


def laid(cloth, dx, dy):
    """Every symbol's shapes with the place where it is laid, to a tenth of a millimetre."""
    shapes = {symbol.name: symbol.items for symbol in cloth.symbols.values()}
    return [
        (tuple((s.commands, s.fill, s.stroke) for s in shapes[item.symbol]),
         round(item.x + dx, 1), round(item.y + dy, 1))
        for layer in cloth.layers() for item in layer.items
    ]  # fmt: skip


def told(piece, part):
    """What a screen is told to paint for a slice, its stencils written out."""
    stencils = Stencils()
    sheet = stencils.sheet(piece, "front", "full", part.number, part.key)
    return str([(clip, [(stencils.told[n], x, y) for n, x, y in threes(numbers)])
                for clip, numbers in sheet])  # fmt: skip


def threes(numbers):
    return zip(numbers[0::3], numbers[1::3], numbers[2::3], strict=True)


@pytest.mark.parametrize("view", ["front", "behind", "loom"])
def test_all_slices_together_lay_what_the_whole_picture_lays(tideline, view):
    piece = Piece(tideline)
    whole = cloth_of(piece, view_of(piece, view), look_of(tideline, "line"), 0.0, 0.0)
    one = laid(whole, 0, 0)
    parts = []
    for part in slices_of(piece, view, "line"):
        parts += laid(slice_cloth(piece, view, "line", part.number), part.left, part.top)
    assert len(parts) == len(one)
    assert sorted((x, y) for _, x, y in parts) == sorted((x, y) for _, x, y in one)


def test_a_key_changes_exactly_when_the_picture_of_its_slice_does(tideline):
    text = tideline.text
    workshop = {"workshop": tideline.workshop_text}
    span = text.index("[[span]]", text.index("[[span]]") + 10)
    changes = [
        text,
        text.replace("# ", "## "),
        text.replace('width = "1 in"', "width = 25"),
        text[:span] + text[span:].replace("height = ", "height = 1", 1),
        text.replace("3, rod, 3", "2, rod, 2"),
    ]
    seen = {}
    for version in changes:
        piece = Piece(read_draft(version, **workshop))
        assert piece.computable
        for part in slices_of(piece, "front"):
            drawn = told(piece, part)
            assert seen.setdefault(part.key, drawn) == drawn
    assert len(set(seen.values())) == len(seen)


def test_a_move_leaves_the_slices_below_it_as_they_were(tideline):
    text = tideline.text
    last = text.rindex("[[span]]")
    after = text[:last] + text[last:].replace("height", 'note = "x"\nheight', 1)
    moved = Piece(read_draft(after.replace('note = "x"', 'name = "x"')))
    one, two = slices_of(Piece(read_draft(text)), "front"), slices_of(moved, "front")
    assert [part.key for part in one] == [part.key for part in two]


def test_there_is_no_slice_beyond_the_last(tideline):
    piece = Piece(tideline)
    with pytest.raises(IndexError):
        slice_cloth(piece, "front", "full", len(tideline.bands))
    with pytest.raises(IndexError):
        slice_cloth(piece, "front", "full", -1)


def test_units_that_look_alike_change_places_and_nothing_else_is_painted(tideline):
    workshop = {"workshop": tideline.workshop_text}
    one = Piece(read_draft(tideline.text, **workshop))
    two = Piece(read_draft(add_move(tideline.text, 1, "1 over 2"), **workshop))
    other = Piece(read_draft(add_move(tideline.text, 1, "5 over 6"), **workshop))
    assert two.computable
    assert other.computable
    keys = [[part.key for part in slices_of(piece, "front")] for piece in (one, two, other)]
    assert sum(a != b for a, b in zip(*keys[:2], strict=True)) == 1
    assert sum(a != b for a, b in zip(keys[0], keys[2], strict=True)) > 1
