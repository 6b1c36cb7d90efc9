"""What is read about the hung shape in a terminal: loads with their assumptions, never an approval."""

from pathlib import Path

import pytest
from click.testing import CliRunner

from crossfell.cli import main
from crossfell.draft.files import read_file
from crossfell.piece import Piece
from crossfell.search.hanging import told
from crossfell.search.spread import spread_of

EXAMPLE = Path(__file__).parents[2] / "examples/01-first-sampler/first-sampler.toml"


@pytest.fixture(scope="module")
def piece():
    return Piece(read_file(EXAMPLE))


def test_every_part_is_told(piece):
    text = "\n".join(told(piece, spread_of(piece, runs=3, cores=1)))
    for word in ("holds", "carried by", "drift mm", "weft pull", "Slack as drawn", "top rod bends",
                 "with a tug", "common practice, no source", "licensed rigger"):  # fmt: skip
        assert word in text
    assert "in 3 pieces" in text
    assert text.count("\n   ") >= len(piece.draft.spans)


def test_it_never_says_safe(piece):
    assert "safe" not in "\n".join(told(piece)).lower()


def test_the_command_tells_it(tmp_path):
    done = CliRunner().invoke(main, ["hang", str(EXAMPLE), "--runs", "0"])
    assert done.exit_code == 0, done.output
    assert "Every span can carry what is below it as drawn." in done.output


def test_mend_writes_the_remedy_that_is_asked_for(tmp_path):
    text = EXAMPLE.read_text(encoding="utf-8").replace(
        'order = "s*2 y g*2 y s*2"', 'order = "s*2 y g*2 y s*2 -"'
    )
    draft = tmp_path / "leans.toml"
    first, rest = text.split('moves  = """\n1-2 over 3-4\n7-8 over 5-6\n"""', 1)
    draft.write_text(first + 'moves = "shift 1-8 right 1"   # kept' + rest, encoding="utf-8")
    assert not Piece(read_file(draft)).holds[0].holds
    shown = CliRunner().invoke(main, ["mend", str(draft)])
    assert shown.exit_code == 0, shown.output
    assert "nothing but its crossings" in shown.output
    done = CliRunner().invoke(main, ["mend", str(draft), "--apply", "1"])
    assert done.exit_code == 0, done.output
    assert "# kept" in draft.read_text(encoding="utf-8")
    assert Piece(read_file(draft)).holds[0].holds
