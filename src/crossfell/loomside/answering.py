"""What is she told when she says "that is not what I did": where, and both ways on?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from crossfell.loomside.keeping import Kept, NotKept, kept_way
from crossfell.loomside.leading import LedPlan
from crossfell.loomside.mistake import (
    Shown,
    Slip,
    SpanMoves,
    moves_of_span,
    outcome_of,
)
from crossfell.loomside.otherwise import (
    LiveWith,
    band_left,
    band_way_back,
    weights_left,
    weights_way_back,
)
from crossfell.loomside.slips import slips_that_show
from crossfell.loomside.wayback import way_back
from crossfell.loomside.wrongs import NoWayBack, WayBack
from crossfell.plan.model import WITH_STRIPS, Step
from crossfell.plan.phrasebook import teller_of


class NotShown(ValueError):  # noqa: N818 - it is a sentence for the maker
    """What she shows cannot lie on this batten; the sentence says why."""


@dataclass(frozen=True, kw_only=True)
class WaysOn:
    """Where it went wrong, and the two ways on."""

    says: str
    also: tuple[str, ...] = ()  # other slips that would leave the same
    span: int = 0
    slip: Slip | None = None
    back: WayBack | NoWayBack | None = None
    keep: Kept | NotKept | None = None
    go_on_to: int = 0  # number of the step up to which she goes on before the way back; 0: none
    live: LiveWith | None = None  # what it means to leave it, where nothing is written down


def span_asked(plan: LedPlan, at: int, span: int | None = None) -> int:
    """The span that she means, being at step `at` (index): the one named, or the last that moved.

    Errors: NotShown.
    """
    moved = _moved(plan, at)
    if not moved:
        raise NotShown("no strip was moved yet")
    if span is not None and span not in moved:
        raise NotShown(f"no strip was moved in span {span} yet")
    return span or moved[-1]


def as_planned(plan: LedPlan, at: int, span: int) -> tuple[SpanMoves, Shown]:
    """How the strips of a span should lie, after what is done of it."""
    moves = moves_of_span(plan, span, at)
    meant = outcome_of(moves, moves.moves)
    if meant is None:
        raise AssertionError("the plan was rehearsed")
    return moves, Shown(row=meant.row, faces=meant.faces)


def crossings_of(moves: SpanMoves) -> tuple[tuple[int, int], ...]:
    """Pairs that cross as planned in what is done of a span: a unit, and one that it lies over."""
    meant = outcome_of(moves, moves.moves)
    return () if meant is None else tuple(sorted(pair for pair, _ in meant.over))


def shown_from_words(
    plan: LedPlan,
    row: Sequence[str],
    other_way: Sequence[tuple[str, str]] = (),
    turned: Sequence[str] = (),
) -> Shown:
    """What she shows, written: names from the left, ′ or ' for a back, "-" for an empty place.

    `other_way` are pairs that cross otherwise than planned, `turned` units turned the other way.
    Errors: NotShown.
    """
    names, count = plan.piece.order.names, plan.piece.draft.place_count
    if len(row) != count:
        raise NotShown(
            f"the batten has {count} places; {len(row)} are shown: write `-` for an empty one"
        )
    index = {name: unit for unit, name in enumerate(names)}
    faces, lying = [1] * len(names), list[int | None]()
    for word in row:
        name = word.rstrip("'′")
        if word in {"-", "·"}:
            lying.append(None)
            continue
        if name not in index or index[name] in lying:
            raise NotShown(f"{word} is no unit of this piece, or is shown twice")
        lying.append(index[name])
        faces[index[name]] = 1 if name == word else -1
    named = [*turned, *(name for pair in other_way for name in pair)]
    unknown = [name for name in named if name not in index]
    if unknown:
        raise NotShown(f"there is no unit {unknown[0]}")
    pairs = frozenset(frozenset((index[a], index[b])) for a, b in other_way)
    others = frozenset(index[name] for name in turned)
    return Shown(row=tuple(lying), faces=tuple(faces), other_way=pairs, turned=others)


def answer(plan: LedPlan, at: int, span: int, shown: Shown) -> WaysOn:
    """Where it went wrong in a span, and the ways on; she is at the step of index `at`."""
    moves, meant = as_planned(plan, at, span)
    if shown == meant:
        return WaysOn(says=f"Span {span} lies as planned.", span=span)
    slips = slips_that_show(plan, moves, shown)
    if not slips:
        return _unexplained(plan, moves, meant, shown)
    slip = slips[0]
    back = way_back(plan, moves, slip, at)
    return WaysOn(
        says=f"It went wrong here: {slip.says}.",
        also=tuple(other.says for other in slips[1:4]),
        span=span,
        slip=slip,
        back=back,
        go_on_to=_go_on_to(back, at),
        keep=kept_way(plan, moves, slip, max(_moved(plan, at), default=0) + 1),
    )


def answer_band(plan: LedPlan, at: int, band: int, picks: int | None) -> WaysOn:
    """A band that has other picks than planned, or (without `picks`) no rod. Errors: NotShown."""
    begun = {s.band for s in plan.steps[:at] if s.kind in {"pick", "rod"}}
    if band not in begun:
        raise NotShown(f"nothing of band {band} is woven yet")
    drafted = plan.piece.draft.bands[band - 1]
    if picks is None and not drafted.rod_count:
        raise NotShown(f"band {band} has no rod")
    if picks == drafted.pick_count:
        raise NotShown(f"band {band} is planned with {picks} picks")
    what = "without its rod" if picks is None else f"with {picks} picks"
    back = band_way_back(plan, band, at)
    return WaysOn(
        says=f"Band {band} was woven {what}.",
        back=back,
        go_on_to=_go_on_to(back, at),
        live=band_left(plan, band, picks),
    )


def answer_weights(plan: LedPlan, at: int, one: str, other: str) -> WaysOn:
    """Two units that hang with each other's weights. Errors: NotShown."""
    names = plan.piece.order.names
    unknown = [name for name in (one, other) if name not in names]
    if unknown or one == other:
        raise NotShown(f"there is no unit {unknown[0]}" if unknown else "name two units")
    units = names.index(one), names.index(other)
    if len(set(plan.piece.loom.handed.mass_g[list(units)].tolist())) == 1:
        return WaysOn(says=f"The weights of {one} and {other} are alike: it changes nothing.")
    back = weights_way_back(plan, units, at)
    return WaysOn(
        says=f"{one} and {other} hang with each other's weights.",
        back=back,
        go_on_to=_go_on_to(back, at),
        live=weights_left(plan, units),
    )


def _go_on_to(back: WayBack | NoWayBack, at: int) -> int:
    return back.at if isinstance(back, WayBack) and back.at > at else 0


def _moved(plan: LedPlan, at: int) -> list[int]:
    """Spans in which strips were moved so far."""
    return [s.span for s in plan.steps[:at] if s.kind in WITH_STRIPS and s.span]


def _unexplained(plan: LedPlan, moves: SpanMoves, meant: Shown, shown: Shown) -> WaysOn:
    """More than one slip: the first step that moved what lies otherwise, and all from there."""
    names = plan.piece.order.names
    off = {u for a, b in zip(meant.row, shown.row, strict=True) if a != b for u in (a, b)} - {None}
    off |= {u for u, face in enumerate(shown.faces) if face != meant.faces[u]}
    off |= {u for pair in shown.other_way for u in pair}
    wrong = [i for i, s in enumerate(moves.moves) if off & set(s.units) and s.kind != "lift"]
    who = ", ".join(names[u] for u in sorted(u for u in off if u is not None))
    if not wrong:
        return WaysOn(
            says=f"{who} lie otherwise than planned, but nothing moved them in span {moves.span}: "
            "look at the spans before it.",
            span=moves.span,
        )
    step: Step = moves.moves[wrong[0]]
    text = teller_of(plan.piece.draft).sentence(step)
    return WaysOn(
        says=f"More than one thing is otherwise ({who}); the first can be step {step.number}: "
        f"{text} Take back what was laid since then, the last first, and lay it again.",
        span=moves.span,
    )
