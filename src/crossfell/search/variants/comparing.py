"""In which numbers do variants differ?

A job is a draft's text and the workshop's; what comes back are plain numbers, so that it can be
worked on anywhere. Variants that differ only in colours are still worked out: yarns have weights.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from crossfell.base.notes import Severity
from crossfell.draft.reader import read_draft
from crossfell.piece import Piece

Numbers = dict[str, float | None]
HEADS = {
    "width_mm": ("width", "mm"), "height_mm": ("height", "mm"), "lifted": ("lifts", ""),
    "hours": ("hours", "h"), "price": ("price", ""), "yarn_g": ("yarn", "g"),
    "lean_deg": ("lean", "°"), "loosest_mm_per_n": ("loosest", "mm/N"), "swings": ("swing", ""),
    "doubts": ("doubts", ""),
}  # fmt: skip


@dataclass(frozen=True)
class Job:
    """What a worker is given."""

    text: str
    workshop: str | None


def numbers_of(job: Job) -> Numbers | None:
    """The numbers by which a variant is compared; None for a draft with errors."""
    piece = Piece(read_draft(job.text, workshop=job.workshop))
    if not piece.computable or any(note.severity is Severity.ERROR for note in piece.notes):
        return None
    quote = piece.quote()
    hung = piece.hung
    return {
        "width_mm": round(piece.paths.width_total_mm, 1),
        "height_mm": round(sum(span.height_mm for span in piece.draft.spans), 1),
        "lifted": float(sum(span.lifted for span in piece.order.spans)),
        "hours": round(quote.hours[1], 1),
        "price": None if quote.missing else quote.lines[-1].likely / 10**quote.minor,
        "yarn_g": round(sum(winding.mass_g for winding in piece.amounts.windings), 0),
        "lean_deg": round(math.degrees(float(piece.paths.max_lean_rad.max())), 0),
        "loosest_mm_per_n": round(hung.loosest_mm_per_n, 0) if hung.converged else None,
        "swings": float(sum(not hold.holds for hold in piece.holds)),
        "doubts": float(sum(note.severity is Severity.DOUBT for note in piece.notes)),
    }


def differing(found: Sequence[Numbers | None]) -> list[str]:
    """Names of the numbers that are not the same for all."""
    known = [numbers for numbers in found if numbers is not None]
    return [name for name in HEADS if len({numbers[name] for numbers in known}) > 1]


def told(names: Sequence[str], found: Sequence[Numbers | None], says: Sequence[str]) -> list[str]:
    """A table: a variant in each row, only the numbers that differ."""
    columns = differing(found)
    rows = [["", *(f"{HEADS[c][0]} {HEADS[c][1]}".strip() for c in columns), ""]]
    for name, numbers, words in zip(names, found, says, strict=True):
        if numbers is not None:
            rows.append([name, *(_said(numbers[c]) for c in columns), words])
    widths = [max(len(row[k]) for row in rows) for k in range(len(columns) + 1)]
    out = [
        "  ".join([row[0].ljust(widths[0]),
                   *(row[k].rjust(widths[k]) for k in range(1, len(widths))), row[-1]]).rstrip()
        for row in rows
    ]  # fmt: skip
    wrong = [name for name, numbers in zip(names, found, strict=True) if numbers is None]
    if wrong:
        out.append(f"With errors, and left out: {', '.join(wrong)}.")
    return out


def _said(value: float | None) -> str:
    return "open" if value is None else f"{value:g}"
