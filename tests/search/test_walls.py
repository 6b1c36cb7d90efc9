"""Do proposals for a wall fit it, and the hours, and hold?"""

from pathlib import Path

import pytest
from click.testing import CliRunner

from crossfell.base.notes import Severity
from crossfell.cli import Exit, main
from crossfell.draft.files import read_file
from crossfell.piece import Piece

SHOP = Path(__file__).resolve().parents[2] / "docs" / "sketches" / "drafts" / "workshop.toml"


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "workshop.toml").write_text(SHOP.read_text(encoding="utf-8"), encoding="utf-8")
    return tmp_path


def proposed(folder, *more, code=Exit.FINE, width=500, height=1300):
    result = CliRunner().invoke(
        main, ["propose", str(folder), "--width", str(width), "--height", str(height),
               "--yarns", "slate, rust", *map(str, more)],
    )  # fmt: skip
    assert result.exit_code == code, result.output
    return result.output


def test_every_proposal_fits_the_wall_and_the_hours_holds_and_can_be_laid(folder):
    said = proposed(folder, "--hours", 16)
    drafts = [path for path in folder.glob("*.toml") if path.stem != "workshop"]
    assert len(drafts) >= 2
    assert (folder / "proposals.svg").is_file()
    for path in drafts:
        assert f"{path.stem}: " in said
        piece = Piece(read_file(path))
        assert {note.severity for note in piece.notes} <= {Severity.ADVICE}
        assert piece.paths.width_total_mm <= 500
        assert sum(span.height_mm for span in piece.draft.spans) <= 1300
        assert piece.quote().hours[1] <= 16
        assert all(hold.holds for hold in piece.holds)
        assert all(span.layable for span in piece.order.spans)


@pytest.mark.parametrize(("width", "height", "more", "says"), [
    (60, 1300, [], "nothing fits"), (500, 1300, ["--hours", 1], "nothing fits"),
    (float("nan"), 1300, [], "a wall has a width"),
    (500, 1300, ["--like", SHOP.parent / "line.toml", "--distance", -1], "a wall has a width"),
])  # fmt: skip
def test_what_does_not_fit_is_said(folder, width, height, more, says):
    assert says in proposed(folder, *more, code=Exit.USAGE, width=width, height=height)


def test_nothing_is_written_over(folder):
    (folder / "quiet.toml").write_text("precious", encoding="utf-8")
    assert "already there" in proposed(folder, code=Exit.FILE)
    assert (folder / "quiet.toml").read_text(encoding="utf-8") == "precious"
