"""The tutorial does what it says: each of its commands is run, in its own order."""

import re
import shlex
from pathlib import Path

import pytest
from click.testing import CliRunner

from crossfell.cli import main
from crossfell.loomside.guide import Guide
from crossfell.plan.model import Action

ROOT = Path(__file__).resolve().parents[1]
TUTORIAL = (ROOT / "docs" / "tutorial.md").read_text(encoding="utf-8")


def blocks():
    """Commands and what they must say; … stands for anything."""
    for block in re.findall(r"```console\n(.*?)```", TUTORIAL, re.DOTALL):
        for part in block.split("$ crossfell ")[1:]:
            command, *said = part.strip().splitlines()
            yield shlex.split(command), [line.split("…")[0].strip() for line in said]


def test_the_tutorial_shows_the_commands_of_an_evening():
    assert {command[0] for command, _ in blocks()} >= {
        "new", "check", "make", "facts", "why", "hang", "quote", "measure", "loom", "mistake",
        "record", "again",
    }  # fmt: skip


def led_through_the_first_span(draft):
    """What she does at the loom until the first span is laid: tick after tick."""
    guide = Guide(draft)
    steps = guide.now().plan.steps
    laid = max(step.number for step in steps if step.span == 1 and step.kind == Action.CROSS)
    guide.tell([guide.event("tick", index=index) for index in range(laid)])
    guide.close()


def test_every_command_of_the_tutorial_says_what_the_tutorial_says(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    draft = Path("low-water.toml")
    for command, said in blocks():
        if command[0] == "loom":
            led_through_the_first_span(draft)
            continue
        whole = draft.read_text(encoding="utf-8") if draft.exists() else ""
        if said[0].startswith("error["):  # the mistake on purpose
            draft.write_text(whole.replace("1-2 over 3-4\n11", "1-2 over 4-5\n11"), "utf-8")
        result = CliRunner().invoke(main, command)
        for line in said:
            assert line in result.output, f"crossfell {' '.join(command)}"
        assert result.exit_code == (1 if said[0].startswith("error[") else 0), result.output
        if said[0].startswith("error["):
            draft.write_text(whole, encoding="utf-8")


def test_a_span_that_is_too_low_is_doubted_as_the_tutorial_says(tmp_path):
    draft = tmp_path / "low-water.toml"
    CliRunner().invoke(main, ["new", str(draft)])
    text = draft.read_text(encoding="utf-8")
    draft.write_text(text.replace("height = 150", "height = 40", 1), encoding="utf-8")
    result = CliRunner().invoke(main, ["check", str(draft)])
    assert result.exit_code == 0
    assert "doubt[" in result.output
    assert "lean" in result.output


@pytest.mark.parametrize("page", sorted(path.name for path in (ROOT / "docs").glob("*.md")))
def test_no_page_points_at_a_file_that_is_not_there(page):
    text = (ROOT / "docs" / page).read_text(encoding="utf-8")
    for link in re.findall(r"\]\((?!http|#)([^)#]+)", text):
        assert (ROOT / "docs" / link).exists(), f"{page} points at {link}"


def test_every_check_that_a_source_names_is_there():
    """`Checked: tests/…` in the source, and files named in the pages."""
    texts = [*(ROOT / "src" / "crossfell").rglob("*.py"), *(ROOT / "docs").rglob("*.md")]
    named = {
        (path.name, check)
        for path in texts
        for check in re.findall(r"tests/[\w/]+\.\w+", path.read_text(encoding="utf-8"))
    }
    assert len(named) > 20
    assert {(name, check) for name, check in named if not (ROOT / check).is_file()} == set()
