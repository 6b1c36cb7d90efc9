"""The shell: every command, its exit code, and what it says to a newcomer."""

import json
import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from crossfell import __version__
from crossfell.cli import Exit, main, run

ROOT = Path(__file__).resolve().parents[1]
SAMPLER = ROOT / "examples" / "01-first-sampler" / "first-sampler.toml"
WRONG = '[piece]\ntitle = "W"\n[[span]]\nheight = 140\nmoves = "1 ovre 2"\n'


def told(*words, code=Exit.FINE):
    """Run a command in process; its words on both channels."""
    result = CliRunner().invoke(main, [str(word) for word in words])
    assert result.exit_code == code, result.output
    assert result.exception is None or isinstance(result.exception, SystemExit)
    return result


def test_the_version_is_said():
    assert __version__ in told("--version").output


def test_help_teaches_the_first_evening_and_completion():
    said = told("--help").output
    for words in ("crossfell new", "crossfell check", "crossfell make", "COMPLETE"):
        assert words in said


@pytest.mark.parametrize("name", sorted(main.commands))
def test_every_command_explains_itself_and_is_documented(name):
    assert len(told(name, "--help").output.split()) > 8
    docs = " ".join(path.read_text(encoding="utf-8") for path in (ROOT / "docs").glob("*.md"))
    assert re.search(rf"crossfell {name}\b", docs), f"no page of docs/ speaks of crossfell {name}"


@pytest.mark.parametrize("group", [(), ("record",)])
def test_no_line_of_a_list_of_commands_is_cut_off(group):
    """Even in a terminal of eighty columns."""
    found = CliRunner().invoke(main, [*group, "--help"], terminal_width=80).output
    rows = found.partition("Commands:")[2].splitlines()
    assert len(rows) >= 3
    assert [row for row in rows if row.endswith("...")] == []


def test_a_new_draft_has_nothing_wrong_and_can_be_made(tmp_path):
    draft = tmp_path / "low-water.toml"
    assert "crossfell check" in told("new", draft).output
    assert "nothing wrong" in told("check", draft).output
    told("make", draft, "--only", "facts")
    assert json.loads((tmp_path / "low-water.made" / "facts.json").read_text(encoding="utf-8"))


def test_a_new_draft_never_writes_over_a_file(tmp_path):
    draft = tmp_path / "mine.toml"
    draft.write_text("precious", encoding="utf-8")
    assert "nothing was written" in told("new", draft, code=Exit.FILE).output
    assert draft.read_text(encoding="utf-8") == "precious"


def test_an_error_is_shown_with_its_place_and_makes_nothing(tmp_path):
    draft = tmp_path / "wrong.toml"
    draft.write_text(WRONG, encoding="utf-8")
    said = told("check", draft, code=Exit.DRAFT_HAS_ERRORS).output
    assert "wrong.toml:5:" in said
    assert "^" in said
    assert "Nothing was made" in told("make", draft, code=Exit.DRAFT_HAS_ERRORS).output
    assert not (tmp_path / "wrong.made").exists()


@pytest.mark.parametrize("command", ["check", "make", "facts", "why"])
def test_a_file_that_is_not_there_is_named(command, tmp_path):
    said = told(command, tmp_path / "none.toml", code=Exit.FILE).output
    assert "none.toml could not be read" in said


def test_a_part_that_does_not_exist_is_named_with_those_that_do(tmp_path):
    said = told("make", SAMPLER, "--into", tmp_path, "--only", "paper", code=Exit.USAGE).output
    assert "no such part: paper" in said
    assert "papers" in said


def test_facts_are_printed_as_lines_and_as_json():
    assert "piece.width = " in told("facts", SAMPLER).stdout
    assert json.loads(told("facts", SAMPLER, "--json").stdout)["piece"]["title"]


def test_why_lists_what_it_can_answer_and_answers():
    asked = told("why", SAMPLER).stdout.splitlines()
    assert "piece.height" in asked
    said = told("why", SAMPLER, "piece.height").stdout
    for word in ("rule", "formula", "source", "put in"):
        assert word in said
    assert "did you mean" in told("why", SAMPLER, "piece.heigth", code=Exit.USAGE).output
    rods = next(way for way in asked if way.startswith("stock.rods.") and way.endswith(".buy"))
    assert " " in rods
    assert f"{rods} = " in told("why", SAMPLER, *rods.split(" ")).stdout
    assert "is no number x. Without" in told("why", SAMPLER, "x", code=Exit.USAGE).output


def test_now_draws_any_step_and_by_itself_the_last_one_done(tmp_path):
    draft = tmp_path / "light.toml"
    draft.write_text(SAMPLER.read_text(encoding="utf-8"), encoding="utf-8")
    assert "after step 0 of" in told("now", draft).output
    assert "After step 18 of" in _written(tmp_path / "x.svg", "now", draft, "--step", 18)
    assert "at the bobbins" in _written(tmp_path / "y.svg", "now", draft, "--step", 23, "--behind")
    assert "there is no step" in told("now", draft, "--step", 9999, code=Exit.USAGE).output


def _written(path, *words):
    told(*words, "--into", path)
    return path.read_text(encoding="utf-8")


def test_a_folder_in_the_way_is_told(tmp_path):
    blocked = tmp_path / "taken"
    blocked.write_text("a file, no folder", encoding="utf-8")
    said = told("make", SAMPLER, "--into", blocked / "x", "--only", "facts", code=Exit.FILE).output
    assert "could not be written" in said


def test_a_fault_of_our_own_is_told_without_a_traceback(monkeypatch, capsys):
    monkeypatch.setattr("crossfell.cli.main", lambda: 1 / 0)
    monkeypatch.delenv("CROSSFELL_TRACEBACK", raising=False)
    with pytest.raises(SystemExit) as stopped:
        run()
    assert stopped.value.code == Exit.OUR_FAULT
    said = capsys.readouterr().err
    assert "our own fault" in said
    assert "Traceback" not in said
