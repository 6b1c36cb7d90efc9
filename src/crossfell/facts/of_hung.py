"""Where does everything come to rest when the piece hangs, and how hard does what pull?"""

from __future__ import annotations

from crossfell.facts.declare import Answer, Inputs, Put, each, fact, level, of, other
from crossfell.piece import Piece
from crossfell.statics.verdict_told import in_words

level("hung", whom="hanging", says="the hung shape: mm right and up, rad, from the drawn place")
level(
    "hung.rods",
    whom="hanging",
    says="where each rod comes to rest",
    size=lambda p: len(p.draft.bands),
    label=lambda _, b: str(b + 1),
)
AT_REST = "here forces and moments balance at every rod that moves, to 10⁻⁹ of the weight"
SOLVED = "derived, docs/mechanics.md; checked against closed forms and scipy's minimisers"


def _hangs(piece: Piece) -> Inputs:
    """What the hung shape depends on."""
    draft = piece.draft
    lines = tuple(s.given["height_mm"] for s in draft.spans if "height_mm" in s.given)
    swings = [hold.number for hold in piece.holds if not hold.holds]
    return (
        {"weight": Put(piece.hung.weight_n, "N"), "left_over": Put(piece.hung.residual)}
        | {"spans_that_swing": Put(swings, lines=lines)}
        | of(draft.warp, "tension_n")
        | of(draft.hang, "cords points cord_length_mm cord_stiffness_n rail")
    )


@fact(
    "hung.verdict",
    form="string",
    holds="as drawn: moved ≤ max(as_drawn, pitch / 10); settles: ≤ moves; moves: more; turns over: "
    "tilt > turns_over, fewer than two cords carry, or the mass hangs beside what carries it and "
    "tilts by more than 1°",
    source="limits of [hang]: common practice, no source",
    says="It {value}. That is read from the shape in which it comes to rest: the end of a rod goes "
    "{moved} aside at most.",
)
def verdict(piece: Piece) -> Answer:
    """How it will hang, from the solved shape; "may" where fewer than nine in ten pieces agree.

    Those are pieces with lengths a little wrong, as `length_error` of [warp] says.
    """
    return Answer(
        in_words(piece.verdict, piece.draft.measure),
        lambda: (
            other(piece, "hung.moved hung.agrees")
            | of(piece.draft.hang, "as_drawn_mm moves_mm turns_over_rad")
            | _hangs(piece)
        ),
    )


@fact("hung.moved", "mm", formula="max(abs(x) + abs(tilt) * half_width)", source="derived")
def moved(piece: Piece) -> Answer:
    """How far the end of any rod goes aside at most, with the lengths as drawn."""
    spans = piece.rig.spans
    half = max(float(abs(spans.above_x).max()), float(abs(spans.below_x).max()))
    return Answer(
        piece.verdict.moved_mm,
        lambda: (
            each(piece, "hung.rods.*.x")
            | each(piece, "hung.rods.*.tilt")
            | {"half_width": Put(half, "mm")}
        ),
    )


@fact(
    "hung.agrees",
    form="number>=0?",
    holds="pieces that come to the word of the drawn one, of so many hung with errors of length",
    source="Monte Carlo with fixed seeds; `length_error` and `error_of` of [warp]",
)
def agrees(piece: Piece) -> Answer:
    """Share of pieces with errors of length that come to the same word as the drawn one.

    Null for a piece too large to be hung many times.
    """
    verdict = piece.verdict
    share = verdict.shares.get(verdict.word, 0.0) if verdict.runs else None
    pieces = {"pieces": Put(verdict.runs)}
    return Answer(share, lambda: pieces | of(piece.draft.warp, "length_error error_of"))


@fact(
    "hung.touch",
    "mm",
    form="number?",
    holds="the lowest rod at rest with a push of a tenth of the weight, against without",
    source="derived; the push is common practice, no source",
)
def touch(piece: Piece) -> Answer:
    """How far a touch, a tenth of the weight sideways at the lowest rod, moves it in its plane."""
    return Answer(piece.sway.touched_mm, lambda: _hangs(piece))


@fact("hung.draught", "mm", holds="links as steep as what hangs below them lets a draught of 1 m/s",
      source="derived; 1 m/s is common practice, no source")  # fmt: skip
def draught(piece: Piece) -> Answer:
    """How far a draught of 1 m/s swings the foot out of the plane."""
    return Answer(piece.sway.blown_mm, lambda: _hangs(piece))


@fact("hung.period", "s", form="number?", holds="the softest way to move has this period",
      source="derived; checked against pendulums")  # fmt: skip
def period(piece: Piece) -> Answer:
    """Slowest period of a small swing in its plane; null where nothing holds it there."""
    return Answer(piece.sway.aside_s, lambda: _hangs(piece))


@fact("hung.period_out", "s", holds="the slowest way of a chain of straight links has this period",
      source="derived; checked against roots of Laguerre polynomials")  # fmt: skip
def period_out(piece: Piece) -> Answer:
    """Slowest period of a small swing out of its plane."""
    return Answer(piece.sway.out_s, lambda: _hangs(piece))


@fact("hung.friction", "mm", form="number?", holds="the root of squares of what crossings do",
      source="Euler–Eytelwein; derived")  # fmt: skip
def friction(piece: Piece) -> Answer:
    """How far to either side friction at crossings may stop the lowest rod; not in the shape."""
    left_out = piece.neglected.friction_mm
    return Answer(left_out if left_out < float("inf") else None,
                  lambda: of(piece.draft.hang, "friction") | _hangs(piece))  # fmt: skip


@fact("hung.damp", "mm", form="[number]", holds="hung anew with lengths 0.1 % and 0.5 % greater",
      source="derived; the shares are common practice, no source")  # fmt: skip
def damp(piece: Piece) -> Answer:
    """How much lower the foot hangs where damp and time lengthen fibres by 0.1 % and by 0.5 %."""
    return Answer(list(piece.neglected.damp_mm), lambda: _hangs(piece))


@fact("hung.converged", form="boolean", formula="residual < 1e-9",
      says="Did the piece come to rest in the computation? {value}: of its weight {residual} is "
      "left over, less than a thousand millionth must be.")  # fmt: skip
def converged(piece: Piece) -> Answer:
    """Whether forces balance everywhere: less than a thousand millionth of the weight is left."""
    return Answer(piece.hung.converged, lambda: other(piece, "hung.residual"))


@fact("hung.residual", digits=None, holds="no rod has more force, or moment over the reach of the "
      "units, left than this share of the weight")  # fmt: skip
def residual(piece: Piece) -> Answer:
    """Greatest force, or moment over the reach of the units, left, as a share of the weight."""
    return Answer(piece.hung.residual, lambda: _hangs(piece))


@fact("hung.iterations", form="integer>=0", holds="as counted by the solver",
      source="docs/mechanics.md")  # fmt: skip
def iterations(piece: Piece) -> Answer:
    """Steps to rest: mixed Newton with carried tensions."""
    return Answer(piece.hung.iterations, lambda: _hangs(piece))


@fact("hung.rods.*.band", form="integer>=1")
def band(_: Piece, b: int) -> Answer:
    """Number of the band that the rod lies in, in weaving order."""
    return Answer(b + 1)


@fact(
    "hung.rods.*.x",
    "mm",
    form="number",
    holds=AT_REST,
    source=SOLVED,
    says="The rod of band {name} comes to rest {value} beside its drawn place (to the right when "
    "above nothing, seen from the front).",
)
def x(piece: Piece, b: int) -> Answer:
    """How far the rod comes to rest beside its drawn place, right positive, seen from the front."""
    return Answer(float(piece.hung.drift_mm[b]), lambda: _hangs(piece))


@fact("hung.rods.*.y", "mm", form="number", holds=AT_REST, source=SOLVED)
def y(piece: Piece, b: int) -> Answer:
    """How far the rod comes to rest above its drawn place: cut down, the spans shrink."""
    return Answer(float(piece.hung.rise_mm[b]), lambda: _hangs(piece))


@fact("hung.rods.*.tilt", "rad", form="number", digits=9, holds=AT_REST, source=SOLVED)
def tilt(piece: Piece, b: int) -> Answer:
    """Tilt of the rod, anticlockwise positive, seen from the front."""
    return Answer(float(piece.hung.tilt_rad[b]), lambda: _hangs(piece))


@fact(
    "hung.tensions",
    "N",
    form="[[number>=0]]",
    holds="Σ over fibres of EA/L0 × max(0, elongation); with them every rod is in balance",
    source="derived; `crossfell hang` gives the range over plausible errors of length",
)
def tensions(piece: Piece) -> Answer:
    """Pull of each unit in each span; hangs on tenths of a millimetre of length: ask its range."""
    return Answer(piece.hung.tension_n.tolist(), lambda: _hangs(piece))


@fact(
    "hung.slack",
    "mm",
    form="[[number>=0]]",
    holds="max(0, natural length − distance of the ends); a unit that is slack does not pull",
)
def slack(piece: Piece) -> Answer:
    """What the tightest end of a unit is too long; 0 where it carries."""
    return Answer(piece.hung.slack_mm.tolist(), lambda: _hangs(piece))


@fact(
    "hung.cords",
    "N",
    form="[number>=0]",
    holds="none pushes; together, with the lean of each, they carry the whole weight",
    source="derived; with more than two cords they hang on their length by tenths of a millimetre",
    says="The cords pull with {value}, from the left end of the top rod. This is a load, not an "
    "approval: what holds it is for the fitting's maker, and where it hangs over people for a "
    "licensed rigger or engineer.",
)
def cords(piece: Piece) -> Answer:
    """Pull of each cord, from the left end of the top rod; a rail has none."""
    return Answer(piece.hung.cords_n.tolist(), lambda: _hangs(piece))


@fact(
    "hung.loosest",
    "mm/N",
    form="number?",
    holds="the answer of the stiffness at rest to 1 N at the last rod",
    source="derived",
)
def loosest(piece: Piece) -> Answer:
    """How far the last rod gives way to each newton pushed sideways at it, to begin with."""
    return Answer(piece.hung.loosest_mm_per_n, lambda: _hangs(piece))


@fact(
    "hung.softest",
    "N/mm",
    form="number",
    digits=9,
    holds="no way of moving the bands is softer; above nothing: a true minimum",
)
def softest(piece: Piece) -> Answer:
    """Stiffness of the softest way in which the bands can move, tilts as lengths at the reach."""
    return Answer(piece.hung.softest_n_per_mm, lambda: _hangs(piece))


@fact("hung.shrinkage", "mm", form="number",
      formula={"bottom": "first(rise) - last(rise)", "top": "last(rise) - first(rise)"},
      source="derived")  # fmt: skip
def shrinkage(piece: Piece) -> Answer:
    """By how much the whole height shrinks on cutting down, against the drawn one."""
    return Answer(
        piece.hung.shrinkage_mm,
        lambda: each(piece, "hung.rods.*.y", name="rise"),
        piece.draft.about.woven_from,
    )


@fact(
    "hung.weight",
    "N",
    formula="mass / 1000 * 9.80665",
    source="definition; standard gravity",
    says="From the cords hang {value}: all of the piece, which is {mass}; cords and fixings come "
    "to it.",
)
def weight(piece: Piece) -> Answer:
    """Weight of all that hangs from the cords: the mass of the piece."""
    return Answer(piece.hung.weight_n, lambda: other(piece, "piece.mass"))


@fact(
    "hung.stable",
    form="boolean",
    formula="softest > 0",
    says="Does it come back when it is pushed a little? {value}: the softest way in which its "
    "bands can move has a stiffness of {softest}.",
)
def stable(piece: Piece) -> Answer:
    """Whether the piece comes back when it is pushed: its rest is a true minimum of the energy."""
    return Answer(piece.hung.stable, lambda: other(piece, "hung.softest"))
