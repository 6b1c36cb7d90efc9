"""The list of pieces says size, price and where each piece stands, and by whose word."""

import pytest

from crossfell.draft.edit import set_key
from crossfell.plan.quote_told import told
from crossfell.record.clock import Stamp
from crossfell.record.events import Event, StepMark
from crossfell.record.store import Record, record_path
from crossfell.studio.standing import standing_of

PIECE = "02-tideline/tideline"


def card_of(client, piece=PIECE):
    return next(c for c in client.call("pieces")["pieces"] if c["piece"] == piece)


def ticked(draft, *marks):
    """A record with these steps ticked: (kind, span, band)."""
    at = Stamp(utc_ms=1, offset_min=0, boot="b", run_ms=1)
    with Record(record_path(draft.path)) as record:
        steps = [
            StepMark(key=f"{k}", number=k, kind=kind, span=span, band=band, side="front",
                     text="", count=1, minutes=1)
            for k, (kind, span, band) in enumerate(marks)
        ]  # fmt: skip
        record.add([Event(kind="tick", at=at, step=step) for step in steps])


def test_the_list_opens_before_any_price_is_worked_out(client, desk):
    card = card_of(client)
    assert card["waiting"]
    assert (card["title"], card["price"]) == ("Tideline", "")
    known = client.call("card", piece=PIECE)
    assert not known["waiting"]
    assert card_of(client) == known  # kept: the next list has it at once


def test_the_price_is_that_of_the_quote(client, desk):
    piece = desk.open(PIECE).piece
    quote = piece.quote()
    card = client.call("card", piece=PIECE)
    assert card["price"] == f"{quote.amount(quote.net.likely)} {quote.currency}"
    assert quote.amount(quote.net.likely) in told(quote, title="")
    assert card["size"].endswith("mm")


@pytest.mark.parametrize(
    ("path", "why"), [("rates.hour", "no rate"), ("stock.heddle_price", "no price")]
)
def test_without_a_rate_or_a_price_it_is_open(client, folder, path, why):
    workshop = folder / "workshop.toml"
    text = workshop.read_text()
    key = path.partition(".")[2]
    workshop.write_text("\n".join(r for r in text.split("\n") if not r.startswith(key)))
    card = client.call("card", piece=PIECE)
    assert card["price"] == "price open"
    assert why in card["price_source"]


@pytest.mark.parametrize(
    ("woven", "marks", "says", "source"),
    [
        (0, [], "draft", "nothing is woven yet"),
        (0, [("wind", None, None)], "draft, at the bench", "by the record of work"),
        (0, [("hang", None, None)], "on the loom", "by the record of work"),
        (
            0,
            [("hang", None, None), ("pick", None, 1)],
            "on the loom at band 1",
            "by the record of work",
        ),
        (
            0,
            [("pick", None, 1), ("lay", 2, None)],
            "on the loom at span 2",
            "by the record of work",
        ),
        (4, [("lay", 2, None)], "on the loom at span 5", "by [woven] of the draft"),
        (4, [("lay", 9, None)], "on the loom at span 9", "by the record of work"),
        (14, [], "on the loom, every span woven", "by [woven] of the draft"),
        (14, [("cut-down", None, None)], "off the loom", "by the record of work"),
    ],
)
def test_where_it_stands_comes_by_itself(desk, woven, marks, says, source):
    draft = desk.open(PIECE)
    if woven:
        draft.change(lambda t: set_key(t, "woven.spans", woven), "woven", draft.state.revision)
    if marks:
        ticked(draft, *marks)
    stands = standing_of(draft.piece.draft, draft.path, "")
    assert (stands.says, stands.source) == (says, source)


def test_what_she_sets_wins_and_can_be_left_to_itself_again(client, desk):
    ticked(desk.open(PIECE), ("lay", 3, None))
    client.call("shelve", piece=PIECE, state="hung")
    card = card_of(client)
    assert card["says"] == "hung"
    assert card["source"] == "set by hand; on the loom at span 3 by the record of work"
    client.call("shelve", piece=PIECE, archived=True)
    assert card_of(client)["state"] == "hung"
    client.call("shelve", piece=PIECE, state="")
    assert card_of(client)["says"] == "on the loom at span 3"
    assert client.call("shelve", status=400, piece=PIECE, state="lost")["error"]


def test_a_record_that_cannot_be_read_is_told_and_left(client, desk):
    record = record_path(desk.open(PIECE).path)
    record.write_bytes(b"not a record")
    assert "cannot be read" in card_of(client)["source"]
    assert record.read_bytes() == b"not a record"
