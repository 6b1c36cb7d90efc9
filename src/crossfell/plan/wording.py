"""How are a lay, a turn and a row of units said in one sentence?"""

from __future__ import annotations

from crossfell.base.quantities import written
from crossfell.draft.model import Draft
from crossfell.order.model import Order
from crossfell.plan.laying import Lay


def lay_text(lay: Lay, names: tuple[str, ...], *, what: str = "", beside: str = "") -> str:
    """One lay as a sentence; `what` stands before the name ("the bobbin of ")."""
    way = "from below, " if lay.from_below else ""
    move = f"from place {lay.from_place} in place {lay.to_place}{beside}"
    if lay.over:
        crosses = f"over {names_of([names[u] for u in lay.over])}"
    elif lay.under:
        crosses = f"under {names_of([names[u] for u in lay.under])}"
    else:
        crosses = "clear of all that lies there"
    text = f"Lay {way}{what}{names[lay.unit]} {move}, {crosses}"
    later = []
    for units, side in ((lay.later_over, "over"), (lay.later_under, "under")):
        if units:
            come = "comes" if len(units) == 1 else "come"
            later.append(f"{names_of([names[u] for u in units])} {come} {side} it later")
    if later:
        text += f" ({' and '.join(later)})"
    return text + "."


def turn_text(order: Order, k: int, u: int, turns: int) -> str:
    """A turn of strip u in span k (index from 0)."""
    face = "face forward" if order.face[k + 1, u] > 0 else "face to the back"
    return f"Turn {order.names[u]} {_side(turns)}, {_much(turns)}; it then lies {face}."


def turn_behind_text(name: str, turns: int) -> str:
    """A turn of a bobbin for who stands behind: right and left change places there."""
    return f"Turn the bobbin of {name} {_side(-turns)}, {_much(turns)} (as seen from behind)."


def _side(turns: int) -> str:
    return "right" if turns > 0 else "left"


def _much(turns: int) -> str:
    return {1: "half a turn", 2: "a full turn"}.get(abs(turns), f"{abs(turns)} half turns")


def beside_text(draft: Draft, order: Order, band: int, u: int, *, behind: bool = False) -> str:
    """How far a unit stands from the middle of its place at a band (index from 0)."""
    off = float(order.offset_mm[band, u]) * (-1 if behind else 1)
    if not off:
        return ""
    side = "right" if off > 0 else "left"
    return f", {written(abs(off), draft.measure)} to the {side} of its middle"


def row_text(order: Order, band: int, place_count: int, *, behind: bool = False) -> str:
    """Units at a band (index from 0), from the left of who looks; a dot where a place is empty."""
    row = [
        "·" if u is None else order.names[u] + ("" if order.face[band, u] > 0 else "′")
        for u in order.by_place(band, place_count)
    ]
    return " ".join(reversed(row) if behind else row)


def names_of(names: list[str]) -> str:
    """Names in a sentence: a, b and c."""
    if len(names) < 2:
        return "".join(names)
    return f"{', '.join(names[:-1])} and {names[-1]}"


def windows_text(windows: tuple[tuple[int, int], ...], place_count: int) -> str:
    """Windows of weights for who stands behind, from her left there."""
    parts = []
    for low, high in reversed(windows):
        first, last = place_count + 1 - high, place_count + 1 - low
        parts.append(str(first) if first == last else f"{first}-{last}")
    return ", ".join(parts)
