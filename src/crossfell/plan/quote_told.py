"""How is a quote read?"""

from __future__ import annotations

from crossfell.plan.quote import Line, Quote
from crossfell.plan.whatif import Difference


def told(quote: Quote, *, title: str, until: str = "") -> str:
    """Write a quote as a table: low, likely, high."""
    rows = [("", "low", "likely", "high", "")]
    rows += [_row(quote, line) for line in quote.lines]
    widths = [max(len(row[i]) for row in rows) for i in range(4)]
    table = [
        "  ".join(
            [row[0].ljust(widths[0]), *(row[i].rjust(widths[i]) for i in (1, 2, 3)), row[4]]
        ).rstrip()
        for row in rows
    ]
    low, likely, high = quote.hours
    many = f", {quote.pieces} pieces" if quote.pieces > 1 else ""
    out = [
        f"{title}{many}: {likely:.1f} hours ({low:.1f} to {high:.1f}), in {quote.currency}",
        "",
        *table,
    ]
    if quote.missing:
        out += ["", f"Without {', '.join(quote.missing)}: no price is known for these."]
    if until:
        out += ["", f"Valid until {until} ({quote.valid_days} days)."]
    return "\n".join(out)


def _row(quote: Quote, line: Line) -> tuple[str, str, str, str, str]:
    amounts = (quote.amount(n) for n in (line.low, line.likely, line.high))
    low, likely, high = amounts
    return line.name, low, likely, high, line.how


def told_differences(quote: Quote, rows: tuple[Difference, ...]) -> str:
    """Write what a change does to hours and price, line by line; lines that stay are left out."""
    moved = [row for row in rows if row.change]
    if not moved:
        return "Neither hours nor price change."
    width = max(len(row.name) for row in moved)
    out = []
    for row in moved:
        values = (row.before, row.after, abs(row.change))
        if row.name == "Hours":
            before, after, change = (f"{value / 100:.2f}" for value in values)
        else:
            before, after, change = (quote.amount(value) for value in values)
        sign = "+" if row.change > 0 else "−"
        out.append(f"{row.name:{width}}  {before:>12} → {after:>12}   {sign}{change}")
    return "\n".join(out)
