"""What does the screen say for a step: in a few large words, and for the ear?

Places count from the left of who stands there. A step is said for the side that it is done at;
she can ask for the other side, and then places, left and right change over. Over stays over: up is
up on both sides of the loom.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from crossfell.base.frame import Frame
from crossfell.draft.model import Draft
from crossfell.loomside.ear import (
    kinds_said,
    listed,
    number_said,
    places_said,
    runs_written,
    sentence,
    units_said,
    windows_said,
)
from crossfell.plan.cautions import CAUTIONS
from crossfell.plan.model import Step

MOST_SAID = 8  # moves that are said one by one
MOST_HEARD = 12  # units in a row that the ear can follow; common practice, no source


_OFF = re.compile(r"[^,:;]*\d[^,:;]* to the (?:left|right) of (?:its|their) middle")


@dataclass(frozen=True, kw_only=True)
class Words:
    """A step in words."""

    do: str  # what to do, the largest letters
    cross: str  # over or under whom, as large; can be empty
    lines: tuple[str, ...]  # what else she must know to do it
    marks: tuple[str, ...] = ()  # sheds, one after another: "up" and "down"
    spoken: str
    caution: str = ""


@dataclass(frozen=True, kw_only=True)
class Voice:
    """What the sentences of one draft need."""

    draft: Draft
    frame: Frame  # of who stands in front of the loom, or behind it
    called: dict[str, str]

    def name(self, unit: int) -> str:
        """As it is written."""
        return self.draft.units[unit].name

    def names(self, units: Sequence[int]) -> str:
        """From her left, as they are given from the weaver's."""
        return runs_written(self.draft, self.turned(units))

    def said(self, units: Sequence[int]) -> str:
        """The same aloud."""
        return units_said(self.draft, self.turned(units), self.called)

    def turned(self, items: Sequence[int]) -> list[int]:
        """From her left."""
        return list(self.frame.row(items))

    def place(self, place: int) -> int:
        """A place as she counts."""
        return self.frame.place(place)

    def side(self, half_turns: int) -> str:
        """The way of a turn, as she sees it."""
        return "right" if self.frame.turn(half_turns) > 0 else "left"


def voice_of(draft: Draft, *, behind: bool) -> Voice:
    """The voice for somebody in front of the loom, or behind it."""
    return Voice(draft=draft, frame=draft.at_loom(behind=behind), called=kinds_said(draft))


def words_of(step: Step, voice: Voice) -> Words:
    """A step in words."""
    said = _SAID.get(step.kind, _plain)(step, voice)
    caution = CAUTIONS[step.caution] if step.caution else ""
    return said if not caution else _with(said, caution)


def _with(words: Words, caution: str) -> Words:
    fields = {name: getattr(words, name) for name in words.__dataclass_fields__}
    return Words(**{**fields, "caution": caution})


def _plain(step: Step, voice: Voice) -> Words:
    """A step that its own sentence says best; the first clause large, the rest smaller."""
    del voice
    text = step.text.rstrip(".")
    head, _, rest = text.partition(": ")
    if not rest:
        head, rest = text, ""
    if head.startswith(("Band ", "Span ")) and rest:
        rest, head = head, rest
    first, _, more = head.partition(". ")
    first, _, after = first.partition(", ") if len(first) > 60 else (first, "", "")
    lines = tuple(part for part in (after, more, rest) if part)
    return Words(do=first[:1].upper() + first[1:], cross="", lines=lines, spoken=step.text)


def _lay(step: Step, voice: Voice) -> Words:
    behind = step.side == "back"
    one = len(step.units) == 1
    word, others = ("under", step.under) if step.under else ("over", step.over)
    low = " from below" if step.below else ""
    aloud = f"{word} {voice.said(others)}" if others else "clear of all"
    starts = sorted(voice.place(place) for place in step.from_places)
    ends = sorted(voice.place(place) for place in step.to_places)
    whose = f"bobbin{'' if one else 's'} of " if behind else ""
    return Words(
        do=f"LAY {'bobbin ' if behind else ''}{voice.names(step.units)}{low}",
        cross=f"{word.upper()} {voice.names(others)}" if others else "CLEAR OF ALL",
        lines=(f"from {_places(starts)} into {_places(ends)}", *_beside(step, voice)),
        spoken=sentence(
            f"{whose}{voice.said(step.units)}{low}, {aloud}. {places_said(ends).capitalize()}"
        ),
    )


def _places(places: Sequence[int]) -> str:
    """Places side by side: "place 3", "places 3-5"."""
    if len(places) == 1:
        return f"place {places[0]}"
    return f"places {places[0]}-{places[-1]}"


def _beside(step: Step, voice: Voice) -> tuple[str, ...]:
    """How far from the middle of its place something is laid, as the step's sentence says it."""
    found = _OFF.findall(step.text)
    if (voice.frame.across < 0) == (step.side == "back"):
        return tuple(found)
    swap = {"left": "right", "right": "left"}
    return tuple(re.sub("left|right", lambda side: swap[side.group()], text) for text in found)


def _lift(step: Step, voice: Voice) -> Words:
    names, said = voice.names(step.units), voice.said(step.units)
    if step.kind == "clear-lift":
        where = "BELOW all others" if step.below else "ABOVE all others"
        return Words(
            do=f"HOLD ASIDE {names}",
            cross=where,
            lines=("their bobbins",),
            spoken=sentence(f"hold aside the bobbins of {said}, {where.lower()}"),
        )
    do = "TAKE OUT BELOW" if step.below else "LIFT OUT"
    return Words(
        do=f"{do} {names}",
        cross="",
        lines=(_counted(len(step.units), "strip"),),
        spoken=sentence(f"{do.lower()} {said}"),
    )


def _shift(step: Step, voice: Voice) -> Words:
    rows = voice.frame.row(list(zip(step.units, step.to_places, strict=True)))
    what = " the bobbins" if step.kind == "clear-shift" else ""
    if len(rows) > MOST_SAID:
        return Words(
            do=f"MOVE ALONG{what or f' {len(rows)} strips'}",
            cross="to the places marked",
            lines=("nothing crosses", *_beside(step, voice)),
            spoken=sentence(f"move along{what or ' the strips'} to the places marked"),
        )
    ways = [f"{voice.name(u)} to {voice.place(to)}" for u, to in rows]
    aloud = [f"{voice.said([u])} to {number_said(voice.place(to))}" for u, to in rows]
    return Words(
        do=f"MOVE ALONG{what}",
        cross=", ".join(ways),
        lines=("nothing crosses", *_beside(step, voice)),
        spoken=sentence(f"move along{what}: {listed(aloud)}"),
    )


def _turn(step: Step, voice: Voice) -> Words:
    (unit,) = step.units
    way, much = voice.side(step.half_turns), _much(step.half_turns)
    what = "bobbin " if step.kind == "clear-turn" else ""
    face: tuple[str, ...] = ()
    if step.after is not None:
        up = step.after.faces[unit] > 0
        face = ("then its face is up" if up else "then its back is up",)
    return Words(
        do=f"TURN {what}{voice.name(unit)}",
        cross=f"{way.upper()}, {much}",
        lines=face,
        spoken=sentence(
            f"turn {'the bobbin of ' if what else ''}{voice.said([unit])} {way}, {much}"
        ),
    )


def _much(half_turns: int) -> str:
    count = abs(half_turns)
    return {1: "half a turn", 2: "a full turn"}.get(count, f"{count} half turns")


def _check(step: Step, voice: Voice) -> Words:
    row = [] if step.after is None else [u for u in step.after.row if u is not None]
    backs = [] if step.after is None else [u for u in row if step.after.faces[u] < 0]
    lines = ("faces as in the picture",) if backs else ()
    return Words(
        do="LOOK",
        cross="",
        lines=("from your left: compare with the picture", *lines),
        spoken=sentence(
            f"look. From the left: {voice.said(row)}"
            if 0 < len(row) <= MOST_HEARD
            else "look, and compare with the picture"
        ),
    )


def _weights(step: Step, voice: Voice) -> Words:
    windows = tuple(voice.frame.block(*window) for window in voice.frame.row(step.windows))
    where = ", ".join(str(low) if low == high else f"{low}-{high}" for low, high in windows)
    off = step.kind == "weights-off"
    return Words(
        do="WEIGHTS OFF" if off else "WEIGHTS ON",
        cross=f"places {where}",
        lines=("one hand at a time" if off else "nothing is crossed behind the reed",),
        spoken=sentence(f"weights {'off' if off else 'on'}: {windows_said(windows)}"),
    )


def _picks(step: Step, voice: Voice) -> Words:
    del voice
    band = f"band {step.band}"
    return Words(
        do=_counted(step.count, "PICK", "PICKS"),
        cross="",
        lines=(band, step.text.split(": ")[1].split(" of ")[-1]),
        marks=step.sheds,
        spoken=sentence(
            f"{number_said(step.count)} {'pick' if step.count == 1 else 'picks'}: "
            f"{', '.join(step.sheds)}"
        ),
    )


def _rod(step: Step, voice: Voice) -> Words:
    del voice
    what = step.text.split("lay in the rod ")[-1].split(", in the shed")[0]
    return Words(
        do="LAY IN THE ROD",
        cross=what,
        lines=(f"band {step.band}",),
        marks=step.sheds,
        spoken=sentence(f"lay in the rod, shed {step.sheds[0]}"),
    )


def _wind(step: Step, voice: Voice) -> Words:
    ends, _, length = step.text.split(": ", 1)[-1].rstrip(".").partition(" each or ")
    what, _, how_long = ends.rpartition(", ")
    return Words(
        do=f"WIND {voice.names(step.units)}",
        cross=what,
        lines=(f"{how_long} each", f"or {length}"),
        spoken=sentence(f"wind {voice.said(step.units)}"),
    )


def _hang(step: Step, voice: Voice) -> Words:
    del step, voice
    return Words(
        do="HANG the bobbins",
        cross="each with its weight",
        lines=("over the back beam, in the order of the picture",),
        spoken="Hang the bobbins with their weights, in the order of the picture.",
    )


def _counted(count: int, one: str, many: str = "") -> str:
    return f"{count} {one if count == 1 else many or one + 's'}"


_SAID: dict[str, Callable[[Step, Voice], Words]] = {
    "lay": _lay,
    "clear": _lay,
    "lift": _lift,
    "clear-lift": _lift,
    "shift": _shift,
    "clear-shift": _shift,
    "turn": _turn,
    "clear-turn": _turn,
    "check": _check,
    "hang": _hang,
    "wind": _wind,
    "weights-off": _weights,
    "weights-on": _weights,
    "pick": _picks,
    "rod": _rod,
}
