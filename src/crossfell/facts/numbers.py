"""How is a number written into the facts?"""

from __future__ import annotations

import math


def rounded(value: float | None, digits: int = 6) -> float | None:
    """Round a number for the facts; not a number becomes null."""
    if value is None or not math.isfinite(value):
        return None
    return round(float(value), digits) + 0.0
