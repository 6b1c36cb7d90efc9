"""Does a photograph of the batten show the arrangement of the step?

Right is said only when every strip that should lie there was read, once, with the right side up,
in the right order, and, where places are empty, at the right distances. Wrong is said only of what
was read. In between it cannot tell, and says what it misses.
"""

from __future__ import annotations

import math
import re
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from crossfell.loomside.photo_marks import Mark

UNIT = re.compile(r"crossfell (?P<version>[0-9a-f]+) unit (?P<name>\S+) (?P<side>front|back)")
ASKEW = 0.5  # cosine: marks that lean more than 60° from the rest
OFF_LINE = 1.5  # sizes of a mark that it may lie off the line of the strips
OFF_PLACE = 0.3  # of a place
FEWEST_FOR_GAPS = 5  # marks from which distances can be judged


@dataclass(frozen=True, kw_only=True)
class PhotoVerdict:
    """What the photograph shows."""

    says: str  # "right", "wrong" or "cannot tell"
    why: tuple[str, ...] = ()
    read: tuple[str, ...] = ()  # names read, from the left

    @property
    def right(self) -> bool:
        """Whether it shows the arrangement of the step."""
        return self.says == "right"


@dataclass(frozen=True, kw_only=True)
class _Strip:
    name: str
    face: int
    at: float  # along the line of the strips, px, left to right
    size: float  # of its mark, px


def checked(
    marks: Sequence[Mark],
    row: Sequence[str | None],
    faces: Sequence[int],
    versions: Collection[str],
    units: Collection[str],
) -> PhotoVerdict:
    """Compare marks with a row: names by place from the left, and the face (1, -1) of each place.

    `versions` are those of the drafts that labels were printed from, `units` all of the piece.
    """
    known = [(mark, found) for mark in marks if (found := UNIT.fullmatch(mark.text))]
    foreign = [f["name"] for _, f in known if f["version"] not in versions]
    ours = [(mark, found) for mark, found in known if found["version"] in versions]
    if not ours:
        return _cannot("no label of a strip of this piece could be read")
    if foreign:
        return _cannot(f"labels of another version of the draft: {', '.join(sorted(foreign))}")
    strips = _in_line(ours)
    if strips is None:
        return _cannot("the labels do not lie in one line, or not all the same way up")
    names = [strip.name for strip in strips]
    twice = sorted({name for name in names if names.count(name) > 1})
    if twice:
        return _cannot(f"read in two places: {', '.join(twice)}", names)
    verdict = _compared(strips, names, row, faces)
    lifted = sorted(set(units) - {name for name in row if name is not None})
    if verdict.right and lifted:
        return _cannot(
            f"what was read lies right; whether {', '.join(lifted)} are out of the batten, "
            "no mark shows",
            names,
        )
    return verdict


def _compared(
    strips: Sequence[_Strip],
    names: Sequence[str],
    row: Sequence[str | None],
    faces: Sequence[int],
) -> PhotoVerdict:
    place = {name: i + 1 for i, name in enumerate(row) if name is not None}
    wrong = [
        f"{strip.name} lies in the batten; it should be lifted out"
        for strip in strips
        if strip.name not in place
    ]
    there = [strip for strip in strips if strip.name in place]
    wrong += list(_wrong_order(there, place))
    for strip in there:
        if strip.face != faces[place[strip.name] - 1]:
            side = "face" if strip.face < 0 else "back"
            wrong.append(f"{strip.name} shows the other side: turn its {side} up")
    if wrong:
        return PhotoVerdict(says="wrong", why=tuple(wrong), read=tuple(names))
    missing = [name for name in place if name not in names]
    if missing:
        return _cannot(f"not read: {', '.join(missing)}. Go nearer, or wipe the labels", names)
    if None in row:
        doubt = _distances(strips, place, row)
        if doubt:
            return _cannot(doubt, names)
    return PhotoVerdict(says="right", read=tuple(names))


def _cannot(why: str, read: Sequence[str] = ()) -> PhotoVerdict:
    return PhotoVerdict(says="cannot tell", why=(why,), read=tuple(read))


def _in_line(found: Sequence[tuple[Mark, re.Match[str]]]) -> list[_Strip] | None:
    """Strips from the left, by the way up of their labels; None when they are not one line."""
    marks = [mark for mark, _ in found]
    dx, dy = (sum(mark.along[i] for mark in marks) for i in (0, 1))
    norm = math.hypot(dx, dy)
    if norm < ASKEW * len(marks):
        return None
    ux, uy = dx / norm, dy / norm
    size = float(np.median([mark.size for mark in marks]))
    at = np.array([mark.x * ux + mark.y * uy for mark in marks])
    across = np.array([-mark.x * uy + mark.y * ux for mark in marks])
    slope, level = np.polyfit(at, across, 1) if len(marks) > 1 else (0.0, across[0])
    off = np.abs(across - slope * at - level)
    askew = any(mark.along[0] * ux + mark.along[1] * uy < ASKEW for mark in marks)
    if askew or off.max() > OFF_LINE * size or abs(slope) > 1:
        return None
    strips = [
        _Strip(
            name=match["name"],
            face=1 if match["side"] == "front" else -1,
            at=float(x),
            size=mark.size,
        )
        for (mark, match), x in zip(found, at, strict=True)
    ]
    return sorted(strips, key=lambda strip: strip.at)


def _wrong_order(strips: Sequence[_Strip], place: dict[str, int]) -> Iterator[str]:
    """The fewest strips whose removal leaves the rest in order, each with where it belongs."""
    keep = _longest_run([place[strip.name] for strip in strips])
    for i, strip in enumerate(strips):
        if i not in keep:
            yield f"{strip.name} lies where it should not: it belongs in place {place[strip.name]}"


def _longest_run(places: Sequence[int]) -> set[int]:
    """Indices of a longest rising run. Source: patience sorting, common practice."""
    best: list[Sequence[int]] = []
    for i, place in enumerate(places):
        before = [run for run in best if places[run[-1]] < place]
        best.append([*_longest(before), i])
    return set(_longest(best))


def _longest(runs: Sequence[Sequence[int]]) -> Sequence[int]:
    longest: Sequence[int] = ()
    for run in runs:
        if len(run) > len(longest):
            longest = run
    return longest


def _distances(strips: Sequence[_Strip], place: dict[str, int], row: Sequence[str | None]) -> str:
    """Why the distances do not show the places; empty if they do.

    A gap is measured in marks, so that perspective, which makes both smaller alike, goes out.
    """
    if row[0] is None or row[-1] is None:
        return "the outer places are empty: whether all lie a place too far aside, no mark shows"
    if len(strips) < FEWEST_FOR_GAPS:
        return "too few strips to judge which places are empty"
    gaps = np.array([(b.at - a.at) / ((a.size + b.size) / 2) for a, b in pairwise(strips)])
    steps = np.array([place[b.name] - place[a.name] for a, b in pairwise(strips)], float)
    pitch = float(np.median(gaps / steps))
    if np.abs(gaps / pitch - steps).max() > OFF_PLACE:
        return "the empty places do not lie where they should, or the photograph is too askew"
    return ""
