"""What happens in every span: crossings, laying, leans, and whether it holds?"""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np

from crossfell.facts.declare import AS_WRITTEN, Answer, Inputs, Put, fact, level, of, other
from crossfell.piece import Piece
from crossfell.statics.carrying import carrying
from crossfell.statics.quick import cuts_of

level(
    "spans",
    whom="maker loom",
    says="every span, in weaving order",
    size=lambda p: len(p.draft.spans),
    label=lambda p, k: str(p.draft.spans[k].number),
)
FREE_BODY = "derived: statics of a free body; checked against linear programs of scipy"


def _names(piece: Piece, units: tuple[int, ...]) -> list[str]:
    return [piece.order.names[u] for u in units]


def _crossings(piece: Piece, k: int) -> Inputs:
    """Crossings of a span in words, on the lines of its moves."""
    span, order, names = piece.draft.spans[k], piece.order.spans[k], piece.order.names
    rows = zip(order.over.tolist(), order.under.tolist(), strict=True)
    lines = (span.where, *(move.where for move in span.moves))
    return {"crossings": Put([f"{names[a]} over {names[b]}" for a, b in rows], lines=lines)}


def _with_units(piece: Piece, k: int) -> Inputs:
    """The same, and how many units there are."""
    return _crossings(piece, k) | {"units": Put(len(piece.draft.units))}


@fact("spans.*.number", form="integer>=1")
def number(piece: Piece, k: int) -> Answer:
    """Its number, in weaving order."""
    return Answer(piece.order.spans[k].number)


@fact("spans.*.height", "mm", formula=AS_WRITTEN, source="the draft",
      says="The open warp of span {name} is {value} high, as you wrote it.")  # fmt: skip
def height(piece: Piece, k: int) -> Answer:
    """Open warp between two bands, as drafted."""
    span = piece.draft.spans[k]
    return Answer(span.height_mm, lambda: of(span, "height_mm"))


@fact(
    "spans.*.word",
    form="[integer]",
    holds="one letter for each two units that change sides: +i, the i-th unit from the left passes "
    "over the next; made one after the other they give the next order",
    source="Artin's generators of the braid group",
)
def word(piece: Piece, k: int) -> Answer:
    """Crossings in the order of the moves, as signed generators of the units present."""
    return Answer(list(piece.order.spans[k].word), lambda: _crossings(piece, k))


@fact(
    "spans.*.half_turns",
    form="{integer}",
    holds="turns and rolls of the span added up, unit by unit",
)
def half_turns(piece: Piece, k: int) -> Answer:
    """Half turns of each unit in the span, right +1, left −1; only units that turn are named."""
    turned = enumerate(piece.order.spans[k].half_turns.tolist())
    names = piece.order.names
    return Answer({names[u]: int(t) for u, t in turned if t}, lambda: _crossings(piece, k))


@fact(
    "spans.*.layable",
    form="boolean",
    holds="the relation “passes over” has no cycle",
    source="derived; checked against a graph library",
    says="Can span {name} be laid, one unit after another from the back to the front? {value}: "
    "that is so when no ring of units lies each over the next.",
)
def layable(piece: Piece, k: int) -> Answer:
    """Units can be laid one after another, back to front, when none lies both over and under."""
    return Answer(piece.order.spans[k].layable, lambda: _crossings(piece, k))


@fact(
    "spans.*.cycle",
    form="[string]?",
    holds="each of the ring passes over the next, the last over the first, and no ring is shorter",
    source="derived; checked against a graph library",
)
def cycle(piece: Piece, k: int) -> Answer:
    """A shortest ring of units, each over the next and the last over the first; null if layable."""
    ring = piece.order.spans[k].cycle
    return Answer(ring and _names(piece, ring), lambda: _crossings(piece, k))


@fact(
    "spans.*.layers",
    form="[[string]]?",
    holds="each unit lies one layer above the highest that it passes over",
    source="Kahn's order",
)
def layers(piece: Piece, k: int) -> Answer:
    """Units by layer, back to front; null when interlaced."""
    found = piece.order.spans[k].layers
    rows = None if found is None else [_names(piece, row) for row in found]
    return Answer(rows, lambda: _crossings(piece, k))


@fact(
    "spans.*.lifted",
    form="integer>=0",
    holds="those that stay lie over none of each other, and no larger set does (as many chains "
    "cover all units), so none fewer leave the row where each is lifted out by itself",
    source="Dilworth 1950",
    says="Lifted out by themselves, {value} of {units} strips leave the row in span {name}: the "
    "others can stay, because none of them passes over another. What is rolled or carried through "
    "needs fewer; the plan says how many it lifts.",
)
def lifted(piece: Piece, k: int) -> Answer:
    """Fewest strips lifted out, none rolled or carried; a largest set, none over another, stays."""
    return Answer(piece.order.spans[k].lifted, lambda: _with_units(piece, k))


@fact(
    "spans.*.passes",
    form="integer>=0",
    holds="crossings split in the order of the word into passes without a ring, and no fewer do",
    source="derived; checked by trying all",
)
def passes(piece: Piece, k: int) -> Answer:
    """Fewest passes in which the span is laid: crossings in the order of the word, none a ring."""
    return Answer(len(piece.order.spans[k].passes), lambda: _crossings(piece, k))


@fact(
    "spans.*.twice",
    form="[string]",
    holds="without them no ring is left, and no smaller set meets every ring",
    source="derived; checked by trying all",
)
def twice(piece: Piece, k: int) -> Answer:
    """Units of an interlaced span that are laid in two goes: without them no ring is left."""
    return Answer(_names(piece, piece.order.spans[k].twice), lambda: _crossings(piece, k))


def _hold(piece: Piece, k: int) -> Inputs:
    """What a span carries, and where its units pull (frame of the wall), from edge to edge."""
    hold, span = piece.holds[k], piece.draft.spans[k]
    cuts, names = cuts_of(piece.rig), piece.order.names
    row = range(len(piece.draft.spans))[piece.draft.on_wall().downwards].index(k)
    fibres = len(cuts.tangent[row]) // len(names)
    labels = tuple(f"{name}, end {n} of {fibres}" for name in names for n in range(1, fibres + 1))
    lines = tuple(move.where for move in span.moves)
    return {
        "below": Put(hold.below_g, "g"),
        "tan_lean": Put(cuts.tangent[row].tolist(), labels=labels),
        "from_mass_centre": Put(cuts.x_mm[row].tolist(), "mm", labels=labels, lines=lines),
    } | of(span, "height_mm")


@fact(
    "spans.*.holds",
    form="boolean?",
    formula="all([abs(drift) <= as_drawn, not beside])",
    source=FREE_BODY,
    says="Can the units of span {name} carry what is below as drawn? {value}: all pulling, they "
    "can still take a side force of {margin} of the weight below; below nothing they swing aside.",
)
def holds(piece: Piece, k: int) -> Answer:
    """Whether tensions of its units, none below zero, can carry what is below as drawn.

    To within `as_drawn` of [hang]. What hangs as drawn is another question: hung.verdict.
    """
    beside = {"beside": Put(piece.holds[k].beside)}
    return Answer(
        piece.holds[k].holds,
        lambda: (
            other(piece, "spans.*.margin spans.*.drift", k)
            | beside
            | of(piece.draft.hang, "as_drawn_mm")
            | _hold(piece, k)
        ),
    )


@fact("spans.*.max_lean", "rad", formula="max(atan(abs(sideways) / height))",
      says="In span {name} a unit leans {value} at most, from its place below to that above."
      )  # fmt: skip
def max_lean(piece: Piece, k: int) -> Answer:
    """Greatest angle of a unit from the vertical."""
    x, names = piece.paths.x_mm, piece.order.names
    sideways = Put((x[k + 1] - x[k]).tolist(), "mm", labels=names)
    return Answer(
        float(piece.paths.max_lean_rad[k]),
        lambda: {"sideways": sideways} | of(piece.draft.spans[k], "height_mm"),
    )


@fact(
    "spans.*.pile",
    "mm",
    holds="the pressed thickness π d / 4, more where squeezed, of the units at one spot; no spot "
    "of a fine grid has more",
    source="derived",
)
def pile(piece: Piece, k: int) -> Answer:
    """Greatest thickness of units that lie over each other at one spot."""
    spot = piece.paths.pile_at[k]
    units, x, at = spot or (1, 0.0, 0.0)
    there = {"units": Put(units), "at": Put(x, "mm"), "share_of_the_height": Put(at, "%")}
    return Answer(float(piece.paths.pile_mm[k]), lambda: there | _crossings(piece, k))


def _steepest(piece: Piece, k: int) -> Inputs:
    names = piece.order.names
    return {"steep": Put(piece.paths.steep_mm[k].tolist(), "mm", labels=names)}


@fact(
    "spans.*.lean_in_space",
    "rad",
    formula="atan(max(steep) / height)",
    source="derived, on the line of least bending; heights checked against two general solvers",
)
def lean_in_space(piece: Piece, k: int) -> Answer:
    """Greatest lean of a unit, sideways and in depth together; steep: way out per span height."""
    steep = float(np.max(piece.paths.steep_mm[k], initial=0.0))
    span = piece.draft.spans[k]
    return Answer(
        math.atan(steep / span.height_mm), lambda: _steepest(piece, k) | of(span, "height_mm")
    )


@fact("spans.*.least_height", "mm", formula="max(steep) / tan(lean_limit)", source="derived")
def least_height(piece: Piece, k: int) -> Answer:
    """Least height at which no unit leans beyond the limit, in space."""
    steep = float(np.max(piece.paths.steep_mm[k], initial=0.0))
    loom = piece.draft.loom
    return Answer(
        steep / math.tan(loom.lean_limit_rad),
        lambda: _steepest(piece, k) | of(loom, "lean_limit_rad"),
    )


@fact(
    "spans.*.margin",
    form="number",
    holds="the greatest side force, over the weight below, that tensions ≥ 0 along the units can "
    "still take either way, from edge to edge of each; −1 where all lie on one "
    "side of the mass centre below",
    source=FREE_BODY,
    says="Span {name} can still take a side force of {value} of the weight below it, {below}; "
    "below nothing it swings.",
)
def margin(piece: Piece, k: int) -> Answer:
    """Side force that the span can still take, over the weight below; below zero it swings."""
    return Answer(piece.holds[k].margin, lambda: _hold(piece, k))


@fact("spans.*.side_force", "N", form="number", formula="margin * below / 1000 * 9.80665",
      source=FREE_BODY)  # fmt: skip
def side_force(piece: Piece, k: int) -> Answer:
    """Side force that the span can still take before its rods move; below zero: missing to hold."""
    hold = piece.holds[k]
    return Answer(
        hold.margin * hold.below_g / 1000 * 9.80665,
        lambda: other(piece, "spans.*.margin", k) | _hold(piece, k),
    )


@fact(
    "spans.*.drift",
    "mm",
    form="number",
    holds="height × the nearest tan lean that tensions ≥ 0 without a moment give; nothing where "
    "the span holds",
    source=FREE_BODY,
)
def drift(piece: Piece, k: int) -> Answer:
    """How far the lower band swings aside by this span alone, until the nearest leans carry."""
    return Answer(piece.holds[k].drift_mm, lambda: _hold(piece, k))


@lru_cache(maxsize=1)
def _shares(piece: Piece) -> list[list[float]]:
    shares: list[list[float]] = carrying(piece.draft, piece.rig, piece.holds).tolist()
    return shares


@fact(
    "spans.*.carried_by",
    form="[string]",
    holds="shares ≥ 0 of these units alone fulfil the three equations of the free body; none where "
    "the span swings",
    source="non-negative least squares from a like share for each",
)
def carried_by(piece: Piece, k: int) -> Answer:
    """Units that carry what is below, in the evenest of all ways to carry it as drawn."""
    shares, names = _shares(piece)[k], piece.order.names
    carrying_units = [name for name, share in zip(names, shares, strict=True) if share > 0]
    return Answer(carrying_units, lambda: {"shares": Put(shares, labels=names)} | _hold(piece, k))
