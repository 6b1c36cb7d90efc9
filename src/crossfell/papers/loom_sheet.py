"""What does she set at the loom: weights, shed, springs, and when are weights let off?"""

from __future__ import annotations

from collections import Counter

from crossfell.base.quantities import written, written_long
from crossfell.loom.tension import measured_by_howell
from crossfell.order.model import Floats
from crossfell.papers.model import Block, Caution, Heading, Pairs, Paragraph, Sheet, Table
from crossfell.piece import Piece
from crossfell.plan.cautions import CAUTIONS

SHARED = (
    "All ends of a unit share one bobbin. If they cannot slip past each other on it, slot ends go "
    "slack when the holes move farther than the limit: hole ends then carry the whole weight. "
    "This is reckoned, not measured: try it."
)


def loom_sheet(piece: Piece) -> Sheet:
    """Weights, shed and springs, how far holes may rise, let-off."""
    blocks: list[Block] = [
        Heading(text="Weights"), _weights(piece), Caution(text=CAUTIONS["weights"]),
        Heading(text="Shed and springs"), _shed(piece), Caution(text=CAUTIONS["springs"]),
    ]  # fmt: skip
    if piece.loom.shared:
        blocks += [Paragraph(text=SHARED), _shared(piece)]
    blocks += [Heading(text="Let-off"), *_letoff(piece)]
    return Sheet(
        name="loom", title="Setting the loom", blocks=tuple(blocks), view="forces from assumptions"
    )


def _weights(piece: Piece) -> Pairs:
    loom, draft = piece.loom, piece.draft
    lightest_first = sorted(range(len(draft.units)), key=loom.handed.mass_g.__getitem__)
    counts = Counter(loom.handed.said(u) for u in lightest_first)
    hung = ", ".join(f"{count} of {said}" for said, count in counts.items())
    share = loom.handed.share
    tension = draft.warp.tension_n if draft.warp else 0.0
    friction = "Howell's law" if measured_by_howell(draft.loom) else f"{draft.loom.friction:g}"
    return Pairs(
        rows=(
            ("To hang" if loom.handed.parts else "To hang, one to a unit", hung),
            (
                "With their bobbins",
                f"{_shares(share)} of {tension:g} N an end",
            ),
            ("The fell feels", f"{loom.least_n.min():.1f} to {loom.most_n.max():.1f} N a unit"),
            ("Friction on the back beam", f"{friction}, {loom.friction_how}"),
        )
    )


def _shares(share: Floats) -> str:
    low, high = (f"{value:.0%}" for value in (share.min(), share.max()))
    return low if low == high else f"{low} to {high}"


def _shed(piece: Piece) -> Pairs:
    shed, most, measure = piece.loom.shed, piece.loom.shed_most, piece.draft.measure
    opening = f"{written(shed.open_up_mm, measure)} up, {written(shed.open_down_mm, measure)} down"
    return Pairs(
        rows=(
            ("Opening at the shuttle", opening),
            ("Batten and strips", f"{shed.batten_n:.0f} N"),
            ("Springs, batten up", _range(shed.springs_up_n, most.springs_up_n)),
            ("Springs, batten level", _range(shed.springs_level_n, most.springs_level_n)),
            ("Springs, batten down", _range(shed.springs_down_n, most.springs_down_n)),
            ("Chains at level, together", _range(shed.chains_n, most.chains_n)),
            ("Hand into the down shed", _range(shed.hand_n, most.hand_n)),
        )
    )


def _range(even: float, most: float) -> str:
    """A force with ends sharing the weight evenly, and with slot ends slack."""
    return f"{even:.0f} N" if round(even) == round(most) else f"{even:.0f} to {most:.0f} N"


def _shared(piece: Piece) -> Table:
    measure = piece.draft.measure
    rows = [
        (
            kind,
            written(shared.limit_mm, measure),
            f"{written(shared.low_mm, measure)} to {written(shared.high_mm, measure)}",
            written(shared.rise_mm, measure),
            f"{shared.hole_end_n:.2f} N",
            f"{shared.tension_n:.2g} N an end",
            written_long(shared.free_mm, measure),
        )
        for kind, shared in piece.loom.shared.items()
    ]
    columns = ("unit", "limit", "range", "holes move", "hole end then", "would do: tension",
               "or fell to weight")  # fmt: skip
    return Table(name="shared", columns=columns, align="lrrrrrr", rows=tuple(rows))


def _letoff(piece: Piece) -> list[Block]:
    travel, names = piece.loom.letoff, piece.order.names
    drop = written(piece.draft.loom.drop_mm, piece.draft.measure)
    if not travel.trips:
        return [Paragraph(text=f"No weight runs out of its {drop}: nothing is let off.")]
    rows = [
        (
            str(trip.span),
            "all" if len(trip.units) == len(names) else ", ".join(names[u] for u in trip.units),
            "one more" if trip.extra else "none: you are there anyway",
        )
        for trip in travel.trips
    ]
    says = (
        f"A weight travels {drop}. In these spans, once their height is drawn forward, let the "
        "bobbins off and hang their weights low again."
    )
    table = Table(name="let-off", columns=("span", "bobbins", "walk"), align="rll",
                  rows=tuple(rows), tick=True, widths=(0.6, 5, 2))  # fmt: skip
    return [Paragraph(text=says), table]
