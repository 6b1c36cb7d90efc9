"""What is read about the hung shape in a terminal: loads with their assumptions, never an approval."""

import re
from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner

from crossfell.cli import main
from crossfell.draft.files import read_file
from crossfell.draft.reader import read_draft
from crossfell.draft.start import STARTER
from crossfell.piece import Piece
from crossfell.plan import stock_told
from crossfell.search.hanging import told
from crossfell.search.spread import spread_of

EXAMPLE = Path(__file__).parents[2] / "examples/01-first-sampler/first-sampler.toml"


@pytest.fixture(scope="module")
def piece():
    return Piece(read_file(EXAMPLE))


def test_every_part_is_told(piece):
    text = "\n".join(told(piece, spread_of(piece, runs=3, cores=1)))
    for word in ("carried", "carried by", "drift mm", "weft pull", "With every length as drawn", "top rod bends",
                 "with a tug", "common practice, no source", "licensed rigger"):  # fmt: skip
        assert word in text
    assert "in 3 pieces" in text
    assert text.count("\n   ") >= len(piece.draft.spans)


def test_runs_that_found_no_rest_are_told(piece):
    """A range over fewer pieces than were asked for says so."""
    spread = spread_of(piece, runs=3, cores=1)
    assert not [line for line in told(piece, spread) if "found no rest" in line]
    lines = told(piece, replace(spread, failed=2))
    assert [line.strip() for line in lines if "found no rest" in line] == [
        "2 of them found no rest and are left out: so much less is known."
    ]


def test_it_never_says_safe(piece):
    assert "safe" not in "\n".join(told(piece)).lower()


@pytest.mark.parametrize(("measure", "other"), [("in", "mm"), ("cm", "mm"), ("mm", "cm")])
def test_wall_points_and_cuts_are_in_the_measure_of_the_draft(measure, other):
    """What she marks on the wall, or saws, is never in another measure than its neighbours."""
    text = STARTER.replace('measure = "mm"', f'measure = "{measure}"')
    for key, mm in (("pitch = 28", 28), ("height = 150", 150), ("height = 120", 120)):
        size = {"in": 25.4, "cm": 10}.get(measure, 1)
        text = text.replace(key, f"{key.split()[0]} = {mm / size:.5g}")
    made = Piece(read_draft(text.replace("width = 900, height = 1600", "width = 90, height = 160")))
    lines = [line for line in told(made) if "left end" in line or "centre of mass" in line]
    lines += stock_told.told(made.draft, made.amounts, made.sure).splitlines()
    marked = [line.partition(": by")[0] for line in lines if "×" in line or "left" in line]
    assert len(marked) >= 5
    assert [line for line in marked if f" {other}" in line] == []


def test_the_command_tells_it(tmp_path):
    done = CliRunner().invoke(main, ["hang", str(EXAMPLE), "--runs", "0"])
    assert done.exit_code == 0, done.output
    assert "It hangs as drawn." in done.output


def test_mend_writes_the_remedy_that_is_asked_for(tmp_path):
    text = EXAMPLE.read_text(encoding="utf-8").replace(
        'order = "s*2 y g*2 y s*2"', 'order = "s*2 y g*2 y s*2 -"'
    )
    draft = tmp_path / "leans.toml"
    first, rest = text.split('moves  = """\n1-2 over 3-4\n7-8 over 5-6\n"""', 1)
    draft.write_text(first + 'moves = "shift 1-8 right 1 place"   # kept' + rest, encoding="utf-8")
    assert not Piece(read_file(draft)).holds[0].holds
    shown = CliRunner().invoke(main, ["mend", str(draft)])
    assert shown.exit_code == 0, shown.output
    assert "nothing but its crossings" in shown.output
    name = re.search(r"\[([0-9a-f]{8})\]", shown.output)[1]
    done = CliRunner().invoke(main, ["mend", str(draft), "--apply", name])
    assert done.exit_code == 0, done.output
    assert "# kept" in draft.read_text(encoding="utf-8")
    assert Piece(read_file(draft)).holds[0].holds
