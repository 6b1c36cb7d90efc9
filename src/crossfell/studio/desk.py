"""What lies open on the desk: a draft's text, its piece, and every way to change it?

Every change becomes a state of the journal, then the file is replaced whole, then it is
acknowledged. A change is made on the state that its maker saw: if the draft has moved on, in
another window or by another program, both changes are merged, or shown side by side; neither is
ever written over.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar
from weakref import WeakKeyDictionary

from crossfell.base.notes import Severity
from crossfell.draft.model import Draft
from crossfell.draft.reader import read_draft
from crossfell.drawings.slices import Slice, slices_of
from crossfell.piece import Piece, piece_after
from crossfell.studio.folder import Folder, Refused
from crossfell.studio.journal import Journal, State
from crossfell.studio.merge import merged
from crossfell.studio.sheets import Seen, Sheets
from crossfell.studio.splice import splice_of

MOST_ANSWERS = 40
MOST_LATELY = 6
MOST_TEXTS = 4
Look = tuple[str, str]  # view and style
if TYPE_CHECKING:
    from crossfell.search.remedies import Remedy

Change = Callable[[str], str]
Answer = TypeVar("Answer")


@dataclass(frozen=True, slots=True)
class Disagreement:
    """Two changes that cannot both be had: the text they came from, mine, and what is there."""

    base: str
    mine: str
    theirs: str


class Desk:
    """The open drafts of a folder."""

    def __init__(self, folder: Folder, journal: Journal) -> None:
        self.folder, self.journal = folder, journal
        self._open: dict[str, OpenDraft] = {}
        self._lock = threading.RLock()

    def open(self, piece: str) -> OpenDraft:
        """Open a draft, or find it open. Errors: Refused when there is none of that name."""
        with self._lock:
            found = self._open.get(piece)
            if found is None or not found.path.exists():
                found = OpenDraft(self, piece, self.folder.path_of(piece))
                self._open[piece] = found
            return found

    def opened(self) -> list[OpenDraft]:
        """Everything that is open."""
        with self._lock:
            return list(self._open.values())

    def forget(self, piece: str) -> None:
        """A draft has another name now."""
        with self._lock:
            self._open.pop(piece, None)


class OpenDraft:
    """One open draft. All its methods may be called from several threads."""

    def __init__(self, desk: Desk, name: str, path: Path) -> None:
        self.name, self.path, self._desk = name, path, desk
        self.lock = threading.RLock()
        self.fault = ""
        self._workshop: tuple[str, str] | None = None
        self._answers_of: Piece | None = None
        self._found_of: Piece | None = None
        self._found: Sequence[Remedy] = ()
        self._answers: dict[object, Any] = {}
        self._slices: WeakKeyDictionary[Piece, dict[Look, tuple[Slice, ...]]] = WeakKeyDictionary()
        self._former: Piece | None = None  # the last that could be worked out, stands or was tried
        self._lately: dict[tuple[str, str], Piece] = {}  # by text and workshop: the last few
        self._sheets = Sheets()
        self._texts: dict[int, str] = {}  # by revision: the last few that were told
        state = desk.journal.current(name)
        text = self._on_disk()
        if text is None:
            self.state = state or State(0, name, "", "", "", None)
        elif state is None:
            self.state = desk.journal.add(name, text, "opened")
        elif state.text != text:
            self.state = desk.journal.add(name, text, "changed by another program")
        else:
            self.state = state
        self.piece = self._computed(self.state.text)
        self._stamp = self._seen()

    @property
    def text(self) -> str:
        """The text as it stands."""
        return self.state.text

    def slices(self, view: str, style: str, piece: Piece | None = None) -> tuple[Slice, ...]:
        """The slices of a view of the piece as it stands, or as tried; worked out once."""
        with self.lock:
            return self._slices_of_piece(piece or self.piece, view, style)

    def _slices_of_piece(self, piece: Piece, view: str, style: str) -> tuple[Slice, ...]:
        kept = self._slices.setdefault(piece, {})
        if (view, style) not in kept:
            kept[view, style] = slices_of(piece, view, style)
        return kept[view, style]

    def look(self) -> bool:
        """See whether another program changed the draft or the workshop; True when it did."""
        with self.lock:
            stamp = self._seen()
            if stamp == self._stamp:
                return False
            self._stamp = stamp
            text = self._on_disk()
            workshop = self._workshop
            if text is None:
                return False
            if text != self.state.text:
                self.state = self._desk.journal.add(self.name, text, "changed by another program")
            elif self._read_workshop() == workshop:
                return False
            self.piece = self._computed(self.state.text)
            return True

    def change(self, change: Change, what: str, revision: int) -> Disagreement | None:
        """Make a change on the state `revision`; returns the disagreement when there is one.

        Errors: Refused, or whatever `change` raises, when it cannot be made; then nothing was.
        """
        with self.lock:
            self.look()
            if self.fault:
                raise Refused(self.fault)
            base = self.state if revision == self.state.revision else self._state(revision)
            mine = change(base.text)
            both = merged(base.text, mine, self.state.text)
            if not both.agreed:
                return Disagreement(base.text, mine, self.state.text)
            piece = self._computed(both.text)
            if revision != self.state.revision and self._spoiled(piece, mine):
                return Disagreement(base.text, mine, self.state.text)
            if both.text != self.state.text:
                self._keep(self._desk.journal.add(self.name, both.text, what), piece)
            return None

    def once(self, key: object, made: Callable[[], Answer]) -> Answer:
        """What was worked out for a question on this state; the same question is answered again.

        It is worked out without the lock: an edit never waits for a question.
        """
        with self.lock:
            if self._answers_of is not self.piece:
                self._answers_of, self._answers = self.piece, {}
            answers = self._answers
        if key not in answers:
            answer = made()
            if len(answers) >= MOST_ANSWERS:
                answers.clear()
            answers[key] = answer
            return answer
        known: Answer = answers[key]
        return known

    def found(self, search: Callable[[], Sequence[Remedy]]) -> Sequence[Remedy]:
        """What a search found for the piece as it stands; not searched again for the same one."""
        piece = self.piece
        if self._found_of is not piece:
            found = search()  # may take seconds: she works on meanwhile
            self._found_of, self._found = piece, found
        return self._found

    def tried(self, text: str) -> Piece:
        """The piece as it would be with another text; the draft stays as it is."""
        with self.lock:
            return self._computed(text)

    def text_told(self, revision: int) -> dict[str, Any]:
        """The text, or what changed in it since a state whose text was told not long ago."""
        with self.lock:
            old, now = self._texts.get(revision), self.state.revision
            self._texts.pop(now, None)
            self._texts[now] = self.text
            while len(self._texts) > MOST_TEXTS:
                del self._texts[next(iter(self._texts))]
            return {"text": self.text} if old is None else {"splice": splice_of(old, self.text)}

    def lacking(
        self, view: str, style: str, seen: Seen, piece: Piece | None = None
    ) -> dict[str, Any]:
        """What a window lacks of the slices that it sees: of the piece as it stands, or as tried.

        A window that waits for a sheet by its key may see a piece that was lately tried.
        """
        with self.lock:
            shown = piece or self._waited_for(view, style, seen.waits) or self.piece
            if not shown.computable:
                raise Refused("the draft has errors; it has no picture")
            slices = self._slices_of_piece(shown, view, style)
            return self._sheets.lacking(shown, (view, style), slices, seen)

    def _waited_for(self, view: str, style: str, key: str) -> Piece | None:
        for piece in (self.piece, *reversed(self._lately.values())) if key else ():
            slices = self._slices_of_piece(piece, view, style) if piece.computable else ()
            if any(part.key == key for part in slices):
                return piece
        return None

    def undo(self) -> bool:
        """Go back by one edit."""
        return self._walk(self._desk.journal.back(self.name), self._desk.journal.go_back)

    def redo(self) -> bool:
        """Go forward again."""
        return self._walk(self._desk.journal.forth(self.name), self._desk.journal.go_forth)

    def restore(self, revision: int) -> None:
        """Bring back the text of any state, as a new edit."""
        old = self._state(revision)
        self.change(lambda _: old.text, f"back to how it was {old.made[:16]}", self.state.revision)

    def piece_at(self, revision: int) -> Piece:
        """The piece of another state."""
        return self._computed(self._state(revision).text)

    def _walk(self, target: State | None, go: Callable[[str], None]) -> bool:
        with self.lock:
            if self.look():
                return False
            if target is None:
                return False
            go(self.name)
            self._keep(target, self._computed(target.text))
            return True

    def _keep(self, state: State, piece: Piece) -> None:
        self._desk.folder.save(self.path, state.text)
        self.state, self.piece = state, piece
        self._stamp = self._seen()

    def _state(self, revision: int) -> State:
        state = self._desk.journal.state(self.name, revision)
        if state is None:
            raise Refused("that state of the draft is not in the journal")
        return state

    def _spoiled(self, piece: Piece, mine: str) -> bool:
        """Whether merging brought errors that neither text had."""
        had = _errors(self.piece.draft) + _errors(self._computed(mine).draft)
        return _errors(piece.draft) > 0 and had == 0

    def _computed(self, text: str) -> Piece:
        """The piece of a text; a text that was tried a moment ago is not worked out again."""
        workshop = self._read_workshop()
        self._workshop = workshop
        behind, name = workshop or (None, "workshop.toml")
        key = (text, behind or "")
        piece = self._lately.pop(key, None)
        if piece is None:
            former = self._former
            draft = read_draft(
                text,
                file=self.path.name,
                workshop=behind,
                workshop_file=name,
                former=former.draft if former else None,
            )
            piece = piece_after(former, draft) if former else Piece(draft)
            self._former = piece if piece.computable else former
        self._lately[key] = piece
        while len(self._lately) > MOST_LATELY:
            self._lately.pop(next(iter(self._lately)))
        return piece

    def _read_workshop(self) -> tuple[str, str] | None:
        path = self._desk.folder.workshop_of(self.path)
        if path is None:
            return None
        try:
            return self._desk.folder.read(path).decode("utf-8"), path.name
        except (OSError, UnicodeDecodeError, Refused):
            return None

    def _on_disk(self) -> str | None:
        self.fault = ""
        try:
            return self._desk.folder.read(self.path).decode("utf-8")
        except UnicodeDecodeError:
            self.fault = f"{self.path.name} is not plain text in UTF-8; save it again as UTF-8"
        except (OSError, Refused) as problem:
            says = getattr(problem, "strerror", None) or str(problem)
            self.fault = f"{self.path.name} cannot be read: {says}"
        return None

    def _seen(self) -> tuple[object, ...]:
        paths = [self.path, self._desk.folder.workshop_of(self.path)]
        return tuple(_stamp(path) for path in paths if path)


def _stamp(path: Path) -> object:
    try:
        seen = path.stat()
    except FileNotFoundError:
        return None
    return (seen.st_mtime_ns, seen.st_size, seen.st_ino)


def _errors(draft: Draft) -> int:
    return sum(note.severity is Severity.ERROR for note in draft.notes)
