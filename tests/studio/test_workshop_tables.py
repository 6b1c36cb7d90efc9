"""Tables show every key that the draft knows, and write what she would have written."""

import dataclasses

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crossfell.draft.keys import key_name
from crossfell.draft.model import Loom, Yarn
from crossfell.draft.reader import read_draft
from crossfell.draft.start import STARTER
from crossfell.studio.folder import Refused
from crossfell.studio.tables import _shown, read_value, tables_of, written_change


def row_of(draft, path):
    return next(r for t in tables_of(draft) for r in t["rows"] if r["path"] == path)


def test_every_key_of_a_yarn_and_of_the_loom_has_a_row():
    tables = {(t["family"], t["name"]): t for t in tables_of(read_draft(STARTER))}
    for way, kind in ((("yarn", "slate"), Yarn), (("loom", ""), Loom)):
        keys = {key_name(f.name) for f in dataclasses.fields(kind) if "says" in f.metadata}
        assert {row["key"] for row in tables[way]["rows"]} == keys


def test_a_row_says_who_says_it():
    draft = read_draft(STARTER, workshop="[loom]\nhand = 5\n[yarn.slate]\nlot = '7'\n")
    assert row_of(draft, "yarn.slate.price")["value"] == "46.00 per kg"
    assert row_of(draft, "yarn.slate.price")["from"] == "draft"
    assert (row_of(draft, "loom.hand")["value"], row_of(draft, "loom.hand")["from"]) == (
        "5",
        "workshop",
    )
    assert row_of(draft, "loom.drop")["from"] == "default"
    assert row_of(draft, "loom.drop")["default"] == "900 mm"
    assert row_of(draft, "loom.lean_limit")["default"] == "35 °"


@pytest.mark.parametrize(
    ("path", "text", "read"),
    [
        ("loom.hand", "6", lambda d: d.loom.hand == 6),
        ("yarn.slate.in_stock", "1.5 kg", lambda d: d.yarns["slate"].in_stock_g == 1500),
        ("hang.rail", "true", lambda d: d.hang.rail is True),
        ("hang.cords", "[80, 290]", lambda d: d.hang.cords == (80, 290)),
        ("loom.weights", '["250 g * 30"]', lambda d: d.loom.weights == ((250.0, 30),)),
        ("piece.title", 'Say "ebb"', lambda d: d.about.title == 'Say "ebb"'),
        ("warp.order", "a*4 b*4 a*5", lambda d: d.place_count == 13),
    ],
)
def test_what_is_written_in_a_table_is_read_as_meant(path, text, read):
    draft = read_draft(written_change(STARTER, path, text))
    assert not [n for n in draft.notes if n.severity.value == "error"]
    assert read(draft)


def test_emptied_the_default_stands_again():
    once = written_change(STARTER, "loom.hand", "6")
    assert read_draft(written_change(once, "loom.hand", " ")).loom.hand == 4


@settings(max_examples=60, deadline=None)
@given(st.one_of(st.text(st.characters(codec="utf-8", exclude_characters="\n\r\x00"), max_size=20),
                 st.integers(-99, 99), st.booleans(), st.lists(st.integers(0, 9), max_size=3)))  # fmt: skip
def test_a_value_that_is_shown_is_read_back_as_it_was(value):
    shown = _shown(value)
    if isinstance(value, str) and value.strip() != value:
        return  # blanks at its ends are not kept by a table
    if shown.strip() == shown and shown:
        assert read_value(shown) == value


def test_what_is_no_number_is_refused():
    with pytest.raises(Refused):
        read_value("nan")


def test_a_new_yarn_strip_and_unit_can_be_read(client):
    state = client.call("open", piece="01-first-sampler/first-sampler")
    for family in ("yarn", "strip", "unit"):
        edit = {"do": "add-table", "family": family, "name": "fresh"}
        state = client.call("edit", piece=state["piece"], edit=edit, revision=state["revision"])
        assert state["computable"], state["notes"][:2]
    told = client.call("tables", piece=state["piece"])
    assert {t["family"] for t in told["tables"] if t["name"] == "fresh"} == {
        "yarn",
        "strip",
        "unit",
    }


def test_a_row_lists_what_can_be_written_where_it_is_one_of_a_few():
    draft = read_draft(STARTER)
    assert row_of(draft, "rates.rounding")["choices"] == ["half up", "half even"]
    assert row_of(draft, "hang.rail")["choices"] == ["true", "false"]
    assert row_of(draft, "piece.title")["choices"] == row_of(draft, "warp.pitch")["choices"] == []
