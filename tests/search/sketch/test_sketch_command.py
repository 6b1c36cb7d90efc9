"""From a picture to a draft on the command line: what is written, what is said, what is refused."""

from pathlib import Path

import pytest
from click.testing import CliRunner

from crossfell.base.notes import Severity
from crossfell.cli import Exit, main
from crossfell.draft.files import read_file
from crossfell.piece import Piece

ROOT = Path(__file__).resolve().parents[3]
FIVE = ROOT / "docs" / "sketches"
DRAFTS = sorted(path for path in (FIVE / "drafts").glob("*.toml") if path.stem != "workshop")
OPTIONS = {  # as the README of the five tells
    "line": ["--yarns", "rust 4, slate 10, chalk 10", "--title", "River"],
    "letter": ["--yarns", "rust 8, chalk 16", "--title", "Y"],
    "disc": ["--yarns", "rust 7, slate 8, chalk 9", "--brace", "--title", "Low sun"],
    "gaps": ["--yarns", "rust 6, slate 12", "--gaps", "6", "--title", "Gate"],
    "waves": ["--yarns", "chalk 9, slate 15", "--upright", "--title", "Surf"],
}


def told(*words, code=Exit.FINE):
    result = CliRunner().invoke(main, [str(word) for word in words])
    assert result.exit_code == code, result.output
    return result.output


@pytest.fixture
def shop(tmp_path):
    text = (FIVE / "drafts" / "workshop.toml").read_text(encoding="utf-8")
    (tmp_path / "workshop.toml").write_text(text, encoding="utf-8")
    return tmp_path


def sketched(shop, name, *more, code=Exit.FINE):
    picture, draft = FIVE / "pictures" / f"{name}.png", shop / f"{name}.toml"
    return told("sketch", picture, draft, *(more or OPTIONS[name]), code=code), draft


@pytest.mark.parametrize("path", DRAFTS, ids=lambda path: path.stem)
def test_each_of_the_five_is_without_error_or_doubt_can_be_laid_and_holds(path):
    piece = Piece(read_file(path))
    assert {note.severity for note in piece.notes} <= {Severity.ADVICE}
    assert all(span.layable for span in piece.order.spans)
    assert all(hold.holds for hold in piece.holds)


@pytest.mark.parametrize("name", ["line", "gaps"])
def test_the_same_picture_and_wishes_give_the_same_bytes(shop, name):
    said, draft = sketched(shop, name)
    assert draft.read_bytes() == (FIVE / "drafts" / f"{name}.toml").read_bytes()
    assert "proved best" in said
    assert "Every span holds" in said


def test_it_says_what_is_asked_and_what_there_is(shop):
    said, _ = sketched(shop, "line")
    assert "A unit moves at most 3 places, 84 mm, in a span of 140 mm: 31°" in said
    assert (
        "The picture asks for 4 to 7 rust units; you have 4 in every band: too few in bands "
        in said
    )
    assert "of them must, in any order" in said


def test_a_front_order_is_kept_and_fewest_lifts_are_no_more(shop):
    def lifted(front):
        (shop / "line.toml").unlink(missing_ok=True)
        sketched(shop, "line", "--yarns", "rust 4, slate 10, chalk 10", "--front", front)
        piece = Piece(read_file(shop / "line.toml"))
        return sum(span.lifted for span in piece.order.spans)

    assert lifted("fewest lifts") <= min(lifted("rust slate chalk"), lifted("chalk slate rust"))


def test_a_yarn_of_its_own_colour_needs_no_workshop(tmp_path):
    draft = tmp_path / "own.toml"
    told("sketch", FIVE / "pictures" / "letter.png", draft, "--bands", 8,
         "--yarns", "clay #a85432, sand #d9d2c0")  # fmt: skip
    assert "invented: say your own" in draft.read_text(encoding="utf-8")
    assert Piece(read_file(draft)).computable


def test_yarns_and_loom_can_come_from_a_draft(tmp_path):
    like = ROOT / "examples" / "02-tideline" / "tideline.toml"
    draft = tmp_path / "again.toml"
    told("sketch", FIVE / "pictures" / "letter.png", draft, "--like", like, "--bands", 8,
         "--yarns", "slate, chalk")  # fmt: skip
    piece = Piece(read_file(draft))
    assert set(piece.draft.yarns) == {"slate", "chalk"}
    doubts = {note.code for note in piece.notes if note.severity is not Severity.ADVICE}
    assert doubts <= {"price-missing"}  # prices are the workshop's


@pytest.mark.parametrize(("more", "says"), [
    (["--yarns", "jade 8"], "there is no yarn `jade`; known are: chalk, slate, rust"),
    (["--yarns", "rust 8, chalk 8"], "24 places, 0 of them open, want 24 units; the yarns give 16"),
    (["--yarns", "rust; 8"], "is no yarn; write a name and how many units"),
    (["--yarns", "rust, rust"], "each yarn is named once"),
    (["--yarns", "rust, chalk", "--front", "chalk"], "front to back wants each of rust, chalk once"),
    (["--yarns", "rust, chalk", "--places", "900"], "2 to 200 places"),
    (["--yarns", "rust, chalk", "--height", "20"], "no unit can lean over to the next place"),
    (["--yarns", "rust, chalk", "--pitch", "9"], "the pitch is less than the strip"),
    (["--yarns", "rust, chalk", "--height", "nan"], "are lengths in mm"),
])  # fmt: skip
def test_a_wish_that_cannot_be_met_is_told_and_nothing_is_written(shop, more, says):
    said, draft = sketched(shop, "letter", *more, code=Exit.USAGE)
    assert says in said
    assert not draft.exists()


def test_a_draft_that_is_there_is_never_written_over(shop):
    (shop / "line.toml").write_text("precious", encoding="utf-8")
    assert "nothing was written" in sketched(shop, "line", code=Exit.FILE)[0]
    assert (shop / "line.toml").read_text(encoding="utf-8") == "precious"
