"""Small pieces for the tests of the model in space."""

from functools import lru_cache
from pathlib import Path

from crossfell.draft.files import read_file
from crossfell.draft.reader import read_draft
from crossfell.piece import Piece

EXAMPLES = Path(__file__).parents[2] / "examples"
TEXT = """
measure = "mm"
[piece]
title = "{title}"
woven_from = "{woven}"
[yarn.red]
count = "tex 400"
fibre = "wool"
colour = "#c02020"
[yarn.blue]
count = "tex 400"
fibre = "wool"
colour = "#2040c0"
[strip.wide]
width = 30
dents = 10
[unit.r]
strip = "wide"
ends = "10 red"
[unit.b]
strip = "wide"
ends = "5 blue, 5 red"
[warp]
pitch = 40
order = "{order}"
[band]
picks = "3, rod, 3"
rod = "steel 3"
[hang]
cords = [20, 150]
[[span]]
height = 200
moves = \"\"\"
{moves}
\"\"\"
"""


def small(moves="1 over 2", woven="bottom", order="r b - r", title="Plain and over"):
    made = Piece(read_draft(TEXT.format(moves=moves, woven=woven, order=order, title=title)))
    assert made.computable, [note.message for note in made.notes]
    return made


@lru_cache
def example(name):
    return Piece(read_file(next((EXAMPLES / name).glob("*.toml"))))
