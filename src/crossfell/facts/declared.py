"""Which facts are there? All families, in the order in which they stand in the facts."""

from __future__ import annotations

from crossfell.facts import (
    declare,
    of_bands,
    of_hung,
    of_loom,
    of_notes,
    of_pairs,
    of_piece,
    of_plan,
    of_price,
    of_rig,
    of_spans,
    of_stock,
    of_stock_charged,
    of_units,
    of_winding,
    of_yarns,
)

__all__ = ["FACTS", "FAMILIES", "LEVELS"]
FAMILIES = (
    of_notes, of_piece, of_yarns, of_units, of_bands, of_spans, of_pairs, of_winding, of_loom,
    of_hung, of_rig, of_stock, of_stock_charged, of_plan, of_price
)  # fmt: skip
_TOPS = (
    "notes", "piece", "yarns", "kinds", "units", "bands", "spans", "pairs", "winding", "loom",
    "hung", "stock", "plan", "price"
)  # fmt: skip
FACTS = dict(sorted(declare.FACTS.items(), key=lambda row: _TOPS.index(row[0].split(".")[0])))
LEVELS = dict(sorted(declare.LEVELS.items(), key=lambda row: _TOPS.index(row[0].split(".")[0])))
