"""The pieces on which every outlet is compared: the examples, and drafts at random."""

from functools import cache
from pathlib import Path

import pytest

from crossfell.draft.files import read_file
from crossfell.piece import Piece
from random_drafts import written_draft

ROOT = Path(__file__).resolve().parents[2]
EXAMPLES = [p for p in sorted((ROOT / "examples").glob("*/*.toml")) if p.name != "workshop.toml"]
EVERY_DAY, ALL = 20, 300


@cache
def piece_of(which):
    """The piece of an example's path, or of a number."""
    return written_draft(which).piece() if isinstance(which, int) else Piece(read_file(which))


ONES = [
    *(pytest.param(path, id=path.parent.name) for path in EXAMPLES),
    *(pytest.param(n, id=f"seed-{n}", marks=[] if n < EVERY_DAY else pytest.mark.soak)
      for n in range(ALL)),
]  # fmt: skip
on_each_piece = pytest.mark.parametrize("piece", ONES, indirect=True)
