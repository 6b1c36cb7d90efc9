"""The pieces that the facts are tried on: the examples, and drafts at random."""

from functools import cache
from pathlib import Path

from crossfell.draft.files import read_file
from crossfell.facts.declared import FACTS
from crossfell.piece import Piece
from random_drafts import written_drafts

ROOT = Path(__file__).resolve().parents[2]
EXAMPLES = sorted(
    path for path in (ROOT / "examples").glob("*/*.toml") if path.name != "workshop.toml"
)


@cache
def example_pieces():
    return [Piece(read_file(path)) for path in EXAMPLES]


@cache
def random_pieces(count=100):
    return [written.piece() for written in written_drafts(count)]


def numbers(pieces, kind):
    """Every number of a kind: piece, index, answer."""
    fact = FACTS[kind]
    for piece in pieces:
        for index in fact.indices(piece):
            yield piece, index, fact.of(piece, *index)
