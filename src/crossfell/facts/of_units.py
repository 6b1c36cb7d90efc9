"""Where does every unit lie, how long is it, what hangs on it, what is left on its bobbin?"""

from __future__ import annotations

from crossfell.base.notes import Where
from crossfell.draft.model import UnitKind
from crossfell.facts.declare import Answer, Inputs, Put, each, fact, level, of, other
from crossfell.facts.of_yarns import runs_of
from crossfell.loom.tension import measured_by_howell
from crossfell.paths.takeup import takeups_mm
from crossfell.piece import Piece

level(
    "units",
    whom="maker loom",
    says="every unit, in the order of the draft",
    size=lambda p: len(p.draft.units),
    label=lambda p, u: p.draft.units[u].name,
)


def kind_of(piece: Piece, u: int) -> UnitKind:
    """The kind of a unit."""
    return piece.draft.kinds[piece.draft.units[u].kind]


def bands_put(piece: Piece) -> Inputs:
    """Heights of all bands."""
    return each(piece, "bands.*.height", name="bands")


def in_spans(piece: Piece, values: list[float], unit: str = "mm") -> Put:
    """A list with one number for each span, on the lines of their heights."""
    spans = piece.draft.spans
    lines = tuple(span.given["height_mm"] for span in spans if "height_mm" in span.given)
    return Put(values, unit, lines=lines, labels=tuple(f"span {span.number}" for span in spans))


def tex_of(piece: Piece, kind: UnitKind) -> Inputs:
    """Ends of each run of a kind, and how coarse they are."""
    yarns = list(piece.draft.yarns)
    only = [yarns.index(name) for _, name in kind.ends]
    return {"ends": runs_of(piece, kind)["ends"]} | each(piece, "yarns.*.tex", only=only)


def _moved(piece: Piece, u: int) -> tuple[Where, ...]:
    """The moves in which a unit takes part."""
    lines = [piece.draft.units[u].where]
    for k, span in enumerate(piece.draft.spans):
        order = piece.order.spans[k]
        mine = (order.over == u) | (order.under == u)
        for m, move in enumerate(span.moves):
            here = order.move == m
            turned = bool(order.half_turns[u]) and not here.any()
            lines += [move.where] if turned or bool((mine & here).any()) else []
    return tuple(lines)


def _first_place(piece: Piece, u: int) -> Inputs:
    return {"first_place": Put(piece.draft.units[u].place, lines=_moved(piece, u))}


@fact("units.*.name", form="string")
def name(piece: Piece, u: int) -> Answer:
    """Its name."""
    return Answer(piece.draft.units[u].name)


@fact("units.*.kind", form="string")
def kind(piece: Piece, u: int) -> Answer:
    """Its kind."""
    return Answer(piece.draft.units[u].kind)


@fact(
    "units.*.places",
    form="[integer>=1]",
    holds="at each band the units lie in places of their own, in the order that the moves give",
    source="definition: the moves of the draft",
    says="{name} begins in place {first_place} and lies, band by band, in {value}.",
)
def places(piece: Piece, u: int) -> Answer:
    """Place at each band, after the moves of each span, made one after the other."""
    return Answer(piece.order.place[:, u].tolist(), lambda: _first_place(piece, u))


@fact("units.*.faces", form="[one of 1|-1]", formula="(-1) ** running(half_turns)")
def faces(piece: Piece, u: int) -> Answer:
    """At each band 1 while the face lies forward, -1 back; each half turn changes it."""
    turned = [0, *(abs(int(span.half_turns[u])) for span in piece.order.spans)]
    return Answer(
        piece.order.face[:, u].tolist(), lambda: {"half_turns": Put(turned, lines=_moved(piece, u))}
    )


@fact("units.*.positions", "mm", form="[number]", formula="(places - 1 / 2) * pitch + offset")
def positions(piece: Piece, u: int) -> Answer:
    """Centre of the unit at each band, from the left edge of place 1, in the loom's frame."""
    offset = Put(piece.order.offset_mm[:, u].tolist(), "mm")
    return Answer(
        piece.paths.x_mm[:, u].tolist(),
        lambda: (
            other(piece, "units.*.places", u) | of(piece.draft.warp, "pitch_mm")
            | {"offset": offset}
        )
    )  # fmt: skip


@fact(
    "units.*.path_length",
    "mm",
    formula="sum(spans) + sum(bands)",
    source="derived: in a span ∫ √(1 + x'² + z'²) dy, z of least bending with every meeting apart; "
    "heights checked against two general solvers",
    says="{name} runs {value} through the piece, over and under the others; its longest way is "
    "{spans.most}.",
)
def path_length(piece: Piece, u: int) -> Answer:
    """Centre line of the unit in space, over and under the others, and the height of the bands."""
    spans = in_spans(piece, piece.paths.length_mm[:, u].tolist())
    return Answer(float(piece.paths.total_mm[u]), lambda: {"spans": spans} | bands_put(piece))


@fact(
    "units.*.winding_length",
    "mm",
    whom="label list step",
    formula="(path + takeup + sample + 2 * finish + thrum + knots) * (1 + spare)",
    source="take-up: Peirce, J. Text. Inst. 28 (1937) T45; the rest common practice or her own",
    says="Each end of {name} needs {value}: {path} lies in the piece, the rest is spent or spare.",
)
def winding_length(piece: Piece, u: int) -> Answer:
    """Length that each end of the bobbin needs: its longest end, and what is lost or spent."""
    wound = piece.amounts.windings[u]
    return Answer(
        wound.total_mm,
        lambda: (
            of(wound, "path_mm takeup_mm")
            | of(piece.draft.warp, "sample_mm finish_mm thrum_mm knots_mm spare")
        ),
    )


def longest_mm(piece: Piece, u: int) -> list[float]:
    """The longest end of a unit in each span."""
    longest: list[float] = piece.paths.edge_mm[:, u].tolist()
    return longest


@fact(
    "units.*.winding_error",
    "mm",
    formula="sqrt(sum((spans * length_error) ** 2) + sum(takeup_errors) ** 2) * (1 + spare)",
    source="JCGM 100 (GUM), 5.1.2 and 5.2.2: root of the sum of squares; what is alike adds up",
)
def winding_error(piece: Piece, u: int) -> Answer:
    """How sure the winding length is, ±: spans are wrong one by one, bands all alike."""
    spans = in_spans(piece, longest_mm(piece, u))
    bands = [band for band in piece.draft.bands if band.takeup_mm is not None]
    errors = Put([band.takeup_error_mm for band in bands], "mm")
    return Answer(
        piece.sure.winding_mm[u],
        lambda: (
            {"spans": spans, "takeup_errors": errors} | of(piece.draft.warp, "length_error spare")
        ),
    )


@fact(
    "units.*.yarn_mass",
    "g",
    formula="sum(ends * tex) * winding_length / 1e6",
    source="definition of tex, ISO 1144",
)
def yarn_mass(piece: Piece, u: int) -> Answer:
    """Mass of all ends on the unit's bobbin."""
    return Answer(
        piece.amounts.windings[u].mass_g,
        lambda: tex_of(piece, kind_of(piece, u)) | other(piece, "units.*.winding_length", u),
    )


@fact(
    "units.*.half_turns", form="integer", formula="sum(spans)", source="definition; S and Z: ISO 2"
)
def half_turns(piece: Piece, u: int) -> Answer:
    """Half turns over the whole piece, right (Z) counted +1 and left (S) −1."""
    turned = [int(span.half_turns[u]) for span in piece.order.spans]
    spans = in_spans(piece, list(map(float, turned)), "")._replace(value=turned)
    return Answer(sum(turned), lambda: {"spans": spans._replace(lines=_moved(piece, u))})


@fact(
    "units.*.weight",
    "g",
    formula="ends * tension / 9.80665 * 1000",
    source="definition; between e^(−μθ) and e^(+μθ) of it reaches the fell (capstan equation)",
    says="{name} wants {value} hung on it, bobbin and all: {ends} ends at {tension} each.",
)
def weight(piece: Piece, u: int) -> Answer:
    """Mass to hang on the unit, bobbin and all, for the weaving tension of its ends."""
    kind = kind_of(piece, u)
    ends = Put(kind.end_count, lines=(kind.given["ends_text"],))
    return Answer(
        float(piece.loom.weight_g[u]), lambda: {"ends": ends} | of(piece.draft.warp, "tension_n")
    )


@fact(
    "units.*.ends",
    "mm",
    form="[number>=0]",
    digits=2,
    holds="an end at r from the middle is Σ √(length² + (k π r)²) long, k half turns, with bands",
    source="derived: a turned unit is a twisted ribbon, its ends are helices",
)
def ends(piece: Piece, u: int) -> Answer:
    """Length of each end through spans and bands, from the left, face forward, without crimp."""
    paths = piece.paths
    bands = float((paths.band_top_mm - paths.band_bottom_mm).sum())
    kind = kind_of(piece, u)
    turns = in_spans(piece, paths.half_turns[:, u].tolist(), "")
    return Answer(
        (paths.ends_mm(u).sum(axis=0) + bands).tolist(),
        lambda: (
            {"spans": in_spans(piece, paths.length_mm[:, u].tolist()), "half_turns": turns}
            | bands_put(piece)
            | of(piece.draft.strips[kind.strip], "width_mm")
        ),
    )


@fact(
    "units.*.mass",
    "g",
    formula="sum(ends * tex) * (path + takeup) / 1e6",
    source="definition of tex, ISO 1144",
)
def mass(piece: Piece, u: int) -> Answer:
    """Mass of the unit in the finished piece."""
    return Answer(
        float(piece.masses.units_g[u]),
        lambda: (
            tex_of(piece, kind_of(piece, u)) | of(piece.amounts.windings[u], "path_mm takeup_mm")
        ),
    )


def _hangs(piece: Piece, u: int) -> Inputs:
    """What hangs on a unit, and its bobbin from the first band to the last."""
    loom = piece.draft.loom
    bobbin = Put(piece.bobbins.mass_g[:, u].tolist(), "g")
    return other(piece, "units.*.hung", u) | {"bobbin": bobbin} | of(loom, "friction wrap_rad")


@fact(
    "units.*.hung",
    "g",
    holds="of her weights, each hung once, no other choice lies closer to what all units ask; "
    "where none is owned or fits, just what is asked beside the bobbin",
    source="derived; checked against every way of handing out",
    says="Hang {value} on {name}, beside its bobbin; it asks for {weight} with the bobbin.",
)
def hung(piece: Piece, u: int) -> Answer:
    """The weight chosen from those she owns, without the bobbin."""
    handed = piece.loom.handed
    return Answer(
        float(handed.mass_g[u]),
        lambda: (
            other(piece, "units.*.weight", u)
            | {"together": Put(list(handed.hung[u]), "g")}
            | of(piece.draft.loom, "weights bobbin_g friction wrap_rad howell_a howell_power")
            | of(piece.draft.warp, "tension_n")
        ),
    )


@fact("units.*.share", formula="(hung + sum(bobbin) / count(bobbin)) / weight")
def share(piece: Piece, u: int) -> Answer:
    """Weight and bobbin, half empty, over what the tension asks for."""
    return Answer(
        float(piece.loom.handed.share[u]),
        lambda: _hangs(piece, u) | other(piece, "units.*.weight", u),
    )


_FELL = "({} / 1000 * 9.80665 / ends) ** (1 - howell_power)"
_BEND = "(1 - howell_power) * howell_a * (beam_radius / 1000) ** (1 - howell_power) * wrap"
_BEAM = "published: capstan equation; Howell 1953, from memory"


def _at_the_fell(piece: Piece, u: int, value: float) -> Answer:
    loom, ends = piece.draft.loom, Put(kind_of(piece, u).end_count)
    more = of(loom, "howell_a howell_power beam_radius_mm") | {"ends": ends}
    case = "Howell" if measured_by_howell(loom) else "capstan"
    return Answer(value, lambda: _hangs(piece, u) | more, case)


@fact(
    "units.*.fell_least",
    "N",
    formula={
        "capstan": "(hung + min(bobbin)) / 1000 * 9.80665 / exp(friction * wrap)",
        "Howell": f"ends * max({_FELL.format('(hung + min(bobbin))')} - {_BEND}, 0)"
        " ** (1 / (1 - howell_power))",
    },
    source=_BEAM,
)
def fell_least(piece: Piece, u: int) -> Answer:
    """Least tension of the unit at the fell: the weight wins, the bobbin is empty."""
    return _at_the_fell(piece, u, float(piece.loom.least_n[u]))


@fact(
    "units.*.fell_most",
    "N",
    formula={
        "capstan": "(hung + max(bobbin)) / 1000 * 9.80665 * exp(friction * wrap)",
        "Howell": f"ends * max({_FELL.format('(hung + max(bobbin))')} + {_BEND}, 0)"
        " ** (1 / (1 - howell_power))",
    },
    source=_BEAM,
)
def fell_most(piece: Piece, u: int) -> Answer:
    """Greatest tension at the fell: warp is pulled forward, the bobbin is full."""
    return _at_the_fell(piece, u, float(piece.loom.most_n[u]))


@fact(
    "units.*.left",
    "mm",
    form="[number]",
    digits=1,
    formula="winding_length - knots / 2 - sample - finish - running(spans + bands + takeup)",
    source="derived",
)
def left(piece: Piece, u: int) -> Answer:
    """Warp of each end behind the fell when each band is woven."""
    kind = piece.draft.units[u].kind
    return Answer(
        piece.bobbins.left_mm[:, u].tolist(),
        lambda: (
            other(piece, "units.*.winding_length", u)
            | of(piece.draft.warp, "knots_mm sample_mm finish_mm")
            | {"spans": Put([0.0, *longest_mm(piece, u)], "mm")}
            | {"takeup": Put(takeups_mm(piece.draft, kind), "mm")}
            | bands_put(piece)
        ),
    )


@fact(
    "units.*.on_bobbin",
    "mm",
    form="[number>=0]",
    digits=1,
    formula="max(left - fell_to_heddle - heddle_to_back - back_to_weight, 0)",
    source="derived",
)
def on_bobbin(piece: Piece, u: int) -> Answer:
    """Of that, still wound on the bobbin."""
    way = of(piece.draft.loom, "fell_to_heddle_mm heddle_to_back_mm back_to_weight_mm")
    return Answer(
        piece.bobbins.on_bobbin_mm[:, u].tolist(), lambda: other(piece, "units.*.left", u) | way
    )


@fact(
    "units.*.bobbin_volume",
    "cm³",
    formula="sum(ends * diameter ** 2) * winding_length / 1000",
    source="derived: square stacking fills π/4",
)
def bobbin_volume(piece: Piece, u: int) -> Answer:
    """Room that the yarn takes on the bobbin, each end in a square of its diameter."""
    return Answer(
        piece.bobbins.windings[u].volume_cm3,
        lambda: runs_of(piece, kind_of(piece, u)) | other(piece, "units.*.winding_length", u),
    )


@fact(
    "units.*.runs_out",
    form="integer?",
    formula={"": "first(where(running(drawn) > drop + 1e-9))", "never": "sum(drawn) > drop + 1e-9"},
    source="derived",
    says="Warp is drawn forward by each span, and the weight of {name} rises by as much, {drop} at "
    "most. Its travel first ends in span {value}.",
)
def runs_out(piece: Piece, u: int) -> Answer:
    """The span in which the first travel of the weight ends; null if it never does."""
    letoff = piece.loom.letoff
    return Answer(
        letoff.runs_out[u],
        lambda: (
            {"drawn": in_spans(piece, letoff.drawn_mm[:, u].tolist())}
            | of(piece.draft.loom, "drop_mm")
        ),
        "" if letoff.runs_out[u] else "never",
    )
