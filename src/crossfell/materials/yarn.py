"""How thick, how heavy, how strong, how stiff is a yarn?

Every answer says where it comes from: measured by the maker, computed from published values, or a
default. Lengths mm, masses g, forces N, linear density tex.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from crossfell.materials.tables import fibre_of

PEIRCE = 0.0374241  # mm per √tex: specific volume 1.1 cm³/g. Peirce, J. Text. Inst. 28 (1937) T45
SPUN_TENACITY = (0.4, 0.6)  # yarn / fibre tenacity, from memory
SPUN_MODULUS = (0.3, 0.6)  # yarn / fibre modulus, from memory
SPUN_STRAIN = (0.5, 1.0)  # yarn / fibre strain at break, from memory


@dataclass(frozen=True, kw_only=True)
class Valued:
    """A value with its plausible range and where it comes from."""

    value: float
    low: float
    high: float
    how: str  # "measured", "computed" or "default"
    source: str


def measured(value: float) -> Valued:
    """A value that the maker measured herself."""
    return Valued(value=value, low=value, high=value, how="measured", source="her own measurement")


def diameter_mm(tex: float, fibre: str = "", measured_mm: float | None = None) -> Valued:
    """Diameter of a yarn (mm).

    d = 2 √(T/(π ρ φ)) = 0.0356825 √(T/(ρ φ)) with T tex, ρ g/cm³ (published: definition of tex and
    of packing φ); without a known fibre Peirce's d = 0.0374241 √T.
    Checked: tests/outside/test_yarn_counts.py (Peirce; wraps of 8/2 cotton).
    """
    if measured_mm:
        return measured(measured_mm)
    known = fibre_of(fibre)
    if known is None:
        d = PEIRCE * math.sqrt(tex)
        return Valued(value=d, low=0.95 * d, high=1.2 * d, how="default", source="Peirce 1937")
    low, high = (
        0.0356825 * math.sqrt(tex / (known.density * packing)) for packing in known.packing[::-1]
    )
    source = f"density and packing of {known.name}: {known.source}"
    return Valued(value=(low + high) / 2, low=low, high=high, how="computed", source=source)


def stiffness_n(tex: float, fibre: str = "", modulus_n_per_tex: float | None = None) -> Valued:
    """EA of one end (N): modulus in N/tex times tex. A spun yarn has 0.3 to 0.6 of its fibre's."""
    if modulus_n_per_tex:
        return measured(modulus_n_per_tex * tex)
    known = fibre_of(fibre)
    if known is None:
        source = "8 N/tex × 0.3 to 0.6: from memory, fibre unknown"
        return _share_of(8.0, (8.0, 8.0), SPUN_MODULUS, tex, "default", source)
    source = f"fibre modulus of {known.name} ({known.source}) × 0.3 to 0.6 (from memory)"
    return _share_of(known.modulus, known.modulus_range, SPUN_MODULUS, tex, "computed", source)


def breaking_n(tex: float, fibre: str = "", tenacity_n_per_tex: float | None = None) -> Valued:
    """Breaking load of one end (N). A spun yarn has 0.4 to 0.6 of its fibre's tenacity."""
    if tenacity_n_per_tex:
        return measured(tenacity_n_per_tex * tex)
    known = fibre_of(fibre)
    if known is None:
        source = "0.3 N/tex × 0.4 to 0.6: from memory, fibre unknown"
        return _share_of(0.3, (0.3, 0.3), SPUN_TENACITY, tex, "default", source)
    source = f"fibre tenacity of {known.name} ({known.source}) × 0.4 to 0.6 (from memory)"
    return _share_of(known.tenacity, known.tenacity_range, SPUN_TENACITY, tex, "computed", source)


def elongation(fibre: str) -> Valued | None:
    """Strain at break, as a share: from half its fibre's to all of it; None for an unknown fibre.

    Checked: linen 1.5 to 3 %, as planning values have it (from memory).
    """
    known = fibre_of(fibre)
    if known is None:
        return None
    source = f"strain at break of {known.name} ({known.source}) × 0.5 to 1 (from memory)"
    return _share_of(
        known.strain_at_break, known.strain_range, SPUN_STRAIN, 1.0, "computed", source
    )


def _share_of(
    usual: float,
    between: tuple[float, float],
    share: tuple[float, float],
    tex: float,
    how: str,
    source: str,
) -> Valued:
    """What a yarn has of its fibre: the usual grade at the middle share, and both ends."""
    return Valued(
        value=usual * (share[0] + share[1]) / 2 * tex,
        low=between[0] * share[0] * tex,
        high=between[1] * share[1] * tex,
        how=how,
        source=source,
    )


def mass_g(length_mm: float, tex: float) -> float:
    """Mass (g) of a length (mm) of yarn; tex is g per km (ISO 1144)."""
    return length_mm * tex * 1e-6
