"""How is the order book read: as text, as a table for a spreadsheet, in a calendar?"""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from datetime import UTC, datetime, time, timedelta

from crossfell.orders.book import OrderBook, Scheduled
from crossfell.orders.standing import DONE, WRONG, PieceState
from crossfell.plan.several import NeededTogether


def told(book: OrderBook) -> str:
    """Write the book: pieces, days, promises, a new piece, what to buy."""
    parts = [
        _pieces(book),
        _days(book),
        _promises(book),
        _new_piece(book),
        [] if book.buy is None else ["To buy for what is promised and not begun", *_buy(book.buy)],
    ]
    return "\n\n".join("\n".join(part) for part in parts if part)


def _pieces(book: OrderBook) -> list[str]:
    if not book.standings:
        return ["There is no piece in this folder."]
    rows: list[tuple[str, ...]] = [
        ("piece", "state", "steps", "planned", "worked", "left, hours", "promised")
    ]
    rows += [_piece(standing) for standing in book.standings]
    wrong = [f"{s.file.name}: {s.says}" for s in book.standings if s.says]
    return [*_columns(rows, "llrrrll"), *wrong]


def _piece(standing: PieceState) -> tuple[str, ...]:
    if standing.state == WRONG:
        return (standing.title, standing.state, "", "", "", "", "")
    left = standing.left
    range_ = f"{left.likely / 60:.1f} ({left.low / 60:.1f} to {left.high / 60:.1f})"
    return (
        standing.title,
        standing.state,
        f"{standing.done} of {standing.steps}",
        f"{standing.planned_min / 60:.1f} h",
        f"{standing.worked_min / 60:.1f} h",
        "" if standing.state == DONE else range_,
        str(standing.promised or ""),
    )


def _days(book: OrderBook) -> list[str]:
    rows: list[tuple[str, ...]] = [
        ("in this order", "from", "done", "at the earliest", "at the latest", "kept")
    ]
    rows += [
        (slot.standing.title, str(slot.first), *(str(slot.done[k]) for k in (1, 0, 2)), slot.keeps)
        for slot in book.slots
    ]
    return _columns(rows, "llllll") if book.slots else []


def _promises(book: OrderBook) -> list[str]:
    if not any(slot.standing.promised for slot in book.slots):
        return []
    if not book.late:
        return ["Every promise can be kept, going by the likely hours."]
    many = "1 promise breaks" if book.late == 1 else f"{book.late} promises break"
    return [
        f"{many}, going by the likely hours; no order of weaving breaks fewer (Moore, 1968).",
        f"By due days alone the latest would be {book.least_lateness} days of work late; no order "
        "makes it less (Jackson, 1955).",
    ]


def _new_piece(book: OrderBook) -> list[str]:
    low, likely, high = book.free
    rows = [f"A new piece can begin on {likely} ({low} to {high})."]
    rows += [
        f"{slot.standing.title}, begun then, is done on {slot.done[1]} "
        f"({slot.done[0]} to {slot.done[2]})."
        for slot in book.offers
    ]
    return rows


def _buy(buy: NeededTogether) -> list[str]:
    rows = []
    for need in buy.yarns:
        packs = "" if need.put_ups is None else f", {need.put_ups} put-ups"
        lot = buy.draft.yarns[need.yarn].lot
        of_lot = f", lot {lot}" if lot else ""
        rows.append(
            f"  yarn {need.yarn}{of_lot}: {need.buy_g:.0f} g{packs} "
            f"(needs {need.need_g:.0f} g, has {need.in_stock_g:.0f} g)"
        )
    rows += [f"  rod {need.rod.label}: {need.plan.bought}" for need in buy.rods]
    rows += [f"  heddle for {need.strip}: {need.plan.bought}" for need in buy.strips]
    rows.append(f"  adhesive: {buy.adhesive.neat_cm3:.0f} cm³ neat")
    price = buy.price
    currency = buy.draft.rates.currency
    rows.append(f"  price: {'open' if price is None else f'{price:.2f} {currency}'}")
    return rows


def _columns(rows: Sequence[Sequence[str]], align: str) -> list[str]:
    widths = [max(len(row[i]) for row in rows) for i in range(len(align))]
    return [
        "  ".join(
            cell.rjust(width) if side == "r" else cell.ljust(width)
            for cell, width, side in zip(row, widths, align, strict=True)
        ).rstrip()
        for row in rows
    ]


COLUMNS = (
    "piece", "state", "steps done", "steps", "planned (min)", "worked (min)", "left low (min)",
    "left likely (min)", "left high (min)", "promised", "from", "done low", "done likely",
    "done high", "kept",
)  # fmt: skip


def as_csv(book: OrderBook) -> str:
    """The book as a table, numbers as numbers and days as ISO 8601 (RFC 4180)."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    slots = {slot.standing.file: slot for slot in book.slots}
    for s in book.standings:
        slot = slots.get(s.file)
        times = (s.planned_min, s.worked_min, s.left.low, s.left.likely, s.left.high)
        writer.writerow(
            [s.title, s.state, s.done, s.steps, *(round(value, 1) for value in times)]
            + [s.promised or ""]
            + ([slot.first, *slot.done, slot.keeps] if slot else [""] * 5)
        )
    return out.getvalue()


OURS = "-//Crossfell//orders//EN"  # RFC 5545, 3.7.3: which program wrote it


def is_ours(content: bytes) -> bool:
    """Whether a file is a calendar that this program wrote, which may be written anew."""
    return content.startswith(b"BEGIN:VCALENDAR") and f"PRODID:{OURS}".encode() in content


def as_calendar(book: OrderBook) -> bytes:
    """The days of each piece and its promise as a calendar (RFC 5545)."""
    from icalendar import Calendar

    calendar = Calendar()
    calendar.add("prodid", OURS)
    calendar.add("version", "2.0")
    for slot in book.slots:
        title = slot.standing.title
        says = f"done between {slot.done[0]} and {slot.done[2]}"
        _event(calendar, book, slot, "weave", f"Weave {title}", says)
        if slot.standing.promised:
            kept = {"yes": "kept", "no": "breaks", "perhaps": "may break"}[slot.keeps]
            _event(calendar, book, slot, "promise", f"{title} is promised", f"this promise {kept}")
    return bytes(calendar.to_ical())


def _event(
    calendar: object, book: OrderBook, slot: Scheduled, what: str, title: str, says: str
) -> None:
    from icalendar import Event

    promised = slot.standing.promised
    first, last = (slot.first, slot.done[1])
    if what == "promise" and promised is not None:
        first = last = promised
    event = Event()
    event.add("uid", f"{what}-{slot.standing.file.stem}@crossfell")
    event.add("dtstamp", datetime.combine(book.today, time(), UTC))
    event.add("dtstart", first)
    event.add("dtend", last + timedelta(days=1))  # RFC 5545, 3.6.1: not included
    event.add("summary", title)
    event.add("description", says)
    calendar.add_component(event)  # type: ignore[attr-defined]
