"""How does a call find its draft, change it, and answer the state that follows?

What cannot be done is Refused; two changes that cannot both be had are Disagreed.
"""

from __future__ import annotations

import shlex
from collections.abc import Callable
from dataclasses import asdict
from pathlib import Path
from typing import Any

from crossfell.studio.aside import Aside
from crossfell.studio.asked import Asked, seen, style, view, whole, word
from crossfell.studio.desk import Desk, Disagreement, OpenDraft
from crossfell.studio.events import Hub
from crossfell.studio.folder import Refused
from crossfell.studio.showing import state_of

Told = dict[str, Any]
Call = Callable[[Asked], Told]
NO_STATE = -1


class Disagreed(Exception):  # noqa: N818 -- what happened, not an error
    """Two changes cannot both be had."""

    def __init__(self, told: Told) -> None:
        super().__init__("two changes disagree")
        self.told = told


class Answers:
    """What all calls on one desk need."""

    def __init__(self, desk: Desk, hub: Hub, aside: Aside) -> None:
        self.desk, self.hub, self.aside = desk, hub, aside

    def draft(self, asked: Asked) -> OpenDraft:
        """The draft that is asked about. Errors: Refused."""
        return self.desk.open(word(asked, "piece"))

    def computable(self, asked: Asked) -> OpenDraft:
        """The same, if it can be worked out. Errors: Refused."""
        draft = self.draft(asked)
        if not draft.piece.computable:
            raise Refused("the draft has errors; set them right first")
        return draft

    def changed(
        self, draft: OpenDraft, asked: Asked, change: Callable[[str], str], what: str
    ) -> Told:
        """Make a change on the state that was seen, tell the other windows, answer the state."""
        trouble = draft.change(change, what, whole(asked, "revision"))
        if isinstance(trouble, Disagreement):
            told = {"disagreement": asdict(trouble), "state": self.state(draft, asked)}
            raise Disagreed(told)
        self.tell(draft, asked)
        return self.state(draft, asked)

    def walked(self, asked: Asked, walk: Callable[[OpenDraft], bool]) -> Told:
        """Go back or forth, and answer the state."""
        draft = self.draft(asked)
        with draft.lock:
            walk(draft)
            self.tell(draft, asked)
            return self.state(draft, asked)

    def tell(self, draft: OpenDraft, asked: Asked, *, workshop: bool = False) -> None:
        """Tell every window that a draft has changed, or the workshop behind it."""
        self.hub.tell({"event": "piece", "piece": draft.name, "revision": draft.state.revision,
                       "by": str(asked.get("window", "")), "workshop": workshop})  # fmt: skip

    def state(self, draft: OpenDraft, asked: Asked) -> Told:
        """All that the screen of a piece shows."""
        look = (view(asked), style(asked))
        has = whole(asked, "has") if "has" in asked else NO_STATE
        state = state_of(draft, view=look[0], style=look[1], has=has)
        sees = seen(asked)
        if sees and draft.piece.computable:
            state["drawn"] = draft.lacking(*look, sees)
        back = self.desk.journal.back(draft.name)
        forth = self.desk.journal.forth(draft.name)
        state["undo"] = draft.state.what if back else None
        state["redo"] = forth.what if forth else None
        above = self.desk.folder.passed_over(draft.path)
        state["outside"] = None if above is None else _unread(above)
        return state


def _unread(above: Path) -> Told:
    """The note on a workshop that lies outside the folder that is open."""
    return {
        "says": f"a {above.name} in the folder above is not read here",
        "known": "The studio reads nothing outside the folder that it was opened on; "
        "`crossfell check` and `crossfell make` do read it, so that prices and weights can differ.",
        "instead": f"Open the folder above: crossfell studio {shlex.quote(str(above.parent))}",
    }
