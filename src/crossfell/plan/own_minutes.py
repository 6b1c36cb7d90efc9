"""Which kinds of step does the plan know, and which does [minutes] name that it does not?"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache
from importlib.resources import files

from crossfell.base.nearest import help_for
from crossfell.base.notes import Note, Where, error
from crossfell.draft.model import Draft
from crossfell.draft.whereabouts import Whereabouts


@cache
def usual_minutes() -> Mapping[str, float]:
    """Minutes of one step of each kind when she has not said her own."""
    text = (files("crossfell.plan") / "minutes.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


def unknown_minutes(draft: Draft) -> tuple[Note, ...]:
    """An error for each key of [minutes] that is no kind of step, at its line."""
    known = usual_minutes()
    return tuple(
        error(
            "unknown-key",
            _where(draft, name),
            key=name,
            table="minutes",
            **help_for(name, known, "kinds of step: {names}"),
        )
        for name in draft.minutes
        if name not in known
    )


def _where(draft: Draft, name: str) -> Where:
    own = Whereabouts(draft.text, draft.file).key("minutes", name)
    if own.line:
        return own
    return Whereabouts(draft.workshop_text, draft.workshop_file).key("minutes", name)
