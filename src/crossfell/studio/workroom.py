"""How is the workshop.toml of a folder changed from its tables without losing anybody's words?

As with drafts: an edit says which state it was made on; every state is in the journal before it is
acknowledged; the file is replaced whole; what another window or program did meanwhile is merged or
shown side by side. The journal knows a workshop by its way below the folder, with a `/` before it,
which no draft's name has.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from crossfell.draft.files import workshops_of
from crossfell.studio.desk import Desk, Disagreement
from crossfell.studio.folder import Refused
from crossfell.studio.journal import State
from crossfell.studio.merge import merged

Change = Callable[[str], str]


@dataclass(frozen=True, slots=True)
class Workroom:
    """A workshop's file as it is worked on; whoever changes it holds one lock for all of them."""

    desk: Desk
    path: Path

    @property
    def name(self) -> str:
        """What the journal calls it."""
        return "/" + self.path.relative_to(self.desk.folder.root).as_posix()

    def state(self) -> State:
        """The text as it stands on the disk, and its revision. Errors: Refused."""
        text, known = self._on_disk(), self.desk.journal.current(self.name)
        if known is not None and known.text == text:
            return known
        what = "opened" if known is None else "changed by another program"
        return self.desk.journal.add(self.name, text, what)

    def change(self, change: Change, what: str, revision: int) -> Disagreement | None:
        """Make a change on the state `revision`; the disagreement when there is one.

        Errors: Refused, or whatever `change` raises; then nothing was made.
        """
        now = self.state()
        base = now if revision == now.revision else self.at(revision)
        mine = change(base.text)
        both = merged(base.text, mine, now.text)
        if not both.agreed:
            return Disagreement(base.text, mine, now.text)
        if both.text != now.text:
            self.keep(self.desk.journal.add(self.name, both.text, what))
        return None

    def at(self, revision: int) -> State:
        """An older state. Errors: Refused."""
        state = self.desk.journal.state(self.name, revision)
        if state is None:
            raise Refused("that state of the workshop is not in the journal")
        return state

    def walk(self, *, back: bool) -> None:
        """One edit back, or forward again; nothing where there is none."""
        self.state()
        journal = self.desk.journal
        target = journal.back(self.name) if back else journal.forth(self.name)
        if target is not None:
            (journal.go_back if back else journal.go_forth)(self.name)
            self.keep(target)

    def keep(self, state: State) -> None:
        """Write a state that the journal has into the file."""
        self.desk.folder.save(self.path, state.text)

    def _on_disk(self) -> str:
        try:
            return self.desk.folder.read(self.path).decode("utf-8")
        except UnicodeDecodeError:
            raise Refused(f"{self.path.name} is not plain text in UTF-8") from None


def workroom_of(desk: Desk, draft: Path) -> Workroom | None:
    """The workshop that stands behind a draft, if there is one in the folder."""
    path = desk.folder.workshop_of(draft)
    return None if path is None else Workroom(desk, path)


def begun(desk: Desk, draft: Path, text: str) -> Workroom:
    """A new workshop for a draft and its neighbours: in the folder above it, if that is open too.

    Errors: Refused when there is one already.
    """
    beside, above = workshops_of(draft)
    path = above if above.parent.is_relative_to(desk.folder.root) else beside
    if desk.folder.workshop_of(draft) is not None:
        raise Refused("there is a workshop.toml already")
    made = Workroom(desk, path)
    with made.path.open("x", encoding="utf-8", newline=""):
        pass  # refuses to write over a file that came meanwhile
    made.keep(desk.journal.add(made.name, text, "begun"))
    return made
