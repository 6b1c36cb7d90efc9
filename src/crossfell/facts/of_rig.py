"""What hangs on what: all that is needed to write the energy of the hung piece anew.

Bands and spans from the top down; x right of the middle of the woven width, y up from a rod. The
energy is Σ k/2 · max(0, L − natural)² over fibres and cords + Σ (weight·y + moments turned).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from crossfell.facts.declare import Answer, fact, level

if TYPE_CHECKING:
    from crossfell.piece import Piece
    from crossfell.statics.springs import Floats, Springs

level("hung.rig", whom="hanging", says="what hangs on what, from the top down, as drafted")


def _natural(springs: Springs) -> Floats:
    return springs.long - springs.e0


def _cords(piece: Piece) -> Springs | None:
    return piece.rig.cords


@fact("hung.rig.above", "mm", form="[[number]]", digits=12)
def above(piece: Piece) -> Answer:
    """Where each fibre leaves the band above, unit by unit, some fibres each; of every span."""
    return Answer(piece.rig.spans.above_x.tolist())


@fact("hung.rig.below", "mm", form="[[number]]", digits=12)
def below(piece: Piece) -> Answer:
    """Where each fibre meets the band below."""
    return Answer(piece.rig.spans.below_x.tolist())


@fact("hung.rig.edges", "mm", form="[[number]]", digits=12)
def edges(piece: Piece) -> Answer:
    """Of every span: its lower edge from the rod above, its height, its upper edge from below."""
    s = piece.rig.spans
    rows = zip(s.above_y.tolist(), (-s.dy[:, 0]).tolist(), s.below_y.tolist(), strict=True)
    return Answer([list(row) for row in rows])


@fact("hung.rig.natural", "mm", form="[[number]]", digits=12)
def natural(piece: Piece) -> Answer:
    """Length of each fibre once the weaving tension is let go."""
    return Answer(_natural(piece.rig.spans).tolist())


@fact("hung.rig.stiffness", "N/mm", form="[[number]]", digits=12)
def stiffness(piece: Piece) -> Answer:
    """EA over the natural length, of each fibre."""
    return Answer(piece.rig.spans.k.tolist())


@fact("hung.rig.weight", "N", form="[number]", digits=12)
def weight(piece: Piece) -> Answer:
    """Weight of each band: rods, weft, its warp, half of the open yarn beside it."""
    return Answer(piece.rig.weight_n.tolist())


@fact("hung.rig.moments", "N mm", form="[[number]]", digits=12)
def moments(piece: Piece) -> Answer:
    """Weight times place (x, y) of the mass centre of each band, from the middle of its rod."""
    rig = piece.rig
    return Answer([list(row) for row in zip(rig.moment_x.tolist(), rig.moment_y.tolist(),
                                            strict=True)])  # fmt: skip


@fact("hung.rig.cord_ends", "mm", form="[[number]]", digits=12)
def cord_ends(piece: Piece) -> Answer:
    """Of every cord: where it is tied, how far its point is to the right of that, and up."""
    cords = _cords(piece)
    if cords is None:
        return Answer([])
    rows: list[list[Any]] = [
        [x, -dx, -dy]
        for x, dx, dy in zip(*(a[0].tolist() for a in (cords.below_x, cords.dx, cords.dy)),
                             strict=True)
    ]  # fmt: skip
    return Answer(rows)


@fact("hung.rig.cord_natural", "mm", form="[number]", digits=12)
def cord_natural(piece: Piece) -> Answer:
    """Length of each cord without load."""
    cords = _cords(piece)
    return Answer([] if cords is None else _natural(cords)[0].tolist())


@fact("hung.rig.cord_stiffness", "N/mm", form="[number]", digits=12)
def cord_stiffness(piece: Piece) -> Answer:
    """EA over the length of each cord."""
    cords = _cords(piece)
    return Answer([] if cords is None else cords.k[0].tolist())
