"""What besides crossings is tried on a piece that hangs slack, drifts, or bends its top rod?

Weaving tension, heights of all spans or of one, rods of one band or of all (those in stock first),
hanging points, more cords, a rail. Kinds take turns, so that a search that is cut short has tried
something of each. None of it helps a span that swings. What is tried is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from itertools import chain, zip_longest
from typing import NamedTuple

import numpy as np

from crossfell.draft import edit
from crossfell.draft.model import Draft
from crossfell.piece import Piece
from crossfell.plan.stock import rods_in_stock
from crossfell.search.standing import SEEN_MM, top_sag_mm
from crossfell.statics.beam import best_two_points, rodded
from crossfell.statics.bow import bow_mm
from crossfell.statics.cords import cords_of, on_top_rod_mm, rod_length_mm


class Candidate(NamedTuple):
    """Something to be tried."""

    kind: str
    says: str  # what is done
    make: Callable[[], str]  # the text with it
    span: int = 0  # number of the span whose moves it changes; 0: none


THICKER_MM = (2, 4, 8)
ALL_SPANS = (1.05, 0.95)
ONE_SPAN = (1.1, 1.25, 0.9)
MOST_SPANS = 3  # whose heights are tried one by one, and above whose rods others are tried
THREE = (0.13, 0.5, 0.87)  # of the rod's length. Common practice
SAGS_MM = 1.0  # a top rod that bends more is helped


def fittings(piece: Piece) -> Iterator[Candidate]:
    """All that is tried, kind after kind in turn."""
    kinds = (_tension(piece), _rods(piece), _points(piece), _all_heights(piece), _heights(piece))
    for one in chain.from_iterable(zip_longest(*kinds)):
        if one is not None:
            yield one


def _tension(piece: Piece) -> Iterator[Candidate]:
    warp, text = piece.draft.warp, piece.draft.text
    for share in (2, 4) if warp else ():
        tension = warp.tension_n / share if warp else 0.0
        was = warp.tension_n if warp else 0.0
        yield Candidate(
            "tension",
            f"weave at {tension:.2g} N on each end instead of {was:g}",
            partial(edit.set_key, text, "warp.tension", round(tension, 3)),
        )


def _all_heights(piece: Piece) -> Iterator[Candidate]:
    draft, hung = piece.draft, piece.hung
    open_mm = sum(span.height_mm for span in draft.spans)
    shrinks = 1 + hung.shrinkage_mm / open_mm if open_mm else 1.0
    for by in ((shrinks,) if abs(hung.shrinkage_mm) > 1 else ()) + ALL_SPANS:
        way = "higher" if by > 1 else "lower"
        yield Candidate(
            "height", f"weave every span {abs(by - 1):.2%} {way}", partial(_scaled, draft, by, None)
        )


def _heights(piece: Piece) -> Iterator[Candidate]:
    for by in ONE_SPAN:
        for number in _slackest(piece):
            height = piece.draft.spans[number - 1].height_mm * by
            way = "higher" if by > 1 else "lower"
            yield Candidate(
                "height of one span",
                f"weave span {number} {abs(by - 1):.0%} {way}, {height:.0f} mm",
                partial(_scaled, piece.draft, by, number),
            )


def _scaled(draft: Draft, by: float, number: int | None) -> str:
    text = draft.text
    for span in draft.spans:
        if number in {None, span.number}:
            text = edit.set_height(text, span.number, f"{span.height_mm * by:.1f} mm")
    return text


def _slackest(piece: Piece) -> list[int]:
    """Spans with the most units that bow, then with the most slack; by number."""
    bowed = (bow_mm(piece.paths.chord_mm, piece.hung.slack_mm) > SEEN_MM).sum(axis=1)
    slack = piece.hung.slack_mm.sum(axis=1)
    order = np.lexsort((-slack, -bowed))[:MOST_SPANS]
    return [int(k) + 1 for k in order if slack[k] > 0]


def _rods(piece: Piece) -> Iterator[Candidate]:
    """Lowest, top, those that pull the slackest spans taut, the one that drifts most; then all."""
    draft, wall = piece.draft, piece.draft.on_wall()
    last = len(draft.bands) - 1
    lowest, top = (0, last) if wall.up > 0 else (last, 0)
    below = [wall.below(number - 1) for number in _slackest(piece)]
    drifts = int(np.abs(piece.hung.drift_mm).argmax())
    for band in dict.fromkeys((lowest, *below, drifts, top)):
        rod = draft.bands[band].rod
        if rod is None:
            continue
        key = {0: "band.first.rod", last: "band.last.rod"}.get(band, f"span.{band}.band.rod")
        which = {lowest: "lowest rod", top: "top rod"}.get(band, f"rod of band {band + 1}")
        for label in _other_rods(draft, band):
            yield Candidate(
                "rod",
                f"{which} {label} instead of {rod.label}",
                partial(edit.set_key, draft.text, key, label),
            )
    for label in rods_in_stock(draft):
        if any(band.rod and band.rod.label != label for band in draft.bands):
            yield Candidate(
                "rod",
                f"{label} for every rod that has none of its own",
                partial(edit.set_key, draft.text, "band.rod", label),
            )


def _other_rods(draft: Draft, band: int) -> list[str]:
    """Those in stock, then thicker ones of the same material."""
    rod = draft.bands[band].rod
    if rod is None:
        return []
    stock = [label for label in rods_in_stock(draft) if label != rod.label]
    thicker = [f"{rod.material} {rod.diameter_mm + more:g}" for more in THICKER_MM]
    return list(dict.fromkeys([*stock, *thicker]))


def _points(piece: Piece) -> Iterator[Candidate]:
    """A wall point for each cord; two cords where the top rod bends least, three, a rail."""
    draft, paths, text = piece.draft, piece.paths, piece.draft.text
    if draft.hang.rail or not piece.hung.converged:
        return
    if draft.hang.points and len(draft.hang.points) < len(cords_of(draft, paths).at_mm):
        yield Candidate(
            "hanging points",
            "a point on the wall straight above each cord",
            partial(edit.unset_key, text, "hang.points"),
        )
    if top_sag_mm(piece) <= SAGS_MM:
        return
    wall = draft.on_wall()
    length = rod_length_mm(draft, paths)
    at = on_top_rod_mm(draft, paths)
    rod = rodded(draft.bands[wall.top], length)
    left, right, _ = best_two_points(rod, at, piece.hung.tension_n[wall.top])
    now = cords_of(draft, paths).at_mm
    if max(abs(now[0] - left), abs(now[-1] - right)) > 10:
        yield Candidate(
            "hanging points",
            f"tie the cords {left:.0f} and {right:.0f} mm from the left end",
            partial(edit.set_key, text, "hang.cords", [round(left), round(right)]),
        )
    if len(now) < 3:
        three = [round(share * length) for share in THREE]
        yield Candidate(
            "hanging points",
            f"tie three cords, {three[0]}, {three[1]} and {three[2]} mm from the left end; "
            "their lengths decide to tenths of a millimetre what each carries",
            partial(edit.set_key, text, "hang.cords", three),
        )
    yield Candidate(
        "hanging points",
        "hold the top rod by a rail along all of it",
        partial(edit.set_key, text, "hang.rail", value=True),
    )
