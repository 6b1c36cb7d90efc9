"""How are places and heights written, so that the draft's text takes them?"""

from __future__ import annotations

from crossfell.base.quantities import written


def block(first: int, last: int) -> str:
    """Places as a move writes them."""
    return str(first) if first == last else f"{first}-{last}"


def stepped(height_mm: float, measure: str) -> float:
    """A height that can be measured at the loom: whole mm, or eighths of an inch; never nothing."""
    step = 25.4 / 8 if measure == "in" else 1.0
    return max(step, round(height_mm / step) * step)


def written_exactly(height_mm: float, measure: str) -> str:
    """A stepped height as the draft's text takes it."""
    if measure == "in":
        return written(height_mm, "in")
    return f"{height_mm / 10:g} cm" if measure == "cm" else f"{height_mm:g} mm"
