"""From which side is the piece seen, and where does each thing lie in that picture?

`front` is the hung piece from the front, `loom` the loom from the weaver's seat (the woven end
nearest to her, below), `behind` the hung piece from behind: left and right, over and under, and
faces are exchanged. `bobbins` is what lies between the reed and the back beam for someone who
stands there: left and right are exchanged, what is up stays up (docs/decisions/0009), and the
crossings are those of the front, in reverse.
Picture frame: mm, x to the right, y down.
"""

from __future__ import annotations

from dataclasses import dataclass

from crossfell.base.frame import Frame
from crossfell.piece import Piece

SAYS = {
    "front": "as it hangs, from the front",
    "loom": "as seen from the weaver's seat",
    "behind": "as it hangs, from behind",
    "bobbins": "at the bobbins, from behind",
}


@dataclass(frozen=True, slots=True)
class View:
    """A way of looking."""

    name: str
    frame: Frame
    width: float
    height: float

    @property
    def says(self) -> str:
        """Whose view it is."""
        return SAYS[self.name]

    def x(self, loom_x: float) -> float:
        """Picture x of a loom x (mm)."""
        return self.frame.x(loom_x, self.width)

    def y(self, loom_y: float) -> float:
        """Picture y of a loom y (mm)."""
        return self.frame.down(loom_y, self.height)


def view_of(piece: Piece, name: str) -> View:
    """The view of a piece by its name."""
    if name not in SAYS:
        raise ValueError(f"no such view: {name}")
    see = piece.draft.on_wall if name in {"front", "behind"} else piece.draft.at_loom
    return View(
        name=name,
        frame=see(behind=name in {"behind", "bobbins"}),
        width=piece.paths.width_total_mm,
        height=piece.paths.height_total_mm,
    )
