"""What helps a piece that swings, drifts or hangs slack, and what does that cost?

Every remedy is an edit of the draft's text that keeps its remarks; it is judged by computing the
whole piece again. Crossings are tried one and two at a time; what cannot be helped by anything
else is said. Source: docs/mechanics.md, the free body of a span: neither weight, tension, height
nor rods change the directions in which its units pull.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from itertools import pairwise

from crossfell.base.notes import Severity
from crossfell.draft import edit
from crossfell.draft.model import Draft
from crossfell.draft.reader import read_draft
from crossfell.piece import Piece
from crossfell.search.standing import Standing, standing_of
from crossfell.statics.beam import best_two_points, rodded
from crossfell.statics.bending import bent_piece
from crossfell.statics.cords import cords_of, rod_length_mm

MOST_SPANS = 6  # swinging spans that are looked at, the worst first
SECOND_TRIES = 4  # first moves that a second one is tried with
KEPT = 2  # remedies that are shown of each kind, for each span
_LAID = re.compile(r"(?P<name>[\w-]+) at (?P<at>\d+)(?P<how>.*)")


@dataclass(frozen=True, kw_only=True)
class Remedy:
    """One proposal, and how the piece stands with it."""

    kind: str  # "lean back", "mirrored figure", "mirrored span", "tension", "height", …
    says: str
    text: str  # of the draft with it
    before: Standing
    after: Standing

    @property
    def more_lifted(self) -> int:
        """Strips more to lift over the whole piece."""
        return self.after.lifted - self.before.lifted

    @property
    def more_yarn_g(self) -> float:
        """Yarn more to wind."""
        return self.after.yarn_g - self.before.yarn_g


Candidate = tuple[str, str, Callable[[], str]]  # kind, says, the text with it


def remedies_of(piece: Piece, done: Callable[[str], None] = lambda _: None) -> tuple[Remedy, ...]:
    """Proposals, the best first, each of which helps. `done` is told what is being tried."""
    before = standing_of(piece)
    found: list[Remedy] = []
    worst = sorted(piece.holds, key=lambda hold: -abs(hold.drift_mm))
    for hold in [h for h in worst if not h.holds][:MOST_SPANS]:
        done(f"crossings of span {hold.number}")
        found += _crossings(piece, before, hold.number)
    if not before.swings:  # nothing else holds what swings
        done("tension, heights, rods, hanging points")
        found += _tried(piece.draft, before, _others(piece))
    kinds: dict[tuple[str, str], int] = {}
    kept = []
    for remedy in sorted(found, key=lambda r: r.after.rank):
        kind = (remedy.kind, remedy.says.partition(":")[0] if ":" in remedy.says else "")
        kinds[kind] = kinds.get(kind, 0) + 1
        if kinds[kind] <= KEPT:
            kept.append(remedy)
    return tuple(kept)


def with_text(draft: Draft, text: str) -> Piece | None:
    """The piece of another text with the same workshop; None where it has errors."""
    new = read_draft(text, file=draft.file, workshop=draft.workshop_text or None,
                     workshop_file=draft.workshop_file)  # fmt: skip
    piece = Piece(new)
    if not piece.computable or any(n.severity is Severity.ERROR for n in piece.notes):
        return None
    return piece


def _tried(draft: Draft, before: Standing, candidates: Iterator[Candidate]) -> list[Remedy]:
    return [r for r in _judged(draft, before, candidates) if r.after.better_than(before)]


def _judged(draft: Draft, before: Standing, candidates: Iterator[Candidate]) -> Iterator[Remedy]:
    for kind, says, make in candidates:
        try:
            text = make()
        except edit.NotEditable:
            continue
        piece = with_text(draft, text)
        if piece is not None:
            yield Remedy(kind=kind, says=says, text=text, before=before, after=standing_of(piece))


def _crossings(piece: Piece, before: Standing, span: int) -> list[Remedy]:
    """Moves that make units of a span lean back; then two of them together."""
    draft, text = piece.draft, piece.draft.text
    moves = list(_leaning_back(piece, span))

    def added(to: str) -> Iterator[Candidate]:
        for move in moves:
            yield ("lean back", f"span {span}: {move}",
                   partial(edit.add_move, to, span, move))  # fmt: skip

    first = sorted(_judged(draft, before, added(text)), key=lambda r: r.after.rank)
    found = [r for r in first if r.after.better_than(before)]
    if not any(span not in r.after.swings for r in found):
        for one in first[:SECOND_TRIES]:
            found += [
                Remedy(kind=two.kind, says=f"{one.says}, {two.says.partition(': ')[2]}",
                       text=two.text, before=before, after=two.after)
                for two in _tried(draft, before, added(one.text))
            ]  # fmt: skip
    return found + _tried(draft, before, _mirrored(piece, span))


def _leaning_back(piece: Piece, span: int) -> Iterator[str]:
    """Single units brought back past one or two neighbours, or into an empty place beside them."""
    place = piece.order.place[span]
    there = set(place.tolist())
    # a piece woven from its top hangs turned half round, in which a lean stays what it is
    leans_right = piece.holds[span - 1].drift_mm > 0
    for at in sorted(there):
        for count in (1, 2, 3):
            step = -1 if leans_right else 1
            passed = [at + step * (i + 1) for i in range(count)]
            if all(p in there for p in passed):
                low, high = min(passed), max(passed)
                block = str(low) if low == high else f"{low}-{high}"
                yield f"{block} over {at}" if leans_right else f"{at} over {block}"
            elif count == 1 and 1 <= passed[0] <= piece.draft.place_count:
                yield f"shift {at} {'left' if leans_right else 'right'} 1"


def _mirrored(piece: Piece, span: int) -> Iterator[Candidate]:
    text, places = piece.draft.text, piece.draft.place_count
    figures = tomllib.loads(text).get("figure", {})
    yield ("mirrored span", f"span {span} mirrored left to right",
           partial(edit.mirror, text, span, span))  # fmt: skip
    moves = edit.moves_of(text, span)
    for first, (one, two) in enumerate(pairwise(moves)):
        swapped = [*moves[:first], two, one, *moves[first + 2 :]]
        yield ("reordered pair", f"span {span}: `{two}` before `{one}`",
               partial(edit.set_moves, text, span, swapped))  # fmt: skip
    for number, move in enumerate(moves, 1):
        yield ("left out", f"span {span}: leave out `{move}`",
               partial(edit.remove_move, text, span, number))  # fmt: skip
        laid = _LAID.fullmatch(move)
        if laid and laid["name"] in figures:
            width, at = int(figures[laid["name"]]["places"]), int(laid["at"])
            other = places + 2 - at - width
            how = laid["how"].replace("mirrored", "") if "mirrored" in laid["how"] else (
                f" mirrored{laid['how']}")  # fmt: skip
            new = " ".join(f"{laid['name']} at {other}{how}".split())
            if abs(other - at) >= width:
                yield ("mirrored figure", f"span {span}: {new}",
                       partial(edit.add_move, text, span, new))  # fmt: skip


def _others(piece: Piece) -> Iterator[Candidate]:
    """Everything but the crossings."""
    draft, text, hung = piece.draft, piece.draft.text, piece.hung
    if draft.warp:
        for share in (2, 4):
            tension = draft.warp.tension_n / share
            yield ("tension", f"weave at {tension:.2g} N on each end instead of "
                   f"{draft.warp.tension_n:g}",
                   partial(edit.set_key, text, "warp.tension", round(tension, 3)))  # fmt: skip
    open_mm = sum(span.height_mm for span in draft.spans)
    if abs(hung.shrinkage_mm) > 1:
        by = 1 + hung.shrinkage_mm / open_mm
        yield "height", f"weave every span {by - 1:.2%} higher", partial(_higher, draft, by)
    yield from _rods(draft, text)
    yield from _points(piece)


def _higher(draft: Draft, by: float) -> str:
    text = draft.text
    for span in draft.spans:
        text = edit.set_height(text, span.number, f"{span.height_mm * by:.1f} mm")
    return text


def _rods(draft: Draft, text: str) -> Iterator[Candidate]:
    lowest = "last" if draft.about.woven_from == "top" else "first"
    rod = draft.bands[-1 if lowest == "last" else 0].rod
    if rod:
        for more in (2, 4, 8):
            label = f"{rod.material} {rod.diameter_mm + more:g}"
            yield ("rod", f"lowest rod {label} instead of {rod.label}",
                   partial(edit.set_key, text, f"band.{lowest}.rod", label))  # fmt: skip


def _points(piece: Piece) -> Iterator[Candidate]:
    """Two cords where the top rod bends least under what hangs on it."""
    draft, paths = piece.draft, piece.paths
    if draft.hang.rail or not piece.hung.converged:
        return
    top = 0 if draft.about.woven_from == "top" else -1
    length = rod_length_mm(draft, paths)
    bends = bent_piece(draft, paths, piece.hung)
    x = paths.x_mm[top] if top else paths.width_total_mm - paths.x_mm[top]
    at = (x + draft.stock.overhang_mm).clip(0.0, length)
    left, right, _ = best_two_points(
        rodded(draft.bands[top], length), at, piece.hung.tension_n[top]
    )
    now = cords_of(draft, paths).at_mm
    if bends.sag_mm[top] > 1.0 and max(abs(now[0] - left), abs(now[-1] - right)) > 10:
        places = [round(left), round(right)]
        yield ("hanging points", f"tie the cords {left:.0f} and {right:.0f} mm from the left end",
               partial(edit.set_key, draft.text, "hang.cords", places))  # fmt: skip
