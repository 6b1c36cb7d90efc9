"""How coarse is this yarn?"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class YarnCount:
    """A yarn count as read: its label and what it means."""

    label: str  # as written: "lea 16/2"
    tex: float  # resultant linear density, g/km
    folds: int  # plies; 1 for a single
    system: str  # "lea", "Nm", "Ne", "tex", …
