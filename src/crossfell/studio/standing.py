"""Where does a piece stand: draft, on the loom at which span, off it, hung; and who says so?

By itself it stands where the record of work says (what was ticked at the loom), or [woven] of the
draft, whichever is further. What she sets by hand wins, until she leaves it to itself again.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from crossfell.draft.model import Draft
from crossfell.record.opening import RecordRefused, looked_at
from crossfell.record.progress import done_steps
from crossfell.record.store import events_in, record_path

STATES = {"draft": "draft", "loom": "on the loom", "off": "off the loom", "hung": "hung"}
BENCH = frozenset({"wind", "thread"})  # steps that are done before anything hangs on the loom
AFTER = frozenset({"cut-down", "finish"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """Where a piece stands."""

    state: str  # of STATES
    says: str
    source: str  # where that comes from, in words
    span: int = 0  # the one being woven; 0 when none is


def standing_of(draft: Draft, path: Path, by_hand: str) -> Stage:
    """Where the draft in the file `path` stands; `by_hand` is what she set, or nothing."""
    itself = max(_recorded(path), _written(draft), key=_how_far)
    if not by_hand:
        return itself
    says = itself.says if by_hand == itself.state else STATES[by_hand]
    source = "set by hand"
    if itself.state not in {by_hand, "draft"}:
        source = f"set by hand; {itself.says} {itself.source}"
    return Stage(state=by_hand, says=says, source=source, span=itself.span)


def _how_far(standing: Stage) -> tuple[int, int]:
    return list(STATES).index(standing.state), standing.span


def _written(draft: Draft) -> Stage:
    """What [woven] says."""
    done, spans = draft.woven.spans, len(draft.spans)
    if not done:
        return Stage(state="draft", says="draft", source="nothing is woven yet")
    source = "by [woven] of the draft"
    if done >= spans:
        return Stage(state="loom", says="on the loom, every span woven", source=source,
                        span=spans + 1)  # fmt: skip
    return Stage(state="loom", says=f"on the loom at span {done + 1}", source=source,
                    span=done + 1)  # fmt: skip


def _recorded(path: Path) -> Stage:
    """What was ticked at the loom; a record that cannot be read says why."""
    nothing = Stage(state="draft", says="draft", source="nothing is woven yet")
    record = record_path(path)
    if not record.is_file():
        return nothing
    try:
        link = looked_at(record)
    except RecordRefused as problem:
        return Stage(state="draft", says="draft", source=str(problem))
    try:
        done = done_steps(events_in(link))
    finally:
        link.close()
    if not done:
        return nothing
    last, source = done[-1], "by the record of work"
    if last.kind in AFTER:
        return Stage(state="off", says="off the loom", source=source)
    if last.kind in BENCH:
        return Stage(state="draft", says="draft, at the bench", source=source)
    span = max((mark.span for mark in done if mark.span), default=0)
    if last.span is None and last.band:
        says = f"on the loom at band {last.band}"
    else:
        says = f"on the loom at span {span}" if span else "on the loom"
    return Stage(state="loom", says=says, source=source, span=span)
