"""What is the shortest way back to what was planned, and what does it cost?

Strips go back the way that they came, the last one first; one whose crossings have nothing to do
with what went wrong can stay (its generators are two or more apart from theirs, so the order in
which they were made does not matter). Then everything is laid again as planned. That the loom then
has the planned braid is checked before it is said.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from crossfell.loomside.guide import Plan
from crossfell.loomside.mistake import Slip, SpanMoves, outcome_of
from crossfell.order.braid import inverse_of, same_braid
from crossfell.plan.book import usual_minutes
from crossfell.plan.model import Step


@dataclass(frozen=True, kw_only=True)
class WayBack:
    """What to do, in sentences, and what it costs."""

    lines: tuple[str, ...]
    strips: int  # handled, there and back
    bands: tuple[int, ...]  # bands to be cut out first, by number
    minutes: float


def way_back(plan: Plan, span: SpanMoves, slip: Slip, at: int) -> WayBack:
    """The way back from a slip, she being at the step of index `at`."""
    meant = outcome_of(span, span.moves)
    if meant is None:
        raise AssertionError("the plan was rehearsed")
    undone = _to_undo(slip, meant.letters)
    if not _leads_back(slip, meant.letters, undone, len(span.places)):
        undone = list(range(min(slip.wrong), len(span.moves)))
    names, minutes = plan.piece.order.names, dict(usual_minutes()) | dict(plan.piece.draft.minutes)
    lines, strips, cost = [], 0, 0.0
    for i in reversed(undone):
        did = slip.did[i]
        if did is not None and did.kind in {"lay", "shift"}:
            lines.append(_brought_back(did, names))
            strips += len(did.units)
            cost += len(did.units) * minutes["lift"] + minutes["lay"]
    for i in undone:
        step = span.moves[i]
        if step.kind != "lift":
            lines.append(step.text)
            strips += len(step.units)
            cost += step.minutes
    before, bands, round_min = _to_get_there(plan, span, at, minutes)
    return WayBack(lines=(*before, *lines), strips=strips, bands=bands, minutes=cost + round_min)


def _to_undo(slip: Slip, meant: Sequence[tuple[int, ...]]) -> list[int]:
    """The wrong moves, and every later one that touches what they, or those undone, touch."""
    touched: set[int] = set()
    undone = []
    for i in range(min(slip.wrong), len(slip.did)):
        mine = {abs(g) for g in (*slip.outcome.letters[i], *meant[i])}
        if i in slip.wrong or any(abs(a - b) < 2 for a in mine for b in touched):
            undone.append(i)
            touched |= mine
    return undone


def _leads_back(
    slip: Slip, meant: Sequence[tuple[int, ...]], undone: Sequence[int], n: int
) -> bool:
    """Whether what was done, undone and done again is the planned braid."""
    word = [letter for step in slip.outcome.letters for letter in step]
    for i in reversed(undone):
        word += inverse_of(list(slip.outcome.letters[i]))
    for i in undone:
        word += meant[i]
    return same_braid(n, word, [letter for step in meant for letter in step])


def _brought_back(did: Step, names: Sequence[str]) -> str:
    who = " and ".join(names[u] for u in did.units)
    places = sorted(did.from_places)
    where = f"place {places[0]}" if len(places) == 1 else f"places {places[0]}-{places[-1]}"
    if did.kind == "shift":
        return f"Move {who} back along to {where}."
    sides = [("over", did.over), ("under", did.under)]
    way = ", ".join(f"{word} {', '.join(names[u] for u in us)}" for word, us in sides if us)
    return f"Take {who} out and bring it back as it came{way and f', {way}'}, towards {where}."


def _to_get_there(
    plan: Plan, span: SpanMoves, at: int, minutes: dict[str, float]
) -> tuple[tuple[str, ...], tuple[int, ...], float]:
    """What comes before the strips can be touched: bands cut out, weights off, batten open."""
    done = plan.steps[:at]
    woven = tuple(sorted({s.band for s in done if s.band and s.band > span.span}))
    since = [s for s in done if s.span == span.span]
    kinds = {step.kind for step in since}
    lines: list[str] = []
    cost = 0.0
    if woven:
        listed = ", ".join(map(str, woven))
        lines.append(
            f"Cut out band{'' if len(woven) == 1 else 's'} {listed}, the last first, and undo the "
            f"spans above span {span.span} as they were laid."
        )
        later = [s for s in done if (s.span or (s.band or 1) - 1) >= span.span and s not in since]
        cost += len(woven) * minutes["cut-out"] + 2 * sum(s.minutes for s in later)
    if "close" in kinds:
        again = [s for s in since if s.kind not in {"draw", "lift", "lay", "shift", "turn"}]
        lines.append(
            "Batten level, chains on, weights off, batten open, as for this span; behind the loom "
            "what was cleared goes back first. Afterwards all of it once more."
        )
        cost += sum(s.minutes for s in again)
    return tuple(lines), woven, cost
