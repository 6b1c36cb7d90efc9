"""The page of the draft language is whole, up to date, and its examples read without a note."""

from __future__ import annotations

import re
import tomllib

import draft_page
import pytest

from crossfell.draft.kinds import KINDS
from crossfell.draft.model import Cross, Roll, Shift, Turn
from crossfell.draft.moves import parsed
from crossfell.draft.reader import MEASURES, read_draft
from crossfell.draft.reference import LISTED, TABLES, TOP, keys_of
from crossfell.draft.start import STARTER
from crossfell.materials.counts import ALSO, SYSTEMS

TEXT = draft_page.PAGE.read_text(encoding="utf-8")
EXAMPLES = re.findall(r"(?s)```toml\n(.*?)```", TEXT)
MOVES = [
    line for block in re.findall(r"(?s)```moves\n(.*?)```", TEXT) for line in block.splitlines()
]
BASE = {
    "": 'measure = "mm"\n',
    "piece": "[piece]\n",
    "yarn.slate": '[yarn.slate]\ncount = "lea 16/2"\n',
    "yarn.chalk": '[yarn.chalk]\ncount = "lea 16/2"\n',
    "strip.inch": '[strip.inch]\nwidth = "1 in"\ndents = 18\n',
    "unit.a": '[unit.a]\nstrip = "inch"\nends = "18 slate"\n',
    "unit.b": '[unit.b]\nstrip = "inch"\nends = "18 chalk"\n',
    "warp": '[warp]\npitch = 28\norder = "a*10 b*8 - -"\n',
    "band": '[band]\nrod = "steel 3"\n',
    "figure.eye": '[figure.eye]\nplaces = 4\nspans = ["1-2 over 3-4"]\n',
    "span": "[[span]]\nheight = 100\n",
}


def whole(example):
    """An example with what it leaves out."""
    data = tomllib.loads(example)
    there = {"" if "measure" in data else "top", *data}
    there |= {
        f"{family}.{name}"
        for family in ("yarn", "strip", "unit", "figure")
        for name in data.get(family, {})
    }
    rest = [text for name, text in BASE.items() if name and name not in there]
    return (BASE[""] if "" not in there else "") + example + "\n" + "\n".join(rest)


@pytest.mark.parametrize("example", EXAMPLES)
def test_every_example_reads_without_a_note(example):
    draft = read_draft(whole(example))
    assert [note.message for note in draft.notes] == []
    assert draft.spans


@pytest.mark.parametrize("line", MOVES)
def test_every_move_shown_reads_without_a_note(line):
    draft = read_draft(whole(f"[[span]]\nheight = 100\nmoves = '{line}'\n"))
    assert draft.notes == ()
    assert draft.spans[0].moves


def test_the_moves_shown_are_all_forms_of_the_language():
    steps = [parsed(line)[0] for line in MOVES]
    draft = read_draft(
        whole("[[span]]\nheight = 100\nmoves = '''\n" + "\n".join(MOVES) + "\n'''\n")
    )
    assert {step.kind for step in steps} == set(KINDS)
    assert {type(move) for move in draft.spans[0].moves} == {Cross, Turn, Roll, Shift}


def test_the_page_is_up_to_date():
    """Run `python tests/draft/draft_page.py` after a change of keys."""
    assert draft_page.page(TEXT) == TEXT


def test_every_key_of_the_draft_is_on_the_page():
    for entry in TABLES:
        section = TEXT.split(f"### {entry.heading}\n")[1].split("\n### ")[0]
        for key in keys_of(entry.record):
            assert f"| `{key.name}` |" in section
            assert key.says
    for heading, names in LISTED.items():
        for name in names:
            assert f"| `{name}` |" in TEXT, heading
    for table in TOP:
        assert f"[{table}" in TEXT or f"`{table}`" in TEXT


def test_every_default_that_is_a_number_of_ours_says_where_it_comes_from():
    """A measured default has a source or says that it has none; nothing and 0 need none."""
    bare = {
        (entry.heading, key.name)
        for entry in TABLES
        for key in keys_of(entry.record)
        if isinstance(key.default, float) and key.default and not key.source
    }
    assert bare <= {("[loom]", "wrap")}  # a quarter turn by definition of the beam


def test_every_count_system_and_measure_is_on_the_page():
    for name in [*SYSTEMS, *ALSO]:
        assert f"`{name.lower()}`" in TEXT.lower()
    for measure in MEASURES:
        assert f'`"{measure}"`' in TEXT


def test_the_starter_shows_what_the_page_tells():
    """Each table of the starter is one of the page."""
    for heading in re.findall(r"(?m)^\[+([a-z]+)", STARTER):
        assert re.search(rf"### \[+{heading}", TEXT)
