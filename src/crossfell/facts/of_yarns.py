"""What is known of every yarn and of every kind of unit?"""

from __future__ import annotations

from math import fsum

from crossfell.draft.model import UnitKind, Yarn
from crossfell.facts.declare import Answer, Inputs, Put, each, fact, level, of, other, ranged
from crossfell.materials.tables import Fibre, fibre_of
from crossfell.materials.yarn import (
    SPUN_MODULUS,
    SPUN_STRAIN,
    SPUN_TENACITY,
    Valued,
    breaking_n,
    diameter_mm,
    elongation,
    stiffness_n,
)
from crossfell.piece import Piece


def _yarn(piece: Piece, y: int) -> Yarn:
    return list(piece.draft.yarns.values())[y]


def kinds_of(piece: Piece) -> list[UnitKind]:
    """Kinds of unit in the order in which they stand in the warp."""
    draft = piece.draft
    return [draft.kinds[name] for name in dict.fromkeys(unit.kind for unit in draft.units)]


level(
    "yarns",
    whom="maker",
    says="every yarn of the draft",
    size=lambda p: len(p.draft.yarns),
    label=lambda p, y: _yarn(p, y).name,
)
level(
    "kinds",
    whom="maker",
    says="every kind of unit: its sett against its strip",
    size=lambda p: len(kinds_of(p)),
    label=lambda p, k: kinds_of(p)[k].name,
)
MEASURED = "measured when the key stands in the draft or the workshop, computed from the fibre, "


@fact("yarns.*.name", form="string")
def name(piece: Piece, y: int) -> Answer:
    """Its name."""
    return Answer(_yarn(piece, y).name)


@fact(
    "yarns.*.tex",
    "tex",
    holds="what the count system says of the label: tex = factor × N, or factor / N",
    source="definition: ISO 1144; trade systems as marked in docs/draft.md",
    says="{name} is as coarse as {value}: a kilometre weighs so many grams.",
)
def tex(piece: Piece, y: int) -> Answer:
    """Linear density of the yarn, folds and all."""
    yarn = _yarn(piece, y)
    return Answer(
        yarn.count.tex, lambda: {"count": Put(yarn.count.label, lines=(yarn.given["count"],))}
    )


def _at(value: Valued, end: str) -> float:
    return {"": value.value, "_low": value.low, "_high": value.high}[end]


def _tex(piece: Piece, y: int) -> Inputs:
    yarn = _yarn(piece, y)
    return other(piece, "yarns.*.tex", y) | of(yarn, "fibre")


@ranged(
    "yarns.*.diameter",
    "mm",
    low="Diameter at the closest packing of its fibres.",
    high="Diameter at the loosest packing of its fibres.",
    formula={
        "measured": "measured",
        "computed": "0.0356825 * (sqrt(tex / density / loosest) + sqrt(tex / density / closest))"
        " / 2",
        "computed_low": "0.0356825 * sqrt(tex / density / closest)",
        "computed_high": "0.0356825 * sqrt(tex / density / loosest)",
        "default": "0.0374241 * sqrt(tex)",
        "default_low": "0.95 * 0.0374241 * sqrt(tex)",
        "default_high": "1.2 * 0.0374241 * sqrt(tex)",
    },
    source="published: Peirce, J. Text. Inst. 28 (1937) T45; densities of Morton & Hearle; "
    "packing from memory",
)
def diameter(piece: Piece, y: int, end: str) -> Answer:
    """Diameter of the yarn: measured, or from its density and packing."""
    yarn = _yarn(piece, y)
    found = diameter_mm(yarn.count.tex, yarn.fibre, yarn.diameter_mm)

    def put() -> Inputs:
        if found.how == "measured":
            return {"measured": of(yarn, "diameter_mm")["diameter"]}
        fibre = fibre_of(yarn.fibre) if found.how == "computed" else None
        packing = {} if fibre is None else {
            "density": Put(fibre.density, "g/cm³"),
            "loosest": Put(fibre.packing[0]),
            "closest": Put(fibre.packing[1])
        }  # fmt: skip
        return _tex(piece, y) | packing | {"source": Put(found.source)}

    return Answer(_at(found, end), put, found.how)


@fact(
    "yarns.*.diameter_how",
    form="one of measured|computed|default",
    holds=MEASURED + "or Peirce's default",
)
def diameter_how(piece: Piece, y: int) -> Answer:
    """Whether the diameter is measured by her, computed from the fibre, or a default."""
    yarn = _yarn(piece, y)
    how = diameter_mm(yarn.count.tex, yarn.fibre, yarn.diameter_mm).how
    return Answer(how, lambda: of(yarn, "diameter_mm fibre"))


_OF_FIBRE = {
    "computed": "of_fibre * (share_least + share_most) / 2 * tex",
    "computed_low": "of_fibre * share_least * tex",
    "computed_high": "of_fibre * share_most * tex",
    "measured": "measured * tex",
}


def _strength(
    piece: Piece, y: int, end: str, found: Valued, field: str, share: tuple[float, float]
) -> Answer:
    """A property of the yarn that is its tex times a share of the fibre's."""
    yarn = _yarn(piece, y)

    def put() -> Inputs:
        if found.how == "measured":
            bare = field.removesuffix("_n_per_tex")
            return _tex(piece, y) | {"measured": of(yarn, field)[bare]}
        usual, between = _of_fibre(fibre_of(yarn.fibre), field)
        grade = {"": usual, "_low": between[0], "_high": between[1]}[end]
        return (
            _tex(piece, y)
            | {"of_fibre": Put(grade, "N/tex"), "share_least": Put(share[0])}
            | {"share_most": Put(share[1]), "source": Put(found.source)}
        )

    return Answer(_at(found, end), put, "measured" if found.how == "measured" else "computed")


def _of_fibre(fibre: Fibre | None, field: str) -> tuple[float, tuple[float, float]]:
    """Usual grade and range (N/tex) of a fibre; of an unknown one what stands for it."""
    if field == "modulus_n_per_tex":
        return (fibre.modulus, fibre.modulus_range) if fibre else (8.0, (8.0, 8.0))
    return (fibre.tenacity, fibre.tenacity_range) if fibre else (0.3, (0.3, 0.3))


@ranged(
    "yarns.*.stiffness",
    "N",
    low="Stiffness EA of one end of the softest grade, with the least share of it.",
    high="Stiffness EA of one end of the stiffest grade, with the greatest share of it.",
    formula=_OF_FIBRE,
    source="published fibre moduli, Morton & Hearle; share from memory",
)
def stiffness(piece: Piece, y: int, end: str) -> Answer:
    """Stiffness EA of one end: measured modulus, or 0.3 to 0.6 of the fibre's."""
    yarn = _yarn(piece, y)
    found = stiffness_n(yarn.count.tex, yarn.fibre, yarn.modulus_n_per_tex)
    return _strength(piece, y, end, found, "modulus_n_per_tex", SPUN_MODULUS)


@fact(
    "yarns.*.stiffness_how",
    form="one of measured|computed|default",
    holds=MEASURED + "or a default",
)
def stiffness_how(piece: Piece, y: int) -> Answer:
    """Whether the stiffness is measured by her, computed from the fibre, or a default."""
    yarn = _yarn(piece, y)
    how = stiffness_n(yarn.count.tex, yarn.fibre, yarn.modulus_n_per_tex).how
    return Answer(how, lambda: of(yarn, "modulus_n_per_tex fibre"))


@ranged(
    "yarns.*.breaking",
    "N",
    low="Breaking load of one end of the weakest grade, with the least share of it.",
    high="Breaking load of one end of the strongest grade, with the greatest share of it.",
    formula=_OF_FIBRE,
    source="published fibre tenacities, Morton & Hearle; share from memory",
)
def breaking(piece: Piece, y: int, end: str) -> Answer:
    """Breaking load of one end: measured tenacity, or 0.4 to 0.6 of the fibre's."""
    yarn = _yarn(piece, y)
    found = breaking_n(yarn.count.tex, yarn.fibre, yarn.tenacity_n_per_tex)
    return _strength(piece, y, end, found, "tenacity_n_per_tex", SPUN_TENACITY)


@fact(
    "yarns.*.breaking_how", form="one of measured|computed|default", holds=MEASURED + "or a default"
)
def breaking_how(piece: Piece, y: int) -> Answer:
    """Whether the breaking load is measured by her, computed from the fibre, or a default."""
    yarn = _yarn(piece, y)
    how = breaking_n(yarn.count.tex, yarn.fibre, yarn.tenacity_n_per_tex).how
    return Answer(how, lambda: of(yarn, "tenacity_n_per_tex fibre"))


@ranged(
    "yarns.*.elongation",
    form="number>=0?",
    low="Least strain of the fibre's grades, half of it; null for an unknown fibre.",
    high="Greatest strain of the fibre's grades; null for an unknown fibre.",
    formula={
        "": "of_fibre * (share_least + share_most) / 2",
        "_low": "of_fibre * share_least",
        "_high": "of_fibre * share_most",
    },
    source="published fibre strains, Morton & Hearle; share from memory",
)
def strain(piece: Piece, y: int, end: str) -> Answer:
    """Strain at break of the yarn, from half its fibre's to all of it; null for an unknown one."""
    fibre, found = fibre_of(_yarn(piece, y).fibre), elongation(_yarn(piece, y).fibre)
    if fibre is None or found is None:
        return Answer(None, lambda: of(_yarn(piece, y), "fibre"))
    low, high = fibre.strain_range
    grade = {"": fibre.strain_at_break, "_low": low, "_high": high}[end]
    least, most = SPUN_STRAIN
    return Answer(
        _at(found, end),
        lambda: (
            {"of_fibre": Put(grade), "share_least": Put(least), "share_most": Put(most)}
            | of(_yarn(piece, y), "fibre")
            | {"source": Put(fibre.source)}
        ),
    )


@fact(
    "yarns.*.regain",
    form="number>=0?",
    formula="of_fibre",
    source="materials/fibres.toml, with its letters",
)
def regain(piece: Piece, y: int) -> Answer:
    """Moisture as a share of its dry mass, at 65 % relative humidity; null for an unknown fibre."""
    fibre = fibre_of(_yarn(piece, y).fibre)
    own = of(_yarn(piece, y), "fibre")
    if fibre is None:
        return Answer(None, lambda: own)
    return Answer(fibre.regain, lambda: own | {"of_fibre": Put(fibre.regain)})


@fact("yarns.*.dry_share", form="number>=0?", formula="1 / (1 + regain)",
      source="definition of regain")  # fmt: skip
def dry_share(piece: Piece, y: int) -> Answer:
    """Dry mass of the yarn as a share of what it weighs in the room; null for an unknown fibre."""
    fibre = fibre_of(_yarn(piece, y).fibre)
    value = None if fibre is None else 1 / (1 + fibre.regain)
    return Answer(value, lambda: other(piece, "yarns.*.regain", y))


@fact("kinds.*.name", form="string")
def kind_name(piece: Piece, k: int) -> Answer:
    """Its name."""
    return Answer(kinds_of(piece)[k].name)


def runs_of(piece: Piece, kind: UnitKind) -> Inputs:
    """Ends of each run of a kind, and how thick they are."""
    yarns = list(piece.draft.yarns)
    line = (kind.given["ends_text"],)
    names = tuple(name for _, name in kind.ends)
    thick = each(piece, "yarns.*.diameter", only=[yarns.index(name) for name in names])
    return {"ends": Put([count for count, _ in kind.ends], lines=line, labels=names)} | thick


def _side_by_side_mm(piece: Piece, kind: UnitKind) -> float:
    draft = piece.draft
    rows = ((count, draft.yarns[name]) for count, name in kind.ends)
    return fsum(n * diameter_mm(y.count.tex, y.fibre, y.diameter_mm).value for n, y in rows)


def _width(piece: Piece, kind: UnitKind) -> Inputs:
    return of(piece.draft.strips[kind.strip], "width_mm")


@fact("kinds.*.ends", form="integer>=0", formula="sum(ends)", source="the draft")
def end_count(piece: Piece, k: int) -> Answer:
    """Ends of the unit, all its runs together."""
    kind = kinds_of(piece)[k]
    return Answer(kind.end_count, lambda: runs_of(piece, kind))


@fact(
    "kinds.*.sett",
    "ends/cm",
    formula="sum(ends) / width * 10",
    says="A unit {name} has {value}: its ends over the width of its strip, {width}.",
)
def sett(piece: Piece, k: int) -> Answer:
    """Ends over the width of the strip."""
    kind = kinds_of(piece)[k]
    width = piece.draft.strips[kind.strip].width_mm
    return Answer(kind.end_count / width * 10, lambda: runs_of(piece, kind) | _width(piece, kind))


@fact("kinds.*.closest", "ends/cm", formula="sum(ends) / sum(ends * diameter) * 10")
def closest(piece: Piece, k: int) -> Answer:
    """Ends that would touch, side by side."""
    kind = kinds_of(piece)[k]
    side = _side_by_side_mm(piece, kind)
    return Answer(kind.end_count / side * 10, lambda: runs_of(piece, kind))


@fact("kinds.*.cover", formula="sum(ends * diameter) / width")
def cover(piece: Piece, k: int) -> Answer:
    """Share of the strip's width that its ends take, side by side."""
    kind = kinds_of(piece)[k]
    width = piece.draft.strips[kind.strip].width_mm
    return Answer(
        _side_by_side_mm(piece, kind) / width, lambda: runs_of(piece, kind) | _width(piece, kind)
    )
