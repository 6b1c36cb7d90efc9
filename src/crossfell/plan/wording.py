"""How are a lay, a turn and a row of units said in one sentence?"""

from __future__ import annotations

from crossfell.base.frame import Frame
from crossfell.base.quantities import written
from crossfell.draft.model import Draft
from crossfell.order.model import Order
from crossfell.plan.lays import Lay

LONG_RUN = 4  # strips side by side that are named by the first and the last
MOST_NAMED = 6  # strips that are named one by one


def lay_text(lay: Lay, names: tuple[str, ...], *, what: str = "", beside: str = "") -> str:
    """One lay as a sentence; `what` stands before the names ("the bobbin of ")."""
    way = "from below, " if lay.from_below else ""
    who = names_of([names[u] for u in lay.units])
    move = f"from {_places(lay.from_places)} in {_places(lay.to_places)}{beside}"
    side = "under" if lay.from_below else "over"
    crosses = f"{side} {_runs(lay, names)}" if lay.crossed else "clear of all that lies there"
    text = f"Lay {way}{what}{who} {move}, {crosses}"
    later = [
        f"{_still(units, names)} {word} {'it' if len(lay.units) == 1 else 'them'} later"
        for units, word in ((lay.later_over, "over"), (lay.later_under, "under"))
        if units
    ]
    if later:
        text += f" ({' and '.join(later)})"
    return text + "."


def _places(places: tuple[int, ...]) -> str:
    """Places of one hand: "place 3" or "places 3-5"; a hand's places follow each other."""
    low, high = min(places), max(places)
    return f"place {low}" if low == high else f"places {low}-{high}"


def _runs(lay: Lay, names: tuple[str, ...]) -> str:
    """Who is crossed; four or more side by side are named by the first and the last."""
    said = []
    for run in lay.crossed:
        if len(run) < LONG_RUN:
            said += [names[u] for u in run]
        else:
            said.append(f"{names[run[0]]} to {names[run[-1]]}")
    return names_of(said)


def _still(units: tuple[int, ...], names: tuple[str, ...]) -> str:
    if len(units) > MOST_NAMED:
        return f"{len(units)} that are still lifted come"
    return f"{names_of([names[u] for u in units])} {'comes' if len(units) == 1 else 'come'}"


def lay_behind_text(lay: Lay, names: tuple[str, ...], behind: Frame, beside: str = "") -> str:
    """The same lay made with the bobbins, for who stands behind: from her left."""
    seen = Lay(
        units=tuple(behind.row(lay.units)),
        from_places=tuple(map(behind.place, behind.row(lay.from_places))),
        to_places=tuple(map(behind.place, behind.row(lay.to_places))),
        crossed=tuple(tuple(behind.row(run)) for run in behind.row(lay.crossed)),
        later_over=tuple(behind.row(lay.later_over)),
        later_under=tuple(behind.row(lay.later_under)),
        from_below=lay.from_below,
    )
    what = "the bobbin of " if len(lay.units) == 1 else "the bobbins of "
    return lay_text(seen, names, what=what, beside=beside)


def turn_text(order: Order, k: int, u: int, turns: int) -> str:
    """A turn of strip u in span k (index from 0)."""
    face = "face forward" if order.face[k + 1, u] > 0 else "face to the back"
    return f"Turn {order.names[u]} {_side(turns)}, {_much(turns)}; it then lies {face}."


def turn_behind_text(name: str, turns: int, behind: Frame) -> str:
    """A turn of a bobbin for who stands behind."""
    side = _side(behind.turn(turns))
    return f"Turn the bobbin of {name} {side}, {_much(turns)} (as seen from behind)."


def _side(turns: int) -> str:
    return "right" if turns > 0 else "left"


def _much(turns: int) -> str:
    return {1: "half a turn", 2: "a full turn"}.get(abs(turns), f"{abs(turns)} half turns")


def beside_text(
    draft: Draft, units: tuple[int, ...], off_mm: tuple[float, ...], *, behind: bool = False
) -> str:
    """How far units of one hand go from the middle of their places (right positive)."""
    if not any(off_mm):
        return ""
    seen = draft.at_loom(behind=behind)
    said = [_beside(draft, off) for off in seen.row([seen.side(off) for off in off_mm])]
    units = tuple(seen.row(units))
    if len(set(said)) == 1:
        return said[0] and f", {said[0]} of {'its' if len(units) == 1 else 'their'} middle"
    return "".join(
        f", {draft.units[u].name} {text} of its middle"
        for u, text in zip(units, said, strict=True)
        if text
    )


def _beside(draft: Draft, off_mm: float) -> str:
    if not off_mm:
        return ""
    return f"{written(abs(off_mm), draft.measure)} to the {'right' if off_mm > 0 else 'left'}"


def row_text(order: Order, band: int, seen: Frame) -> str:
    """Units at a band (index from 0), from the left of who looks; a dot where a place is empty."""
    row = [
        "·" if u is None else order.names[u] + ("" if order.face[band, u] > 0 else "′")
        for u in seen.row(order.by_place(band, seen.places))
    ]
    return " ".join(row)


def names_of(names: list[str]) -> str:
    """Names in a sentence: a, b and c."""
    if len(names) < 2:
        return "".join(names)
    return f"{', '.join(names[:-1])} and {names[-1]}"


def windows_text(windows: tuple[tuple[int, int], ...], behind: Frame) -> str:
    """Windows of weights for who stands behind, from her left there."""
    blocks = [behind.block(*window) for window in behind.row(windows)]
    return ", ".join(str(first) if first == last else f"{first}-{last}" for first, last in blocks)
