"""What does the list of pieces say about each draft?

Numbers are worked out once for each text and kept; the list opens with those that are known, and
asks for the others one by one. A piece is put away in the archive, never deleted.
"""

from __future__ import annotations

import json
from hashlib import blake2s
from typing import Any

from crossfell import __version__
from crossfell.base.notes import Severity
from crossfell.base.quantities import written
from crossfell.piece import Piece
from crossfell.studio.desk import Desk, OpenDraft
from crossfell.studio.folder import Refused
from crossfell.studio.showing import is_large, quick_notes
from crossfell.studio.standing import STATES, standing_of

Told = dict[str, Any]
FORM = 2  # of what is kept of a draft in the list


def shelf_of(desk: Desk) -> list[Told]:
    """Every piece of the folder, archived ones too; what is not known yet is `waiting`."""
    return [card_of(desk, name, waited=False) for name in desk.folder.drafts()]


def card_of(desk: Desk, name: str, *, waited: bool = True) -> Told:
    """One piece of the list. Unless it may be waited for, only what is known at once."""
    by_hand, archived = desk.journal.shelf(name)
    card: Told = {"piece": name, "state": by_hand, "archived": archived, "waiting": False}
    try:
        draft = desk.open(name)
        draft.look()
    except (Refused, OSError) as problem:
        card |= {"says": STATES.get(by_hand, ""), "source": "", "fault": str(problem)}
        return card | _blank(name) | {"broken": True, "errors": 1}
    stands = standing_of(draft.piece.draft, draft.path, by_hand)
    card |= {"says": stands.says, "source": stands.source}
    digest = digest_of(draft)
    if not waited and desk.journal.summary(digest) is None:
        waiting = _blank(draft.piece.draft.about.title, digest)
        return card | waiting | {"waiting": True, "broken": not draft.piece.computable}
    return card | summary_of(desk, draft)


def _blank(title: str, digest: str = "") -> Told:
    return {"title": title, "digest": digest, "errors": 0, "doubts": 0, "broken": False,
            "size": "", "units": "", "price": "", "price_source": ""}  # fmt: skip


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
    told = (__version__, FORM, draft.text, draft.piece.draft.workshop_text)
    return blake2s(repr(told).encode(), digest_size=12).hexdigest()


def _worked_out(piece: Piece, digest: str) -> Told:
    draft = piece.draft
    notes = quick_notes(piece) if is_large(piece) else piece.notes
    errors = sum(note.severity is Severity.ERROR for note in notes)
    doubts = sum(note.severity is Severity.DOUBT for note in notes)
    told = _blank(draft.about.title, digest)
    told |= {"errors": errors, "doubts": doubts, "broken": not piece.computable}
    if not piece.computable:
        return told
    sides = (piece.paths.width_total_mm, piece.paths.height_total_mm)
    told["size"] = " × ".join(written(side, draft.measure) for side in sides)
    told["units"] = f"{len(draft.units)} units, {len(draft.spans)} spans"
    if not is_large(piece):
        told["price"], told["price_source"] = _price(piece)
    return told


def _price(piece: Piece) -> tuple[str, str]:
    """The price as `crossfell quote` has it, and what it rests on."""
    quote, rates = piece.quote(), piece.draft.rates
    if "hour" not in rates.given:
        return "price open", "no rate for an hour of work is set in [rates]"
    if quote.missing:
        return "price open", f"no price is known for {', '.join(quote.missing)}"
    net = quote.net
    source = f"net; {quote.amount(net.low)} to {quote.amount(net.high)}"
    if quote.tax.likely:
        source += f"; {quote.amount(quote.total.likely)} with tax"
    return f"{quote.amount(net.likely)} {quote.currency}", source
