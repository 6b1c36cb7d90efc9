"""What `make` makes: only what is asked for, only what has changed, whole or not at all."""

import csv
import json
from io import StringIO
from pathlib import Path

import pytest

from crossfell.draft.files import read_file
from crossfell.draft.reader import read_draft
from crossfell.papers.kept import LIST, origin_of
from crossfell.papers.lists import inert, lists_of
from crossfell.papers.make import ON_DEMAND, PARTS, USUAL, make_all
from crossfell.papers.model import Sheet, Table
from crossfell.piece import Piece

EXAMPLES = Path(__file__).parents[2] / "examples"
TEXT = read_file(next((EXAMPLES / "01-first-sampler").glob("*.toml"))).text


def piece(text=TEXT):
    return Piece(read_draft(text))


def stamps(folder):
    return {path.name: path.stat().st_mtime_ns for path in folder.rglob("*") if path.is_file()}


def test_only_what_is_asked_for_is_made(tmp_path):
    made = make_all(piece(), tmp_path, ["labels", "quote"])
    names = {path.relative_to(tmp_path).as_posix() for path, _ in made}
    assert {"labels.pdf", "lists/labels.csv", "quote.pdf", "lists/quote.csv"} <= names
    there = {p.relative_to(tmp_path).as_posix() for p in tmp_path.rglob("*") if p.is_file()}
    assert there == names | {LIST}


def test_what_is_still_right_is_not_made_again(tmp_path):
    said = []
    first = make_all(piece(), tmp_path, ["quote"])
    before = stamps(tmp_path)
    again = make_all(piece(), tmp_path, ["quote"], said.append)
    assert again == first
    assert said == []
    assert stamps(tmp_path) == before


def test_a_changed_draft_is_made_again(tmp_path):
    make_all(piece(), tmp_path, ["quote"])
    before = (tmp_path / "quote.pdf").read_bytes()
    make_all(piece(TEXT.replace("First Light", "Second Light")), tmp_path, ["quote"])
    assert (tmp_path / "quote.pdf").read_bytes() != before


@pytest.mark.parametrize("harm", ["gone", "changed", "list"])
def test_a_harmed_file_is_made_again(tmp_path, harm):
    make_all(piece(), tmp_path, ["quote"])
    path = tmp_path / "lists" / "quote.csv"
    before = path.read_bytes()
    if harm == "gone":
        path.unlink()
    elif harm == "changed":
        path.write_bytes(before + b"x")
    else:
        (tmp_path / LIST).write_text("[broken")
        path.write_bytes(b"old")
    make_all(piece(), tmp_path, ["quote"])
    assert path.read_bytes() == before


def test_parts_keep_their_own_origin(tmp_path):
    make_all(piece(), tmp_path, ["quote"])
    make_all(piece(TEXT.replace("First Light", "Second Light")), tmp_path, ["labels"])
    rows = json.loads((tmp_path / LIST).read_text())
    assert rows["quote"]["origin"] != rows["labels"]["origin"]


def test_the_workshop_counts_too():
    with_price = read_draft(TEXT, workshop="[rates]\nhour = 10\n")
    assert origin_of(read_draft(TEXT)) != origin_of(with_price)


def test_large_cards_and_the_booklet_are_made_only_on_demand():
    assert set(USUAL) | set(ON_DEMAND) == set(PARTS)
    assert "cards-large" not in USUAL


def test_tables_of_other_columns_are_lists_of_their_own():
    one = Table(name="a", columns=("x",), align="l", rows=(("1",), ("2",)))
    two = Table(name="b", columns=("x",), align="l", rows=(("3",),))
    three = Table(name="c", columns=("x", "y"), align="ll", rows=(("=1+1", "-4"),))
    lists = dict(lists_of([Sheet(name="s", title="", blocks=(one, two, three))]))
    assert set(lists) == {"s-a", "s-c"}
    rows = list(csv.reader(StringIO(lists["s-a"].decode("utf-8-sig"))))
    assert rows == [["list", "x"], ["a", "1"], ["a", "2"], ["b", "3"]]
    assert list(csv.reader(StringIO(lists["s-c"].decode("utf-8-sig"))))[1] == ["c", "'=1+1", "-4"]


def test_every_list_has_as_many_cells_as_columns(tmp_path):
    """Lists of all that has some."""
    made = make_all(piece(), tmp_path, ["papers", "handover", "quote", "labels"])
    lists = [path for path, _ in made if path.suffix == ".csv"]
    assert len(lists) > 8
    for path in lists:
        head, *rows = csv.reader(StringIO(path.read_text(encoding="utf-8-sig")))
        assert rows, path.name
        assert all(len(row) == len(head) for row in rows), path.name


@pytest.mark.parametrize(
    ("cell", "kept"),
    [
        ("=1+1", "'=1+1"), ("@sum", "'@sum"), ("-cmd|' /C calc'!A0", "'-cmd|' /C calc'!A0"),
        ("-497.63", "-497.63"), ("+0.4 mm", "+0.4 mm"), ("+1\u202f234.50", "+1\u202f234.50"),
        (" a ", "a"), ("", ""), ("- none -", "'- none -"), ("-3/4 in", "-3/4 in"),
        ("-2 +cmd|' /C calc'!A0", "'-2 +cmd|' /C calc'!A0"), ("\t=1", "'=1"), ("＝1+1", "'＝1+1"),
        ("+2 + 3", "'+2 + 3"), ("a=1", "a=1"),
    ],
)  # fmt: skip
def test_no_cell_is_a_formula(cell, kept):
    assert inert(cell) == kept
