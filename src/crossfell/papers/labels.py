"""Which labels does she tie and stick on, so that everything has one name from all sides?

Each thing has two labels: a white one for its face or front, a black one for its back, so that
both faces of a strip are told apart in any light. The mark on each says the same to a camera.
Sheets of labels are sold for both papers: 3 × 8 of 70 × 37 mm on A4, 3 × 10 of 2 5/8 × 1 in on
Letter (common practice, no source); cut marks serve plain paper.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass
from itertools import groupby
from typing import Any

from crossfell.base.quantities import written, written_long
from crossfell.drawings.lettering import width_em
from crossfell.papers.letters import printable
from crossfell.papers.lists import csv_of
from crossfell.papers.typeset import PAPERS, compiled, version_of
from crossfell.piece import Piece

FRONT, BACK = "front", "back"  # of a unit: its face and its back
NAME_MM, TEXT_MM = 12.0, 2.75  # greatest size of a name, size of the lines under it
QUIET_MODULES = 4  # light margin of a mark; published: ISO/IEC 18004
ANY_MASK = 2  # of the eight; readers take each of them, and choosing the evenest takes most time


@dataclass(frozen=True, kw_only=True)
class Stock:
    """A sheet of labels (mm)."""

    columns: int
    rows: int
    width: float
    height: float
    left: float  # of the first label
    top: float
    step_x: float  # from label to label
    step_y: float


STOCKS = {
    "A4": Stock(columns=3, rows=8, width=70, height=37, left=0, top=0.5, step_x=70, step_y=37),
    "Letter": Stock(
        columns=3, rows=10, width=66.675, height=25.4, left=4.7625, top=12.7,
        step_x=69.85, step_y=25.4,
    ),
}  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class Label:
    """One label: what it is on, its name, which side, two lines, and what its mark says."""

    thing: str  # unit, bobbin, weight, rod, band
    name: str
    side: str  # front (of a unit: its face) or back
    lines: tuple[str, ...]
    mark: str


def labels_of(piece: Piece) -> tuple[Label, ...]:
    """All labels of a piece: units first, then bands and rods, the two sides side by side."""
    version = version_of(piece.draft)
    return tuple(
        Label(thing=thing, name=name, side=side, lines=lines,
              mark=f"crossfell {version} {thing} {name} {side}")
        for thing, name, lines in _things(piece)
        for side in (FRONT, BACK)
    )  # fmt: skip


def _things(piece: Piece) -> Iterator[tuple[str, str, tuple[str, ...]]]:
    draft, measure, amounts = piece.draft, piece.draft.measure, piece.amounts
    for u, unit in enumerate(draft.units):
        kind = draft.kinds[unit.kind]
        strip = draft.strips[kind.strip]
        wound = amounts.windings[u]
        yield "unit", unit.name, (
            f"strip {kind.strip}, first dent {strip.first}",
            f"{kind.ends_text}; place {unit.place}",
        )  # fmt: skip
        yield (
            "bobbin",
            unit.name,
            (
                kind.ends_text,
                f"{written_long(wound.total_mm, measure)} each, {wound.mass_g:.0f} g",
            ),
        )
        weight = f"{piece.loom.weight_g[u]:.0f} g, bobbin and all"
        yield "weight", unit.name, (weight, f"place {unit.place}")
    length = written(piece.paths.width_total_mm + 2 * draft.stock.overhang_mm, measure)
    for i, band in enumerate(draft.bands):
        number = str(i + 1)
        yield "band", number, (f"picks {band.picks}", _where(i, len(draft.bands)))
        if band.rod and band.rod_count:
            yield "rod", number, (f"{band.rod.label} mm, {length}", f"band {number}")


def _where(index: int, count: int) -> str:
    return {0: "woven first", count - 1: "woven last"}.get(index, f"after span {index}")


def labels_pdf(piece: Piece) -> bytes:
    """All labels on sheets of the draft's paper."""
    draft, stock = piece.draft, STOCKS[piece.draft.about.paper]
    size = min(stock.height - 6.0, 23.0)  # of a mark
    data = {
        "title": draft.about.title,
        "version": version_of(draft),
        "paper": PAPERS[draft.about.paper],
        "stock": asdict(stock),
        "mark": size,
        "text": TEXT_MM,
        "labels": [_set(label, stock, size) for label in labels_of(piece)],
    }
    return compiled("labels.typ", data, tags=False)


def _set(label: Label, stock: Stock, mark_mm: float) -> dict[str, Any]:
    room = stock.width - mark_mm - 9.0
    name = printable(label.name)
    size = min(NAME_MM, 0.34 * stock.height, room / max(width_em(name, bold=True), 0.1))
    lines = [
        {"text": line, "size": min(TEXT_MM, room / max(width_em(printable(line)), 0.1))}
        for line in label.lines
    ]
    is_face = label.side == FRONT and label.thing == "unit"
    return {
        "thing": label.thing,
        "side": "face" if is_face else label.side,
        "back": label.side == BACK,
        "name": name,
        "size": size,
        "lines": lines,
        "svg": mark_svg(label.mark),
    }


def mark_svg(text: str) -> str:
    """A QR mark (ISO/IEC 18004, level M) with its light margin, dark on white.

    Checked: tests/outside/test_marks.py, read again by another library.
    """
    import segno

    code = segno.make(text, error="m", micro=False, boost_error=False, mask=ANY_MASK)
    matrix = code.matrix
    size = len(matrix) + 2 * QUIET_MODULES
    dark = "".join(
        f"M{start + QUIET_MODULES} {y + QUIET_MODULES}h{length}v1h-{length}z"
        for y, row in enumerate(matrix)
        for start, length in _dark_runs(row)
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {size} {size}" '
        f'width="{size}mm" height="{size}mm"><path d="M0 0h{size}v{size}H0z" fill="#ffffff"/>'
        f'<path d="{dark}" fill="#000000"/></svg>'
    )


def _dark_runs(row: Sequence[int]) -> Iterator[tuple[int, int]]:
    """Start and length of each run of dark modules."""
    start = 0
    for module, run in groupby(row):
        length = len(list(run))
        if module:
            yield start, length
        start += length


def labels_csv(piece: Piece) -> bytes:
    """All labels as a list."""
    rows = (
        [label.thing, label.name, label.side, *label.lines, label.mark]
        for label in labels_of(piece)
    )
    return csv_of(["on", "name", "side", "line 1", "line 2", "mark"], rows)
