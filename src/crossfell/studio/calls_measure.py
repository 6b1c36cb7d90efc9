"""Which calls take what was measured at the bench into the piece or the workshop?"""

from __future__ import annotations

from functools import partial

from crossfell.studio.answers import Answers, Call, Told
from crossfell.studio.asked import Asked, word
from crossfell.studio.bench import measured_of, measured_told, taken_over, trials_told
from crossfell.studio.calls_workshop import WorkshopCalls
from crossfell.studio.folder import Refused


class MeasureCalls:
    """Calls of the bench sheet."""

    def __init__(self, answers: Answers, workshop: WorkshopCalls) -> None:
        self._to, self._workshop = answers, workshop
        self.names: dict[str, Call] = {
            "trials": self.trials,
            "measured": self.measured,
            "take-measured": self.take,
        }

    def trials(self, asked: Asked) -> Told:
        """The bench sheet."""
        return {"trials": trials_told(self._to.draft(asked).piece.draft)}

    def measured(self, asked: Asked) -> Told:
        """What readings come to, and what that would change in the piece; nothing is written."""
        draft, found = self._to.computable(asked), measured_of(asked)
        before = draft.piece
        after = draft.tried(taken_over(draft.text, found))
        return {"revision": draft.state.revision, **measured_told(before, after, found)}

    def take(self, asked: Asked) -> Told:
        """Write the value into the piece or the workshop."""
        draft, found, into = self._to.draft(asked), measured_of(asked), word(asked, "into")
        change, what = partial(taken_over, found=found), f"measured: {found.told}"
        if into == "workshop" and found.table != "band":
            return self._workshop.changed(draft, asked, change, what)
        if into != "draft":
            raise Refused("it is taken into the draft or the workshop")
        with draft.lock:
            return self._to.changed(draft, asked, change, what)
