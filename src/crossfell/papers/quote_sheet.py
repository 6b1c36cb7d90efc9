"""What does it cost, line by line, to quote it and to invoice it?"""

from __future__ import annotations

from crossfell.papers.measures import money, size_text
from crossfell.papers.model import Blanks, Block, Heading, Pairs, Paragraph, Sheet, Table
from crossfell.papers.typeset import version_of
from crossfell.piece import Piece
from crossfell.plan.quote import Quote


def quotation(piece: Piece) -> Sheet:
    """The quote: lines with their range, terms, acceptance."""
    quote, about = piece.quote(), piece.draft.about
    low, likely, high = quote.hours
    rows = tuple(
        (line.name, quote.amount(line.low), quote.amount(line.likely), quote.amount(line.high),
         line.how)
        for line in quote.lines
    )  # fmt: skip
    blocks: list[Block] = [
        Pairs(rows=_about(piece)),
        Table(name="quote", columns=("line", "low", f"likely, {quote.currency}", "high", "how"),
              align="lrrrl", rows=rows, widths=(1.1, 1, 1.2, 1, 2.6),
              strong=tuple(i for i, row in enumerate(rows) if row[0] in {"Net", "Total"})),
        *_missing(quote),
        Heading(text="Terms"),
        Pairs(rows=(
            ("Work", f"{likely:.0f} hours, {low:.0f} to {high:.0f}, without drying"),
            ("Deposit", f"{money(piece, quote.deposit.likely)} on order; materials are bought "
             "with it and are not returned"),
            ("Valid", f"{quote.valid_days} days from the date below"),
            ("Price", "the likely one, if nothing is changed; changes are priced before they "
             "are made"),
            ("Rights", "the design stays the maker's; the piece is for this place"),
        )),
        Blanks(labels=("Quote number", "Date", "Delivery by", "Accepted by", "Date", "Signature")),
        Paragraph(text=f"{about.title}, draft {version_of(piece.draft)}: the accepted draft is "
              "part of the order."),
    ]  # fmt: skip
    return Sheet(name="quote", title="Quotation", blocks=tuple(blocks))


def invoice(piece: Piece) -> Sheet:
    """The same with what an invoice needs; rounded line by line, tax on net."""
    quote = piece.quote()
    rest = quote.total.likely - quote.deposit.likely
    rows = [(str(i + 1), line.name, line.how, quote.amount(line.likely))
            for i, line in enumerate(quote.parts)]  # fmt: skip
    rows += [
        ("", "Net", "", quote.amount(quote.net.likely)),
        ("", "Tax", quote.tax.how, quote.amount(quote.tax.likely)),
        ("", "Total", "", quote.amount(quote.total.likely)),
        ("", "Deposit received", quote.deposit.how, quote.amount(-quote.deposit.likely)),
        ("", "To pay", "", quote.amount(rest)),
    ]
    blocks: list[Block] = [
        Blanks(labels=("Invoice number", "Date", "To", "From", "Their tax number",
                       "Your tax number", "Delivered on", "Pay by")),
        Heading(text=f"{piece.draft.about.title}, {size_text(piece)}"),
        Table(name="invoice", columns=("no.", "what", "how", quote.currency), align="rllr",
              rows=tuple(rows), widths=(0.4, 1.4, 3, 1.2),
              strong=tuple(i for i, row in enumerate(rows)
                           if row[1] in {"Net", "Total", "To pay"})),
        *_missing(quote),
        Blanks(labels=("Bank", "Account"), columns=2),
        Paragraph(text="Each line is rounded once. Check with the tax law that applies to you."),
    ]  # fmt: skip
    return Sheet(name="invoice", title="Invoice", blocks=tuple(blocks))


def _about(piece: Piece) -> tuple[tuple[str, str], ...]:
    about = piece.draft.about
    rows = (("Piece", about.title), ("For", about.client), ("By", about.maker),
            ("Number", about.number), ("Size", size_text(piece)))  # fmt: skip
    return tuple(row for row in rows if row[1])


def _missing(quote: Quote) -> list[Block]:
    if quote.complete:
        return []
    return [Paragraph(text=f"Without {', '.join(quote.missing)}: no price is known for these.",
                  strong=True)]  # fmt: skip
