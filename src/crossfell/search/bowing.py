"""How many units will be seen to bow, and what would a truer length do to it?"""

from __future__ import annotations

from dataclasses import dataclass

from crossfell.base.quantities import written
from crossfell.piece import Piece
from crossfell.search.spread import RUNS, Spread, spread_of
from crossfell.statics.chance import EACH_END
from crossfell.statics.verdict_told import percent


@dataclass(frozen=True, kw_only=True)
class Bowing:
    """Pieces with her own errors of length, and with half of them."""

    own: Spread
    half: Spread


def bowing_of(piece: Piece, *, runs: int = RUNS, cores: int | None = 1) -> Bowing:
    """Hang it with her own errors and with half; the same each time."""
    own = spread_of(piece, runs=runs, cores=cores)
    half = spread_of(piece, runs=runs, error=own.error / 2, cores=cores)
    return Bowing(own=own, half=half)


def bows_told(piece: Piece, *, runs: int = RUNS) -> str:
    """The share of units that bow, as it stands on a sheet; or why it is not known."""
    try:
        bows = bowing_of(piece, runs=runs)
    except ArithmeticError:  # none of the pieces with errors came to rest
        return "Not known: with errors of length no rest was found."
    return told(piece, bows.own, bows.half)


def told(piece: Piece, own: Spread, half: Spread | None = None) -> str:
    """The share of units that bow, over pieces with errors, and with errors half as large."""
    draft = piece.draft
    each = bool(draft.warp and draft.warp.error_of == EACH_END)
    seen = written(draft.hang.bows_mm, draft.measure)
    what = "each end" if each else "each whole unit"
    text = f"With {what} true to {percent(own.error)}, {_share(own)} bow by more than {seen}"
    if half:
        text += f"; at {percent(half.error)}, {_share(half, plain=True)}"
    return f"{text}."


def _share(spread: Spread, *, plain: bool = False) -> str:
    low, _, high = (100 * spread.bowing).round().astype(int).tolist()
    middle = 100 * float(spread.bows_share.mean())
    if middle < 0.5 and high == 0:
        return "none" if plain else "no units"
    said = "fewer than 1" if middle < 0.5 else f"about {middle:.0f}"
    return f"{said} in a hundred" if plain else (
        f"{said} units in a hundred ({low} to {high} in nine pieces of ten)"
    )  # fmt: skip
