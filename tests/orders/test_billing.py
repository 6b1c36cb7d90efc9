"""The client's papers: one price, nothing of the calculation, numbers without gaps and never twice."""

from concurrent.futures import ThreadPoolExecutor
from decimal import ROUND_HALF_UP, Decimal

import pypdfium2
import pytest
from click.testing import CliRunner

from crossfell.cli import main
from crossfell.draft.reader import read_draft
from crossfell.orders.register import REGISTER, NotRegistered, given
from crossfell.piece import Piece
from crossfell.plan.quote import agreed_of
from small_piece import small_draft

RUN = CliRunner().invoke
WORKSHOP = """[letterhead]
name = "Tidemark Studio"
address = "3 Rope Walk, Northquay"
tax_number = "XX 123 456"
bank = "account 99 88 77"
[rates]
tax = "19 %"
overhead = "17 %"
"""
PIECE = """[piece]
client = "The Lantern Hall"
client_address = "1 Harbour Street"
agreed = 1190
paid = 400
promised = "2031-09-01"
"""


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "workshop.toml").write_text(WORKSHOP)
    for name in ("low", "high"):
        text = small_draft("1 over 2", order="a*2", height=200, title=f"{name} water")
        (tmp_path / f"{name}.toml").write_text(text.replace("[piece]\n", PIECE))
    return tmp_path


def words(file):
    with pypdfium2.PdfDocument(file) as document:
        return " ".join(
            " ".join(page.get_textpage().get_text_bounded() for page in document).split()
        )


def test_a_quotation_has_what_the_client_needs_and_nothing_of_her_calculation(folder):
    said = RUN(main, ["quotation", str(folder / "low.toml"), "--on", "2031-03-03", "--write"])
    assert said.exit_code == 0, said.output
    text = words(folder / "low-quotation-2031-001.pdf")
    for part in (
        "Tidemark Studio", "Rope Walk", "XX 123 456", "The Lantern Hall", "2031-001", "2031-05-02",
        "1 190.00", "1 000.00", "190.00", "2031-09-01", "476.00 EUR on order", "Care",
    ):  # fmt: skip
        assert part in text.replace("\u202f", " "), part
    for hers in ("overhead", "Overhead", "profit", "Profit", "likely", "hours", "17 %", " low,"):
        assert hers not in text.replace("low water", ""), hers


def test_an_invoice_has_what_one_must_bear(folder):
    """Source: Council Directive 2006/112/EC, Article 226 (from memory)."""
    asked = ["invoice", str(folder / "low.toml"), "--on", "2031-09-02", "--delivered", "2031-09-01"]
    assert RUN(main, [*asked, "--write"]).exit_code == 0
    text = words(folder / "low-invoice-2031-001.pdf").replace("\u202f", " ")
    must = {
        "date": "2031-09-02", "number": "2031-001", "her tax number": "XX 123 456",
        "her name": "Tidemark Studio", "her address": "Rope Walk", "client": "The Lantern Hall",
        "client's address": "Harbour Street", "what": "low water", "delivered": "2031-09-01",
        "net": "1 000.00", "rate": "19 %", "tax": "190.00", "to pay": "790.00",
    }  # fmt: skip
    assert [name for name, value in must.items() if value not in text] == []


def test_a_number_is_given_once_shown_first_and_stays(folder):
    low, high = str(folder / "low.toml"), str(folder / "high.toml")
    shown = RUN(main, ["invoice", low, "--on", "2031-03-03"])
    assert "2031-001" in shown.output
    assert "Nothing is given out yet" in shown.output
    assert not (folder / REGISTER).exists()
    for file, number in ((high, "001"), (low, "002"), (low, "002")):
        said = RUN(main, ["invoice", file, "--on", "2031-03-04", "--write"])
        assert f"invoice 2031-{number}" in said.output
    assert "given already" in said.output
    assert "quotation 2031-001" in RUN(main, ["quotation", low, "--on", "2031-01-01"]).output
    (folder / "low.toml").write_text((folder / "low.toml").read_text().replace("1190", "1200"))
    said = RUN(main, ["invoice", low, "--on", "2031-03-05", "--write"])
    assert said.exit_code == 2
    assert "another price" in said.output


def test_numbers_have_no_gap_when_many_ask_at_once(tmp_path):
    register = tmp_path / REGISTER

    def ask(k):
        return given(register, kind="invoice", piece=f"p{k}", day="2031-03-03", total=5,
                     currency="EUR", write=True).count  # fmt: skip

    with ThreadPoolExecutor(8) as pool:
        found = list(pool.map(ask, range(24)))
    assert sorted(found) == list(range(1, 25))
    row = {"kind": "invoice", "total": 5, "currency": "EUR", "write": True}
    assert given(register, piece="next", day="2032-01-01", **row).number == "2032-001"
    with pytest.raises(NotRegistered, match="numbers follow the days"):
        given(register, piece="late", day="2031-12-31", **row)


def test_what_is_no_register_is_told_and_left(folder):
    (folder / REGISTER).write_text("hers")
    said = RUN(main, ["invoice", str(folder / "low.toml"), "--write"])
    assert said.exit_code == 2
    assert "cannot be used as a register" in said.output
    assert (folder / REGISTER).read_text() == "hers"


@pytest.mark.parametrize("tax", ["0", "7", "19", "25", "8.1"])
@pytest.mark.parametrize("agreed", ["0.01", "100", "1234.56", "999.99"])
def test_the_tax_is_taken_out_of_an_agreed_price(tax, agreed):
    """Outside: Python's decimal arithmetic."""
    text = small_draft("1 over 2", order="a*2").replace("[piece]", f"[piece]\nagreed = {agreed}")
    piece = Piece(read_draft(f"{text}[rates]\ntax = '{tax} %'\n"))
    net, part, total = agreed_of(piece.draft, piece.quote())
    exact = Decimal(agreed) * 100 / (1 + Decimal(tax) / 100)
    assert total == Decimal(agreed) * 100
    assert net == exact.quantize(Decimal(1), ROUND_HALF_UP)
    assert net + part == total


def test_an_open_price_gives_no_number(folder):
    file = folder / "low.toml"
    file.write_text(file.read_text().replace("agreed = 1190\n", ""))
    said = RUN(main, ["quotation", str(file), "--write"])
    assert said.exit_code == 2
    assert "the price is open" in said.output
