"""The house is in order: packages say what they answer, decisions count on."""

import ast
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
SOURCE = ROOT / "src"
PACKAGES = sorted((SOURCE / "crossfell").glob("*/__init__.py"))


@pytest.mark.parametrize("file", PACKAGES, ids=lambda file: file.parent.name)
def test_a_package_says_in_one_sentence_which_question_it_answers(file):
    says = ast.get_docstring(ast.parse(file.read_text(encoding="utf-8"))) or ""
    sentence = says.split("\n\n")[0]
    assert re.match(r"[A-Z][^?]{12,}\?", sentence), f"{file.parent.name}: {says!r}"


def test_decisions_are_numbered_without_holes_and_every_one_named_is_there():
    files = sorted(path.name for path in (ROOT / "docs" / "decisions").glob("*.md"))
    assert [int(name[:4]) for name in files] == list(range(1, len(files) + 1))
    named = re.compile(r"decisions/(\d{4}[\w-]*(?:\.md)?)")
    for folder in ("src", "tests", "docs", "bench"):
        for path in (ROOT / folder).rglob("*"):
            if path.suffix in {".py", ".md"} and "node_modules" not in path.parts:
                for name in named.findall(path.read_text(encoding="utf-8")):
                    assert [f for f in files if f.startswith(name)], f"{path}: {name}"


def rows_of_where_to_add():
    page = (ROOT / "docs" / "developing.md").read_text(encoding="utf-8")
    table = page.split("## Where to add\n")[1].split("\n## ")[0]
    rows = [line.strip("|").split(" | ") for line in table.splitlines() if line.startswith("|")]
    return [[cell.strip() for cell in row] for row in rows[2:]]


@pytest.mark.parametrize("row", rows_of_where_to_add(), ids=lambda row: row[0])
def test_to_add_something_takes_at_most_four_files_and_its_page_and_they_are_there(row):
    what, files, page = row
    named = re.findall(r"\]\(([^)]+)\)", files)
    assert 1 <= len(named) <= 4, what
    (its_page,) = re.findall(r"\]\(([^)]+)\)", page)
    for link in (*named, its_page):
        assert (ROOT / "docs" / link).exists(), f"{what}: {link}"
    inside = re.findall(r"`([a-z_*]+(?:/[a-z_*]+)*\.[a-z]+)`", files)
    for pattern in inside:
        assert list((SOURCE / "crossfell").rglob(pattern)), f"{what}: {pattern}"


def test_all_that_the_house_promises_a_place_for_is_in_the_table():
    """A move, a paper, a finding, a yarn, a rod material, a remedy, a fact, a screen."""
    there = {row[0] for row in rows_of_where_to_add()}
    assert {"a move", "a paper", "a finding", "a remedy", "a fact", "a rod material"} <= there
    for word in ("yarn", "studio", "screen"):
        assert any(word in what for what in there), word


ALLOWED_TWINS = {
    "NoWayBack": "a way back that is asked for where there is none: at the loom, in the stock",
    "Scene": "what is looked at: loads on the wall, and a drawing",
}


def public_classes():
    found = {}
    for path in sorted((SOURCE / "crossfell").rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
                found.setdefault(node.name, []).append(path.name)
    return found


def test_one_public_name_means_one_thing():
    twins = {name: files for name, files in public_classes().items() if len(files) > 1}
    assert twins.keys() == ALLOWED_TWINS.keys(), twins
