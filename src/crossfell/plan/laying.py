"""How are the crossings of a span made, with the least handling?

Where strips can be laid aside they are lifted right out and laid back (lifting.py); where they
cannot, hands of strips pass their neighbours in place (passing.py). An interlaced span is laid in
passes, each of which is layable.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from crossfell.draft.model import Loom
from crossfell.order.model import Order, SpanOrder
from crossfell.order.relation import net_of
from crossfell.plan.lays import Lay, Pass, Slides, runs_of
from crossfell.plan.lifting import Task, lifted_out
from crossfell.plan.model import LAID_ASIDE, PASSED_IN_PLACE, Handling
from crossfell.plan.passing import HAND, STRIP, Passed, passed_in_place
from crossfell.plan.windows import Windows, least_windows, windows_of

Places = Mapping[int, int]  # unit: place


@dataclass(frozen=True, kw_only=True)
class Laying:
    """The passes of a span, what moves in it, and what that comes to."""

    passes: tuple[Pass, ...]
    turned: tuple[tuple[int, int], ...]  # unit, half turns
    slid: Slides  # units that cross nobody
    off: frozenset[int]  # units whose weights come off: lifted, moved along or turned
    handling: Handling
    rest_mm: tuple[float, ...]  # [units] from the middle of their places when all is done
    last_pass: Mapping[int, int]  # of units that are lifted or moved along: index of their last

    def off_mm(self, index: int, units: Sequence[int]) -> tuple[float, ...]:
        """How far from the middle of its place each unit goes in a pass: where it then rests.

        What is moved again in a later pass goes to the middle.
        """
        return tuple(
            self.rest_mm[u] if self.last_pass.get(u, index) == index else 0.0 for u in units
        )

    def slides(self, index: int) -> Slides:
        """What goes along in a pass: who stays in it; in the last also who crosses nobody."""
        if not self.passes:
            return self.slid
        slides = self.passes[index].slides
        if index < len(self.passes) - 1:
            return slides
        there = {u for u, _, _ in slides}
        return (*slides, *(slide for slide in self.slid if slide[0] not in there))


def laying_of(order: Order, k: int, loom: Loom) -> Laying:
    """How span k (index from 0) is laid."""
    span = order.spans[k]
    turned = tuple((u, t) for u, t in enumerate(span.half_turns.tolist()) if t)
    moved = {u for u, _ in turned} | _displaced(order, k)
    parts, floors, windows_proved = _parts(order, k, loom, frozenset(moved))
    slid = _slid(order, k, parts)
    off = moved | {u for part in parts for u in part.lifted}
    off |= {u for part in parts for u, _, _ in part.slides}
    handling = _handling(order, k, loom, parts, floors, off, windows_proved)
    return Laying(
        passes=parts,
        turned=turned,
        slid=slid,
        off=frozenset(off),
        handling=handling,
        rest_mm=tuple(order.offset_mm[k + 1].tolist()),
        last_pass={u: index for index, part in enumerate(parts) for u in part.moved},
    )


def windows_at(order: Order, band: int, off: frozenset[int], hand: int) -> Windows:
    """Windows of the weights of `off` at a band (index from 0)."""
    places = order.place[band].tolist()
    stay = [place for u, place in enumerate(places) if u not in off]
    return windows_of([places[u] for u in off], hand, stay)


def _displaced(order: Order, k: int) -> set[int]:
    before = zip(order.place[k].tolist(), order.offset_mm[k].tolist(), strict=True)
    after = zip(order.place[k + 1].tolist(), order.offset_mm[k + 1].tolist(), strict=True)
    return {u for u, (was, now) in enumerate(zip(before, after, strict=True)) if was != now}


def _slid(order: Order, k: int, parts: Sequence[Pass]) -> Slides:
    """Units that go sideways and are in no pass: they cross nobody, or only stand off otherwise."""
    start, end = order.place[k].tolist(), order.place[k + 1].tolist()
    if not parts:
        return tuple((u, start[u], end[u]) for u in sorted(_displaced(order, k)))
    done = {u for part in parts for u in part.moved}
    otherwise = (order.offset_mm[k] != order.offset_mm[k + 1]).nonzero()[0].tolist()
    return tuple((u, end[u], end[u]) for u in otherwise if u not in done)


@dataclass(frozen=True, kw_only=True)
class _Floors:
    lifted: int = 0
    hands: int = 0
    effort: int = 0


def _parts(
    order: Order, k: int, loom: Loom, moved: frozenset[int]
) -> tuple[tuple[Pass, ...], _Floors, bool]:
    """The passes of a span, floors for its handling, and whether its windows are proved least."""
    span = order.spans[k]
    before = dict(enumerate(order.place[k].tolist()))
    final = dict(enumerate(order.place[k + 1].tolist()))
    row = sorted(before, key=lambda u: (before[u], order.offset_mm[k, u]))
    places = sorted(before.values())
    passes: list[Pass] = []
    lifted = hands = effort = 0
    proved = len(span.passes) < 2
    for number, part in enumerate(span.passes, 1):
        over = [int(span.over[i]) for i in part]
        under = [int(span.under[i]) for i in part]
        row_after = _row_after(row, over, under)
        at_last = number == len(span.passes)
        after = final if at_last else dict(zip(row_after, places, strict=True))
        if loom.lay_aside:
            task = Task(
                over=over, under=under, before=before, after=after, moved=moved, hand=loom.hand
            )
            found = lifted_out(task)
            proved = proved and found.windows_proved
            passes.append(_pass(found.lays, before, after, row_after))
            lifted += len(passes[-1].lifted)
            hands += found.hands
        else:
            moves = passed_in_place(row, over, under, loom.hand)
            passes += _in_place(moves, row, before, after)
            lifted, hands = lifted + moves.strips_least, hands + moves.moves_least
            effort += moves.least
            proved = False
        before, row = after, row_after
    if len(span.passes) > 1:
        lifted = _never_crossing(order, k)
        hands = -(-lifted // loom.hand)
        effort = HAND * hands + STRIP * lifted
    return tuple(passes), _Floors(lifted=lifted, hands=hands, effort=effort), proved


def _row_after(row: Sequence[int], over: Sequence[int], under: Sequence[int]) -> list[int]:
    at = {u: i for i, u in enumerate(row)}
    rank = dict(at)
    for top, bottom in net_of(over, under):
        left, right = (top, bottom) if at[top] < at[bottom] else (bottom, top)
        rank[left] += 1
        rank[right] -= 1
    return sorted(row, key=rank.__getitem__)


def _pass(lays: tuple[Lay, ...], before: Places, after: Places, row: Sequence[int]) -> Pass:
    lifted = {u for lay in lays for u in lay.units}
    slides = tuple(
        (u, before[u], after[u]) for u in row if u not in lifted and before[u] != after[u]
    )
    return Pass(lays=lays, slides=slides, after=tuple(row))


def _in_place(moves: Passed, row: Sequence[int], before: Places, final: Places) -> list[Pass]:
    """Each move is a pass of its own: one hand up, its neighbours along, the hand down."""
    places = sorted(before.values())
    here, now = dict(before), list(row)
    passes = []
    for number, move in enumerate(moves.moves, 1):
        start = min(now.index(move.hand[0]), now.index(move.passed[0]))
        left_first = now[start] == move.hand[0]
        block = [*move.passed, *move.hand] if left_first else [*move.hand, *move.passed]
        now[start : start + len(block)] = block
        after = final if number == len(moves.moves) else dict(zip(now, places, strict=True))
        lay = Lay(
            units=move.hand,
            from_places=tuple(here[u] for u in move.hand),
            to_places=tuple(after[u] for u in move.hand),
            crossed=runs_of(move.passed, now),
            later_over=(),
            later_under=(),
            from_below=not move.over,
        )
        passes.append(_pass((lay,), here, after, now))
        here = dict(after)
    return passes


def _never_crossing(order: Order, k: int) -> int:
    """A floor for an interlaced span: all but the most units of which no two cross are lifted."""
    span = order.spans[k]
    over, under = span.over.tolist(), span.under.tolist()
    cross = {
        frozenset(pair)
        for part in span.passes
        for pair in net_of([over[i] for i in part], [under[i] for i in part])
    }
    row = order.place[k].argsort().tolist()
    best: list[int] = []
    for i, unit in enumerate(row):
        free = (best[j] for j in range(i) if frozenset((row[j], unit)) not in cross)
        best.append(1 + max(free, default=0))
    return len(row) - max(best, default=0)


def _handling(
    order: Order,
    k: int,
    loom: Loom,
    parts: tuple[Pass, ...],
    floors: _Floors,
    off: set[int],
    windows_proved: bool,
) -> Handling:
    span: SpanOrder = order.spans[k]
    windows, least, anyway = 0, 0, off & _displaced(order, k)
    for band in (k, k + 1):
        must = [int(order.place[band, u]) for u in anyway]
        windows += len(windows_at(order, band, frozenset(off), loom.hand))
        least += least_windows(must, loom.hand)
    lifted, hands = sum(len(p.lifted) for p in parts), sum(len(p.lays) for p in parts)
    return Handling(
        span=k + 1,
        model=LAID_ASIDE if loom.lay_aside else PASSED_IN_PLACE,
        passes=len(span.passes),
        passes_least=span.passes_least,
        lifted=lifted,
        lifted_least=floors.lifted,
        hands=hands,
        hands_least=floors.hands,
        windows=windows,
        windows_least=windows if windows_proved else least,
        effort=HAND * hands + STRIP * lifted,
        effort_least=floors.effort,
    )
