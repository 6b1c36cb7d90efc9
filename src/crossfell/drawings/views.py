"""From which side is the piece seen, and where does each thing lie in that picture?

`front` is the hung piece from the front, `loom` the loom from the weaver's seat (the woven end
nearest to her, below), `behind` the hung piece from behind: left and right, over and under, and
faces are exchanged. `bobbins` is what lies between the reed and the back beam for someone who
stands there: left and right are exchanged, what is up stays up (docs/decisions/0012), and the
crossings are those of the front, in reverse.
Picture frame: mm, x to the right, y down.
"""

from __future__ import annotations

from dataclasses import dataclass

from crossfell.piece import Piece

SAYS = {
    "front": "as it hangs, from the front",
    "loom": "as seen from the weaver's seat",
    "behind": "as it hangs, from behind",
    "bobbins": "at the bobbins, from behind",
}


@dataclass(frozen=True, slots=True)
class View:
    """A way of looking: what is turned round, and whether the back is seen."""

    name: str
    flip_x: bool  # the weaver's left is at the right
    flip_y: bool  # the first band is at the top
    back: bool  # over and under, and faces, are exchanged
    width: float
    height: float

    @property
    def says(self) -> str:
        """Whose view it is."""
        return SAYS[self.name]

    def x(self, loom_x: float) -> float:
        """Picture x of a loom x (mm)."""
        return self.width - loom_x if self.flip_x else loom_x

    def y(self, loom_y: float) -> float:
        """Picture y of a loom y (mm)."""
        return loom_y if self.flip_y else self.height - loom_y

    def sign(self, face: int) -> int:
        """1 when the ends of a unit with this face (1, -1) lie left to right in the picture."""
        return -face if self.flip_x else face


def view_of(piece: Piece, name: str) -> View:
    """The view of a piece by its name."""
    if name not in SAYS:
        raise ValueError(f"no such view: {name}")
    top = piece.draft.about.woven_from == "top"
    hung = name in {"front", "behind"}
    back = name == "behind"
    return View(
        name=name,
        flip_x=((hung and top) != back) or name == "bobbins",
        flip_y=hung and top,
        back=back,
        width=piece.paths.width_total_mm,
        height=piece.paths.height_total_mm,
    )
