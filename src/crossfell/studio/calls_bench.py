"""Which calls show more of a piece: why, hours and price, tables, remedies, papers?"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from crossfell.studio.answers import NO_STATE, Answers, Call, Told
from crossfell.studio.asked import Asked, whole, word
from crossfell.studio.desk import OpenDraft
from crossfell.studio.folder import Refused
from crossfell.studio.hanging import hung_told
from crossfell.studio.paging import pages_told
from crossfell.studio.showing import is_large, notes_of, quick_notes

if TYPE_CHECKING:
    from crossfell.search.remedies import Remedy


class BenchCalls:
    """Calls of the panels beside the picture."""

    def __init__(self, answers: Answers) -> None:
        self._to = answers
        self.names: dict[str, Call] = {
            "later": self.later,
            "hung": self.hung,
            "why": self.why,
            "remedies": self.remedies,
            "mend": self.mend,
            "make": self.make,
            "pages": self.pages,
        }

    def later(self, asked: Asked) -> Told:
        """Hours, price, and every finding."""
        draft = self._to.computable(asked)
        revision, piece = draft.state.revision, draft.piece
        if is_large(piece):
            return {
                "revision": revision,
                "numbers": [],
                "notes": notes_of(piece, quick_notes(piece)),
            }
        asker = (word(asked, "window"), draft.name, "stands")
        told = self._to.aside.later(piece.draft, asker)
        if told is None:  # the window has asked again since, and takes this answer for no state
            return {"revision": NO_STATE, "numbers": [], "notes": []}
        return {"revision": revision, **told}

    def hung(self, asked: Asked) -> Told:
        """Work out how the piece comes to rest; its pictures are there after that."""
        return hung_told(self._to.draft(asked))

    def why(self, asked: Asked) -> Told:
        """How a number came about."""
        from crossfell.facts.why import Unknown, because, can_be_asked
        from crossfell.studio.explaining import why_told

        draft = self._to.computable(asked)
        what = word(asked, "what")
        if not what:
            return {"ways": can_be_asked(draft.piece)}
        answer = because(draft.piece, what)
        if isinstance(answer, Unknown):
            raise Refused(answer.says)
        return why_told(answer, draft.piece.draft)

    def remedies(self, asked: Asked) -> Told:
        """What helps a piece that swings, drifts or hangs slack, with effect and cost."""
        from crossfell.search.mending import cost_told, standing_told

        draft = self._to.computable(asked)
        piece, found = draft.piece, self._found(draft)
        rows = [
            {"number": k, "says": remedy.says, "effect": standing_told(piece, remedy.after),
             "cost": cost_told(remedy)}
            for k, remedy in enumerate(found)
        ]  # fmt: skip
        return {"revision": draft.state.revision, "remedies": rows}

    def mend(self, asked: Asked) -> Told:
        """Write one of these remedies into the draft."""
        draft, number = self._to.computable(asked), whole(asked, "number")
        found = self._found(draft)
        if not 0 <= number < len(found) or whole(asked, "revision") != draft.state.revision:
            raise Refused("the draft has changed since; ask again what would help")
        remedy = found[number]
        with draft.lock:
            return self._to.changed(draft, asked, lambda _: remedy.text, remedy.says)

    def make(self, asked: Asked) -> Told:
        """Make pictures, papers and facts beside the draft."""
        from crossfell.papers.make import PARTS, USUAL, make_all

        draft = self._to.computable(asked)
        folder = draft.path.with_suffix(".made")
        parts = asked.get("parts") or list(USUAL)
        if not isinstance(parts, list):
            raise Refused("`parts` is a list of parts")
        wanted = [part for part in PARTS if part in parts]
        made = make_all(draft.piece, folder, wanted)
        return {"files": [{"file": path.relative_to(folder).as_posix(), "says": says}
                          for path, says in made]}  # fmt: skip

    @staticmethod
    def _found(draft: OpenDraft) -> Sequence[Remedy]:
        from crossfell.search.remedies import remedies_of

        piece = draft.piece
        return draft.found(lambda: remedies_of(piece))

    def pages(self, asked: Asked) -> Told:
        """How many pages a made paper has, and how large they are."""
        return pages_told(self._to.desk, asked)
