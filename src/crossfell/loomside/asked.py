"""What does she ask, in words, and which way does she choose: back, or to keep it?"""

from __future__ import annotations

from collections.abc import Mapping

from crossfell.draft.model import Draft
from crossfell.loomside.answering import NotShown, WaysOn
from crossfell.loomside.detours import answered_from, ways_of
from crossfell.loomside.guide import Guide
from crossfell.loomside.keeping import Kept
from crossfell.loomside.screen import minutes_text
from crossfell.loomside.wrongs import WayBack
from crossfell.plan.model import Step
from crossfell.record.replace import replace_text


def asked(guide: Guide, says: Mapping[str, object]) -> WaysOn:
    """The answer to what she says, as detours.py reads it, where she is. Errors: NotShown."""
    now = guide.now()
    return answered_from(now.plan, now.progress.at, says)


def go_back(guide: Guide, says: Mapping[str, object]) -> WaysOn:
    """She walks the way back, before the plan goes on. Errors: NotShown, NotSaved."""
    now = guide.now()
    found = asked(guide, says)
    if not isinstance(found.back, WayBack):
        raise NotShown("there is no way back to be walked")
    key = now.plan.keys[now.progress.at] if now.step is not None else ""
    guide.tell([guide.event("mistake", says={**says, "text": found.says, "at": key})])
    return found


def leave_way(guide: Guide) -> str:
    """The last way back is not walked after all. Errors: NotShown, NotSaved."""
    now = guide.now()
    last = ways_of(now.plan, guide.record.events())
    if not last:
        raise NotShown("you are on no way back")
    text = f"not walked: {last[-1].says['text']}"
    guide.tell([guide.event("mistake", says={"text": text, "drop": last[-1].id})])
    return text


def adopt(guide: Guide, found: WaysOn) -> None:
    """Keep it: the draft is written as woven, and the record says so. Errors: NotSaved, OSError.

    The text that stood before is in the record, whole.
    """
    kept = found.keep
    if not isinstance(kept, Kept) or found.slip is None:
        raise NotShown("there is nothing to keep")
    before = guide.now()
    index = min(before.progress.at, len(before.plan.steps) - 1)
    says = {"text": found.slip.says, "span": found.span}
    guide.tell([guide.event("woven", index=index, says=says)])
    replace_text(guide.file, kept.text)
    after = guide.now()
    done = {mark.key for mark in after.progress.done}
    here = before.step
    for i, step in enumerate(after.plan.steps):
        if here is not None and _is_here(step, here):
            break
        if step.span == found.span and after.plan.keys[i] not in done:
            guide.tell([guide.event("tick", index=i, says={"as_woven": True})])


def _is_here(step: Step, here: Step) -> bool:
    """Whether a step of the new plan is where she was in the old one."""
    return (step.kind, step.span, step.band) == (here.kind, here.span, here.band)


def answer_text(found: WaysOn, draft: Draft) -> str:
    """The answer for reading."""
    parts = [found.says]
    parts += [f"  or: {other}" for other in found.also]
    if isinstance(found.back, WayBack):
        cost = f"{minutes_text(found.back.minutes)}, {found.back.strips} strips in the hand"
        bands = f", {len(found.back.bands)} bands cut out" if found.back.bands else ""
        parts += ["", f"The way back ({cost}{bands}):"]
        parts += [f"  first go on to step {found.go_on_to}, as planned"] if found.go_on_to else []
        parts += [f"  {i}. {line}" for i, line in enumerate(found.back.lines(draft), 1)]
    elif found.back is not None:
        parts += ["", f"No way back is given: {found.back.says}."]
    if isinstance(found.keep, Kept):
        parts += ["", f"Or keep it ({_more(found.keep.minutes)}):"]
        if found.keep.moves:
            parts.append(f"  span {found.keep.next_span} then begins with")
            parts += [f"    {move}" for move in found.keep.moves]
        else:
            parts.append("  nothing to come changes; the crossing stays as it lies")
    elif found.keep is not None:
        parts += ["", f"It cannot be kept as it is: {found.keep.says}."]
    if found.live is not None:
        parts += ["", f"Or live with it ({_more(found.live.minutes)}): {found.live.says}."]
    return "\n".join(parts)


def _more(minutes: float) -> str:
    word = "more" if minutes >= 0 else "less"
    return f"{minutes_text(abs(minutes))} {word} than planned" if round(minutes) else "no more work"
