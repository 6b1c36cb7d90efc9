"""What helps a piece that swings, drifts or hangs slack, and what does that cost?

Every remedy is an edit of the draft's text that keeps its remarks; it is judged by computing the
whole piece again, at most a stated number of them. Crossings are tried one and two at a time; what
cannot be helped by anything else (fittings.py) is said. Source: docs/mechanics.md, the free body of
a span: neither weight, tension, height nor rods change the directions in which its units pull.
"""

from __future__ import annotations

import hashlib
import tomllib
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import partial
from itertools import pairwise

from crossfell.base.notes import Severity
from crossfell.draft import edit
from crossfell.draft.model import Draft
from crossfell.draft.moves import Unread, parsed
from crossfell.draft.reader import read_draft
from crossfell.piece import Piece
from crossfell.search.fittings import Candidate, fittings
from crossfell.search.standing import Standing, standing_of

MOST_SPANS = 6  # swinging spans that are looked at, the worst first
SECOND_TRIES = 4  # first moves that a second one is tried with
MOST_TRIED = 120  # drafts that are computed: the same proposals, however fast the machine is
NAME_LETTERS = 8
KEPT = 2  # remedies that are shown of each kind, for each span


@dataclass(frozen=True, kw_only=True)
class Remedy:
    """One proposal, and how the piece stands with it."""

    kind: str  # "lean back", "mirrored figure", "mirrored span", "tension", "height", …
    does: str
    text: str  # of the draft with it
    span: int  # number of the span whose moves it changes; 0: none
    reorders: int = 0  # bands at which units then lie in another order
    before: Standing
    after: Standing

    @property
    def says(self) -> str:
        """It in one sentence."""
        return f"span {self.span}: {self.does}" if self.span else self.does

    @property
    def name(self) -> str:
        """Name of the proposal: it is gone with the draft that it was made for."""
        return hashlib.sha256(self.text.encode()).hexdigest()[:NAME_LETTERS]

    @property
    def more_lifted(self) -> int:
        """Strips more to lift over the whole piece."""
        return self.after.lifted - self.before.lifted

    @property
    def more_yarn_g(self) -> float:
        """Yarn more to wind."""
        return self.after.yarn_g - self.before.yarn_g


@dataclass(frozen=True, kw_only=True)
class Mended:
    """Proposals, the best first, each of which helps; and what was looked at."""

    remedies: tuple[Remedy, ...]
    tried: Mapping[str, int]  # how many drafts of each kind were computed
    left: Mapping[str, int]  # how many were not, beyond the count


def remedies_of(piece: Piece, done: Callable[[str], None] = lambda _: None) -> tuple[Remedy, ...]:
    """Proposals, the best first, each of which helps. `done` is told what is being tried."""
    return mended(piece, done).remedies


def mended(
    piece: Piece, done: Callable[[str], None] = lambda _: None, *, most: int = MOST_TRIED
) -> Mended:
    """Try remedies, at most so many drafts: the same for the same draft on every machine."""
    search = _Search(piece=piece, before=standing_of(piece), most=most)
    found: list[Remedy] = []
    worst = sorted(piece.holds, key=lambda hold: -abs(hold.drift_mm))
    for hold in [h for h in worst if not h.holds][:MOST_SPANS]:
        done(f"crossings of span {hold.number}")
        found += _crossings(search, hold.number)
    if not search.before.swings:  # nothing else holds what swings
        done("tension, heights, rods, hanging points")
        found += search.helping(fittings(piece))
    kinds: Counter[tuple[str, int]] = Counter()
    kept = []
    for remedy in sorted(found, key=lambda r: r.after.rank):
        kind = (remedy.kind, remedy.span)
        kinds[kind] += 1
        if kinds[kind] <= KEPT:
            kept.append(remedy)
    return Mended(remedies=tuple(kept), tried=search.tried, left=search.left)


def with_text(draft: Draft, text: str) -> Piece | None:
    """The piece of another text with the same workshop; None where it has errors."""
    new = read_draft(text, file=draft.file, workshop=draft.workshop_text or None,
                     workshop_file=draft.workshop_file)  # fmt: skip
    piece = Piece(new)
    if not piece.computable or any(n.severity is Severity.ERROR for n in piece.notes):
        return None
    return piece


@dataclass(kw_only=True)
class _Search:
    """Computes at most so many drafts, and counts them."""

    piece: Piece
    before: Standing
    most: int
    tried: Counter[str] = field(default_factory=Counter)
    left: Counter[str] = field(default_factory=Counter)

    def helping(self, candidates: Iterable[Candidate]) -> list[Remedy]:
        """Those of the candidates that help."""
        return [r for r in self.judged(candidates) if r.after.better_than(self.before)]

    def judged(self, candidates: Iterable[Candidate]) -> Iterator[Remedy]:
        """All candidates that can be computed, with how the piece then stands."""
        for kind, does, make, span in candidates:
            if self.tried.total() >= self.most:
                self.left[kind] += 1
                continue
            try:
                text = make()
            except edit.NotEditable:
                continue
            self.tried[kind] += 1
            piece = with_text(self.piece.draft, text)
            if piece is not None:
                after = standing_of(piece)
                moved = piece.order.place != self.piece.order.place
                yield Remedy(kind=kind, does=does, text=text, span=span, before=self.before,
                             after=after, reorders=int(moved.any(axis=1).sum()))  # fmt: skip


def _crossings(search: _Search, span: int) -> list[Remedy]:
    """Moves that make units of a span lean back; then two of them together."""
    piece, text = search.piece, search.piece.draft.text
    moves = list(_leaning_back(piece, span))

    def added(to: str) -> Iterator[Candidate]:
        for move in moves:
            yield Candidate("lean back", move, partial(edit.add_move, to, span, move), span)

    first = sorted(search.judged(added(text)), key=lambda r: r.after.rank)
    found = [r for r in first if r.after.better_than(search.before)]
    if not any(span not in r.after.swings for r in found):
        for one in first[:SECOND_TRIES]:
            found += [
                replace(two, does=f"{one.does}, {two.does}")
                for two in search.helping(added(one.text))
            ]
    return found + search.helping(_mirrored(piece, span))


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
                yield f"shift {at} {'left' if leans_right else 'right'} 1 place"


def _mirrored(piece: Piece, span: int) -> Iterator[Candidate]:
    text, places = piece.draft.text, piece.draft.place_count
    figures = tomllib.loads(text).get("figure", {})
    widths = {name: int(figure["places"]) for name, figure in figures.items()}
    yield Candidate("mirrored span", f"span {span} mirrored left to right",
                    partial(edit.mirror, text, span, span))  # fmt: skip
    moves = edit.moves_of(text, span)
    for first, (one, two) in enumerate(pairwise(moves)):
        swapped = [*moves[:first], two, one, *moves[first + 2 :]]
        yield Candidate("reordered pair", f"`{two}` before `{one}`",
                        partial(edit.set_moves, text, span, swapped), span)  # fmt: skip
    for number, move in enumerate(moves, 1):
        yield Candidate("left out", f"leave out `{move}`",
                        partial(edit.remove_move, text, span, number), span)  # fmt: skip
        new = _across(move, places, widths)
        if new:
            yield Candidate("mirrored figure", new,
                            partial(edit.add_move, text, span, new), span)  # fmt: skip


def _across(move: str, places: int, widths: dict[str, int]) -> str:
    """The same figure laid mirrored on the other side, where it has room beside itself."""
    said = parsed(move)
    if isinstance(said, Unread) or not said or said[0].figure not in widths:
        return ""
    other = said[0].mirrored(1 + places, widths)[0]
    first, last = said[0].reach(widths)
    left, right = other.reach(widths)
    return other.text() if right < first or left > last else ""
