"""How many steps, strips, hands, walks and minutes does the work take?"""

from __future__ import annotations

from collections import Counter
from itertools import pairwise

from crossfell.facts.declare import Answer, Inputs, Put, each, fact, level, of, other
from crossfell.piece import Piece
from crossfell.plan.model import Handling
from crossfell.plan.motions import moved_together
from crossfell.plan.own_minutes import usual_minutes

level("plan", whom="loom", says="the work, step by step, in sum")
level(
    "plan.handling",
    whom="loom",
    says="what each span in which something moves takes in the hand",
    size=lambda p: len(p.plan.handling),
    label=lambda p, h: str(p.plan.handling[h].span),
)


def _kinds(piece: Piece) -> Inputs:
    """Steps by what is done."""
    counts = Counter(step.kind for step in piece.plan.steps)
    return {"steps": Put(list(counts.values()), labels=tuple(counts))}


@fact("plan.steps", form="integer>=0", formula="sum(steps)", source="derived")
def steps(piece: Piece) -> Answer:
    """Steps of the work, at the bench, in front of the loom and behind it."""
    return Answer(len(piece.plan.steps), lambda: _kinds(piece))


@fact(
    "plan.handled",
    form="integer>=0",
    formula="sum(lifted)",
    source="derived",
    says="You lift {value} strips over the whole piece, counted again in each pass; the most are "
    "in {lifted.most}.",
)
def handled(piece: Piece) -> Answer:
    """Strips lifted out and laid back over the whole piece."""
    return Answer(
        piece.plan.handled,
        lambda: each(piece, "plan.handling.*.lifted") | of(piece.draft.loom, "hand"),
    )


@fact("plan.hands", form="integer>=0", formula="sum(hands)", source="derived",
      says="You lay {value} hands of strips: neighbours that move as one go in one hand. The most "
      "are in {hands.most}.")  # fmt: skip
def hands(piece: Piece) -> Answer:
    """Lays over the whole piece: neighbours that move as one are laid by one hand."""
    return Answer(
        piece.plan.hands,
        lambda: each(piece, "plan.handling.*.hands") | of(piece.draft.loom, "hand"),
    )


@fact("plan.windows", form="integer>=0", formula="sum(windows)", source="derived")
def windows(piece: Piece) -> Answer:
    """Hands of neighbouring weights taken off, or hung again, over the whole piece."""
    return Answer(
        piece.plan.windows,
        lambda: each(piece, "plan.handling.*.windows") | of(piece.draft.loom, "hand"),
    )


@fact(
    "plan.minutes",
    "min",
    formula="sum(times * minutes)",
    source="common practice, no source; [minutes] sets her own",
    says="The work takes {value}, drying left out; the most time of one kind of step is in "
    "{together.most}.",
)
def minutes(piece: Piece) -> Answer:
    """Time of all steps, without drying: how often each thing is done, times its minutes."""
    return Answer(piece.plan.minutes, lambda: _together(piece))


def _together(piece: Piece) -> Inputs:
    """Each kind of step, and what is in them: walks, strips that make room, legs of carries."""
    each_min = {**usual_minutes(), **piece.draft.minutes}
    times: Counter[str] = Counter()
    for step in piece.plan.steps:
        times[step.kind] += step.count
        along = [(one.unit, one.start, one.end) for one in step.along]
        times["clear-shift" if step.side == "back" else "shift"] += len(moved_together(along))
        times["leg"] += max(0, len(step.legs) - 1)
    times["walk"] = piece.plan.walks
    done = {kind: count for kind, count in times.items() if count}
    labels = tuple(map(str, done))
    return {
        "times": Put(list(done.values()), labels=labels),
        "minutes": Put([each_min[kind] for kind in done], "min", labels=labels),
        "together": Put([n * each_min[kind] for kind, n in done.items()], "min", labels=labels),
    }


@fact("plan.walks", form="integer>=0", formula="sum(walks)", source="derived")
def walks(piece: Piece) -> Answer:
    """Walks from the front to the back of the loom, or back."""
    sides = [step.side for step in piece.plan.steps if step.side != "bench"]
    turns = [f"{a} to {b}" for a, b in pairwise(sides) if a != b]
    counts = Counter(turns)
    return Answer(
        piece.plan.walks, lambda: {"walks": Put(list(counts.values()), labels=tuple(counts))}
    )


@fact(
    "plan.walks_least",
    form="integer>=0",
    holds="no more than the walks of the plan",
    source="derived: two goes to the back for a span that moves, one for letting off by itself",
    says="No plan of this piece does with fewer than {value} walks; this one takes {walks}.",
)
def walks_least(piece: Piece) -> Answer:
    """Walks that no plan does without."""
    return Answer(piece.plan.walks_needed, lambda: other(piece, "plan.walks"))


@fact(
    "plan.rehearsed",
    form="integer>=0?",
    holds="every crossing of the draft, in front and behind, is among them",
    source="docs/order-and-plan.md",
    says="Before it was shown, the plan was rehearsed on a model of the loom, step by step, and "
    "{value} crossings of it were compared with those of the draft.",
)
def rehearsed(piece: Piece) -> Answer:
    """Crossings of the rehearsal that were compared with those of the draft, front and back."""
    done = piece.plan.rehearsed
    letters = [len(span.word) for span in piece.order.spans]
    return Answer(
        done.letters if done else None,
        lambda: {"drafted": Put(letters, labels=_span_labels(piece))},
    )


def _span_labels(piece: Piece) -> tuple[str, ...]:
    return tuple(f"span {span.number}" for span in piece.order.spans)


def _span(piece: Piece, h: int) -> Handling:
    return piece.plan.handling[h]


def _handling(piece: Piece, h: int) -> Inputs:
    """What a span takes, and its floors."""
    span = _span(piece, h)
    moves = tuple(move.where for move in piece.draft.spans[span.span - 1].moves)
    floors = ("passes", "lifted", "windows", "minutes")
    rows = {f"{name}_least": Put(getattr(span, f"{name}_least")) for name in floors}
    passes = {"passes": Put(span.passes, lines=moves)}
    return passes | rows | of(piece.draft.loom, "hand loose lay_aside")


@fact("plan.handling.*.number", form="integer>=1")
def number(piece: Piece, h: int) -> Answer:
    """The span."""
    return Answer(_span(piece, h).span)


@fact("plan.handling.*.model", form="one of laid aside|carried",
      holds="as `lay_aside` in [loom] says", source="the workshop's setting")  # fmt: skip
def model(piece: Piece, h: int) -> Answer:
    """How crossings are made: strips can hang aside, or hands are carried one by one."""
    return Answer(_span(piece, h).model, lambda: of(piece.draft.loom, "lay_aside"))


@fact("plan.handling.*.lifted", form="integer>=0",
      holds="not below its floor; of each pass a set with none over another stays",
      source="Dilworth 1950; of several such sets the quickest that leaves few loose")  # fmt: skip
def lifted(piece: Piece, h: int) -> Answer:
    """Strips lifted in the span, counted in each pass; a roll lifts none out."""
    return Answer(_span(piece, h).lifted, lambda: _handling(piece, h))


@fact("plan.handling.*.hands", form="integer>=0",
      holds="neighbours over and under the same strips move as one, up to `hand`",
      source="derived; checked by trying all")  # fmt: skip
def hands_of_span(piece: Piece, h: int) -> Answer:
    """Hands that leave the row and come back in the span."""
    return Answer(_span(piece, h).hands, lambda: _handling(piece, h))


@fact("plan.handling.*.loose", form="integer>=0",
      holds="at most `loose` where she wrote it, or where it is not quicker otherwise",
      source="derived; every order of few hands is tried")  # fmt: skip
def loose_of_span(piece: Piece, h: int) -> Answer:
    """Most strips out of the row at once in the span; those of a roll count together."""
    return Answer(_span(piece, h).loose, lambda: _handling(piece, h))


@fact("plan.handling.*.windows", form="integer>=0",
      holds="fewest runs of at most `hand` places, off and on; not below its floor",
      source="derived; checked by trying all")  # fmt: skip
def windows_of_span(piece: Piece, h: int) -> Answer:
    """Hands of neighbouring weights taken off and hung again; what stays in place keeps its own."""
    return Answer(_span(piece, h).windows, lambda: _handling(piece, h))


@fact("plan.handling.*.proved", form="boolean",
      holds="as few strips as its floor, and no order of these hands leaves fewer loose",
      source="derived")  # fmt: skip
def proved(piece: Piece, h: int) -> Answer:
    """Whether no way lifts fewer strips, nor any order of these hands leaves fewer loose."""
    return Answer(_span(piece, h).proved, lambda: _handling(piece, h))


@fact("plan.handling.*.says", form="string", holds="the numbers of the span in words",
      source="derived")  # fmt: skip
def says(piece: Piece, h: int) -> Answer:
    """The handling of the span in one sentence, with its floors."""
    return Answer(_span(piece, h).says, lambda: _handling(piece, h))
