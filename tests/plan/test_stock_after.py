"""The stock is true: nothing is lost or taken twice, others' things stay theirs, and there is a way back."""

import pytest
from click.testing import CliRunner
from hypothesis import given, settings
from hypothesis import strategies as st
from test_quote import TEXT

from crossfell.cli import main
from crossfell.draft.files import read_file
from crossfell.draft.stock_text import item_of
from crossfell.piece import Piece
from crossfell.plan.stock_after import StockRefused, counted, put_back, reserved, taken

WORKSHOP = """[yarn.slate]   # the grey one
count = "tex 200"
fibre = "linen"
price = "40.00 per kg"
put_up = "100 g"
in_stock = "{slate} g"

[stock]   # what there is
rod_price = ["steel 3: 4.20"]
heddle_price = 30
kerf = {kerf}
keep = 1
rods = ["steel 3: 400 * 3", "steel 4: 900 * 2"]
heddles = [300, 300]
"""
DRAFT = TEXT[TEXT.index("[yarn.chalk]") :]  # slate stands in the workshop
RUN = CliRunner().invoke


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "workshop.toml").write_text(WORKSHOP.format(slate=60, kerf=0))
    for name in ("low", "high"):
        (tmp_path / f"{name}.toml").write_text(DRAFT)
    return tmp_path


def piece(folder, name="low"):
    made = Piece(read_file(folder / f"{name}.toml"))
    assert made.computable, [note.message for note in made.draft.notes]
    return made


def write(folder, change):
    (folder / "workshop.toml").write_text(change.text)
    return piece(folder)


def test_what_is_taken_out_leaves_and_rests_come_back(folder):
    made = piece(folder)
    (slate,) = made.amounts.yarns
    (rod,) = made.amounts.rods
    (strip,) = made.amounts.strips
    after = write(folder, taken(made.draft, made.amounts)).draft
    assert after.yarns["slate"].in_stock_g == pytest.approx(
        60 + slate.buy_g - slate.need_g, abs=0.06
    )
    lengths = [item_of(f"rod {row}") for row in after.stock.rods if row.startswith("steel 3")]
    left = sum(item.size * item.times for item in lengths)
    assert left + sum(rod.pieces) == pytest.approx(1200 + 2000 * rod.plan.bought, abs=0.01)
    assert "steel 4: 900 mm * 2" in after.stock.rods
    wide = strip.width_mm * strip.count
    assert sum(after.stock.heddles) + wide == pytest.approx(600 + 600 * strip.plan.bought, abs=0.01)
    for remark in ("# the grey one", "# what there is"):
        assert remark in after.workshop_text


def test_nothing_is_taken_twice(folder):
    made = piece(folder)
    again = write(folder, taken(made.draft, made.amounts))
    for does in (taken, reserved):
        with pytest.raises(StockRefused, match="taken out already"):
            does(again.draft, again.amounts)


def test_what_is_reserved_is_not_there_for_another_piece_and_is_for_its_own(folder):
    made = piece(folder)
    alone = piece(folder, "high").amounts
    write(folder, reserved(made.draft, made.amounts))
    own, other = piece(folder).amounts, piece(folder, "high").amounts
    assert own.yarns == made.amounts.yarns
    assert own.rods == made.amounts.rods
    need = made.amounts.yarns[0].need_g
    assert other.yarns[0].in_stock_g == pytest.approx(60 - min(need, 60), abs=0.06)
    bars = sum(b.times for b in own.rods[0].plan.bars if b.in_stock)
    there = sum(b.times for b in other.rods[0].plan.bars if b.in_stock)
    assert there <= 3 - bars
    assert other.rods[0].plan.bought >= alone.rods[0].plan.bought
    again = piece(folder)
    with pytest.raises(StockRefused, match="reserved for low already"):
        reserved(again.draft, again.amounts)
    done = write(folder, taken(again.draft, again.amounts))
    assert done.draft.stock.reserved == ()


@given(st.integers(0, 500), st.integers(0, 5), st.integers(1, 900))
@settings(max_examples=20, deadline=None)
def test_counting_sets_and_putting_back_adds(grams, times, length):
    from crossfell.draft.reader import read_draft

    draft = read_draft(DRAFT, workshop=WORKSHOP.format(slate=60, kerf=1), workshop_file="w.toml")
    items = [item_of(f"yarn slate {grams} g"), item_of(f"rod steel 4: {length} mm * {times}"),
             item_of(f"heddle {length} * {times}")]  # fmt: skip
    for does, more in ((put_back, 1), (counted, 0)):
        text = does(draft, items).text
        after = read_draft(DRAFT, workshop=text, workshop_file="w.toml")
        assert after.yarns["slate"].in_stock_g == 60 * more + grams
        heddles = {300.0: 2}
        heddles[float(length)] = times + heddles.get(length, 0) * more
        assert sorted(after.stock.heddles) == sorted(
            size for size, many in heddles.items() for _ in range(many)
        )
        rods = {900: 2}
        rods[length] = times + rods.get(length, 0) * more
        found = {item_of(f"rod {row}") for row in after.stock.rods if row.startswith("steel 4")}
        assert {(i.size, i.times) for i in found} == {(k, n) for k, n in rods.items() if n}


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ("yarn chalk 3 g", "workshop.toml has no yarn chalk"),
        ("yarn slate 3 mm", "no unit of mass"),
        ("cloth 3", "is nothing of the stock"),
        ("rod steel: 300", "its material and its diameter"),
        ("heddle 0 mm", "has a length"),
    ],
)
def test_what_makes_no_sense_gets_a_sentence(folder, words, says):
    said = RUN(main, ["stock", str(folder / "low.toml"), "--count", words, "--write"])
    assert said.exit_code == 2
    assert says in said.output


def test_a_bad_row_of_what_is_reserved_is_told_with_its_line(folder):
    workshop = folder / "workshop.toml"
    workshop.write_text(workshop.read_text() + 'reserved = ["low yarn slate"]\n')
    (note,) = read_file(folder / "low.toml").notes
    assert "a piece, then what" in note.message
    assert workshop.read_text().splitlines()[note.where.line - 1].startswith("reserved")


def test_the_command_shows_first_writes_when_asked_and_takes_back(folder):
    file, workshop = str(folder / "low.toml"), folder / "workshop.toml"
    before = workshop.read_text()
    shown = RUN(main, ["stock", file, "--take"])
    assert shown.exit_code == 0
    assert "yarn slate: 60.0 g →" in shown.output
    assert "Nothing is written yet" in shown.output
    assert workshop.read_text() == before
    for change in (["--reserve"], ["--take"], ["--count", "yarn slate 12 g"]):
        assert RUN(main, ["stock", file, *change, "--write"]).exit_code == 0, change
    said = RUN(main, ["stock", file, "--take", "--write"])
    assert said.exit_code == 2
    assert "nothing is taken twice" in said.output
    after = workshop.read_text()
    assert "To take back: count" in RUN(main, ["stock", file, "--back"]).output
    assert workshop.read_text() == after
    for _ in range(3):
        assert RUN(main, ["stock", file, "--back", "--write"]).exit_code == 0
    assert workshop.read_text() == before
    assert RUN(main, ["stock", file, "--back"]).exit_code == 2


def test_what_was_edited_since_is_not_taken_back(folder):
    file, workshop = str(folder / "low.toml"), folder / "workshop.toml"
    RUN(main, ["stock", file, "--take", "--write"])
    workshop.write_text(workshop.read_text() + "# hers\n")
    said = RUN(main, ["stock", file, "--back", "--write"])
    assert said.exit_code == 2
    assert "edited since" in said.output
    assert workshop.read_text().endswith("# hers\n")


def test_one_change_at_a_time_and_only_with_a_workshop(folder):
    file = folder / "low.toml"
    assert RUN(main, ["stock", str(file), "--take", "--back"]).exit_code == 2
    (folder / "workshop.toml").unlink()
    file.write_text(TEXT)
    assert "no workshop.toml" in RUN(main, ["stock", str(file), "--take"]).output
