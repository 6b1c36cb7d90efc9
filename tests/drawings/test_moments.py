"""What it looks like now: after any step of the plan, in front and behind."""

from functools import lru_cache
from pathlib import Path

import pytest

from crossfell.draft.files import read_file
from crossfell.drawings.moments import after, begins, now_view
from crossfell.piece import Piece
from crossfell.plan.loom_states import Loom

EXAMPLES = Path(__file__).parents[2] / "examples"


@lru_cache
def example(name):
    return Piece(read_file(next((EXAMPLES / name).glob("*.toml"))))


@pytest.mark.parametrize("name", ["01-first-sampler", "02-tideline"])
def test_every_moment_is_that_of_the_rehearsal(name):
    """The model of the loom does the same steps; lifted strips and bobbins lie nowhere."""
    piece = example(name)
    loom, count = Loom(piece.draft), piece.draft.place_count
    front = behind = begins(piece)
    for step in piece.plan.steps:
        loom.do(step)
        front = after(front, (step,), behind=False)
        behind = after(behind, (step,), behind=True)
        for seen, row in ((front, loom.strips), (behind, loom.bobbins)):
            lie = {unit: place for place, unit in enumerate(seen.row, 1) if unit is not None}
            assert all(row.place[unit] == place for unit, place in lie.items()), step.text
        if not step.from_places and not step.units:
            assert None not in front.row or front.row.count(None) == count - len(piece.draft.units)


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
    assert names == [
        piece.order.names[u] for u in sorted(u for u in step.after.row if u is not None)
    ]
