"""How is one span made by hand, and what does that come to?

`handled.py` works the stretches of the batten; here a span of the order becomes such a task, and
what comes back gets its offsets from the middle of the places, its weights and its floors.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from crossfell.draft.model import Loom
from crossfell.order.model import Order
from crossfell.order.relation import net_of
from crossfell.plan.handled import Hands, SpanTask, StretchWork, worked
from crossfell.plan.model import CARRIED, LAID_ASIDE, Handling
from crossfell.plan.motions import Motion, Prices, What, in_one_go
from crossfell.plan.windows import Windows, least_windows, windows_off


@dataclass(frozen=True, kw_only=True)
class Work:
    """A span as it is made: what is done on each stretch, from the left."""

    stretches: tuple[StretchWork, ...]
    slid: tuple[Motion, ...]  # strips that only stand otherwise in their places
    off: frozenset[int]  # units whose weights come off
    handling: Handling


def work_of(order: Order, k: int, loom: Loom, minutes: Mapping[str, float]) -> Work:
    """How span k (index from 0) is made; `minutes` of one step of each kind."""
    row, prices = row_of(order, k), prices_of(minutes)
    can = Hands(
        hand=loom.hand,
        most_loose=loom.loose,
        limit_is_hers="loose" in loom.given,
        lay_aside=loom.lay_aside,
        prices=prices,
    )
    found = tuple(worked(row, can))
    going = {u for part in found for motion in part.motions for u in _moved(motion)}
    turned = {u for part in found for u in part.turned}
    aside = sorted(row.moved - going - turned, key=row.before.__getitem__)
    aside += sorted(_shifted(order, k) & turned - going, key=row.before.__getitem__)
    slid = tuple(in_one_go([_stands_otherwise(u, row.before[u]) for u in sorted(aside)]))
    off = frozenset(row.moved | going)
    return Work(
        stretches=found,
        slid=slid,
        off=off,
        handling=_handling(order, k, can, (row, found, off)),
    )


def row_of(order: Order, k: int) -> SpanTask:
    """Span k (index from 0) as it is to be made."""
    span = order.spans[k]
    over, under = span.over.tolist(), span.under.tolist()
    before, after = order.place[k].tolist(), order.place[k + 1].tolist()
    half_turns = {u: turns for u, turns in enumerate(span.half_turns.tolist()) if turns}
    displaced = {u for u in range(len(before)) if before[u] != after[u]} | _shifted(order, k)
    return SpanTask(
        before=dict(enumerate(before)),
        after=dict(enumerate(after)),
        passes=[net_of([over[i] for i in part], [under[i] for i in part]) for part in span.passes],
        half_turns=half_turns,
        moved=frozenset(displaced | half_turns.keys()),
    )


def prices_of(minutes: Mapping[str, float]) -> Prices:
    """Minutes of a motion, in front and behind together, from those of each kind of step."""
    return Prices(
        hand=minutes["cross"] + minutes["clear-cross"],
        slide=minutes["shift"] + minutes["clear-shift"],
        roll=minutes["roll"] + minutes["clear-roll"],
        leg=2 * minutes["leg"],
        window=minutes["weights-off"] + minutes["weights-on"],
        turn=minutes["turn"] + minutes["clear-turn"],
    )


def windows_at(order: Order, band: int, off: frozenset[int], hand: int) -> Windows:
    """Windows of the weights of `off` at a band (index from 0)."""
    return windows_off(dict(enumerate(order.place[band].tolist())), off, hand)


def _shifted(order: Order, k: int) -> set[int]:
    """Units that stand otherwise from the middle of their places after span k."""
    return set((order.offset_mm[k] != order.offset_mm[k + 1]).nonzero()[0].tolist())


def _moved(motion: Motion) -> Iterable[int]:
    return (*motion.units, *(unit for unit, _, _ in motion.along))


def _stands_otherwise(unit: int, place: int) -> Motion:
    return Motion(what=What.SLIDE, units=(unit,), from_places=(place,), to_places=(place,))


def _handling(
    order: Order, k: int, can: Hands, done: tuple[SpanTask, tuple[StretchWork, ...], frozenset[int]]
) -> Handling:
    row, found, off = done
    span = order.spans[k]
    anyway = {u for u in row.before if row.before[u] != row.after[u]} | _shifted(order, k)
    windows = sum(len(windows_at(order, band, off, can.hand)) for band in (k, k + 1))
    least = sum(
        least_windows([int(order.place[band, u]) for u in anyway], can.hand) for band in (k, k + 1)
    )
    turns = sum(abs(left) for part in found for left in part.turned.values())
    beside = can.prices.turn * turns + can.prices.window * windows / 2
    return Handling(
        span=k + 1,
        model=LAID_ASIDE if can.lay_aside else CARRIED,
        passes=len(span.passes),
        passes_least=span.passes_least,
        lifted=sum(part.lifted for part in found),
        lifted_least=sum(part.lifted_least for part in found),
        hands=sum(part.hands for part in found),
        windows=windows,
        windows_least=least,
        loose=max((part.loose for part in found), default=0),
        loose_limit=can.most_loose,
        loose_proved=all(part.proved for part in found),
        minutes=beside + sum(m.minutes(can.prices, can.hand) for p in found for m in p.motions),
        minutes_least=can.prices.turn * turns
        + can.prices.window * least / 2
        + sum(can.prices.hand * -(-part.lifted_least // can.hand) for part in found),
    )
