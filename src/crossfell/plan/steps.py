"""What does she do, one step after another, at the bench, in front of the loom and behind it?

What happens in front of the reed happens in reverse behind it; the moves that clear it are the
same moves made with the bobbins, and the person who stands there counts places from the other
side. Over stays over: up is up on both sides of the loom.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from importlib.resources import files

from crossfell.base.quantities import written, written_long
from crossfell.draft.model import Draft
from crossfell.order.model import Order
from crossfell.paths.model import Paths
from crossfell.paths.stage import weft_name
from crossfell.plan.amounts import Amounts
from crossfell.plan.laying import Lay, Pass, passes_of_span
from crossfell.plan.model import Plan, Step


@cache
def usual_minutes() -> Mapping[str, float]:
    """Minutes of one step of each kind when she has not said her own."""
    text = (files("crossfell.plan") / "minutes.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


def plan_of(draft: Draft, order: Order, paths: Paths, amounts: Amounts) -> Plan:
    """Write the whole plan."""
    book = _Book(draft=draft, order=order, minutes={**usual_minutes(), **draft.minutes})
    _before(book, amounts)
    for k in range(len(draft.spans) + 1):
        if k:
            _span(book, k - 1)
        _band(book, k, paths)
    _after(book)
    return Plan(
        steps=tuple(book.steps),
        handled=book.handled,
        minutes=sum(step.minutes for step in book.steps),
        walks=book.walks,
    )


@dataclass
class _Book:
    """The list as it is written."""

    draft: Draft
    order: Order
    minutes: Mapping[str, float]
    steps: list[Step] = field(default_factory=list)
    side: str = "bench"
    shed_up: bool = True
    clamped: bool = False
    handled: int = 0
    walks: int = 0

    def write(
        self,
        side: str,
        kind: str,
        text: str,
        *,
        span: int | None = None,
        band: int | None = None,
        count: int = 1,
        caution: str = "",
        not_before_min: float = 0.0,
        may_stop: bool = False,
    ) -> None:
        minutes = self.minutes[kind] * count
        if {side, self.side} == {"front", "back"}:
            self.walks += 1
            minutes += self.minutes["walk"]
        self.side = side
        self.steps.append(
            Step(
                number=len(self.steps) + 1,
                span=span,
                band=band,
                side=side,
                kind=kind,
                text=text,
                count=count,
                minutes=minutes,
                not_before_min=not_before_min,
                may_stop=may_stop,
                caution=caution,
            )
        )


def _before(book: _Book, amounts: Amounts) -> None:
    draft = book.draft
    for kind in draft.kinds.values():
        units = [u for u, unit in enumerate(draft.units) if unit.kind == kind.name]
        if not units:
            continue
        names = names_of([draft.units[u].name for u in units])
        longest = max(amounts.windings[u].total_mm for u in units)
        length = written_long(longest, draft.measure)
        book.write(
            "bench",
            "wind",
            f"Wind {names}: {kind.ends_text}, {length} each or as the winding list says.",
            count=len(units),
        )
    book.write(
        "bench",
        "thread",
        "Thread each strip from its left, one end in each dent, and tie its label on.",
        count=len(draft.units),
    )
    row = row_text(book.order, 0, draft.place_count, behind=True)
    book.write(
        "back",
        "hang",
        "Hang each bobbin over the back beam with its weight, in the order "
        f"of the warp: {row} "
        "(from behind, your left first).",
        count=len(draft.units),
        caution="weights",
    )
    book.write(
        "front",
        "sampler",
        "Weave a sampler band, measure take-up and drying, and put them into workshop.toml.",
        caution="springs",
        may_stop=True,
    )


def _band(book: _Book, k: int, paths: Paths) -> None:
    draft, band, number = book.draft, book.draft.bands[k], k + 1
    weft = weft_name(draft, band)
    for run in band.runs:
        if isinstance(run, int):
            sheds = []
            for _ in range(run):
                sheds.append("up" if book.shed_up else "down")
                book.shed_up = not book.shed_up
            if sheds:
                picks = "1 pick" if run == 1 else f"{run} picks"
                book.write(
                    "front",
                    "pick",
                    f"Band {number}: {picks} of {weft}: {', '.join(sheds)}.",
                    band=number,
                    count=run,
                )
        elif band.rod:
            length = paths.width_total_mm + 2 * draft.stock.overhang_mm
            shed = "up" if book.shed_up else "down"
            book.shed_up = not book.shed_up
            book.write(
                "front",
                "rod",
                f"Band {number}: lay in the rod {band.rod.label}, "
                f"{written(length, draft.measure)}, in the shed {shed}.",
                band=number,
                caution="rods",
            )
    if band.adhesive:
        recipe = draft.adhesive
        book.write(
            "front",
            "adhesive",
            f"Band {number}: brush with {recipe.name}, "
            f"{recipe.parts:g} to {recipe.water:g} of water. Let it dry "
            f"{recipe.handle_min / 60:g} h before it is unclamped.",
            band=number,
            caution="adhesive",
            may_stop=True,
        )
    if book.clamped:
        book.clamped = False
        wait = draft.adhesive.handle_min if band.adhesive else 0.0
        book.write(
            "front",
            "unclamp",
            f"Band {number} is dry: clamp off.",
            band=number,
            not_before_min=wait,
        )


def _span(book: _Book, k: int) -> None:
    draft, order, number = book.draft, book.order, k + 1
    passes = passes_of_span(order, k)
    turned = [(u, int(t)) for u, t in enumerate(order.spans[k].half_turns) if t]
    crossed = set(order.spans[k].over.tolist()) | set(order.spans[k].under.tolist())
    slid = [
        u
        for u in range(len(order.names))
        if u not in crossed
        and (order.place[k, u], order.offset_mm[k, u])
        != (order.place[k + 1, u], order.offset_mm[k + 1, u])
    ]
    moved = crossed | {u for u, _ in turned} | set(slid)
    if not moved:
        book.write(
            "front",
            "level",
            f"Span {number}: nothing moves. Draw the warp forward by "
            f"{written(draft.spans[k].height_mm, draft.measure)}.",
            span=number,
        )
        return
    windows = windows_of([int(order.place[k, u]) for u in moved], draft.loom.hand)
    book.write(
        "front",
        "level",
        f"Span {number}: draw the warp forward by "
        f"{written(draft.spans[k].height_mm, draft.measure)}; batten level, chains on.",
        span=number,
        caution="springs",
    )
    behind = [_behind_window(draft.place_count, window) for window in reversed(windows)]
    book.write(
        "back",
        "weights-off",
        f"Weights off, one hand at a time: {', '.join(behind)} (places from behind).",
        span=number,
        count=len(windows),
        caution="weights",
    )
    book.write("front", "open", "Open the batten.", span=number)
    for index, part in enumerate(passes):
        book.handled += len(part.lays)
        _lay_pass(book, part, number, index, len(passes))
    for u, count in turned:
        book.write("front", "turn", _turn_text(order, k, u, count), span=number)
    for u in slid:
        book.write("front", "shift", _shift_text(draft, order, k, u), span=number)
    row = row_text(order, k + 1, draft.place_count)
    book.write("front", "check", f"Look: from the left {row}. Close the batten.", span=number)
    _clear_behind(book, k, passes, turned, slid)
    windows = windows_of([int(order.place[k + 1, u]) for u in moved], draft.loom.hand)
    behind = [_behind_window(draft.place_count, window) for window in reversed(windows)]
    book.write(
        "back",
        "weights-on",
        f"Nothing is crossed behind the reed. Weights on: "
        f"{', '.join(behind)} (places from behind).",
        span=number,
        count=len(windows),
        caution="weights",
    )
    book.clamped = True
    book.write("front", "clamp", "Clamp the new order.", span=number, may_stop=True)


def _lay_pass(book: _Book, part: Pass, number: int, index: int, of: int) -> None:
    names = book.order.names
    lifted = names_of([names[lay.unit] for lay in part.lays])
    which = f"Pass {index + 1} of {of}: lift" if of > 1 else "Lift"
    book.write("front", "lift", f"{which} out {lifted}.", span=number, count=len(part.lays))
    for lay in part.lays:
        book.write("front", "lay", lay_text(lay, names), span=number)


def lay_text(lay: Lay, names: tuple[str, ...]) -> str:
    """One lay as a sentence."""
    parts = []
    if lay.over:
        parts.append(f"over {names_of([names[u] for u in lay.over])}")
    if lay.under:
        parts.append(f"under {names_of([names[u] for u in lay.under])}")
    verb = "Lay, from below," if lay.from_below else "Lay"
    move = f"from place {lay.from_place} in place {lay.to_place}"
    return f"{verb} {names[lay.unit]} {move}, {' and '.join(parts)}."


def _clear_behind(
    book: _Book, k: int, passes: tuple[Pass, ...], turned: list[tuple[int, int]], slid: list[int]
) -> None:
    order, count = book.order, book.draft.place_count
    for part in passes:
        for lay in part.lays:
            seen = replace(
                lay,
                from_place=count + 1 - lay.from_place,
                to_place=count + 1 - lay.to_place,
                over=tuple(reversed(lay.over)),
                under=tuple(reversed(lay.under)),
            )
            text = lay_text(seen, order.names).replace("Lay", "Pass the bobbin of", 1)
            text = text.replace("of, from below,", "of", 1)
            book.write("back", "clear", text, span=k + 1)
    for u, turns in turned:
        text = _turn_text(order, k, u, -turns).replace("Turn", "Turn the bobbin of", 1)
        text = text.split(";")[0].rstrip(".") + " (as seen from behind)."
        book.write("back", "clear", text, span=k + 1)
    for u in slid:
        place = count + 1 - int(order.place[k + 1, u])
        text = f"Move the bobbin of {order.names[u]} to place {place}, counted from behind."
        book.write("back", "clear", text, span=k + 1)


def _turn_text(order: Order, k: int, u: int, turns: int) -> str:
    side = "right" if turns > 0 else "left"
    much = {1: "half a turn", 2: "a full turn"}.get(abs(turns), f"{abs(turns)} half turns")
    face = "face forward" if order.face[k + 1, u] > 0 else "face to the back"
    return f"Turn {order.names[u]} {side}, {much}; it then lies {face}."


def _shift_text(draft: Draft, order: Order, k: int, u: int) -> str:
    off = float(order.offset_mm[k + 1, u])
    side = "right" if off > 0 else "left"
    beside = f", {written(abs(off), draft.measure)} to the {side} of its middle" if off else ""
    return f"Move {order.names[u]} sideways to place {order.place[k + 1, u]}{beside}."


def _after(book: _Book) -> None:
    book.write(
        "front",
        "cut-down",
        "Tie the finish above the last band. Let all weights down one "
        "by one, then cut the piece from the loom; two people hold the rods.",
        caution="weights",
    )
    book.write(
        "bench",
        "finish",
        "Finish the ends, cap the rods, let the bands air some weeks before the piece is boxed.",
        caution="adhesive",
    )


def windows_of(places: list[int], hand: int) -> list[tuple[int, int]]:
    """Runs of neighbouring places that one hand takes: (first, last), from the left."""
    windows: list[tuple[int, int]] = []
    for place in sorted(places):
        if windows and place == windows[-1][1] + 1 and place - windows[-1][0] < hand:
            windows[-1] = (windows[-1][0], place)
        else:
            windows.append((place, place))
    return windows


def _behind_window(count: int, window: tuple[int, int]) -> str:
    first, last = count + 1 - window[1], count + 1 - window[0]
    return str(first) if first == last else f"{first}-{last}"


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
