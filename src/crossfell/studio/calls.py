"""What can the browser ask for, and what is the answer?

Every call is a POST of JSON to /api/NAME and answers JSON. What cannot be done answers
`{"error": a sentence}` with 400; two changes that cannot both be had answer 409 with both texts.
"""

from __future__ import annotations

from crossfell.studio.answers import Answers, Call
from crossfell.studio.aside import Aside
from crossfell.studio.calls_bench import BenchCalls
from crossfell.studio.calls_draft import DraftCalls
from crossfell.studio.calls_figures import FigureCalls
from crossfell.studio.calls_hand import HandCalls
from crossfell.studio.calls_measure import MeasureCalls
from crossfell.studio.calls_shelf import ShelfCalls
from crossfell.studio.calls_sketch import SketchCalls
from crossfell.studio.calls_workshop import WorkshopCalls
from crossfell.studio.desk import Desk
from crossfell.studio.events import Hub


def calls_on(desk: Desk, hub: Hub, aside: Aside) -> dict[str, Call]:
    """Every call by its name."""
    to = Answers(desk, hub, aside)
    workshop = WorkshopCalls(to)
    groups = (ShelfCalls(to), DraftCalls(to), HandCalls(to), BenchCalls(to), workshop,
              MeasureCalls(to, workshop), SketchCalls(to), FigureCalls(to))  # fmt: skip
    return {name: call for group in groups for name, call in group.names.items()}
