"""In what manner is it drawn: with colour, in black and white, or as outlines for the loom?"""

from __future__ import annotations

from dataclasses import dataclass

from crossfell.draft.model import Draft
from crossfell.drawings.colour import mixed
from crossfell.drawings.scene import INK, PAPER, WALL
from crossfell.materials.yarn import diameter_mm

DASHES: tuple[tuple[float, ...], ...] = ((), (5.0, 1.6), (1.2, 1.2), (8.0, 1.6, 1.2, 1.6))
COVER = 0.66  # of a ribbon's ground: ends, and the light between them


@dataclass(frozen=True, kw_only=True)
class Thread:
    """How the ends of one yarn are drawn."""

    colour: str
    width_mm: float
    dash: tuple[float, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Manner:
    """A style: grounds, threads by yarn, whether there is light and shade."""

    name: str
    ground: str
    threads: dict[str, Thread]
    shade: bool
    ends: bool
    outline: str

    def base(self, yarns: list[str]) -> str:
        """Ground of a ribbon of these ends: the mean of their colours and the wall, as light."""
        if not self.shade:
            return self.ground
        colour = self.threads[yarns[0]].colour
        for count, name in enumerate(yarns[1:], 1):
            colour = mixed(self.threads[name].colour, colour, 1 / (count + 1))
        return mixed(colour, self.ground, COVER)


def manner_of(draft: Draft, name: str) -> Manner:
    """The manner of a style: "full", "line" or "cartoon"."""
    threads = {}
    for index, yarn in enumerate(draft.yarns.values()):
        width = diameter_mm(yarn.count.tex, yarn.fibre, yarn.diameter_mm).value
        if name == "full":
            threads[yarn.name] = Thread(colour=yarn.colour, width_mm=width)
        else:
            dash = DASHES[index % len(DASHES)]
            threads[yarn.name] = Thread(colour=INK, width_mm=0.25, dash=dash)
    full = name == "full"
    return Manner(
        name=name,
        ground=WALL if full else PAPER,
        threads=threads,
        shade=full,
        ends=name != "cartoon",
        outline=INK,
    )
