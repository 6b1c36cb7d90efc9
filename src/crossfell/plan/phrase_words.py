"""Which words fill the holes of the phrasebook?

A word is made from a step for somebody who stands somewhere and reads or hears it: a Voice. Places,
left and right are hers; over stays over: up is up on both sides of the loom.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import Literal

from crossfell.base.frame import Frame
from crossfell.base.quantities import written, written_long
from crossfell.draft.model import Draft
from crossfell.plan.ear import (
    kinds_said,
    listed,
    number_said,
    places_said,
    runs_written,
    units_said,
    windows_said,
)
from crossfell.plan.model import Along, Step

LONG_RUN = 4  # strips side by side that are named by the first and the last
MOST_NAMED = 6  # strips still lifted that are named one by one

Dress = Literal["written", "large", "aloud"]


@dataclass(frozen=True)
class Voice:
    """Who is told, and how: in a sentence, in large letters, or aloud."""

    draft: Draft
    frame: Frame  # of who stands in front of the loom, or behind it
    dress: Dress = "written"

    @cached_property
    def called(self) -> Mapping[str, str]:
        """What each kind of unit is called aloud."""
        return kinds_said(self.draft)

    def name(self, unit: int) -> str:
        """A unit as it is written."""
        return self.draft.units[unit].name

    def names(self, units: Sequence[int]) -> str:
        """Units from her left, as they are given from the weaver's."""
        hers = self.frame.row(units)
        if self.dress == "large":
            return runs_written(self.draft, hers)
        if self.dress == "aloud":
            return units_said(self.draft, hers, self.called)
        return names_of([self.name(u) for u in hers])

    def number(self, number: int) -> str:
        """A number in figures, aloud in words."""
        return number_said(number) if self.dress == "aloud" else str(number)

    def length(self, mm: float) -> str:
        """A length in the draft's measure."""
        return written(mm, self.draft.measure)


def names_of(names: Sequence[str]) -> str:
    """Names in a sentence: a, b and c."""
    return listed(names) if names else ""


def counted(count: int, one: str, voice: Voice) -> str:
    """So many of something."""
    return f"{voice.number(count)} {one}{'' if count == 1 else 's'}"


def _places(places: Sequence[int], voice: Voice) -> str:
    """Places of one hand: "place 3", "places 3-5", or "places 3 and 5" with others between."""
    hers = sorted(map(voice.frame.place, places))
    if hers[-1] - hers[0] >= len(hers):
        return f"places {listed(map(voice.number, hers))}"
    if voice.dress == "aloud":
        return places_said(hers)
    return f"place {hers[0]}" if len(hers) == 1 else f"places {hers[0]}-{hers[-1]}"


def _crosses(step: Step, voice: Voice) -> str:
    side, others = ("under", step.under) if step.under else ("over", step.over)
    if voice.dress == "written":
        return f"{side} {_runs(step, voice)}" if others else "clear of all that lies there"
    if voice.dress == "aloud":
        return f"{side} {voice.names(others)}" if others else "clear of all"
    return f"{side.upper()} {voice.names(others)}" if others else "CLEAR OF ALL"


def _lies(step: Step, voice: Voice) -> str:
    """Over or under whom a hand that hung aside lies once it is laid."""
    side, others = ("under", step.under) if step.under else ("over", step.over)
    if not others:
        return "nothing that lies there is crossed"
    it = "it then lies" if len(step.units) == 1 else "they then lie"
    return f"{it} {side} {_runs(step, voice)}"


def _course(step: Step, voice: Voice) -> str:
    """From where to where; back, where it comes home."""
    if step.from_places == step.to_places:
        return f"back in {_places(step.to_places, voice)}"
    return f"from {_places(step.from_places, voice)} in {_places(step.to_places, voice)}"


def later_lines(step: Step, voice: Voice) -> list[str]:
    """What hangs aside and comes over, or under, later."""
    ways = ((step.later_over, "over"), (step.later_under, "under"))
    return [
        f"{voice.names(units)} hangs aside: {way} it later"
        if len(units) == 1
        else f"{voice.names(units)} hang aside: {way} it later"
        for units, way in ways
        if units
    ]


def _runs(step: Step, voice: Voice) -> str:
    """Who is crossed; four or more whose names follow on are named by the first and the last."""
    said: list[str] = []
    for run in voice.frame.row(step.crossed):
        said += _in_order(voice.frame.row(run), voice)
    return names_of(said)


def _in_order(units: Sequence[int], voice: Voice) -> list[str]:
    """Names in the order given; a long run whose names follow on by its first and last."""
    kinds = {voice.draft.units[u].kind for u in units}
    steps = {b - a for a, b in pairwise(units)}
    names = [voice.name(u) for u in units]
    follows = len(kinds) == 1 and len(steps) == 1 and steps <= {1, -1}
    return [f"{names[0]} to {names[-1]}"] if follows and len(units) >= LONG_RUN else names


def _later(step: Step, voice: Voice) -> str:
    it = "it" if len(step.units) == 1 else "them"
    ways = ((step.later_over, "over"), (step.later_under, "under"))
    later = [f"{_still(units, voice)} {word} {it} later" for units, word in ways if units]
    return f" ({' and '.join(later)})" if later else ""


def _still(units: Sequence[int], voice: Voice) -> str:
    if len(units) > MOST_NAMED:
        return f"{len(units)} that are still lifted come"
    return f"{voice.names(units)} {'comes' if len(units) == 1 else 'come'}"


def _beside(off_mm: float, voice: Voice) -> str:
    """How far from the middle of a place; empty where it is the middle."""
    if not off_mm:
        return ""
    side = "right" if voice.frame.side(off_mm) > 0 else "left"
    return f"{voice.length(abs(off_mm))} to the {side}"


def off_lines(step: Step, voice: Voice) -> list[str]:
    """How far from the middle of their places the units of a step go: for all, or for each."""
    said = [(u, _beside(off, voice)) for u, off in zip(step.units, step.off_mm, strict=False)]
    amounts = {text for _, text in said}
    if len(amounts) == 1 and (len(said) == 1 or not step.kind.endswith("shift")):
        (amount,) = amounts
        whose = "its" if len(said) == 1 else "their"
        return [f"{amount} of {whose} middle"] if amount else []
    return [f"{voice.name(u)} {text} of its middle" for u, text in voice.frame.row(said) if text]


def _moves(step: Step, voice: Voice) -> str:
    offs = step.off_mm or (0.0,) * len(step.units)
    rows = voice.frame.row(list(zip(step.units, step.to_places, offs, strict=True)))
    moves = [(u, voice.number(voice.frame.place(to)), off) for u, to, off in rows]
    if voice.dress == "large":
        return ", ".join(f"{voice.name(u)} to {to}" for u, to, _ in moves)
    if voice.dress == "aloud":
        return listed(f"{voice.names([u])} to {to}" for u, to, _ in moves)
    offs_said = [_beside(off, voice) for _, _, off in moves]
    return "; ".join(
        f"{voice.name(u)} to place {to}" + (f", {beside} of its middle" if beside else "")
        for (u, to, _), beside in zip(moves, offs_said, strict=True)
    )


def _row(step: Step, voice: Voice) -> str:
    """What lies where after it; a dot where a place is empty, a prime on what lies face back."""
    after = step.after
    if after is None:
        return ""
    if voice.dress == "aloud":
        return voice.names([u for u in after.row if u is not None])
    return " ".join(
        "·" if u is None else voice.name(u) + ("" if after.faces[u] > 0 else "′")
        for u in voice.frame.row(after.row)
    )


def _backs(step: Step, _: Voice) -> str:
    after = step.after
    backs = after is not None and any(u is not None and after.faces[u] < 0 for u in after.row)
    return "faces as in the picture" if backs else ""


def _windows(step: Step, voice: Voice) -> str:
    blocks = [voice.frame.block(*window) for window in voice.frame.row(step.windows)]
    if voice.dress == "aloud":
        return windows_said(blocks)
    return ", ".join(str(first) if first == last else f"{first}-{last}" for first, last in blocks)


def _much(step: Step, _: Voice) -> str:
    count = abs(step.half_turns)
    return {1: "half a turn", 2: "a full turn"}.get(count, f"{count} half turns")


def _forward(step: Step) -> bool:
    return step.face > 0


def _recipe(step: Step, _: Voice) -> str:
    glue = step.recipe
    return f"{glue.name}, {glue.parts:g} to {glue.water:g} of water" if glue else ""


def _dry(step: Step, _: Voice) -> str:
    return f"{step.recipe.handle_min / 60:g}" if step.recipe else ""


def _let_back(step: Step, voice: Voice) -> str:
    return f"; let the warp back by {voice.length(step.length_mm)}" if step.length_mm else ""


def room_lines(step: Step, voice: Voice) -> list[str]:
    """Who makes room, run by run of neighbours that go equally far."""
    return [
        f"{voice.names([along.unit for along in run])} {'goes' if len(run) == 1 else 'go'} "
        f"to {_places([along.end for along in run], voice)}"
        + "".join(f", {voice.name(u)} {text} of its middle" for u, text in _standing(run, voice))
        for run in voice.frame.row(_runs_along(step.along))
    ]


def _standing(run: Sequence[Along], voice: Voice) -> list[tuple[int, str]]:
    said = ((along.unit, _beside(along.off_mm, voice)) for along in voice.frame.row(run))
    return [(unit, text) for unit, text in said if text]


def _runs_along(along: Sequence[Along]) -> list[list[Along]]:
    runs: list[list[Along]] = []
    for one in sorted(along, key=lambda along: along.start):
        before = runs[-1][-1] if runs else None
        if before and one.start - before.start == one.end - before.end == 1:
            runs[-1].append(one)
        else:
            runs.append([one])
    return runs


def _legs(step: Step, voice: Voice) -> str:
    """A carry, leg by leg: "over a2 to a8, round it and back under a8 to a2"."""
    said, aloud = [], voice.dress == "aloud"
    for before, leg in zip((None, *step.legs), step.legs, strict=False):
        turns = before is not None and before.right != leg.right
        back = f"round {voice.name(before.passed[-1])} and back " if turns and before else ""
        side = "over" if leg.over else "under"
        side = side.upper() if voice.dress == "large" else side
        passed = (
            units_said(voice.draft, leg.passed, voice.called)
            if aloud
            else (names_of(_in_order(leg.passed, voice)))
        )
        said.append(f"{back}{side} {passed}")
    return ", ".join(said)


def _rolled(step: Step, voice: Voice) -> str:
    """Units from her left as they lie when they are rolled over."""
    units = step.units if step.half_turns % 2 == 0 else step.units[::-1]
    names = [voice.name(u) for u in voice.frame.row(units)]
    return " ".join(names)


WORDS: Mapping[str, Callable[[Step, Voice], str]] = {
    "who": lambda step, voice: voice.names(step.units),
    "strips": lambda step, voice: counted(len(step.units), "strip", voice),
    "bobbins": lambda step, _: "bobbin" if len(step.units) == 1 else "bobbins",
    "starts": lambda step, voice: _places(step.from_places, voice),
    "places": lambda step, voice: _places(step.to_places, voice),
    "off": lambda step, voice: "".join(f", {line}" for line in off_lines(step, voice)),
    "crosses": _crosses,
    "lies": _lies,
    "course": _course,
    "later": _later,
    "moves": _moves,
    "row": _row,
    "backs": _backs,
    "way": lambda step, voice: "right" if voice.frame.turn(step.half_turns) > 0 else "left",
    "turn": _much,
    "face": lambda step, _: "face forward" if _forward(step) else "face to the back",
    "upper": lambda step, _: "face" if _forward(step) else "back",
    "windows": _windows,
    "sheds": lambda step, _: ", ".join(step.sheds),
    "picks": lambda step, voice: counted(step.picks, "pick", voice),
    "weft": lambda step, _: step.weft,
    "rod": lambda step, _: step.rod,
    "rods": lambda step, _: ", and draw its rod" if step.rod else "",
    "let_back": _let_back,
    "length": lambda step, voice: voice.length(step.length_mm),
    "long_length": lambda step, voice: written_long(step.length_mm, voice.draft.measure),
    "ends": lambda step, _: step.ends,
    "recipe": _recipe,
    "dry": _dry,
    "room": lambda step, voice: "".join(f"; {line}" for line in room_lines(step, voice)),
    "legs": _legs,
    "rolled": _rolled,
    "it": lambda step, _: "it" if len(step.units) == 1 else "them",
    "span": lambda step, _: str(step.span),
    "band": lambda step, _: str(step.band),
}
