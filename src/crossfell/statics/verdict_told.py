"""In which words is it told how the piece will hang? Every outlet takes them from here."""

from __future__ import annotations

import math

from crossfell.base.quantities import written
from crossfell.statics.verdict import AS_DRAWN, MOVES, NO_REST, SETTLES, TURNS_OVER, Verdict

SETTLED_MM = 0.05  # less is nothing
_SURE = {
    AS_DRAWN: "hangs as drawn",
    SETTLES: "settles by up to {moved}",
    MOVES: "moves by up to {moved}",
    TURNS_OVER: "turns over: band {tilted} tilts by {tilt}",
    NO_REST: "no rest was found",
}
_MAY = {
    SETTLES: "may settle by some millimetres",
    MOVES: "may move by more than a little",
    TURNS_OVER: "may turn over",
    NO_REST: "may not come to rest",
}
_CAUSES = {
    "beside-cords": "Its mass hangs beside its cords.",
    "slack-cord": "Cord {at} carries nothing.",
    "beside-units": "All that hangs below span {at} has its mass beside the units of that span.",
    "tilt": "",
}
_REMEDIES = {
    "beside-cords": "Tie one cord on either side of the middle of its mass, {centre} from the left "
    "end of the top rod.",
    "slack-cord": "Tie one cord on either side of the middle of its mass, {centre} from the left "
    "end of the top rod.",
    "beside-units": "Units on both sides of that mass, or a rod that reaches less far, carry it.",
    "tilt": "Units that lean the other way, or cords nearer the ends of the rod, hold it.",
}


def in_words(verdict: Verdict, measure: str) -> str:
    """The verdict as a tick, a label or a table says it."""
    if verdict.may:
        return _MAY[verdict.says]
    tilt = degrees(verdict.tilt_rad)
    moved = little(verdict.moved_mm, measure)
    return _SURE[verdict.word].format(moved=moved, tilted=verdict.tilted, tilt=tilt)


def sentences(verdict: Verdict, measure: str, centre_mm: float) -> list[str]:
    """The verdict in full: what it does, why, what helps, how it may come out otherwise.

    `centre_mm` is the place of its mass centre, from the left end of the top rod.
    """
    told = [f"{in_words(verdict, measure)}.".capitalize() if verdict.word == NO_REST
            else f"It {in_words(verdict, measure)}."]  # fmt: skip
    if verdict.cause:
        facts = {"at": verdict.at, "centre": written(centre_mm, measure)}
        told += [t.format(**facts) for t in (_CAUSES[verdict.cause], _REMEDIES[verdict.cause]) if t]
    elif verdict.may or verdict.word == AS_DRAWN:
        told.append(
            f"With the lengths as drawn, no end of a rod goes aside by more than "
            f"{little(verdict.moved_mm, measure)}."
        )
    if verdict.runs:
        told.append(_many(verdict))
    return told


def _many(verdict: Verdict) -> str:
    many = f"Of {verdict.runs} pieces with lengths wrong by {percent(verdict.error)}"
    shares = [
        f"{round(share * verdict.runs)} {_plural(word)}" for word, share in verdict.shares.items()
    ]
    return f"{many}, {', '.join(shares)}."


def _plural(word: str) -> str:
    return {
        AS_DRAWN: "hang as drawn", SETTLES: "settle", MOVES: "move", TURNS_OVER: "turn over",
        NO_REST: "come to no rest",
    }[word]  # fmt: skip


def percent(share: float) -> str:
    """A share in per cent, as few digits as it has."""
    return f"{100 * share:.3g} %"


def degrees(angle_rad: float) -> str:
    """An angle in degrees."""
    return f"{math.degrees(angle_rad):.0f}°"


def little(value_mm: float, measure: str) -> str:
    """A length that may be too small for the marks of a rule."""
    if abs(value_mm) < SETTLED_MM:
        return "0.1 mm" if measure != "in" else "0.01 in"
    if abs(value_mm) < 1.0:
        return f"{value_mm / 25.4:.2f} in" if measure == "in" else f"{value_mm:.1f} mm"
    return written(value_mm, measure)
