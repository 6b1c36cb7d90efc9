"""What it looks like now: after any step of the plan, in front and behind."""

from functools import lru_cache
from pathlib import Path

from crossfell.draft.files import read_file
from crossfell.drawings.moments import now_view
from crossfell.piece import Piece

EXAMPLES = Path(__file__).parents[2] / "examples"


@lru_cache
def example(name):
    return Piece(read_file(next((EXAMPLES / name).glob("*.toml"))))


def test_the_picture_names_the_step_and_who_looks():
    piece = example("01-first-sampler")
    step = next(step for step in piece.plan.steps if step.kind == "lay")
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
