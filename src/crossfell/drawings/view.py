"""From where is the piece seen?

A view turns loom coordinates (mm; see `paths.model`) into places on a sheet, y downwards.
"""

from __future__ import annotations

from dataclasses import dataclass

from crossfell.drawings.scene import Point
from crossfell.piece import Piece

SAID = {
    "wall": "as it hangs, seen from the front",
    "behind": "as it hangs, seen from behind",
    "loom": "on the loom, as seen from the weaver's seat",
    "loom back": "on the loom, as seen from behind the loom",
}


@dataclass(frozen=True, kw_only=True)
class View:
    """One way of looking: `kind` is a key of SAID; the margins are those of the sheet."""

    kind: str
    width_mm: float
    height_mm: float
    woven_from: str
    left_mm: float
    top_mm: float

    def point(self, x: float, y: float) -> Point:
        """Place on the sheet of a point of the loom's frame."""
        if self.turned:
            x, y = self.width_mm - x, self.height_mm - y
        if self.mirrored:
            x = self.width_mm - x
        if self.kind == "loom back":
            y = self.height_mm - y
        return self.left_mm + x, self.top_mm + self.height_mm - y

    @property
    def turned(self) -> bool:
        """Whether the picture is turned half round, as a piece woven from its top hangs."""
        return self.woven_from == "top" and self.kind in {"wall", "behind"}

    @property
    def mirrored(self) -> bool:
        """Whether it is seen from the other side, so that over becomes under."""
        return self.kind in {"behind", "loom back"}

    @property
    def back_to_front(self) -> bool:
        """Whether the layers nearest the weaver are nearest the eye."""
        return self.kind != "behind"

    @property
    def first_band_at_top(self) -> bool:
        """Whether the band woven first is uppermost on the sheet."""
        return self.turned or self.kind == "loom back"


def view_of(piece: Piece, kind: str, *, left_mm: float, top_mm: float) -> View:
    """A view of a whole piece."""
    return View(
        kind=kind,
        width_mm=piece.paths.width_total_mm,
        height_mm=piece.paths.height_total_mm,
        woven_from=piece.draft.about.woven_from,
        left_mm=left_mm,
        top_mm=top_mm,
    )
