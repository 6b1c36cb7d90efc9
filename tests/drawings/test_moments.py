"""What it looks like now: after any step of the plan, in front and behind."""

from functools import lru_cache
from pathlib import Path

import pytest

from crossfell.draft.files import read_file
from crossfell.draft.reader import read_draft
from crossfell.drawings.cards import PLACE_MM
from crossfell.drawings.moments import now_view
from crossfell.piece import Piece
from small_piece import small_draft

EXAMPLES = Path(__file__).parents[2] / "examples"


@lru_cache
def example(name):
    return Piece(read_file(next((EXAMPLES / name).glob("*.toml"))))


def test_the_picture_names_the_step_and_who_looks():
    piece = example("01-first-sampler")
    step = next(step for step in piece.plan.steps if step.kind == "cross")
    scene = now_view(piece, step.number)
    said = [text.text for text in scene.texts]
    assert any(f"After step {step.number} of {len(piece.plan.steps)}" in text for text in said)
    assert "as seen from the weaver's seat" in said
    behind = [text.text for text in now_view(piece, step.number, behind=True, style="line").texts]
    assert "at the bobbins, from behind" in behind
    names = [text.text for text in scene.texts if text.bold][:-1]
    lifted = {u for s in piece.plan.steps[: step.number] if s.kind == "lift" for u in s.units}
    assert names == [name for u, name in enumerate(piece.order.names)
                     if u not in lifted - set(step.units)]  # fmt: skip


@pytest.mark.parametrize("behind", [False, True])
def test_a_strip_off_the_middle_of_its_place_is_drawn_there(behind):
    """As far, in the picture's scale, as drafted; behind the loom to the other side."""
    texts = (small_draft(move) for move in ("shift 2 right 2 mm", "turn 2 right"))
    moved, plain = (Piece(read_draft(text)) for text in texts)
    tags = [
        next(text.x for text in now_view(made, len(made.plan.steps), behind=behind).texts
             if text.text == "a2")
        for made in (moved, plain)
    ]  # fmt: skip
    scale = PLACE_MM / moved.draft.pitch_mm
    assert tags[0] - tags[1] == pytest.approx((-2 if behind else 2) * scale)
