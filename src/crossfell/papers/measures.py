"""How are masses, forces and sizes written for people who think in kilograms or in pounds?"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from crossfell.base.quantities import FORCES, MASSES, written
from crossfell.loom.tension import GRAVITY
from crossfell.piece import Piece

LBF_N = MASSES["lb"] / 1000 * GRAVITY  # definition: the weight of a pound


def mass_text(grams: float, measure: str) -> str:
    """A mass for carrying: kg, or lb."""
    if measure == "in":
        return f"{grams / MASSES['lb']:.1f} lb"
    return f"{grams / 1000:.2f} kg" if grams < 10000 else f"{grams / 1000:.1f} kg"


def force_text(newton: float, measure: str) -> str:
    """A load: newton and the mass that weighs as much, or pounds of force."""
    if measure == "in":
        return f"{newton / LBF_N:.2f} lbf"
    return f"{newton:.1f} N ({newton / FORCES['kgf']:.2f} kg)"


def size_text(piece: Piece) -> str:
    """Width × height of the woven piece."""
    paths, measure = piece.paths, piece.draft.measure
    wide, high = (written(v, measure) for v in (paths.width_total_mm, paths.height_total_mm))
    return f"{wide} wide, {high} high"


def pieces_text(pieces: Sequence[float], measure: str) -> str:
    """How many of each length: `3 of 330 mm, 1 of 180 mm`."""
    counts = Counter(written(length, measure) for length in pieces)
    return ", ".join(f"{count} of {length}" for length, count in counts.items())


def weight_text(piece: Piece) -> str:
    """What the hung piece weighs."""
    return mass_text(piece.masses.total_g, piece.draft.measure)


def money(piece: Piece, minor_units: int) -> str:
    """An amount of a quote, with its currency."""
    quote = piece.quote()
    return f"{quote.amount(minor_units)} {quote.currency}"
