"""Which calls open a draft, change it, and go back and forth in its history?"""

from __future__ import annotations

from dataclasses import asdict

from crossfell.studio.answers import Answers, Call, Told
from crossfell.studio.asked import Asked, table, whole, word
from crossfell.studio.desk import OpenDraft
from crossfell.studio.edits import edit_of
from crossfell.studio.folder import Refused

MOST_TEXT = 4_000_000


class DraftCalls:
    """Calls on one draft."""

    def __init__(self, answers: Answers) -> None:
        self._to = answers
        self.names: dict[str, Call] = {
            "open": self.open,
            "edit": self.edit,
            "text": self.text,
            "undo": self.undo,
            "redo": self.redo,
            "versions": self.versions,
            "name-version": self.name_version,
            "restore": self.restore,
        }

    def open(self, asked: Asked) -> Told:
        """All that the screen of a piece shows."""
        draft = self._to.draft(asked)
        with draft.lock:
            draft.look()
            return self._to.state(draft, asked)

    def edit(self, asked: Asked) -> Told:
        """Make a named edit."""
        draft = self._to.draft(asked)
        with draft.lock:
            edit = edit_of(table(asked, "edit"), draft.piece)
            return self._to.changed(draft, asked, edit.change, edit.what)

    def text(self, asked: Asked) -> Told:
        """The text as she wrote it."""
        draft = self._to.draft(asked)
        new = asked.get("text")
        if not isinstance(new, str) or len(new) > MOST_TEXT:
            raise Refused("`text` is a text")

        def change(old: str) -> str:
            return new.replace("\n", "\r\n") if "\r\n" in old and "\r\n" not in new else new

        with draft.lock:
            return self._to.changed(draft, asked, change, "text")

    def undo(self, asked: Asked) -> Told:
        """One edit back."""
        return self._to.walked(asked, OpenDraft.undo)

    def redo(self, asked: Asked) -> Told:
        """One edit forward."""
        return self._to.walked(asked, OpenDraft.redo)

    def versions(self, asked: Asked) -> Told:
        """Named versions, and what was done lately."""
        draft = self._to.draft(asked)
        journal = self._to.desk.journal
        return {
            "revision": draft.state.revision,
            "versions": [asdict(version) for version in journal.versions(draft.name)],
            "recent": [
                {"revision": revision, "what": what, "made": made}
                for revision, what, made in journal.recent(draft.name)
            ],
        }

    def name_version(self, asked: Asked) -> Told:
        """Give the state that is shown a name."""
        draft = self._to.draft(asked)
        name = word(asked, "name").strip()
        if not name:
            raise Refused("a version needs a name")
        self._to.desk.journal.name_version(draft.name, name, draft.state.revision)
        return self.versions(asked)

    def restore(self, asked: Asked) -> Told:
        """Bring back an old state as a new edit."""
        draft = self._to.draft(asked)
        with draft.lock:
            draft.restore(whole(asked, "revision_wanted"))
            self._to.tell(draft, asked)
            return self._to.state(draft, asked)
