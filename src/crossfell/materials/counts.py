"""How coarse is this yarn?

Yarn counts by definition. Exact: 1 yd = 0.9144 m, 1 lb = 453.59237 g (international yard and
pound, 1959). An indirect count N means tex = K/N with K = 496 054.647857 / (yards per pound of
count 1). Sources: ISO 1144 (tex system), ASTM D2260 (conversion factors), ISO 1139 (notation of
folded yarn); trade systems from memory are marked. Checked: tests/outside/test_yarn_counts.py.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

YARDS_PER_POUND = 496054.647857  # of a yarn of 1 tex: 453.59237 g/lb, 0.9144 m/yd


@dataclass(frozen=True, kw_only=True)
class YarnCount:
    """A yarn count as read: its label and what it means."""

    label: str  # as written: "lea 16/2"
    tex: float  # resultant linear density, g/km
    folds: int  # plies; 1 for a single
    system: str  # "lea", "Nm", "Ne", "tex", …
    single_tex: float = 0.0  # of one ply, before folding twist


@dataclass(frozen=True, kw_only=True)
class CountProblem:
    """A label that makes no sense, or could mean several things; `says` asks."""

    says: str


@dataclass(frozen=True, kw_only=True)
class System:
    """A count system: direct (tex = factor × N) or indirect (tex = factor / N)."""

    name: str
    factor: float
    direct: bool
    source: str


def _hank(yards_per_pound: float) -> float:
    return YARDS_PER_POUND / yards_per_pound


SYSTEMS = {
    system.name: system
    for system in (
        System(name="tex", factor=1.0, direct=True, source="published: ISO 1144"),
        System(name="dtex", factor=0.1, direct=True, source="published: ISO 1144"),
        System(name="ktex", factor=1000.0, direct=True, source="published: ISO 1144"),
        System(name="den", factor=1 / 9, direct=True, source="published: g per 9 km"),
        System(
            name="old denier",
            factor=28.349523125 / (1600 / 3) / (520 * 0.9144) * 1000,
            direct=True,
            source="published: 533 1/3 deniers to the ounce, skein of 520 yd; Taylor p. 238",
        ),
        System(name="Nm", factor=1000.0, direct=False, source="published: km per kg"),
        System(name="Ne", factor=_hank(840), direct=False, source="definition: 840 yd hanks/lb"),
        System(
            name="spun silk", factor=_hank(840), direct=False, source="published: Taylor p. 239"
        ),
        System(
            name="worsted", factor=_hank(560), direct=False, source="definition: 560 yd hanks/lb"
        ),
        System(name="lea", factor=_hank(300), direct=False, source="definition: 300 yd leas/lb"),
        System(name="run", factor=_hank(1600), direct=False, source="definition: 1600 yd runs/lb"),
        System(name="yorkshire", factor=_hank(256), direct=False, source="published: 256 yd/lb"),
        System(name="dewsbury", factor=_hank(16), direct=False, source="from memory: yards/oz"),
        System(
            name="galashiels",
            factor=_hank(200 * 16 / 24),
            direct=False,
            source="from memory: 200 yd per 24 oz",
        ),
        System(
            name="hawick",
            factor=_hank(300 * 16 / 26),
            direct=False,
            source="from memory: 300 yd per 26 oz",
        ),
        System(name="west", factor=_hank(320), direct=False, source="from memory: 320 yd/lb"),
        System(
            name="spyndle",
            factor=453.59237 / (14400 * 0.9144) * 1000,
            direct=True,
            source="definition: lb per spyndle of 14 400 yd",
        ),
        System(
            name="grains",
            factor=0.06479891 / (120 * 0.9144) * 1000,
            direct=True,
            source="definition: grains per 120 yd",
        ),
        System(
            name="dram",
            factor=453.59237 / 256 / (1000 * 0.9144) * 1000,
            direct=True,
            source="published: drams per 1000 yd, Taylor p. 239",
        ),
        System(name="french", factor=500.0, direct=False, source="published: Brooks p. 91"),
        System(name="yd/lb", factor=_hank(1), direct=False, source="definition"),
        System(name="m/kg", factor=1e6, direct=False, source="definition"),
    )
}
ALSO = {
    "nel": "lea", "linen": "lea", "cotton": "Ne", "nec": "Ne", "cc": "Ne", "ne": "Ne", "nm": "Nm",
    "metric": "Nm", "denier": "den", "jute": "spyndle", "aberdeen": "spyndle", "cut": "lea",
    "skein": "yorkshire",
    "silk": "spun silk", "west of england": "west", "ypp": "yd/lb",
}  # fmt: skip
_BY_FIBRE = {
    "linen": ("lea", "Nm"),
    "flax": ("lea", "Nm"),
    "hemp": ("lea", "Nm"),
    "ramie": ("lea", "Nm"),
    "jute": ("spyndle", "lea"),
    "cotton": ("Ne", "Nm"),
    "wool": ("worsted", "Nm", "run", "yorkshire"),
    "woollen": ("run", "yorkshire", "Nm"),
    "worsted": ("worsted", "Nm"),
    "silk": ("spun silk", "Nm"),
}
_N = r"\d{1,6}(?:\.\d{1,6})?"
_NAMES = "|".join(sorted(map(re.escape, [*SYSTEMS, *ALSO]), key=len, reverse=True))
_LABEL = re.compile(
    rf"(?P<before>{_NAMES})?\s*(?P<a>{_N})\s*(?:/\s*(?P<b>{_N}))?\s*(?P<after>{_NAMES})?",
    re.IGNORECASE,
)
_RESULTANT = re.compile(
    rf"R\s*(?:tex\s*)?(?P<tex>{_N})\s*(?:tex)?(?:\s*/\s*(?P<folds>\d))?", re.IGNORECASE
)
_SINGLE_TO_FOLD = re.compile(
    rf"(?:tex\s*)?(?P<tex>{_N})\s*(?:tex)?\s*(?:[SZ]\s*\d*)?\s*[x×]\s*(?P<folds>\d{{1,2}})"
    r"\s*(?:[SZ]\s*\d*)?",
    re.IGNORECASE,
)


def read_count(text: str, fibre: str = "") -> YarnCount | CountProblem:
    """Read a label such as "lea 16/2", "Nm 9.7/2", "tex 207", "R 69.3 tex", "34 tex x 2".

    `tex` is the resultant of a folded yarn, without the shortening by folding twist. The smaller
    number is the fold (common practice; both ways round are sold), unless both are at most 6.
    Exception (Taylor, p. 239): spun silk 40/2 is two ends of 80, its resultant is 40.
    """
    label = " ".join(text.split())
    if found := _SINGLE_TO_FOLD.fullmatch(label):
        single, folds = float(found["tex"]), int(found["folds"])
        return _made(label, "tex", single * folds, folds)
    if found := _RESULTANT.fullmatch(label):
        return _made(label, "tex", float(found["tex"]), int(found["folds"] or 1))
    found = _LABEL.fullmatch(label)
    if found is None:
        return CountProblem(says='a yarn count is written as "lea 16/2", "Nm 9.7/2" or "tex 207"')
    names = {_system(name) for name in (found["before"], found["after"]) if name}
    if len(names) > 1:
        return CountProblem(says=f"this names two count systems: {' and '.join(sorted(names))}")
    a, b = float(found["a"]), float(found["b"]) if found["b"] else None
    if not names:
        return _which_system(label, a, b, fibre)
    return _read(label, names.pop(), a, b)


def tex_of(number: float, system: str) -> float:
    """Linear density (tex) of a single of this count."""
    found = SYSTEMS[_system(system)]
    return found.factor * number if found.direct else found.factor / number


def count_of(tex: float, system: str) -> float:
    """Count number of a yarn of this linear density (tex)."""
    found = SYSTEMS[_system(system)]
    return tex / found.factor if found.direct else found.factor / tex


def folded(*numbers: float) -> float:
    """Resultant count of unequal singles twisted together, indirect systems: 1/N = Σ 1/Ni.

    Source: published, Taylor; Brooks. Checked: 60 and 40 give 24.
    """
    return 1 / sum(1 / number for number in numbers)


def _system(name: str) -> str:
    for known in SYSTEMS:
        if known.lower() == name.lower():
            return known
    return ALSO[name.lower()]


def _read(label: str, system: str, a: float, b: float | None) -> YarnCount | CountProblem:
    if a <= 0 or b == 0:
        return CountProblem(says="a yarn count is more than nothing")
    if b is None:
        return _made(label, system, tex_of(a, system), 1)
    if a <= 6 and b <= 6 and a != b:
        says = " or ".join(
            f"{folds:g} folds of {single:g} (write `{tex_of(single, system):.0f} tex x {folds:g}`)"
            for folds, single in ((a, b), (b, a))
        )
        return CountProblem(says=f"which number is the fold? {says}")
    fold, single = min(a, b), max(a, b)
    if fold != int(fold) or fold > 24:
        return CountProblem(says=f"{fold:g} is no number of folds")
    if system == "spun silk" and a == single:
        return _made(label, system, tex_of(single, system), int(fold))
    return _made(label, system, tex_of(single, system) * fold, int(fold))


def _made(label: str, system: str, tex: float, folds: int) -> YarnCount | CountProblem:
    if not 0.5 <= tex <= 50_000:
        return CountProblem(says=f"{tex:.4g} tex is no yarn for a warp")
    return YarnCount(
        label=label, tex=tex, folds=folds, system=system, single_tex=tex / max(folds, 1)
    )


def _which_system(label: str, a: float, b: float | None, fibre: str) -> CountProblem:
    words = fibre.lower().split()
    options = next((_BY_FIBRE[word] for word in words if word in _BY_FIBRE), ("lea", "Ne", "Nm"))
    meanings = []
    for system in options:
        read = _read(label, system, a, b)
        if isinstance(read, YarnCount):
            meanings.append(f'"{system} {label}" is {read.tex:.0f} tex')
    return CountProblem(says=f"which count system? {'; '.join(meanings)}")
