"""Which variants of a draft are there? Each is a name and a text; the draft itself comes first."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import islice, permutations

from crossfell.draft.edit import NotEditable, backwards, mirror, reverse, set_height, set_key
from crossfell.paths.findings import least_height_mm
from crossfell.piece import Piece
from crossfell.search.variants.harmony import harmony
from crossfell.search.variants.rhythms import heights, rhythms

KINDS = ("colours", "heights", "mirrored", "pitch")
MOST_COLOURS = 60
PITCHES = ((1.15, "more open"), (1.3, "much more open"))


@dataclass(frozen=True)
class Variant:
    """One variant: what it is called, its draft, and what is to be said of it."""

    name: str
    text: str
    says: str = ""


def variants_of(piece: Piece, kinds: tuple[str, ...] = KINDS) -> list[Variant]:
    """The draft as it is, and its variants of these kinds; those that cannot be are left out."""
    makers = {"colours": _colours, "heights": _heights, "mirrored": _sides, "pitch": _pitches}
    found = [Variant("as drafted", piece.draft.text)]
    for kind in kinds:
        found += makers[kind](piece)
    different: dict[str, Variant] = {}
    for one in found:
        different.setdefault(one.text, one)
    return list(different.values())


def _colours(piece: Piece) -> Iterator[Variant]:
    """Her yarns in other places, those whose tones are furthest apart first."""
    draft = piece.draft
    used = list(dict.fromkeys(yarn for kind in draft.kinds.values() for _, yarn in kind.ends))
    known = [*used, *(name for name in draft.yarns if name not in used)]
    ways = [way for way in islice(permutations(known, len(used)), 5_000) if list(way) != used]

    def tones(way: tuple[str, ...]) -> float:
        return -harmony([draft.yarns[name].colour for name in way]).least_light

    for way in sorted(ways, key=tones)[:MOST_COLOURS]:
        becomes = dict(zip(used, way, strict=True))
        text = draft.text
        try:
            for kind in draft.kinds.values():
                text = set_key(text, f"unit.{kind.name}.ends", _renamed(kind.ends_text, becomes))
        except NotEditable:
            return  # units that stand in the workshop are all pieces' own
        told = harmony([draft.yarns[name].colour for name in way]).says
        changed = [f"{b} for {a}" for a, b in becomes.items() if a != b]
        yield Variant(", ".join(changed), text, told)


def _renamed(ends: str, becomes: dict[str, str]) -> str:
    return re.sub(r"[^\W\d][\w-]*", lambda word: becomes.get(word[0], word[0]), ends)


def _heights(piece: Piece) -> Iterator[Variant]:
    spans = piece.draft.spans
    limit = piece.draft.loom.lean_limit_rad
    least = [max(least_height_mm(piece.paths, k, limit), 10.0) for k in range(len(spans))]
    total = sum(span.height_mm for span in spans)
    for name, weights in rhythms(len(spans)).items():
        text = piece.draft.text
        for k, height in enumerate(heights(weights, least, total), 1):
            text = set_height(text, k, f"{height} mm")
        yield Variant(name, text)


def _sides(piece: Piece) -> Iterator[Variant]:
    text, last = piece.draft.text, len(piece.draft.spans)
    changes: tuple[tuple[str, Callable[[str, int, int], str]], ...] = (
        ("left for right", mirror), ("over for under", reverse), ("upside down", backwards),
    )  # fmt: skip
    for name, change in changes:
        try:
            yield Variant(name, change(text, 1, last))
        except NotEditable:
            continue  # a figure that does not fit this way


def _pitches(piece: Piece) -> Iterator[Variant]:
    """Wider from place to place, and as wide as the wall allows."""
    draft = piece.draft
    room = draft.about.wall.width_mm if draft.about.wall else None
    wide = piece.paths.width_total_mm
    for times, name in PITCHES:
        yield _pitched(piece, name, draft.pitch_mm * times)
    beside = wide - draft.pitch_mm * (draft.place_count - 1)
    if room and draft.place_count > 1 and room > beside:
        yield _pitched(piece, "to fill the wall", (room - beside) / (draft.place_count - 1) - 0.5)


def _pitched(piece: Piece, name: str, pitch_mm: float) -> Variant:
    return Variant(name, set_key(piece.draft.text, "warp.pitch", f"{pitch_mm:.0f} mm"))
