"""What does the list of pieces say about each draft?

Numbers are worked out once for each text and kept; a draft that is on the loom says so because
she said so. A piece is put away in the archive, never deleted.
"""

from __future__ import annotations

import json
from hashlib import blake2s
from pathlib import Path
from typing import Any

from crossfell import __version__
from crossfell.base.notes import Severity
from crossfell.base.quantities import written
from crossfell.piece import Piece
from crossfell.record.opening import RecordRefused, looked_at
from crossfell.record.progress import done_steps
from crossfell.record.store import events_in, record_path
from crossfell.studio.desk import Desk, OpenDraft
from crossfell.studio.folder import Refused
from crossfell.studio.showing import is_large, quick_notes

Told = dict[str, Any]
STATES = {"draft": "draft", "loom": "on the loom", "hung": "hung"}


def shelf_of(desk: Desk) -> list[Told]:
    """Every piece of the folder, archived ones too."""
    return [_card(desk, name) for name in desk.folder.drafts()]


def _card(desk: Desk, name: str) -> Told:
    state, archived = desk.journal.shelf(name)
    card: Told = {
        "piece": name,
        "state": state,
        "says": STATES.get(state, state),
        "archived": archived,
    }
    try:
        draft = desk.open(name)
        draft.look()
    except (Refused, OSError) as problem:
        return card | {"title": name, "broken": True, "size": "", "errors": 1, "doubts": 0,
                       "units": "", "price": "", "digest": "", "fault": str(problem)}  # fmt: skip
    return card | summary_of(desk, draft) | {"loom": at_the_loom(draft.path)}


def at_the_loom(path: Path) -> str:
    """Where the record of work says that she is, in words; empty without a record."""
    record = record_path(path)
    if not record.is_file():
        return ""
    try:
        link = looked_at(record)
    except RecordRefused as problem:
        return str(problem)
    try:
        done = done_steps(events_in(link))
    finally:
        link.close()
    if not done:
        return ""
    where = done[-1]
    place = f"span {where.span}" if where.span else f"band {where.band}" if where.band else "bench"
    return f"ticked last at {place}"


def summary_of(desk: Desk, draft: OpenDraft) -> Told:
    """Title, size, numbers of a draft; kept by the digest of all that they depend on."""
    digest = digest_of(draft)
    kept = desk.journal.summary(digest)
    if kept is None:
        kept = json.dumps(_worked_out(draft.piece, digest))
        desk.journal.keep_summary(digest, kept)
    summary: Told = json.loads(kept)
    return summary


def digest_of(draft: OpenDraft) -> str:
    """Digest of a draft's text, its workshop's, and this version of the program."""
    told = (__version__, draft.text, draft.piece.draft.workshop_text)
    return blake2s(repr(told).encode(), digest_size=12).hexdigest()


def _worked_out(piece: Piece, digest: str) -> Told:
    draft = piece.draft
    notes = quick_notes(piece) if is_large(piece) else piece.notes
    errors = sum(note.severity is Severity.ERROR for note in notes)
    doubts = sum(note.severity is Severity.DOUBT for note in notes)
    told: Told = {"title": draft.about.title, "digest": digest, "errors": errors, "doubts": doubts,
                  "broken": not piece.computable, "size": "", "units": "", "price": ""}  # fmt: skip
    if not piece.computable:
        return told
    sides = (piece.paths.width_total_mm, piece.paths.height_total_mm)
    told["size"] = " × ".join(written(side, draft.measure) for side in sides)
    told["units"] = f"{len(draft.units)} units, {len(draft.spans)} spans"
    told["price"] = _price(piece)
    return told


def _price(piece: Piece) -> str:
    price = piece.amounts.price
    return "" if price is None else f"materials {price:.2f} {piece.draft.rates.currency}"
