"""How high is every band, and who lies where in it?"""

from __future__ import annotations

from itertools import pairwise

from crossfell.draft.model import Band, Draft
from crossfell.facts.declare import AS_WRITTEN, Answer, Inputs, Put, each, fact, level, of
from crossfell.paths.stage import warp_diameter_mm, weft_diameter_mm
from crossfell.piece import Piece
from crossfell.statics.quick import drifts_mm

level(
    "bands",
    whom="maker loom",
    says="every band, in weaving order",
    size=lambda p: len(p.draft.bands),
    label=lambda _, b: str(b + 1),
)


@fact("bands.*.number", form="integer>=1")
def number(_: Piece, b: int) -> Answer:
    """Its number, in weaving order."""
    return Answer(b + 1)


@fact(
    "bands.*.order",
    form="[string?]",
    holds="the order of the warp, moved by every span before",
    source="definition: the moves of the draft",
)
def order(piece: Piece, b: int) -> Answer:
    """Units by place at the band; null where a place is empty."""
    row = piece.order.by_place(b, piece.draft.place_count)
    names = piece.order.names
    moves = [move.where for span in piece.draft.spans[:b] for move in span.moves]
    return Answer(
        [None if u is None else names[u] for u in row],
        lambda: of(piece.draft.warp, "order") | {"spans_before": Put(b, lines=tuple(moves))},
    )


@fact(
    "bands.*.swings_to",
    "mm",
    form="number",
    formula={"bands above": "sum(drift)", "top": "0"},
    source="derived: statics of a free body",
)
def swings_to(piece: Piece, b: int) -> Answer:
    """How far the band swings aside, right positive on the wall: drifts of the spans above it."""
    value = float(drifts_mm(piece.draft, piece.holds)[b])
    spans = range(len(piece.draft.spans))
    above = spans[b:] if piece.draft.on_wall().up > 0 else spans[:b]
    return Answer(
        value,
        lambda: each(piece, "spans.*.drift", only=list(above)),
        "bands above" if len(above) else "top",
    )


@fact(
    "bands.*.height",
    "mm",
    formula={
        "written": AS_WRITTEN,
        "woven": "sum(max(room, round * sqrt(1 - max(1 - climb / round, 0) ** 2))) + edges",
    },
    source="pick spacing: published sett rule, worked at 75 %; beside a rod the jammed distance: "
    "Peirce, J. Text. Inst. 28 (1937) T45, and derived",
    says="Band {name} is {value} high when it is woven.",
)
def height(piece: Piece, b: int) -> Answer:
    """Height of the band when woven: from pick to pick and past its rod, none closer than jammed.

    `room` is the beaten distance of each two neighbours, `climb` how far an end rises between them,
    `round` the sum of half diameters that it bends over.
    """
    band, paths = piece.draft.bands[b], piece.paths
    value = float(paths.band_top_mm[b] - paths.band_bottom_mm[b])
    if band.height_mm is not None:
        return Answer(band.height_mm, lambda: of(band, "height_mm"), "written")
    return Answer(value, lambda: _gaps(piece.draft, band) | of(band, "picks rod weft"), "woven")


@fact(
    "bands.*.weft_length",
    "mm",
    formula="picks * (right - left) * 1.04",
    source="1.04 for crimp and the turn at the edge: common practice, no source",
    says="The {picks} picks of band {name} take {value} of weft, from the outermost unit's edge to "
    "the other.",
)
def weft_length(piece: Piece, b: int) -> Answer:
    """Weft in the picks of the band, from the outermost edge of a unit to the other."""
    band, (left, right) = piece.draft.bands[b], piece.paths.edges_mm[b].tolist()
    line = tuple(filter(None, [band.given.get("picks")]))
    return Answer(
        piece.amounts.weft_mm[b],
        lambda: {
            "picks": Put(band.pick_count, lines=line),
            "left": Put(left, "mm"),
            "right": Put(right, "mm"),
        },
    )


def _gaps(draft: Draft, band: Band) -> Inputs:
    """What lies between each two neighbours of a band, by diameters of warp, weft and rod."""
    warp, weft = warp_diameter_mm(draft), weft_diameter_mm(draft, band)
    rod = band.rod.diameter_mm if band.rod else 0.0
    past = (rod, (rod + warp) / 2, (rod + warp) / 2)
    pick = ((warp + weft) / 0.75, (warp + weft) / 4, (warp + weft) / 2)
    laid = [row for run in band.runs for row in ([past] if run == "rod" else [pick] * int(run))]
    both = [[a + b for a, b in zip(one, two, strict=True)] for one, two in pairwise(laid)]
    return {
        "room": Put([row[0] / 2 for row in both], "mm"),
        "climb": Put([row[1] for row in both], "mm"),
        "round": Put([row[2] for row in both], "mm"),
        "edges": Put((laid[0][0] + laid[-1][0]) / 2, "mm"),
        "warp_diameter": Put(warp, "mm"),
        "weft_diameter": Put(weft, "mm"),
    }
