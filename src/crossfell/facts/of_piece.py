"""How large, how heavy is the whole piece, and what do its spans come to?"""

from __future__ import annotations

from crossfell.base.notes import Where
from crossfell.draft.model import Draft
from crossfell.facts.declare import Answer, Put, each, fact, level, of, other, ranged
from crossfell.piece import Piece

level("piece", whom="maker client", says="the whole piece")


@fact("piece.title", form="string")
def title(piece: Piece) -> Answer:
    """Its title."""
    return Answer(piece.draft.about.title)


@fact(
    "piece.width",
    "mm",
    formula="places * pitch",
    says="The piece is {value} wide as woven: {places} places, {pitch} from one to the next.",
)
def width(piece: Piece) -> Answer:
    """The woven width: every place, empty ones too."""
    draft = piece.draft
    places = Put(draft.place_count, lines=_order_line(draft))
    return Answer(
        piece.paths.width_total_mm, lambda: {"places": places} | of(draft.warp, "pitch_mm")
    )


def _order_line(draft: Draft) -> tuple[Where, ...]:
    return (draft.warp.given["order"],) if draft.warp and "order" in draft.warp.given else ()


@fact(
    "piece.height",
    "mm",
    formula="sum(bands) + sum(spans)",
    says="The piece is {value} high as woven: {bands.count} bands and {spans.count} spans, one "
    "above the other. The highest span is {spans.most}.",
)
def height(piece: Piece) -> Answer:
    """All bands and all spans, one above the other, as woven."""
    return Answer(
        piece.paths.height_total_mm,
        lambda: (
            each(piece, "bands.*.height", name="bands")
            | each(piece, "spans.*.height", name="spans")
        ),
    )


@fact("piece.woven_from", form="one of bottom|top")
def woven_from(piece: Piece) -> Answer:
    """The end of the hung piece that is woven first."""
    return Answer(piece.draft.about.woven_from)


@ranged(
    "piece.mass",
    "g",
    low="The same in a dry room, 30 %.",
    high="The same in a damp room, 80 %.",
    formula={
        "": "sum(units) + weft + rods + adhesive",
        "_low": "sum(units) + weft + rods + adhesive - damp / 2",
        "_high": "sum(units) + weft + rods + adhesive + damp / 2",
    },
    source="definition; the change with moisture from memory: about 5 % for linen",
    says="The finished piece weighs {value}: its yarn, and {rods} of rods, {weft} of weft and "
    "{adhesive} of dry adhesive. The heaviest unit is {units.most}.",
)
def mass(piece: Piece, end: str) -> Answer:
    """Mass of the finished piece at 65 % relative humidity: yarn, rods and dried adhesive."""
    whole, masses = piece.weighed, piece.masses
    value = {"": whole.total_g, "_low": whole.low_g, "_high": whole.high_g}[end]
    return Answer(
        value,
        lambda: (
            each(piece, "units.*.mass", name="units")
            | {"weft": Put(float(masses.weft_g.sum()), "g")}
            | {"rods": Put(float(masses.rods_g.sum()), "g")}
            | {"adhesive": Put(float(masses.adhesive_g.sum()), "g")}
            | of(whole, "damp_g")
            | of(piece.draft.adhesive, "solids")
        ),
    )


@fact(
    "piece.size",
    "mm",
    form="[number>=0]",
    formula="[width, height]",
    says="The piece is {width} wide and {height} high as woven; cut down, it shrinks a little.",
)
def size(piece: Piece) -> Answer:
    """Width and height as woven."""
    paths = piece.paths
    return Answer(
        [paths.width_total_mm, paths.height_total_mm],
        lambda: other(piece, "piece.width piece.height"),
    )


@fact(
    "piece.lifted",
    form="integer>=0",
    formula="sum(spans)",
    says="Lifted out by themselves, {value} strips leave the row over the whole piece; the most "
    "are in {spans.most}. What is rolled or carried needs fewer: plan.handled says how many.",
)
def lifted(piece: Piece) -> Answer:
    """Strips lifted out over the whole piece, the fewest of each span, none rolled or carried."""
    spans = piece.order.spans
    return Answer(
        sum(span.lifted for span in spans), lambda: each(piece, "spans.*.lifted", name="spans")
    )


@fact(
    "piece.wound",
    "mm",
    formula="sum(bobbins)",
    says="The bobbins carry {value} of warp together, {bobbins.count} of them; the longest is "
    "{bobbins.most}. All ends of a bobbin run side by side and count once.",
)
def wound(piece: Piece) -> Answer:
    """Length wound on all bobbins, the ends of each counted once."""
    return Answer(
        sum(winding.total_mm for winding in piece.amounts.windings),
        lambda: each(piece, "units.*.winding_length", name="bobbins"),
    )


@fact(
    "piece.yarn",
    "g",
    formula="sum(yarns)",
    says="Warp and weft take {value} of yarn, waste included; the most is {yarns.most}.",
)
def yarn(piece: Piece) -> Answer:
    """Yarn of all kinds that the piece takes, with waste."""
    return Answer(
        sum(need.need_g for need in piece.amounts.yarns),
        lambda: each(piece, "stock.yarn.*.need", name="yarns"),
    )


@fact(
    "piece.interlaced",
    form="[integer>=1]",
    formula="where(not layable)",
    says="A span can be laid when its units can be put down one after another, back to front. "
    "Not so in spans: {value}.",
)
def interlaced(piece: Piece) -> Answer:
    """Numbers of the spans that cannot be laid, back to front, in one pass."""
    spans = piece.order.spans
    return Answer(
        [span.number for span in spans if not span.layable], lambda: each(piece, "spans.*.layable")
    )


@fact(
    "piece.swinging",
    form="[integer>=1]",
    formula="where(not holds)",
    says="A span holds when its units, all pulling, can carry what is below without side force. "
    "Rods move sideways in spans: {value}.",
)
def swinging(piece: Piece) -> Answer:
    """Numbers of the spans that swing: their rods move sideways until the leans carry."""
    return Answer(
        [hold.number for hold in piece.holds if not hold.holds],
        lambda: each(piece, "spans.*.holds"),
    )
