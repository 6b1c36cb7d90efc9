"""What can the browser ask for, and what is the answer?

Every call is a POST of JSON to /api/NAME and answers JSON. What cannot be done answers
`{"error": a sentence}` with 400; two changes that cannot both be had answer 409 with both texts.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from crossfell.base.notes import Severity
from crossfell.draft.start import STARTER
from crossfell.drawings.views import view_of
from crossfell.studio.asked import Asked, real, selection, style, table, view, whole, word
from crossfell.studio.desk import Desk, Disagreement, OpenDraft
from crossfell.studio.edits import edit_of
from crossfell.studio.events import Hub
from crossfell.studio.folder import Refused
from crossfell.studio.pointing import (
    Selection,
    band_dragged,
    band_told,
    dragged,
    held,
    outlines,
    pointed,
    selected,
    selection_within,
    units_of,
)
from crossfell.studio.shelf import STATES, shelf_of
from crossfell.studio.showing import (
    is_large,
    later_numbers,
    notes_of,
    quick_notes,
    quick_numbers,
    state_of,
)
from crossfell.studio.tables import tables_of

if TYPE_CHECKING:
    from crossfell.search.remedies import Remedy

Told = dict[str, Any]
MOST_TEXT = 4_000_000


class Disagreed(Exception):  # noqa: N818 -- what happened, not an error
    """Two changes cannot both be had."""

    def __init__(self, told: Told) -> None:
        super().__init__("two changes disagree")
        self.told = told


class Calls:
    """The calls on one desk."""

    def __init__(self, desk: Desk, hub: Hub) -> None:
        self.desk, self.hub = desk, hub
        self.names: dict[str, Callable[[Asked], Told]] = {
            "pieces": self.pieces,
            "new": self.new,
            "copy": self.copy,
            "rename": self.rename,
            "shelve": self.shelve,
            "open": self.open,
            "edit": self.edit,
            "text": self.text,
            "undo": self.undo,
            "redo": self.redo,
            "point": self.point,
            "select": self.select,
            "band": self.band,
            "drag": self.drag,
            "drag-band": self.drag_band,
            "later": self.later,
            "why": self.why,
            "versions": self.versions,
            "name-version": self.name_version,
            "restore": self.restore,
            "make": self.make,
            "tables": self.tables,
            "remedies": self.remedies,
            "mend": self.mend,
        }

    def pieces(self, asked: Asked) -> Told:
        """The list of pieces."""
        del asked
        return {"folder": self.desk.folder.root.name, "pieces": shelf_of(self.desk)}

    def new(self, asked: Asked) -> Told:
        """A new draft from the starter."""
        title = word(asked, "title")
        text = STARTER.replace("A first piece", title.replace("\\", "").replace('"', "”"))
        name = self.desk.folder.create(_file_name(title), text)
        self.hub.tell({"event": "pieces"})
        return {"piece": name}

    def copy(self, asked: Asked) -> Told:
        """A copy of a draft beside it."""
        draft = self._draft(asked)
        with draft.lock:
            draft.look()
            name = self.desk.folder.create(
                word(asked, "name"), draft.text, beside=draft.path.parent
            )
        self.hub.tell({"event": "pieces"})
        return {"piece": name}

    def rename(self, asked: Asked) -> Told:
        """Another name for a draft's file; its history goes with it."""
        draft = self._draft(asked)
        with draft.lock:
            draft.look()
            name = self.desk.folder.rename(draft.name, word(asked, "name"))
            self.desk.journal.renamed(draft.name, name)
            self.desk.forget(draft.name)
        self.hub.tell({"event": "pieces"})
        return {"piece": name}

    def shelve(self, asked: Asked) -> Told:
        """Where a piece stands, or whether it is archived."""
        draft = self._draft(asked)
        state, archived = asked.get("state"), asked.get("archived")
        if state is not None and state not in STATES:
            raise Refused(f"a piece is one of: {', '.join(STATES)}")
        self.desk.journal.put(
            draft.name, state=state, archived=None if archived is None else bool(archived)
        )
        self.hub.tell({"event": "pieces"})
        return {"piece": draft.name}

    def open(self, asked: Asked) -> Told:
        """All that the screen of a piece shows."""
        draft = self._draft(asked)
        with draft.lock:
            draft.look()
            return self._state(draft, asked)

    def edit(self, asked: Asked) -> Told:
        """Make a named edit."""
        draft = self._draft(asked)
        with draft.lock:
            edit = edit_of(table(asked, "edit"), draft.piece)
            return self._changed(draft, asked, edit.change, edit.what)

    def text(self, asked: Asked) -> Told:
        """The text as she wrote it."""
        draft = self._draft(asked)
        new = asked.get("text")
        if not isinstance(new, str) or len(new) > MOST_TEXT:
            raise Refused("`text` is a text")

        def change(old: str) -> str:
            return new.replace("\n", "\r\n") if "\r\n" in old and "\r\n" not in new else new

        with draft.lock:
            return self._changed(draft, asked, change, "text")

    def undo(self, asked: Asked) -> Told:
        """One edit back."""
        return self._walked(asked, OpenDraft.undo)

    def redo(self, asked: Asked) -> Told:
        """One edit forward."""
        return self._walked(asked, OpenDraft.redo)

    def point(self, asked: Asked) -> Told:
        """What lies under a point."""
        draft = self._computable(asked)
        slop = real(asked, "slop") if "slop" in asked else 0.0
        x, y = real(asked, "x"), real(asked, "y")
        return pointed(draft.piece, view(asked), x, y, slop=slop)

    def select(self, asked: Asked) -> Told:
        """Where a selection lies."""
        draft = self._computable(asked)
        return selected(draft.piece, view(asked), selection(asked))

    def band(self, asked: Asked) -> Told:
        """What a band is made of."""
        return band_told(self._computable(asked).piece, view(asked), whole(asked, "band"))

    def drag(self, asked: Asked) -> Told:
        """What would happen if the selection were dropped here; nothing is kept."""
        draft, seen, look = self._computable(asked), view(asked), style(asked)
        piece = draft.piece
        chosen = selection_within(piece, selection(asked))
        if "by" in asked:
            by = held(piece, view_of(piece, seen), chosen, whole(asked, "by"))
        else:
            by = dragged(piece, seen, chosen, real(asked, "from_x"), real(asked, "to_x"))
        if by == 0:
            return {"by": 0}
        over, later = bool(asked.get("over", True)), bool(asked.get("later"))
        return draft.once(
            (seen, look, chosen, by, over, later),
            lambda: self._dragged(draft, (seen, look), chosen, by, over=over, later=later),
        )

    def drag_band(self, asked: Asked) -> Told:
        """What would happen if the band were dropped here; nothing is kept."""
        draft = self._computable(asked)
        from_y, to_y = real(asked, "from_y"), real(asked, "to_y")
        return band_dragged(draft.piece, view(asked), whole(asked, "band"), from_y, to_y)

    def _dragged(
        self,
        draft: OpenDraft,
        look: tuple[str, str],
        chosen: Selection,
        by: int,
        *,
        over: bool,
        later: bool,
    ) -> Told:
        piece, (view, style) = draft.piece, look
        wanted = self._drag_edit(piece, view, chosen, by, over=over)
        edit = edit_of(wanted, piece)
        after = draft.tried(edit.change)
        told: Told = {"by": by, "edit": wanted, "says": edit.what}
        if not after.computable:
            first = next(n for n in after.notes if n.severity is Severity.ERROR)
            return told | {"refused": first.message, "edit": None}
        told["numbers"] = quick_numbers(after)
        if later and not is_large(after):  # the hand rests: there is time for hours and price
            return told | {"later": later_numbers(after)}
        told["slices"] = [asdict(part) for part in draft.slices(view, style, after)]
        told["ghost"] = outlines(after, view_of(after, view), chosen.span, units_of(piece, chosen))
        now = view_of(piece, view)
        step = -by if now.flip_x else by
        told["lands"] = [chosen.first + step, chosen.last + step]
        return told

    @staticmethod
    def _drag_edit(piece: Any, view: str, chosen: Selection, by: int, *, over: bool) -> Told:
        """A crossing, or a shift where nobody is passed."""
        now = view_of(piece, view)
        step = -by if now.flip_x else by
        low, high = (
            (chosen.last + 1, chosen.last + step) if step > 0 else (chosen.first + step,
                                                                   chosen.first - 1)
        )  # fmt: skip
        passed = units_of(piece, Selection(chosen.span, low, high, chosen.span))
        same: Told = {"span": chosen.span, "first": chosen.first, "last": chosen.last, "view": view}
        if passed:
            return same | {"do": "cross", "by": by, "over": over}
        return same | {"do": "shift", "side": "right" if by > 0 else "left", "by": str(abs(by))}

    def later(self, asked: Asked) -> Told:
        """Hours, price, and every finding."""
        draft = self._computable(asked)
        revision, piece = draft.state.revision, draft.piece
        if is_large(piece):
            return {
                "revision": revision,
                "numbers": [],
                "notes": notes_of(piece, quick_notes(piece)),
            }
        notes = notes_of(piece, piece.notes)
        return {"revision": revision, "numbers": later_numbers(piece), "notes": notes}

    def why(self, asked: Asked) -> Told:
        """How a number came about."""
        from crossfell.facts.why import Unknown, because, can_be_asked

        draft = self._computable(asked)
        what = word(asked, "what")
        if not what:
            return {"ways": can_be_asked(draft.piece)}
        answer = because(draft.piece, what)
        if isinstance(answer, Unknown):
            raise Refused(answer.says)
        lines = [{"line": w.line, "file": w.file} for w in answer.lines if w.line]
        return {"what": answer.what, "value": answer.value, "unit": answer.unit,
                "rule": answer.rule, "formula": answer.formula, "source": answer.source,
                "values": [list(pair) for pair in answer.values], "lines": lines}  # fmt: skip

    def versions(self, asked: Asked) -> Told:
        """Named versions, and what was done lately."""
        draft = self._draft(asked)
        journal = self.desk.journal
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
        draft = self._draft(asked)
        name = word(asked, "name").strip()
        if not name:
            raise Refused("a version needs a name")
        self.desk.journal.name_version(draft.name, name, draft.state.revision)
        return self.versions(asked)

    def restore(self, asked: Asked) -> Told:
        """Bring back an old state as a new edit."""
        draft = self._draft(asked)
        with draft.lock:
            draft.restore(whole(asked, "revision_wanted"))
            self._tell(draft, asked)
            return self._state(draft, asked)

    def tables(self, asked: Asked) -> Told:
        """Every key of the draft in tables."""
        draft = self._draft(asked)
        return {"revision": draft.state.revision, "tables": tables_of(draft.piece.draft)}

    def remedies(self, asked: Asked) -> Told:
        """What helps a piece that swings, drifts or hangs slack, with effect and cost."""
        from crossfell.search.mending import cost_told, standing_told

        draft = self._computable(asked)
        piece, found = draft.piece, self._found(draft)
        rows = [
            {"number": k, "says": remedy.says, "effect": standing_told(piece, remedy.after),
             "cost": cost_told(remedy)}
            for k, remedy in enumerate(found)
        ]  # fmt: skip
        return {"revision": draft.state.revision, "remedies": rows}

    def mend(self, asked: Asked) -> Told:
        """Write one of these remedies into the draft."""
        draft, number = self._computable(asked), whole(asked, "number")
        found = self._found(draft)
        if not 0 <= number < len(found) or whole(asked, "revision") != draft.state.revision:
            raise Refused("the draft has changed since; ask again what would help")
        remedy = found[number]
        with draft.lock:
            return self._changed(draft, asked, lambda _: remedy.text, remedy.says)

    @staticmethod
    def _found(draft: OpenDraft) -> Sequence[Remedy]:
        from crossfell.search.remedies import remedies_of

        piece = draft.piece
        return draft.found(lambda: remedies_of(piece))

    def make(self, asked: Asked) -> Told:
        """Make pictures, papers and facts beside the draft."""
        from crossfell.papers.make import PARTS, USUAL, make_all

        draft = self._computable(asked)
        folder = draft.path.with_suffix(".made")
        wanted = [str(part) for part in asked.get("parts") or USUAL if part in PARTS]
        made = make_all(draft.piece, folder, wanted)
        return {"files": [{"file": path.relative_to(folder).as_posix(), "says": says}
                          for path, says in made]}  # fmt: skip

    def _changed(
        self, draft: OpenDraft, asked: Asked, change: Callable[[str], str], what: str
    ) -> Told:
        trouble = draft.change(change, what, whole(asked, "revision"))
        if isinstance(trouble, Disagreement):
            told = {"disagreement": asdict(trouble), "state": self._state(draft, asked)}
            raise Disagreed(told)
        self._tell(draft, asked)
        return self._state(draft, asked)

    def _walked(self, asked: Asked, walk: Callable[[OpenDraft], bool]) -> Told:
        draft = self._draft(asked)
        with draft.lock:
            walk(draft)
            self._tell(draft, asked)
            return self._state(draft, asked)

    def _tell(self, draft: OpenDraft, asked: Asked) -> None:
        self.hub.tell({"event": "piece", "piece": draft.name, "revision": draft.state.revision,
                       "by": str(asked.get("window", ""))})  # fmt: skip

    def _state(self, draft: OpenDraft, asked: Asked) -> Told:
        state = state_of(draft, view=view(asked), style=style(asked))
        back = self.desk.journal.back(draft.name)
        forth = self.desk.journal.forth(draft.name)
        state["undo"] = draft.state.what if back else None
        state["redo"] = forth.what if forth else None
        return state

    def _draft(self, asked: Asked) -> OpenDraft:
        return self.desk.open(word(asked, "piece"))

    def _computable(self, asked: Asked) -> OpenDraft:
        draft = self._draft(asked)
        if not draft.piece.computable:
            raise Refused("the draft has errors; set them right first")
        return draft


def _file_name(title: str) -> str:
    """A file's name from a title: letters, numbers and hyphens."""
    kept = "".join(c if c.isalnum() else "-" for c in title.lower()).strip("-")
    while "--" in kept:
        kept = kept.replace("--", "-")
    return kept[:60] or "piece"
