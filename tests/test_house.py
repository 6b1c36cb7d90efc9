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
