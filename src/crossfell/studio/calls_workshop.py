"""Which calls look into the workshop's tables, change them, and bring them back?"""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import asdict

from crossfell.draft.script import NotEditable
from crossfell.draft.shared import without_shared, workshop_of
from crossfell.studio.answers import Answers, Call, Disagreed, Told
from crossfell.studio.asked import Asked, table, whole
from crossfell.studio.desk import Disagreement, OpenDraft
from crossfell.studio.edits import edit_of
from crossfell.studio.folder import Refused
from crossfell.studio.tables import tables_of
from crossfell.studio.workroom import Workroom, begun, workroom_of

LISTED = 12
EDITS = ("write", "add-table")  # that make sense in a workshop


class WorkshopCalls:
    """Calls on the tables of a draft and of the workshop behind it."""

    def __init__(self, answers: Answers) -> None:
        self._to = answers
        self._lock = threading.RLock()
        self.names: dict[str, Call] = {
            "tables": self.tables,
            "workshop-begin": self.begin,
            "workshop-edit": self.edit,
            "workshop-text": self.text,
            "workshop-undo": lambda asked: self._walked(asked, back=True),
            "workshop-redo": lambda asked: self._walked(asked, back=False),
            "workshop-restore": self.restore,
        }

    def tables(self, asked: Asked) -> Told:
        """Every key in tables, and how the workshop's file stands."""
        draft = self._to.draft(asked)
        with self._lock:
            room = workroom_of(self._to.desk, draft.path)
            told = None if room is None else self._told(room)
        try:
            rows, trouble = tables_of(draft.piece.draft), ""
        except NotEditable as problem:
            rows, trouble = [], str(problem)
        return {"revision": draft.state.revision, "file": draft.path.name, "tables": rows,
                "trouble": trouble, "workshop": told}  # fmt: skip

    def begin(self, asked: Asked) -> Told:
        """A workshop.toml from the draft's own tables; with `move` they leave the draft."""
        draft = self._to.draft(asked)
        with self._lock, draft.lock:
            draft.look()
            after = without_shared(draft.text)
            begun(self._to.desk, draft.path, workshop_of(draft.text))
            self._tell_all(asked)
            if asked.get("move"):
                what = "tables moved to the workshop"
                return self._to.changed(draft, asked, lambda _: after, what)
            return self._to.state(draft, asked)

    def edit(self, asked: Asked) -> Told:
        """Make a named edit in the workshop's text."""
        draft, wanted = self._to.draft(asked), table(asked, "edit")
        if wanted.get("do") not in EDITS:
            raise Refused("a workshop has no such edit")
        edit = edit_of(wanted, draft.piece)
        return self.changed(draft, asked, edit.change, edit.what)

    def text(self, asked: Asked) -> Told:
        """The whole text, after two changes disagreed."""
        new = asked.get("text")
        if not isinstance(new, str):
            raise Refused("`text` is a text")
        return self.changed(self._to.draft(asked), asked, lambda _: new, "text")

    def restore(self, asked: Asked) -> Told:
        """An older state as a new edit."""
        draft = self._to.draft(asked)
        old = self._room(draft).at(whole(asked, "revision_wanted"))
        what = f"back to how it was {old.made[:16]}"
        with self._lock:
            now = self._room(draft).state().revision
            return self.changed(
                draft, {**asked, "workshop_revision": now}, lambda _: old.text, what
            )

    def changed(
        self, draft: OpenDraft, asked: Asked, change: Callable[[str], str], what: str
    ) -> Told:
        """Change the workshop's text on the state that was seen, and tell all who read it."""
        with self._lock:
            room = self._room(draft)
            trouble = room.change(change, what, whole(asked, "workshop_revision"))
            if isinstance(trouble, Disagreement):
                revision = room.state().revision
                both = {**asdict(trouble), "workshop_revision": revision}
                raise Disagreed({"disagreement": both, "state": self._to.state(draft, asked)})
            self._tell_all(asked)
            return self._to.state(draft, asked)

    def _walked(self, asked: Asked, *, back: bool) -> Told:
        draft = self._to.draft(asked)
        with self._lock:
            self._room(draft).walk(back=back)
            self._tell_all(asked)
            return self._to.state(draft, asked)

    def _tell_all(self, asked: Asked) -> None:
        """Every open draft that reads a workshop looks again, and its windows with it."""
        for draft in self._to.desk.opened():
            if draft.look():
                self._to.tell(draft, asked, workshop=True)

    def _room(self, draft: OpenDraft) -> Workroom:
        room = workroom_of(self._to.desk, draft.path)
        if room is None:
            raise Refused("there is no workshop.toml in this folder yet")
        return room

    def _told(self, room: Workroom) -> Told:
        journal = self._to.desk.journal
        state = room.state()
        back, forth = journal.back(room.name), journal.forth(room.name)
        return {
            "file": room.name.removeprefix("/"),
            "revision": state.revision,
            "undo": state.what if back else None,
            "redo": forth.what if forth else None,
            "recent": [
                {"revision": revision, "what": what, "made": made}
                for revision, what, made in journal.recent(room.name, LISTED)
            ],
        }
