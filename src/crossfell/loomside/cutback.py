"""How does she get back to a span, or a band, that was woven wrongly some bands ago?

From the last band down: what was woven is cut out, and each span made since is undone, in reverse.
Then what was wrong is put right, and the plan's own steps make again what was cut out.
Checked: a model of the loom goes through all of it, and must then stand as the plan says.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

from crossfell.draft.model import Draft
from crossfell.loomside.leading import LedPlan
from crossfell.loomside.rehearsing import loom_at, need_as_planned, need_braid, walked
from crossfell.loomside.sights import Sight
from crossfell.loomside.wrongs import WayBack, Wrong, as_it_lies, book_at, put_right, with_span
from crossfell.order.batten import Batten, batten_at
from crossfell.plan.book import Book
from crossfell.plan.loom_states import RehearsedLoom
from crossfell.plan.model import Action, Step
from crossfell.plan.moving import write_span
from crossfell.plan.undoing import reversed_moves, write_cut_out

_WOVEN = frozenset({"pick", "rod", "adhesive"})


@dataclass(frozen=True, kw_only=True)
class _Since:
    """What was done since a span, up to where she can stop and cut out."""

    at: int  # index of the step that she stops before
    last: int  # the last span for which the warp was drawn
    bands: frozenset[int]  # begun, by number
    moved: frozenset[int]  # spans whose strips were moved, by number
    again: tuple[Step, ...]  # to be made again


def cut_back(plan: LedPlan, span: int, at: int, wrong: Wrong | None) -> WayBack:
    """Cut out down to the band after a span, put that span right, and weave again.

    `span` 0 is what lies before the first band. Without `wrong` only the band was wrong. Errors:
    Refused.
    """
    since = _since(plan, span, at)
    draft = as_it_lies(plan, wrong) if wrong else _up_to(plan.piece.draft, span)
    for number in range(span + 1, since.last + 1):
        draft = _as_planned(draft, plan, number, since)
    here = len(draft.spans)
    for number in range(since.last, span, -1):
        moves = reversed_moves(draft.spans[number - 1].moves)
        draft = with_span(draft, plan.piece.draft, number, moves)
    whole = put_right(plan, draft, wrong) if wrong else draft
    book = book_at(plan, whole, plan.steps[since.at - 1].side)
    order = book.order
    lie = (order.place[here].tolist(), order.face[here].tolist(), order.offset_mm[here].tolist())
    loom = RehearsedLoom.after_band(whole, *lie)
    walk = _Walk(loom=loom, batten=batten_at(order, here, whole.place_count), book=book)
    for k, number in enumerate(range(since.last, span, -1), here):
        walk.write(number, partial(_undo, plan=plan, number=number, k=k, since=since))
    _last_band(walk, plan, span, since, wrong)
    steps = (*walk.steps, *since.again)
    sights = (*walk.sights[:-1], *walked(loom, walk.batten, since.again))
    need_as_planned(plan, since.at, loom, steps[-1], ())
    bands = tuple(sorted((b for b in since.bands if b > span), reverse=True))
    return WayBack(at=since.at, steps=steps, sights=sights, bands=bands)


@dataclass
class _Walk:
    """A book whose steps are made on a loom as they are written."""

    loom: RehearsedLoom
    batten: Batten
    book: Book
    steps: tuple[Step, ...] = ()
    sights: tuple[Sight, ...] = ()

    def write(self, span: int, chapter: Callable[[Book], None]) -> None:
        """Write a chapter, and make its steps; they are told as of a span."""
        self.book.steps.clear()
        chapter(self.book)
        steps = tuple(
            step._replace(span=span if step.span is not None else None)
            for step in self.book.steps
            if step.kind is not Action.DRAW
        )
        self.sights = (*self.sights[:-1], *walked(self.loom, self.batten, steps))
        self.steps += steps


def _since(plan: LedPlan, span: int, at: int) -> _Since:
    """She goes on until the batten is off its chains: only then is anything cut out."""
    loom = loom_at(plan, at)
    while loom.batten == "level":
        loom.do(plan.steps[at])
        at += 1
    begin = _after_span(plan, span)
    done = [s for i, s in enumerate(plan.steps[:at]) if i not in plan.aside]
    return _Since(
        at=at,
        last=max((s.span for s in done if s.kind == "draw" and s.span), default=0),
        bands=frozenset(s.band for s in done if s.band and s.kind in _WOVEN),
        moved=frozenset(s.span for s in done if s.kind == "open" and s.span),
        again=tuple(s for i, s in enumerate(plan.steps[begin:at], begin) if i not in plan.aside),
    )


def _after_span(plan: LedPlan, span: int) -> int:
    """Index of the first step after those of a span; of span 0, of the first of band 1."""
    if not span:
        return next(i for i, s in enumerate(plan.steps) if s.band == 1)
    of_it = (i for i, s in enumerate(plan.steps) if s.span == span and i not in plan.aside)
    return max(of_it) + 1


def _up_to(draft: Draft, span: int) -> Draft:
    return replace(draft, spans=draft.spans[:span], bands=draft.bands[: span + 1])


def _as_planned(draft: Draft, plan: LedPlan, number: int, since: _Since) -> Draft:
    moves = plan.piece.draft.spans[number - 1].moves if number in since.moved else ()
    return with_span(draft, plan.piece.draft, number, moves)


def _undo(book: Book, *, plan: LedPlan, number: int, k: int, since: _Since) -> None:
    """Cut out the band after a span, and undo it (`k`: its index in the book, reversed)."""
    draft = plan.piece.draft
    is_clamped = number in since.moved
    if number + 1 in since.bands:
        write_cut_out(book, draft, number, clamped=is_clamped)
    else:
        height = draft.spans[number - 1].height_mm
        case = "clamped-warp" if is_clamped else "warp"
        _cut_lightly(book, number, Action.DRAW, case=case, length_mm=height)
    if is_clamped:
        write_span(book, k)


def _last_band(walk: _Walk, plan: LedPlan, span: int, since: _Since, wrong: Wrong | None) -> None:
    """The band after the span that was wrong: out, and the span put right."""
    draft, clamped = plan.piece.draft, loom_at(plan, _after_span(plan, span)).clamped

    def out(book: Book) -> None:
        if span + 1 in since.bands:
            write_cut_out(book, draft, span, clamped=clamped, let_back=False)
        elif wrong:
            _cut_lightly(book, span, Action.UNCLAMP, case="clamp")
        if wrong:
            write_span(book, len(book.draft.spans) - 1)
        if clamped and not any(step.kind is Action.CLAMP for step in book.steps):
            book.write("front", Action.CLAMP, span=span, case="again")

    walk.write(span, out)
    if wrong:
        need_braid(walk.loom, wrong.word, wrong.turns, walk.steps[-1])


def _cut_lightly(book: Book, span: int, like: Action, **more: Any) -> None:
    """What is taken back before a band is begun; it takes as long as another kind of step."""
    book.write("front", Action.CUT_OUT, span=span, **more)
    book.steps[-1] = book.steps[-1]._replace(minutes=book.minutes[like])
