"""A check loads no step and no phrasebook; the same moves of other units are laid the same."""

import subprocess
import sys
from pathlib import Path

from crossfell.draft.reader import read_draft
from crossfell.piece import Piece
from small_piece import small_draft

DRAFT = Path(__file__).parents[2] / "examples" / "01-first-sampler" / "first-sampler.toml"
CHECK = """
import sys
from crossfell.cli import main
try:
    main(["check", sys.argv[1]])
except SystemExit as end:
    assert not end.code, end.code
print(*sorted(name for name in sys.modules if name.startswith("crossfell.")))
"""
STEPS = {"steps", "book", "moving", "handling", "rehearsal", "phrasebook", "phrase_words", "ear"}


def loaded(code):
    run = [sys.executable, "-c", code, str(DRAFT)]
    said = subprocess.run(run, capture_output=True, text=True, check=True).stdout
    return set(said.splitlines()[-1].split())


def test_a_check_loads_no_step_and_no_phrasebook():
    names = loaded(CHECK)
    assert "crossfell.piece" in names
    assert not names & {f"crossfell.plan.{name}" for name in STEPS}


def test_the_modules_looked_for_are_those_that_a_plan_loads():
    code = CHECK.replace(
        "print(", "import crossfell.papers.loom_cards, crossfell.plan.steps\nprint("
    )
    assert {f"crossfell.plan.{name}" for name in STEPS} <= loaded(code)


def lays(piece, span):
    return [
        (step.kind, step.from_places, step.to_places, bool(step.over), step.below)
        for step in piece.plan.steps
        if step.span == span and step.kind in {"cross", "clear-cross"}
    ]


def test_the_same_moves_of_other_units_are_made_the_same():
    moves = "1 over 2, 5-6 under 3-4, 8 over 7"
    piece = Piece(read_draft(small_draft(moves, moves, moves, order="a*5 b*3")))
    first, second, third = (lays(piece, number) for number in (1, 2, 3))
    assert first == second == third
    assert len(first) >= 6
    handled = [step.units for step in piece.plan.steps if step.kind == "cross"]
    assert len(set(handled)) > len(handled) / 3


def test_hands_that_lie_over_nobody_more_are_laid_from_the_left():
    moves = "1 over 2, 3 over 4, 5 over 6, 7 over 8"
    piece = Piece(read_draft(small_draft(moves, moves, order="a*8")))
    for span in (1, 2):
        places = [to for kind, _, to, *_ in lays(piece, span) if kind == "cross"]
        assert places == sorted(places)
