"""How is a solved sketch written as a draft that she can read and go on with?"""

from __future__ import annotations

import itertools
import json
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from crossfell.base.frame import on_wall
from crossfell.search.sketch.asked import Ints
from crossfell.search.sketch.laying import EMPTY, InFront, heights, moves_between, rows_of


@dataclass(frozen=True, kw_only=True)
class Warping:
    """What stands in the draft beside the moves. Lengths in mm."""

    title: str
    tables: str  # yarns, strips and rates, where the workshop has none
    names: tuple[str, ...]  # [K] yarns; "-" for the bare wall
    strip: str
    ends: int  # of a unit
    pitch_mm: float
    woven_from: str
    rods: tuple[str, str]  # of every band, and of the one that hangs on top


def spans_of(
    shown: Ints,
    counts: Sequence[int],
    free: Sequence[bool],
    front: InFront,
    brace: Sequence[int] = (),
) -> list[list[str]]:
    """Moves of each span; in spans (from 0) of `brace` two units cross where nothing moves."""
    rows = rows_of(shown, counts, free)
    whose = {int(u): int(c) for u, c in zip(rows[0], shown[0], strict=True) if u != EMPTY}
    colours = [whose[unit] for unit in range(len(whose))]
    made = []
    for k, (now, after) in enumerate(itertools.pairwise(rows)):
        left, right = ([int(u) for u in row if u != EMPTY] for row in (now, after))
        moves = moves_between(now, after, heights(left, right, colours, front))
        if not moves and k in brace:
            moves = _braced(shown[k], free)
        made.append(moves)
    return made


def _braced(shown: Ints, free: Sequence[bool]) -> list[str]:
    """Two neighbours of one colour, nearest to the middle, cross."""
    at = [k for k in range(len(shown) - 1) if shown[k] == shown[k + 1] and not free[shown[k]]]
    middle = (len(shown) - 2) / 2
    best = min(at, key=lambda k: (abs(k - middle), k), default=None)
    return [] if best is None else [f"{best + 1} over {best + 2}"]


def named(now: Ints, after: Ints, names: Sequence[str], front: InFront) -> str:
    """What a span does, in a few words: of the frontmost yarn that moves."""
    for c in sorted(range(len(names)), key=lambda c: -front.rank[c]):
        here, there = np.flatnonzero(now == c), np.flatnonzero(after == c)
        by = there - here
        if names[c] == "-" or not by.any():
            continue
        if (by >= 0).all() or (by <= 0).all():
            return f"{names[c]} to the {'right' if by.sum() > 0 else 'left'}"
        wide = int(np.abs(there - there.mean()).sum() - np.abs(here - here.mean()).sum())
        return f"{names[c]} {'spreads' if wide > 0 else 'gathers' if wide < 0 else 'crosses'}"
    return "still"


def order_text(first: Ints, names: Sequence[str]) -> str:
    """The units of the first band from the left, as [warp] writes them."""
    parts: list[tuple[str, int]] = []
    for c in first:
        name = names[int(c)]
        if parts and parts[-1][0] == name:
            parts[-1] = (name, parts[-1][1] + 1)
        else:
            parts.append((name, 1))
    return " ".join(name if count == 1 else f"{name}*{count}" for name, count in parts)


def written(warping: Warping, shown: Ints, spans: Sequence[Sequence[str]], front: InFront,
            heights_mm: Sequence[float]) -> str:  # fmt: skip
    """The draft's text."""
    names = warping.names
    yarns = [name for name in names if name != "-"]
    parts = [
        f'measure = "mm"\n\n[piece]\ntitle = {json.dumps(warping.title, ensure_ascii=False)}\n'
        f'woven_from = "{warping.woven_from}"\n',
        warping.tables.strip() + "\n" if warping.tables.strip() else "",
        *(
            f'[unit.{name}]\nstrip = "{warping.strip}"\nends  = "{warping.ends} {name}"\n'
            for name in yarns
        ),
        f'[warp]\npitch = {warping.pitch_mm:g}\norder = "{order_text(shown[0], names)}"\n',
        f'[band]\npicks = "3, rod, 3"\nweft  = "{yarns[-1]}"\nrod   = "{warping.rods[0]}"\n',
        f"[band.{'last' if on_wall(0, warping.woven_from).up > 0 else 'first'}]  # hangs on top\n"
        f'rod   = "{warping.rods[1]}"\n',
    ]
    bodies = [
        _span(moves, height, named(shown[k], shown[k + 1], names, front))
        for k, (moves, height) in enumerate(zip(spans, heights_mm, strict=True))
    ]
    number = 1
    for body, alike in itertools.groupby(bodies):
        times = len(list(alike))
        run = f"{number}" if times == 1 else f"{number} to {number + times - 1}"
        parts.append(f"[[span]]  # {run}\n{body}")
        if times > 1:
            parts.append(f"[[repeat]]\nspans = 1\ntimes = {times}\n")
        number += times
    return "\n".join(part for part in parts if part)


def _span(moves: Sequence[str], height_mm: float, name: str) -> str:
    """The keys of a span."""
    text = f'"""\n{chr(10).join(moves)}\n"""' if len(moves) > 1 else json.dumps("".join(moves))
    body = f"moves  = {text}\n" if moves else ""
    return f'height = {height_mm:g}\nname   = "{name}"\n{body}'
