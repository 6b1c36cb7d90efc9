"""Which two units cross, how often, how far round each other?"""

from __future__ import annotations

from crossfell.facts.declare import Answer, Inputs, Put, fact, level, other
from crossfell.order.pairs import Pair
from crossfell.piece import Piece

level(
    "pairs",
    whom="maker",
    says="pairs that cross",
    size=lambda p: len(p.pairs),
    label=lambda p, i: "-".join(_pair_names(p, i)),
)


def _pair(piece: Piece, i: int) -> Pair:
    return piece.pairs[i]


def _pair_names(piece: Piece, i: int) -> list[str]:
    return [piece.order.names[u] for u in piece.pairs[i].units]


def _signs(piece: Piece, i: int) -> Inputs:
    """Every crossing of a pair: +1 where the left unit passes over, on the line of its move."""
    one, two = piece.pairs[i].units
    signs, labels, lines = [], [], []
    for k, span in enumerate(piece.order.spans):
        here = ((span.over == one) & (span.under == two)) | (
            (span.over == two) & (span.under == one)
        )
        for at in here.nonzero()[0].tolist():
            over, under = (piece.order.names[u[at]] for u in (span.over, span.under))
            signs.append(1 if span.word[at] > 0 else -1)
            labels.append(f"span {k + 1}, {over} over {under}")
            lines.append(piece.draft.spans[k].moves[int(span.move[at])].where)
    return {"signs": Put(signs, lines=tuple(lines), labels=tuple(labels))}


@fact("pairs.*.units", form="[string]")
def units(piece: Piece, i: int) -> Answer:
    """The two units."""
    return Answer(_pair_names(piece, i))


@fact("pairs.*.crossings", form="integer>=1", formula="count(signs)")
def crossings(piece: Piece, i: int) -> Answer:
    """How often the two units change sides over the whole piece."""
    return Answer(_pair(piece, i).crossings, lambda: _signs(piece, i))


@fact("pairs.*.signed", form="integer", formula="sum(signs)")
def signed(piece: Piece, i: int) -> Answer:
    """Crossings of the pair with their signs: left over right +1, left under right −1."""
    return Answer(_pair(piece, i).signed, lambda: _signs(piece, i))


@fact("pairs.*.wraps", form="integer>=0", formula="floor(abs(signed) / 2)",
      source="linking number of a pair")  # fmt: skip
def wraps(piece: Piece, i: int) -> Answer:
    """Full twists of the pair round each other."""
    return Answer(_pair(piece, i).wraps, lambda: other(piece, "pairs.*.signed", i))


@fact("pairs.*.linking", form="number", formula="signed / 2",
      source="Gauss; checked against a knot library")  # fmt: skip
def linking(piece: Piece, i: int) -> Answer:
    """Linking number of the pair over the piece; a half when it ends in the other order."""
    return Answer(_pair(piece, i).linking, lambda: other(piece, "pairs.*.signed", i))


@fact(
    "pairs.*.undone",
    form="[[integer]]",
    holds="without both crossings the braid is the same",
    source="derived; exact",
)
def undone(piece: Piece, i: int) -> Answer:
    """Spans of two crossings of the pair that could both be left out and nothing would change."""
    found = _pair(piece, i).undone
    return Answer([[a.span, b.span] for a, b in found], lambda: _signs(piece, i))
