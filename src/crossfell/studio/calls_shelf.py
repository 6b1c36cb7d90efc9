"""Which calls does the list of pieces make: new, copy, rename, put away?"""

from __future__ import annotations

from crossfell.draft.start import STARTER
from crossfell.studio.answers import Answers, Call, Told
from crossfell.studio.asked import Asked, word
from crossfell.studio.folder import Refused
from crossfell.studio.shelf import card_of, shelf_of
from crossfell.studio.standing import STATES


class ShelfCalls:
    """Calls on the folder."""

    def __init__(self, answers: Answers) -> None:
        self._to = answers
        self.names: dict[str, Call] = {
            "pieces": self.pieces,
            "card": self.card,
            "new": self.new,
            "copy": self.copy,
            "rename": self.rename,
            "shelve": self.shelve,
        }

    def pieces(self, asked: Asked) -> Told:
        """The list of pieces."""
        del asked
        return {"folder": self._to.desk.folder.root.name, "pieces": shelf_of(self._to.desk)}

    def card(self, asked: Asked) -> Told:
        """One piece of the list, with what takes a moment: price and all findings."""
        return card_of(self._to.desk, word(asked, "piece"))

    def new(self, asked: Asked) -> Told:
        """A new draft from the starter."""
        title = word(asked, "title")
        text = STARTER.replace("A first piece", title.replace("\\", "").replace('"', "”"))
        name = self._to.desk.folder.create(file_name(title), text)
        self._to.hub.tell({"event": "pieces"})
        return {"piece": name}

    def copy(self, asked: Asked) -> Told:
        """A copy of a draft beside it."""
        draft = self._to.draft(asked)
        with draft.lock:
            draft.look()
            name = self._to.desk.folder.create(
                word(asked, "name"), draft.text, beside=draft.path.parent
            )
        self._to.hub.tell({"event": "pieces"})
        return {"piece": name}

    def rename(self, asked: Asked) -> Told:
        """Another name for a draft's file; its history goes with it."""
        draft = self._to.draft(asked)
        with draft.lock:
            draft.look()
            name = self._to.desk.folder.rename(draft.name, word(asked, "name"))
            self._to.desk.journal.renamed(draft.name, name)
            self._to.desk.forget(draft.name)
        self._to.hub.tell({"event": "pieces"})
        return {"piece": name}

    def shelve(self, asked: Asked) -> Told:
        """Where a piece stands (nothing: by itself), or whether it is archived."""
        draft = self._to.draft(asked)
        state = None if asked.get("state") is None else word(asked, "state")
        archived = asked.get("archived")
        if state is not None and state not in {"", *STATES}:
            raise Refused(f"a piece is one of: {', '.join(STATES)}")
        self._to.desk.journal.put(
            draft.name, state=state, archived=None if archived is None else bool(archived)
        )
        self._to.hub.tell({"event": "pieces"})
        return {"piece": draft.name}


def file_name(title: str) -> str:
    """A file's name from a title: letters, numbers and hyphens."""
    kept = "".join(c if c.isalnum() else "-" for c in title.lower()).strip("-")
    while "--" in kept:
        kept = kept.replace("--", "-")
    return kept[:60] or "piece"
