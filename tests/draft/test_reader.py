"""A draft and the workshop behind it become one record that knows where each key was written."""

from __future__ import annotations

import math
import re
from dataclasses import fields
from pathlib import Path

import pytest

from crossfell.draft.files import read_file
from crossfell.draft.keys import key_name
from crossfell.draft.reader import read_draft
from crossfell.draft.reference import LISTED, TABLES, TOP, homes_of, keys_of
from crossfell.draft.start import STARTER
from crossfell.draft.whereabouts import Whereabouts
from crossfell.piece import Piece

EXAMPLES = sorted(Path("examples").glob("*/*.toml"))


def test_the_starter_and_the_examples_read_without_a_note():
    assert read_draft(STARTER).notes == ()
    for path in EXAMPLES:
        assert read_file(path).notes == ()


def test_the_starter_says_what_it_says():
    draft = read_draft(STARTER)
    assert draft.about.title == "A first piece"
    assert (draft.about.wall.width_mm, draft.about.wall.height_mm) == (900.0, 1600.0)
    assert draft.yarns["slate"].count.tex == pytest.approx(206.69, abs=0.01)
    assert draft.yarns["slate"].price == 46.0
    assert draft.strips["inch"].width_mm == pytest.approx(25.4)
    assert draft.kinds["a"].ends == ((18, "slate"),)
    assert [unit.name for unit in draft.units][:5] == ["a1", "a2", "a3", "a4", "b1"]
    assert draft.place_count == 12
    assert [band.rod.label for band in draft.bands] == ["steel 3"] * 4
    assert draft.bands[0].runs == (3, "rod", 3)
    assert [span.height_mm for span in draft.spans] == [150.0, 150.0, 120.0]


def test_what_the_draft_says_wins_over_the_workshop():
    workshop = "measure = 'cm'\n[loom]\nrise = 3\nsink = 2\n[yarn.slate]\nlot = 'L7'\nprice = '1.00 per kg'\n"
    draft = read_draft(STARTER + "[loom]\nrise = 40\n", workshop=workshop)
    assert draft.notes == ()
    assert (draft.loom.rise_mm, draft.loom.sink_mm) == (40.0, 20.0)  # its bare lengths are cm
    assert draft.yarns["slate"].lot == "L7"
    assert draft.yarns["slate"].price == 46.0
    assert draft.loom.given["rise_mm"].file == ""
    assert draft.loom.given["sink_mm"].file == "workshop.toml"
    assert draft.loom.given["sink_mm"].line == 4
    assert "hand" not in draft.loom.given


def test_a_yarn_of_the_workshop_can_be_used():
    workshop = "[yarn.moss]\ncount = 'tex 200'\n[strip.wide]\nwidth = 40\ndents = 20\n"
    text = STARTER.replace('"18 chalk"', '"18 moss"')
    draft = read_draft(text, workshop=workshop)
    assert draft.notes == ()
    assert set(draft.yarns) == {"slate", "chalk", "moss"}


def test_the_workshop_is_found_beside_the_draft_or_in_the_folder_above(tmp_path):
    folder = tmp_path / "piece"
    folder.mkdir()
    (folder / "d.toml").write_text(STARTER)
    assert read_file(folder / "d.toml").workshop_file == "workshop.toml"
    (tmp_path / "workshop.toml").write_text("[loom]\nhand = 3\n")
    assert read_file(folder / "d.toml").loom.hand == 3
    (folder / "workshop.toml").write_text("[loom]\nhand = 2\n")
    assert read_file(folder / "d.toml").loom.hand == 2
    assert read_file(folder / "workshop.toml").workshop_file != str(folder / "workshop.toml")


def test_the_folder_above_is_found_wherever_she_stands(tmp_path, monkeypatch):
    """A draft named without its folder has the same workshop as one named with it."""
    folder = tmp_path / "pieces" / "one"
    (folder / "deep").mkdir(parents=True)
    (folder / "d.toml").write_text(STARTER)
    (tmp_path / "pieces" / "workshop.toml").write_text("[loom]\nhand = 3\n")
    for standing, named in (
        (folder, "d.toml"), (folder, "./d.toml"), (folder / "deep", "../d.toml"),
        (folder.parent, "one/d.toml"), (tmp_path, "pieces/one/d.toml"),
    ):  # fmt: skip
        monkeypatch.chdir(standing)
        assert read_file(Path(named)).loom.hand == 3, named


def test_a_band_is_what_its_span_says_then_first_or_last_then_every_band():
    text = STARTER.replace(
        "[hang]", "[band.first]\nrod = 'steel 6'\n[band.last]\npicks = '9'\nweft = 'chalk'\n[hang]"
    )
    text = text.replace(
        "height = 120", "height = 120\nband = { weft = 'slate', picks = '2, rod, 2' }", 1
    )
    bands = read_draft(text).bands
    assert [band.rod.label for band in bands] == ["steel 6", "steel 3", "steel 3", "steel 3"]
    assert [band.picks for band in bands] == ["3, rod, 3", "3, rod, 3", "3, rod, 3", "2, rod, 2"]
    assert [band.weft for band in bands] == ["slate"] * 4
    text = text.replace(", picks = '2, rod, 2'", "")
    assert read_draft(text).bands[-1].picks == "9"


@pytest.mark.parametrize(
    ("order", "names", "places"),
    [
        ("a*2 b", ["a1", "a2", "b1"], [1, 2, 3]),
        ("- a -*2 a b*2", ["a1", "a2", "b1", "b2"], [2, 5, 6, 7]),
        ("a   a\ta", ["a1", "a2", "a3"], [1, 2, 3]),
        ("a*0 b", ["b1"], [1]),
    ],
)
def test_an_order_lines_units_up_from_the_weavers_left(order, names, places):
    text = (
        STARTER.replace('"a*4 b*4 a*4"', f'"{order}"').split("[[span]]")[0]
        + "[[span]]\nheight = 9\n"
    )
    draft = read_draft(text)
    assert [unit.name for unit in draft.units] == names
    assert [unit.place for unit in draft.units] == places


def test_an_order_can_stand_on_several_lines_and_each_word_is_found():
    text = STARTER.replace('"a*4 b*4 a*4"', '"""\na*4 b*4\n  a*3 c"""')
    (note,) = read_draft(text, file="d").notes
    line = text.split("\n")[note.where.line - 1]
    assert line[note.where.column - 1 :].startswith('c"""')
    assert note.where.length == 1


def test_lengths_are_in_the_measure_of_their_file():
    draft = read_draft(STARTER.replace('measure = "mm"', 'measure = "in"').replace("28", "1.125"))
    assert draft.warp.pitch_mm == pytest.approx(28.575)


@pytest.mark.parametrize("measure", ["mm", "cm", "m", "in"])
def test_the_diameter_of_a_rod_is_in_mm_whatever_the_measure_is(measure):
    """Rods are sold by the millimetre; a rod of three inches would be drawn without a word."""
    text = STARTER.replace('measure = "mm"', f'measure = "{measure}"')
    assert read_draft(text).bands[0].rod.label == "steel 3"
    inch = read_draft(text.replace('"steel 3"  ', '"steel 1/8 in"'))
    assert inch.bands[0].rod.diameter_mm == pytest.approx(3.175)


def test_rods_in_stock_are_in_the_measure_of_their_file():
    workshop = "measure = 'in'\n[stock]\nrods = ['steel 3: 40 * 2', 'steel 4: 10 1/2', 'odd']\n"
    draft = read_draft(STARTER, workshop=workshop)
    assert draft.stock.rods == ("steel 3: 40 in * 2", "steel 4: 10 1/2 in", "odd")


def test_angles_shares_and_times_are_read_into_inside_units():
    text = (
        STARTER
        + "[loom]\nlean_limit = 30\n[rates]\nwaste = '7 %'\nprofit = 12\n[minutes]\nlay = '90 s'\n"
    )
    draft = read_draft(text)
    assert draft.loom.lean_limit_rad == pytest.approx(math.pi / 6)
    assert draft.rates.waste == pytest.approx(0.07)
    assert draft.rates.profit == pytest.approx(0.12)
    assert draft.minutes["lay"] == pytest.approx(1.5)


def test_all_that_is_wrong_is_collected_each_with_its_line():
    text = (
        STARTER.replace("28", "-1")
        .replace('"18 chalk"', '"18 chlak"')
        .replace("eye at 5", "eve at 5")
    )
    text = text.replace("put_up", "putup", 1).replace('rod   = "steel 3"', 'rod   = "steel"')
    notes = read_draft(text, file="d").notes
    assert {note.code for note in notes} == {
        "not-understood", "no-such-yarn", "no-such-figure", "unknown-key", "no-rod",
    }  # fmt: skip
    assert all(note.where.line for note in notes)


@pytest.mark.parametrize(
    ("line", "table", "says"),
    [
        ("tension = '1 N'", "loom", "`tension` belongs in [warp]"),
        ("title = 'x'", "warp", "`title` belongs in [piece]"),
        ("note = ''", "hang", "`note` belongs in [[span]]"),
        ("measure = 'mm'", "piece", "`measure` belongs at the top, before any [table]"),
        ("colr = '#ffffff'", "yarn.slate", "did you mean `colour`?"),
        ("zzz = 1", "adhesive", "keys here: density, full"),
    ],
)
def test_an_unknown_key_is_told_where_it_belongs(line, table, says):
    text = (
        STARTER.replace(f"[{table}]", f"[{table}]\n{line}")
        if f"[{table}]" in STARTER
        else f"{STARTER}[{table}]\n{line}\n"
    )
    (note,) = read_draft(text).notes
    assert note.code == "unknown-key"
    assert says in note.instead


def test_every_record_of_the_draft_is_in_the_reference():
    """A key that the reader knows stands in one of the tables of the reference, once."""
    for entry in TABLES:
        names = [key.name for key in keys_of(entry.record)]
        assert len(names) == len(set(names))
        assert names == [key_name(f.name) for f in fields(entry.record) if "kind" in f.metadata]
        assert entry.heading in homes_of(names[0])
    assert homes_of("moves") == ["[[span]]", "[hang]"]
    assert homes_of("nothing") == []
    assert {h.strip("[]").split(".")[0] for h in [*LISTED, *(e.heading for e in TABLES)]} >= set(
        TOP
    ) - {"measure", "minutes"}


def test_the_whereabouts_of_keys_and_values():
    text = 'a.b = 1\n["x y".z]\nk = [1, "two", { q = \'\'\'\nl1\nl2\'\'\' }]  # r\n[[t]]\nv = 1\n[[t]]\n[t.u]\nw = """a"b"""\n'
    places = Whereabouts(text, "f")
    spots = {
        ("a", "b"): "1", ("x y", "z", "k", 1): '"two"', ("t", 0, "v"): "1", ("t", 1, "u", "w"): '"""a"b"""',
    }  # fmt: skip
    lines = text.split("\n")
    for way, value in spots.items():
        where = places.value(*way)
        assert lines[where.line - 1][where.column - 1 :][: where.length] == value
    assert [row for row, _ in places.lines("x y", "z", "k", 2, "q")] == ["", "l1", "l2"]
    assert places.key("t", 1).line == 8
    assert places.value("not", "there").line == 0


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
@pytest.mark.parametrize("spoil", ["tension = 9", "thrum = 0", "pitch = 24"])
def test_every_note_of_every_stage_points_at_a_line(path, spoil):
    """Also one about a table that the draft leaves out."""
    text = re.sub(r"(?m)^pitch.*\n", "", path.read_text()) if "pitch" in spoil else path.read_text()
    piece = Piece(read_draft(text.replace("[warp]", f"[warp]\n{spoil}")))
    assert piece.computable
    assert piece.notes
    assert all(note.where.line for note in piece.notes)


@pytest.mark.parametrize("picks", ["0", "rod", "0, rod, 0", "", "3; rod", "-3", "3,, rod"])
def test_a_band_without_a_pick_is_none(picks):
    draft = read_draft(STARTER.replace('"3, rod, 3"', f'"{picks}"'))
    assert [note.code for note in draft.notes] == ["not-picks"]
    assert Piece(read_draft(STARTER.replace('"3, rod, 3"', '"1, rod, 0"'))).plan.steps
