"""Slices laid one over another are the whole picture; a key changes when the picture does."""

from pathlib import Path

import pytest

from crossfell.draft.files import read_file
from crossfell.draft.reader import read_draft
from crossfell.drawings.cloth import cloth_of
from crossfell.drawings.look import look_of
from crossfell.drawings.slices import slice_scene, slices_of
from crossfell.drawings.svg import svg
from crossfell.drawings.views import view_of
from crossfell.piece import Piece

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="module")
def tideline():
    return read_file(EXAMPLES / "02-tideline" / "tideline.toml")


def laid(scene, dx, dy):
    """Every symbol's shapes with the place where it is laid, to a tenth of a millimetre."""
    shapes = {symbol.name: symbol.items for symbol in scene.symbols}
    return [
        (hash(tuple((s.commands, s.fill, s.stroke) for s in shapes[item.symbol])),
         round(item.x + dx, 1), round(item.y + dy, 1))
        for layer in scene.layers for item in layer.items if hasattr(item, "symbol")
    ]  # fmt: skip


@pytest.mark.parametrize("view", ["front", "behind", "loom"])
def test_all_slices_together_lay_what_the_whole_picture_lays(tideline, view):
    piece = Piece(tideline)
    whole = cloth_of(piece, view_of(piece, view), look_of(tideline, "line"), 0.0, 0.0)
    from types import SimpleNamespace

    one = laid(SimpleNamespace(symbols=whole.symbols.values(), layers=whole.layers()), 0, 0)
    parts = []
    for part in slices_of(piece, view, "line"):
        parts += laid(slice_scene(piece, view, "line", part.number), part.left, part.top)
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
            drawn = svg(slice_scene(piece, "front", "full", part.number), letters=False)
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
        slice_scene(piece, "front", "full", len(tideline.bands))
    with pytest.raises(IndexError):
        slice_scene(piece, "front", "full", -1)
