"""What is known about fibres and rods? Tables with their sources, read once."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any


@dataclass(frozen=True, kw_only=True)
class Fibre:
    """A fibre at 65 % relative humidity; see fibres.toml for the sources."""

    name: str
    density: float  # g/cm³
    packing: tuple[float, float]  # share of a yarn's section that is fibre: low, high
    regain: float  # share of the dry mass
    commercial_regain: float
    tenacity: float  # of the fibre, N/tex
    strain_at_break: float
    modulus: float  # of the fibre, N/tex
    tenacity_range: tuple[float, float]  # over the grades of the tables; alike where there is one
    strain_range: tuple[float, float]
    modulus_range: tuple[float, float]
    source: str


@dataclass(frozen=True, kw_only=True)
class RodMaterial:
    """What a rod is made of: its mass, how it bends and breaks, what it looks like."""

    name: str
    also: tuple[str, ...]  # other names that a draft may use
    density: float  # kg/m³
    modulus: float  # GPa
    strength: float  # MPa: where metal yields, where wood and carbon break in bending
    colour: str
    metal: bool  # it shines
    source: Mapping[str, str]  # by the name of the value


@cache
def fibres() -> dict[str, Fibre]:
    """Fibres by name and by every other name that they go by."""
    table: dict[str, Fibre] = {}
    for name, row in _read("fibres.toml").items():
        fibre = Fibre(
            name=name,
            density=row["density"],
            packing=(row["packing"][0], row["packing"][1]),
            regain=row["regain"],
            commercial_regain=row["commercial_regain"],
            tenacity=row["tenacity"],
            strain_at_break=row["break"],
            modulus=row["modulus"],
            tenacity_range=_range(row, "tenacity"),
            strain_range=_range(row, "break"),
            modulus_range=_range(row, "modulus"),
            source=row["source"],
        )
        for key in (name, *row["also"]):
            table[key.lower()] = fibre
    return table


@cache
def rod_materials() -> dict[str, RodMaterial]:
    """Rod materials by name and by every other name that they go by."""
    table: dict[str, RodMaterial] = {}
    for name, row in _read("rods.toml").items():
        material = RodMaterial(name=name, **{**row, "also": tuple(row["also"])})
        for key in (name, *material.also):
            table[key.lower()] = material
    return table


def rod_names() -> str:
    """Every name by which a draft may call a material: "steel (mild steel, carbon steel), …"."""
    each = {material.name: material.also for material in rod_materials().values()}
    return ", ".join(
        f"{name} ({', '.join(also)})" if also else name for name, also in sorted(each.items())
    )


def fibre_of(name: str) -> Fibre | None:
    """The fibre that a draft names, or the first of its words that is one; None if unknown."""
    table = fibres()
    found = table.get(name.strip().lower())
    if found:
        return found
    return next((table[word] for word in name.lower().split() if word in table), None)


def rod_material(name: str) -> RodMaterial | None:
    """The material that a draft names; None if unknown."""
    return rod_materials().get(" ".join(name.lower().split()))


def _range(row: dict[str, Any], name: str) -> tuple[float, float]:
    low, high = row.get(f"{name}_range", (row[name], row[name]))
    return float(low), float(high)


def _read(name: str) -> dict[str, dict[str, Any]]:
    text = (files("crossfell.materials") / name).read_text(encoding="utf-8")
    return tomllib.loads(text)
