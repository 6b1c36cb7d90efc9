"""Do these colours go together, and how can that be said simply?

By lightness and hue as the eye sees them (CIE L*C*h° of the L*a*b* of each colour).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

from crossfell.materials.colour import lab_from_hex

GREY = 8.0  # chroma below which no hue is seen. Common practice, no source
NEAR_LIGHT, FAR_LIGHT = 12.0, 35.0  # steps of L*: hard to tell apart; clear from afar


@dataclass(frozen=True)
class Harmony:
    """Steps between colours: the least and greatest of lightness, the greatest of hue."""

    least_light: float
    light: float
    hue_deg: float

    @property
    def says(self) -> str:
        """In a few words."""
        if self.light < NEAR_LIGHT:
            tone = "near in tone"
        elif self.light > FAR_LIGHT:
            tone = "light and dark"
        else:
            tone = "gentle steps"
        if self.hue_deg < 30:
            return f"{tone}, one hue"
        if self.hue_deg < 90:
            return f"{tone}, neighbouring hues"
        return f"{tone}, hues that answer each other"


def harmony(colours: Sequence[str]) -> Harmony:
    """How colours stand to each other. Checked: colour-science, tests/outside/test_colour."""
    labs = [lab_from_hex(colour) for colour in colours]
    steps = [abs(a[0] - b[0]) for a, b in combinations(labs, 2)]
    hues = [math.atan2(b, a) for _, a, b in labs if math.hypot(a, b) >= GREY]
    turns = [abs((a - b + math.pi) % math.tau - math.pi) for a, b in combinations(hues, 2)]
    return Harmony(min(steps, default=0.0), max(steps, default=0.0),
                   math.degrees(max(turns, default=0.0)))  # fmt: skip
