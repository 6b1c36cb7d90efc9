"""Which kinds of step that [minutes] names does the plan not know?"""

from __future__ import annotations

from crossfell.base.nearest import meant
from crossfell.base.notes import Note, Where, error
from crossfell.draft.model import Draft
from crossfell.draft.whereabouts import Whereabouts
from crossfell.plan.book import usual_minutes


def unknown_minutes(draft: Draft) -> tuple[Note, ...]:
    """An error for each key of [minutes] that is no kind of step, at its line."""
    known = usual_minutes()
    return tuple(
        error(
            "unknown-key",
            _where(draft, name),
            key=name,
            table="minutes",
            help=meant(name, known, "kinds of step: {names}"),
        )
        for name in draft.minutes
        if name not in known
    )


def _where(draft: Draft, name: str) -> Where:
    own = Whereabouts(draft.text, draft.file).key("minutes", name)
    if own.line:
        return own
    return Whereabouts(draft.workshop_text, draft.workshop_file).key("minutes", name)
