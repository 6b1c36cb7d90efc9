"""Which sheets go to the client, to the wall and with the piece?"""

from __future__ import annotations

from crossfell.papers.client_sheet import client
from crossfell.papers.hanging_sheet import hanging
from crossfell.papers.install_sheet import installation, packing
from crossfell.papers.model import Sheet
from crossfell.papers.quote_sheet import calculation, invoice, quotation
from crossfell.papers.record_sheet import care, condition, record
from crossfell.piece import Piece


def handover(piece: Piece) -> tuple[Sheet, ...]:
    """How it hangs, installation, packing, record, condition, care."""
    return (
        hanging(piece),
        installation(piece),
        packing(piece),
        record(piece),
        condition(piece),
        care(piece),
    )


def for_the_client(piece: Piece) -> tuple[Sheet, ...]:
    """The page with the picture."""
    return (client(piece),)


def money_sheets(piece: Piece) -> tuple[Sheet, ...]:
    """Quotation and invoice."""
    return (quotation(piece), invoice(piece))


def for_the_maker(piece: Piece) -> tuple[Sheet, ...]:
    """Her own calculation."""
    return (calculation(piece),)
