"""Which labels does she tie and stick on, so that everything has one name from all sides?

Each thing has two labels: a white one for its face or front, a black one for its back, so that
both faces of a strip are told apart in any light. The mark on each says the same to a camera.
"""

from __future__ import annotations

from collections.abc import Iterator

from crossfell.base.quantities import written, written_long
from crossfell.drawings.album import Album
from crossfell.papers.art import Data, drawn
from crossfell.papers.label_sheets import (
    BACK,
    EDGE_MM,
    FRONT,
    PAD_MM,
    STOCKS,
    TEXT_MM,
    Label,
    sheet_of,
    tag_base,
)
from crossfell.papers.lists import csv_of
from crossfell.papers.typeset import bound, version_of
from crossfell.piece import Piece


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
    draft, measure = piece.draft, piece.draft.measure
    for u, unit in enumerate(draft.units):
        kind = draft.kinds[unit.kind]
        strip = draft.strips[kind.strip]
        length = written_long(piece.winding.group_of(u).length_mm, measure)
        grams = piece.winding.wound_g(u, piece.amounts.windings[u])
        yield "unit", unit.name, (
            f"strip {kind.strip}, first dent {strip.first}",
            f"{kind.ends_text}; place {unit.place}",
        )  # fmt: skip
        yield (
            "bobbin",
            unit.name,
            (
                kind.ends_text,
                f"{length} each, {grams:.0f} g",
            ),
        )
        weight = f"{piece.loom.handed.said(u)}, hung beside the bobbin"
        yield "weight", unit.name, (weight, f"place {unit.place}")
    for i, band in enumerate(draft.bands):
        number = str(i + 1)
        yield "band", number, (f"picks {band.picks}", _where(i, len(draft.bands)))
        if band.rod and band.rod_count:
            length = written(piece.paths.rod_mm(i), measure)
            yield "rod", number, (f"{band.rod.label} mm, {length}", f"band {number}")


def _where(index: int, count: int) -> str:
    return {0: "woven first", count - 1: "woven last"}.get(index, f"after span {index}")


def labels_pdf(piece: Piece) -> bytes:
    """All labels on sheets of the draft's paper."""
    album = Album()
    return bound(piece.draft, [labels(piece, album)], album, tags=False)


def labels(piece: Piece, album: Album, *, title: str = "") -> Data:
    """All labels as a part of a document. The last place of each sheet says which page it is."""
    stock, every = STOCKS[piece.draft.about.paper], labels_of(piece)
    most = stock.on_a_sheet
    sheets = [every[first : first + most] for first in range(0, len(every), most)]
    x, y = stock.corner(stock.columns * stock.rows - 1)
    return {
        "kind": "labels",
        "title": title,
        "tag_x": x + EDGE_MM + PAD_MM,
        "tag_y": tag_base(stock, y, 5),
        "tag_mm": TEXT_MM,
        "sheets": [
            drawn(album, sheet_of(piece, sheet, f"sheet {number} of {len(sheets)}"))
            for number, sheet in enumerate(sheets, 1)
        ],
    }


def labels_csv(piece: Piece) -> bytes:
    """All labels as a list."""
    rows = (
        [label.thing, label.name, label.side, *label.lines, label.mark]
        for label in labels_of(piece)
    )
    return csv_of(["on", "name", "side", "line 1", "line 2", "mark"], rows)
