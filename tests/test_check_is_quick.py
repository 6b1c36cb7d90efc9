"""A check starts at once: what it does not need is neither imported nor worked out."""

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
EXAMPLES = sorted((ROOT / "examples").glob("*/*.toml"))
CHECKED = """
import sys
from click.testing import CliRunner
from crossfell.cli import main
import crossfell.statics.newton as newton
import crossfell.statics.verdict as verdict
hung, rest_of = [], newton.rest_of
def counted(*given):
    hung.append(1)
    return rest_of(*given)
import crossfell.statics.stage as stage
stage.rest_of = verdict.rest_of = counted
found = CliRunner().invoke(main, ["check", sys.argv[1]])
print(found.exit_code, len(hung), *sorted(sys.modules))
"""
NEVER = ("scipy", "highspy", "PIL", "typst", "crossfell.facts", "crossfell.drawings.svg",
         "crossfell.drawings.scene", "crossfell.studio", "crossfell.record", "crossfell.model3d", "crossfell.plan.steps",
         "crossfell.plan.phrasebook", "crossfell.papers.sheets")  # fmt: skip


def checked(file):
    """Exit code, pieces hung, modules imported, in a process of its own."""
    command = [sys.executable, "-c", CHECKED, str(file)]
    said = subprocess.run(command, capture_output=True, check=True, text=True).stdout.split()
    return int(said[0]), int(said[1]), said[2:]


@pytest.mark.parametrize("file", EXAMPLES, ids=lambda file: file.stem)
def test_a_check_imports_nothing_that_it_does_not_need(file):
    code, hung, modules = checked(file)
    assert code == 0
    assert hung <= 21
    within = [name for name in modules if name.startswith(NEVER)]
    assert within == []
    assert len(modules) < 450


@pytest.mark.parametrize("name", ["first-sampler", "tideline", "long-harvest"])
def test_a_check_hangs_the_piece_once_where_no_error_of_length_changes_the_word(name):
    file = next(file for file in EXAMPLES if file.stem == name)
    _, hung, modules = checked(file)
    assert hung == 1
    assert "numpy.random" not in modules
