"""What does she offer and bill to a client, and what does she reckon with for herself?

The client's papers hold one price and what is agreed, nothing of the calculation; that is a sheet
of its own, marked as hers. What an invoice must say: Council Directive 2006/112/EC, Article 226
(from memory); local rules decide.
"""

from __future__ import annotations

from dataclasses import dataclass

from crossfell.papers.client_sheet import CARE, hangs_text, materials_text
from crossfell.papers.measures import money, size_text
from crossfell.papers.model import Blanks, Block, Heading, Pairs, Paragraph, Sheet, Table
from crossfell.papers.typeset import version_of
from crossfell.piece import Piece
from crossfell.plan.quote import Quote, agreed_of, deposit_of


@dataclass(frozen=True, kw_only=True)
class PaperNumber:
    """What a paper bears once it is given out: its number and its days, ISO 8601."""

    number: str
    day: str
    until: str = ""  # of a quotation: how long it is valid
    delivered: str = ""  # of an invoice


def quotation(piece: Piece, given: PaperNumber | None = None) -> Sheet:
    """The client's quotation: one price, what it holds, terms, acceptance."""
    quote, about = piece.quote(), piece.draft.about
    open_ = [] if given else ["Number", "Date", "Valid until"]
    blocks: list[Block] = [
        Pairs(rows=_said(
            *_letterhead(piece),
            ("To", about.client),
            ("Address", about.client_address),
            ("Number", given.number if given else ""),
            ("Date", given.day if given else ""),
            ("Valid until", given.until if given else ""),
        )),
        Heading(text=f"{about.title}, {size_text(piece)}"),
        _price(piece, "quotation"),
        Pairs(rows=_said(
            ("It holds", f"{materials_text(piece)}; the making; {_extras(quote)}"),
            ("How it hangs", hangs_text(piece)),
            ("Delivery", f"by {about.promised}" if about.promised else "by agreement"),
            ("Deposit", _deposit(piece)),
            ("Price", "stands if nothing is changed; changes are priced before they are made"),
            ("Rights", "the design stays the maker's; the piece is for this place"),
            ("Care", CARE),
        )),
        Blanks(labels=(*open_, "Accepted by", "Date of acceptance", "Signature")),
        Paragraph(text=f"Draft {version_of(piece.draft)}: the accepted draft is part of the "
                  "order."),
    ]  # fmt: skip
    return Sheet(name="quotation", title="Quotation", blocks=tuple(blocks))


def invoice(piece: Piece, given: PaperNumber | None = None) -> Sheet:
    """The agreed price, what was paid of it, from whom and to whom."""
    about = piece.draft.about
    open_ = [] if given else ["Invoice number", "Date", "Delivered on"]
    open_ += [] if piece.draft.letterhead.name else ["From", "Your tax number"]
    open_ += [] if about.client else ["To"]
    blocks: list[Block] = [
        Pairs(rows=_said(
            *_letterhead(piece),
            ("To", about.client),
            ("Address", about.client_address),
            ("Invoice number", given.number if given else ""),
            ("Date", given.day if given else ""),
            ("Delivered on", given.delivered if given else ""),
            ("Bank", piece.draft.letterhead.bank),
        )),
        *([Blanks(labels=(*open_, "Pay by"))] if open_ else [Blanks(labels=("Pay by",))]),
        Heading(text=f"{about.title}, {size_text(piece)}"),
        _price(piece, "invoice", paid=about.paid),
        Paragraph(text="Check with the tax law that applies to you what an invoice must say."),
    ]  # fmt: skip
    return Sheet(name="invoice", title="Invoice", blocks=tuple(blocks))


def calculation(piece: Piece) -> Sheet:
    """How the price came about, line by line with its range: for the maker alone."""
    quote = piece.quote()
    low, likely, high = quote.hours
    rows = tuple(
        (line.name, quote.amount(line.low), quote.amount(line.likely), quote.amount(line.high),
         line.how)
        for line in quote.lines
    )  # fmt: skip
    blocks: list[Block] = [
        Paragraph(text="For the maker: not for the client.", strong=True),
        Table(name="quote", columns=("line", "low", f"likely, {quote.currency}", "high", "how"),
              align="lrrrl", rows=rows, widths=(1.1, 1, 1.2, 1, 2.6),
              strong=tuple(i for i, row in enumerate(rows) if row[0] in {"Net", "Total"})),
        *_missing(quote),
        Pairs(rows=(("Work", f"{likely:.0f} hours, {low:.0f} to {high:.0f}, without drying"),)),
    ]  # fmt: skip
    return Sheet(name="quote", title="Calculation", blocks=tuple(blocks))


def _price(piece: Piece, name: str, *, paid: float = 0.0) -> Table | Paragraph:
    """One line with the net price, tax, total; what is paid and what is to pay."""
    quote = piece.quote()
    agreed = agreed_of(piece.draft, quote)
    if agreed is None:
        return Paragraph(text="The price is on request.")
    net, tax, total = agreed
    rate = f"{round(piece.draft.rates.tax * 100, 4):g} %"
    rows = [
        ("1", f"wall hanging “{piece.draft.about.title}”", quote.amount(net)),
        ("", "Net", quote.amount(net)),
        ("", f"Tax, {rate}", quote.amount(tax)),
        ("", "Total", quote.amount(total)),
    ]
    if name == "invoice":
        had = round(paid * 10**quote.minor)
        rows.append(("", "Deposit paid", quote.amount(-had)))
        rows.append(("", "To pay", quote.amount(total - had)))
    strong = tuple(i for i, row in enumerate(rows) if row[1] in {"Total", "To pay"})
    return Table(name=name, columns=("pieces", "what", quote.currency), align="rlr",
                 rows=tuple(rows), widths=(0.5, 4, 1.2), strong=strong)  # fmt: skip


def _letterhead(piece: Piece) -> tuple[tuple[str, str], ...]:
    head = piece.draft.letterhead
    return (
        ("From", head.name or piece.draft.about.maker),
        ("At", head.address),
        ("Tax number", head.tax_number),
    )


def _extras(quote: Quote) -> str:
    """What was agreed beside the piece."""
    names = [line.name.lower() for line in quote.extras]
    return ", ".join(names) if names else "neither delivery nor installation"


def _deposit(piece: Piece) -> str:
    """What is to be paid on order."""
    agreed = agreed_of(piece.draft, piece.quote())
    coins = deposit_of(piece.draft, agreed[2]) if agreed else 0
    return f"{money(piece, coins)} on order; materials are bought with it" if coins else ""


def _said(*rows: tuple[str, str]) -> tuple[tuple[str, str], ...]:
    return tuple(row for row in rows if row[1])


def _missing(quote: Quote) -> list[Block]:
    if quote.complete:
        return []
    return [Paragraph(text=f"Without {', '.join(quote.missing)}: no price is known for these.",
                  strong=True)]  # fmt: skip
