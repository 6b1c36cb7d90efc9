"""How do weights and shed behave, and what do ends of one bobbin share?"""

from __future__ import annotations

import numpy as np

from crossfell.base.notes import Where
from crossfell.facts.declare import Answer, Inputs, Put, each, fact, level, of, other
from crossfell.facts.of_units import in_spans
from crossfell.loom.bobbins import free_length_mm
from crossfell.loom.shared import Shared
from crossfell.loom.shed import hole_ends_of
from crossfell.loom.stage import mean_stiffness_n
from crossfell.piece import Piece

level("loom", whom="loom", says="weights, shed, and what ends of one bobbin share")
level(
    "loom.shared",
    whom="loom",
    says="how far hole ends can rise before slot ends go slack; assumes that ends of one bobbin "
    "cannot slip past each other",
    size=lambda p: len(p.loom.shared),
    label=lambda p, s: list(p.loom.shared)[s],
)
level(
    "loom.letoff",
    whom="loom",
    says="trips on which bobbins are let off",
    size=lambda p: len(p.loom.letoff.trips),
    label=lambda p, t: str(p.loom.letoff.trips[t].span),
)
STATICS = "derived: statics; friction in the holes left out"
NOT_MEASURED = "derived; assumes that ends of one bobbin cannot slip past each other; not measured"


@fact("loom.friction_how", form="one of measured|default",
      holds="measured when friction, or both of Howell's numbers, stand in [loom]")  # fmt: skip
def friction_how(piece: Piece) -> Answer:
    """Whether friction on the back beam is her own value or a default."""
    loom = piece.draft.loom
    return Answer(piece.loom.friction_how, lambda: of(loom, "friction howell_a howell_power"))


@fact(
    "loom.spread",
    formula="max(max(share), 1) / min(min(share), 1)",
    says="The units are woven unequally tight by a factor of {value}, what was asked among them; "
    "the tightest is {share.most}, the loosest {share.least} of what it asks for.",
)
def spread(piece: Piece) -> Answer:
    """How far the units' tensions lie apart, what was asked among them."""
    weights = of(piece.draft.loom, "weights bobbin_g")
    return Answer(piece.loom.handed.spread, lambda: each(piece, "units.*.share") | weights)


@fact("loom.weights_short", form="integer>=0",
      holds="units without a weight of hers within a factor of two of what they ask; then all get "
      "just what they ask for",
      source="published: Glover 1967, convex bipartite graphs")  # fmt: skip
def weights_short(piece: Piece) -> Answer:
    """Units for which no weight was left or fitting."""
    return Answer(
        piece.loom.handed.short,
        lambda: each(piece, "units.*.weight") | of(piece.draft.loom, "weights bobbin_g"),
    )


def _way(piece: Piece) -> Inputs:
    """Fell, heddle, back beam, and how far hole ends go."""
    return of(piece.draft.loom, "fell_to_heddle_mm heddle_to_back_mm rise_mm sink_mm")


@fact("loom.open_up", "mm", formula="rise * min(shuttle_at / fell_to_heddle, 1)",
      source="derived: similar triangles")  # fmt: skip
def open_up(piece: Piece) -> Answer:
    """Opening of the shed where the shuttle passes, hole ends up."""
    loom = piece.draft.loom
    return Answer(
        piece.loom.shed.open_up_mm, lambda: of(loom, "rise_mm shuttle_at_mm fell_to_heddle_mm")
    )


@fact("loom.open_down", "mm", formula="sink * min(shuttle_at / fell_to_heddle, 1)",
      source="derived: similar triangles")  # fmt: skip
def open_down(piece: Piece) -> Answer:
    """Opening of the shed where the shuttle passes, hole ends down."""
    loom = piece.draft.loom
    return Answer(
        piece.loom.shed.open_down_mm, lambda: of(loom, "sink_mm shuttle_at_mm fell_to_heddle_mm")
    )


_STRETCH = (
    "hypot(fell_to_heddle, {0}) + hypot(heddle_to_back, {0}) - fell_to_heddle - heddle_to_back"
)
_SINES = "({0} / hypot(fell_to_heddle, {0}) + {0} / hypot(heddle_to_back, {0}))"


@fact("loom.stretch", "mm", formula=_STRETCH.format("rise"), source="derived: Pythagoras")
def stretch(piece: Piece) -> Answer:
    """Extra length that a raised end needs."""
    return Answer(piece.loom.shed.stretch_mm, lambda: _way(piece))


def _holes(piece: Piece) -> Inputs:
    """Hole ends of every unit, and the pull of one under its weight."""
    names = piece.order.names
    return {
        "holes": Put(hole_ends_of(piece.draft).tolist(), labels=names),
        "tension": Put(piece.loom.tension_n.tolist(), "N", labels=names),
    }


@fact(
    "loom.warp_up",
    "N",
    formula="sum(holes * tension) * " + _SINES.format("rise"),
    source=STATICS,
    says="Raised ends pull the batten down with {value}: all ends in holes, each under its weight, "
    "{rise} above level.",
)
def warp_up(piece: Piece) -> Answer:
    """Pull of the raised ends on the batten, downwards."""
    return Answer(piece.loom.shed.warp_up_n, lambda: _holes(piece) | _way(piece))


@fact("loom.warp_down", "N", formula="sum(holes * tension) * " + _SINES.format("sink"),
      source=STATICS)  # fmt: skip
def warp_down(piece: Piece) -> Answer:
    """Pull of the pressed ends on the batten, upwards."""
    return Answer(piece.loom.shed.warp_down_n, lambda: _holes(piece) | _way(piece))


def _batten(piece: Piece) -> Inputs:
    strips = [strip.mass_g for strip in piece.draft.strip_of]
    return of(piece.draft.loom, "batten_g") | {"strips": Put(strips, "g", labels=piece.order.names)}


def _spring(piece: Piece) -> Inputs:
    return of(piece.draft.loom, "spring_n_per_mm rise_mm sink_mm")


@fact("loom.springs_up", "N", formula="(batten + sum(strips)) / 1000 * 9.80665 + warp_up",
      source=STATICS)  # fmt: skip
def springs_up(piece: Piece) -> Answer:
    """Force of the springs with the batten up, where it rests by itself."""
    return Answer(
        piece.loom.shed.springs_up_n, lambda: _batten(piece) | other(piece, "loom.warp_up")
    )


@fact("loom.springs_level", "N", formula="springs_up + spring * rise", source=STATICS)
def springs_level(piece: Piece) -> Answer:
    """Force of the springs with the batten level."""
    return Answer(
        piece.loom.shed.springs_level_n, lambda: other(piece, "loom.springs_up") | _spring(piece)
    )


@fact("loom.springs_down", "N", formula="springs_level + spring * sink", source=STATICS)
def springs_down(piece: Piece) -> Answer:
    """Force of the springs with the batten down."""
    return Answer(
        piece.loom.shed.springs_down_n, lambda: other(piece, "loom.springs_level") | _spring(piece)
    )


@fact(
    "loom.chains",
    "N",
    formula="springs_level - (batten + sum(strips)) / 1000 * 9.80665",
    source=STATICS,
    says="The chains that hold the batten level carry {value} together: the springs push up with "
    "{springs_level}, batten and strips weigh against them.",
)
def chains(piece: Piece) -> Answer:
    """Load on the chains that hold the batten level, together."""
    return Answer(
        piece.loom.shed.chains_n, lambda: other(piece, "loom.springs_level") | _batten(piece)
    )


@fact(
    "loom.hand",
    "N",
    formula="springs_down + warp_down - (batten + sum(strips)) / 1000 * 9.80665",
    source=STATICS,
    says="Your hand presses the batten into the down shed with {value}, against springs "
    "({springs_down}) and warp ({warp_down}).",
)
def hand(piece: Piece) -> Answer:
    """Force of the hand that presses the batten into the down shed."""
    return Answer(
        piece.loom.shed.hand_n,
        lambda: other(piece, "loom.springs_down loom.warp_down") | _batten(piece),
    )


_MOST = (
    "sum(holes * min(tension + (1 - share) * stiffness * ("
    + _STRETCH
    + ") / free, tension / share)) * "
    + _SINES
)


def _most(piece: Piece) -> Inputs:
    """What hole ends carry if ends of one bobbin cannot slip past each other."""
    draft, holes = piece.draft, hole_ends_of(piece.draft)
    ends = np.array([draft.kinds[unit.kind].end_count for unit in draft.units])
    share = np.where(holes > 0, holes, ends) / ends  # where there are no holes nothing is raised
    stiff = [mean_stiffness_n(draft, unit.kind)[0] for unit in draft.units]
    names = piece.order.names
    return (
        _holes(piece)
        | _way(piece)
        | {"share": Put(share.tolist(), labels=names), "stiffness": Put(stiff, "N", labels=names)}
        | {"free": Put(free_length_mm(draft.loom), "mm")}
    )


@fact("loom.warp_up_most", "N", formula=_MOST.format("rise"), source=NOT_MEASURED)
def warp_up_most(piece: Piece) -> Answer:
    """Pull of the raised ends if slot ends give their load to them."""
    return Answer(piece.loom.shed_most.warp_up_n, lambda: _most(piece))


@fact("loom.chains_most", "N", formula="warp_up_most + spring * rise", source=NOT_MEASURED)
def chains_most(piece: Piece) -> Answer:
    """Load on the chains, springs set for that pull."""
    return Answer(
        piece.loom.shed_most.chains_n, lambda: other(piece, "loom.warp_up_most") | _spring(piece)
    )


@fact(
    "loom.hand_most",
    "N",
    formula="warp_up_most + spring * (rise + sink) + " + _MOST.format("sink"),
    source=NOT_MEASURED,
)
def hand_most(piece: Piece) -> Answer:
    """Force of the hand into the down shed, springs set for that pull."""
    return Answer(
        piece.loom.shed_most.hand_n,
        lambda: other(piece, "loom.warp_up_most") | _spring(piece) | _most(piece),
    )


def _kind(piece: Piece, s: int) -> tuple[str, Shared]:
    return list(piece.loom.shared.items())[s]


def _under(piece: Piece, s: int) -> Inputs:
    """Pull of one end under the least weight, stiffness, share of holes, and the lengths."""
    draft, kind = piece.draft, _kind(piece, s)[0]
    mine = [u for u, unit in enumerate(draft.units) if unit.kind == kind]
    holes = float(hole_ends_of(draft)[mine[0]]) / draft.kinds[kind].end_count
    k, low, high = mean_stiffness_n(draft, kind)
    yarns = tuple(
        draft.yarns[name].given["count"] for _, name in draft.kinds[kind].ends
    )  # its fibre and count give the stiffness
    return {
        "tension": Put(float(piece.loom.tension_n[mine].min()), "N"),
        "stiffness": Put(k, "N", lines=yarns),
        "softest": Put(low, "N"),
        "stiffest": Put(high, "N"),
        "holes": Put(holes),
        "free": Put(free_length_mm(draft.loom), "mm"),
        "most": Put(max(draft.loom.rise_mm, draft.loom.sink_mm), "mm"),
    } | _way(piece)


_LIMIT = "at this rise an end of the {} yarn is stretched by T0 L0 / (h k), h the share of holes"


@fact("loom.shared.*.name", form="string")
def shared_name(piece: Piece, s: int) -> Answer:
    """Kind of unit."""
    return Answer(_kind(piece, s)[0])


@fact(
    "loom.shared.*.limit",
    "mm",
    holds=_LIMIT.format("likely"),
    source=NOT_MEASURED,
    says="Up to a rise of {value} the slot ends of {name} stay taut, if ends of one bobbin cannot "
    "slip past each other; the loom rises or sinks {most}.",
)
def limit(piece: Piece, s: int) -> Answer:
    """Rise beyond which slot ends of the unit go slack."""
    return Answer(_kind(piece, s)[1].limit_mm, lambda: _under(piece, s))


@fact("loom.shared.*.low", "mm", holds=_LIMIT.format("stiffest"), source=NOT_MEASURED)
def low(piece: Piece, s: int) -> Answer:
    """The same for the stiffest plausible yarn."""
    return Answer(_kind(piece, s)[1].low_mm, lambda: _under(piece, s))


@fact("loom.shared.*.high", "mm", holds=_LIMIT.format("softest"), source=NOT_MEASURED)
def high(piece: Piece, s: int) -> Answer:
    """The same for the softest plausible yarn."""
    return Answer(_kind(piece, s)[1].high_mm, lambda: _under(piece, s))


@fact("loom.shared.*.slack", form="boolean", formula="most > limit", source=NOT_MEASURED)
def slack(piece: Piece, s: int) -> Answer:
    """Whether slot ends go slack at the loom's rise, or sink if that is more."""
    return Answer(
        _kind(piece, s)[1].slack, lambda: _under(piece, s) | other(piece, "loom.shared.*.limit", s)
    )


_S = "(" + _STRETCH.format("most") + ")"


@fact(
    "loom.shared.*.weight_rises",
    "mm",
    form="number",
    formula={"taut": f"holes * {_S}", "slack": f"{_S} - (hole_end - tension) * free / stiffness"},
    source=NOT_MEASURED,
)
def weight_rises(piece: Piece, s: int) -> Answer:
    """How far the weight rises with the shed."""
    shared = _kind(piece, s)[1]
    return Answer(
        shared.weight_rises_mm,
        lambda: _under(piece, s) | other(piece, "loom.shared.*.hole_end", s),
        "slack" if shared.slack else "taut",
    )


@fact(
    "loom.shared.*.hole_end",
    "N",
    formula=f"min(tension + (1 - holes) * stiffness * {_S} / free, tension / holes)",
    source=NOT_MEASURED,
)
def hole_end(piece: Piece, s: int) -> Answer:
    """Tension of a hole end at the loom's rise."""
    return Answer(_kind(piece, s)[1].hole_end_n, lambda: _under(piece, s))


@fact("loom.shared.*.free", "mm", formula=f"holes * stiffness * {_S} / tension",
      source=NOT_MEASURED)  # fmt: skip
def free(piece: Piece, s: int) -> Answer:
    """Length from fell to weight that would just do."""
    return Answer(_kind(piece, s)[1].free_mm, lambda: _under(piece, s))


@fact("loom.shared.*.tension", "N", formula=f"holes * stiffness * {_S} / free",
      source=NOT_MEASURED)  # fmt: skip
def tension(piece: Piece, s: int) -> Answer:
    """Tension of one end that would just do."""
    return Answer(_kind(piece, s)[1].tension_n, lambda: _under(piece, s))


@fact("loom.shared.*.farther", formula=f"holes * stiffness * {_S} / (tension * free)",
      source=NOT_MEASURED)  # fmt: skip
def farther(piece: Piece, s: int) -> Answer:
    """How many times as far from fell and back beam the heddle would just do, to first order."""
    return Answer(_kind(piece, s)[1].farther, lambda: _under(piece, s))


def _moves(piece: Piece, t: int) -> tuple[Where, ...]:
    span = piece.draft.spans[piece.loom.letoff.trips[t].span - 1]
    return tuple(move.where for move in span.moves)


@fact("loom.letoff.*.number", form="integer>=0")
def trip_number(piece: Piece, t: int) -> Answer:
    """The span."""
    return Answer(piece.loom.letoff.trips[t].span)


@fact("loom.letoff.*.extra", form="boolean", formula="moves == 0")
def extra(piece: Piece, t: int) -> Answer:
    """Whether nothing else takes her behind the loom in this span."""
    lines = _moves(piece, t)
    return Answer(piece.loom.letoff.trips[t].extra, lambda: {"moves": Put(len(lines), lines=lines)})


@fact(
    "loom.letoff.*.bobbins",
    form="[string]",
    holds="each of them would be drawn beyond its drop before the next trip; the others reach it",
    source="derived; fewest trips by dynamic programming",
)
def let_off(piece: Piece, t: int) -> Answer:
    """Bobbins let off in this span once its height is drawn: the others reach the next trip."""
    letoff, names = piece.loom.letoff, piece.order.names
    units = letoff.trips[t].units
    first = units[0] if units else 0
    return Answer(
        [names[u] for u in units],
        lambda: (
            {"drawn_by_the_first": in_spans(piece, letoff.drawn_mm[:, first].tolist())}
            | of(piece.draft.loom, "drop_mm")
        ),
    )
