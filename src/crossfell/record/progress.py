"""Where is she in the plan, after all that was ticked, even if the draft was changed meanwhile?"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from crossfell.plan.model import WITH_BOBBINS, WITH_STRIPS, Step
from crossfell.record.events import Event, StepMark
from crossfell.record.identity import indices_of, is_way_back


@dataclass(frozen=True, kw_only=True)
class Progress:
    """Where she is."""

    at: int  # index of the step to do next; as many as steps: the piece is done
    done: tuple[StepMark, ...]  # in the order in which they were done
    gone: tuple[StepMark, ...] = ()  # done, but not in the plan any more
    new: tuple[int, ...] = ()  # indices of steps before `at` that were not done as now planned
    in_the_middle: bool = False  # the draft was changed where she was just at work

    @property
    def changed(self) -> bool:
        """Whether what was done and what is planned now differ."""
        return bool(self.gone or self.new)

    @property
    def says(self) -> str:
        """What differs, in one or two sentences; empty if nothing."""
        if not self.changed:
            return ""
        where = _where([*self.gone], "span") or _where([*self.gone], "band")
        what = f" in {where}" if where else ""
        if self.in_the_middle:
            return (
                f"The plan was changed{what} while you were at work there: compare the loom "
                "with the picture before you go on."
            )
        return (
            f"The plan was changed{what} after that was done: the loom has it as it was "
            f"before. The plan goes on from what was done last."
        )


def done_steps(events: Iterable[Event]) -> tuple[StepMark, ...]:
    """Steps done, in the order of doing: ticks that were not taken back, each once.

    A second tick of a step changes nothing, nor does a `back` of a step that is not the last
    one done (another screen has gone on since). Where a span is written down as it was really
    woven, what was ticked in it before no longer counts.
    """
    done: dict[str, StepMark] = {}
    for event in events:
        if event.kind == "woven" and "span" in event.says:
            span = event.says["span"]
            done = {key: mark for key, mark in done.items() if mark.span != span}
        if event.step is None:
            continue
        if event.kind == "tick":
            done.setdefault(event.step.key, event.step)
        elif event.kind == "back" and done and next(reversed(done)) == event.step.key:
            done.popitem()
    return tuple(done.values())


def progress_of(steps: Sequence[Step], keys: Sequence[str], done: Sequence[StepMark]) -> Progress:
    """Where she is in steps with these keys after what was done.

    Steps of a way back that is no longer one (the draft was changed since) are no news.
    """
    at_marks = zip(done, indices_of(done, steps, keys), strict=True)
    news = [(mark, i) for mark, i in at_marks if i is not None or not is_way_back(mark.key)]
    known = {i for _, i in news if i is not None}
    at = max(known, default=-1) + 1
    settled = _settled(done)
    gone = tuple(mark for mark, i in news if i is None and not settled(mark.kind, mark.span))
    new = (i for i in range(at) if i not in known)
    return Progress(
        at=at,
        done=tuple(mark for mark, _ in news),
        gone=gone,
        new=tuple(i for i in new if not settled(steps[i].kind, steps[i].span)),
        in_the_middle=bool(gone) and news[-1][1] is None,
    )


def _settled(done: Sequence[StepMark]) -> Callable[[str, int | None], bool]:
    """Whether steps of a kind in a span count no more: how she handled units that lie by now.

    A plan can be made otherwise by a later version. Once she has looked at the strips of a span it
    does not matter in which hands they were laid; nor that of bobbins once their weights hang.
    """
    looked = {mark.span for mark in done if mark.kind == "check"}
    hung = {mark.span for mark in done if mark.kind == "weights-on"}

    def settled(kind: str, span: int | None) -> bool:
        return span in looked if kind in WITH_STRIPS else kind in WITH_BOBBINS and span in hung

    return settled


def _where(marks: Sequence[StepMark], what: str) -> str:
    numbers = sorted({n for mark in marks if (n := getattr(mark, what)) is not None})
    if not numbers:
        return ""
    listed = ", ".join(map(str, numbers))
    return f"{what} {listed}" if len(numbers) == 1 else f"{what}s {listed}"
