"""What lies under the hand, and what would happen if it were dropped here?"""

from __future__ import annotations

from typing import Any

from crossfell.base.notes import Severity
from crossfell.drawings.views import view_of
from crossfell.studio.answers import Answers, Call, Told
from crossfell.studio.asked import Asked, real, seen, selection, style, view, whole, word
from crossfell.studio.desk import OpenDraft
from crossfell.studio.edits import edit_of
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
from crossfell.studio.showing import is_large, quick_numbers, slices_told


class HandCalls:
    """Calls of mouse, finger and keys on the picture; none changes the draft."""

    def __init__(self, answers: Answers) -> None:
        self._to = answers
        self.names: dict[str, Call] = {
            "point": self.point,
            "select": self.select,
            "band": self.band,
            "drag": self.drag,
            "drag-band": self.drag_band,
            "sheets": self.sheets,
        }

    def point(self, asked: Asked) -> Told:
        """What lies under a point."""
        draft = self._to.computable(asked)
        slop = real(asked, "slop") if "slop" in asked else 0.0
        x, y = real(asked, "x"), real(asked, "y")
        return pointed(draft.piece, view(asked), x, y, slop=slop)

    def select(self, asked: Asked) -> Told:
        """Where a selection lies."""
        draft = self._to.computable(asked)
        return selected(draft.piece, view(asked), selection(asked))

    def band(self, asked: Asked) -> Told:
        """What a band is made of."""
        return band_told(self._to.computable(asked).piece, view(asked), whole(asked, "band"))

    def drag(self, asked: Asked) -> Told:
        """What would happen if the selection were dropped here; nothing is kept."""
        draft, looks = self._to.computable(asked), (view(asked), style(asked))
        piece = draft.piece
        chosen = selection_within(piece, selection(asked))
        if "by" in asked:
            by = held(piece, view_of(piece, looks[0]), chosen, whole(asked, "by"))
        else:
            by = dragged(piece, looks[0], chosen, real(asked, "from_x"), real(asked, "to_x"))
        if by == 0:
            return {"by": 0}
        over, later, sees = bool(asked.get("over", True)), bool(asked.get("later")), seen(asked)
        told, text = draft.once(
            (looks, chosen, by, over),
            lambda: self._dragged(draft, looks, chosen, by, over=over),
        )
        if not told.get("slices"):
            return told
        if later:  # the hand rests: there is time for hours and price
            return told | {"later": self._later(draft, asked, text)}
        if sees:
            return told | {"drawn": draft.lacking(*looks, sees, draft.tried(text))}
        return told

    def _later(self, draft: OpenDraft, asked: Asked, text: str) -> list[Told] | None:
        after = draft.tried(text)
        asker = (word(asked, "window"), draft.name, "carried")
        told = None if is_large(after) else self._to.aside.later(after.draft, asker)
        return told["numbers"] if told else None

    def sheets(self, asked: Asked) -> Told:
        """What is lacking of the slices that are seen."""
        draft, sees = self._to.draft(asked), seen(asked)
        if sees is None:
            raise Refused("`seen` says what is seen")
        return {"drawn": draft.lacking(view(asked), style(asked), sees)}

    def drag_band(self, asked: Asked) -> Told:
        """What would happen if the band were dropped here; nothing is kept."""
        draft = self._to.computable(asked)
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
    ) -> tuple[Told, str]:
        """What is told, and the text as it would be."""
        piece, (view, style) = draft.piece, look
        wanted = self._drag_edit(piece, view, chosen, by, over=over)
        edit = edit_of(wanted, piece)
        text = edit.change(draft.text)
        after = draft.tried(text)
        told: Told = {"by": by, "edit": wanted, "says": edit.what}
        if not after.computable:
            first = next(n for n in after.notes if n.severity is Severity.ERROR)
            return told | {"refused": first.message, "edit": None}, text
        told["numbers"] = quick_numbers(after)
        told["slices"] = slices_told(draft.slices(view, style, after))
        told["ghost"] = outlines(after, view_of(after, view), chosen.span, units_of(piece, chosen))
        now = view_of(piece, view)
        step = now.frame.side(by)
        told["lands"] = [chosen.first + step, chosen.last + step]
        return told, text

    @staticmethod
    def _drag_edit(piece: Any, view: str, chosen: Selection, by: int, *, over: bool) -> Told:
        """A crossing, or a shift where nobody is passed."""
        now = view_of(piece, view)
        step = now.frame.side(by)
        low, high = (
            (chosen.last + 1, chosen.last + step) if step > 0 else (chosen.first + step,
                                                                   chosen.first - 1)
        )  # fmt: skip
        passed = units_of(piece, Selection(chosen.span, low, high, chosen.span))
        same: Told = {"span": chosen.span, "first": chosen.first, "last": chosen.last, "view": view}
        if passed:
            return same | {"do": "cross", "by": by, "over": over}
        return same | {"do": "shift", "side": "right" if by > 0 else "left", "by": str(abs(by))}
