"""Quotes: sums to the cent, rounding as set, markup and margin apart, learning as published."""

from decimal import ROUND_HALF_EVEN, ROUND_HALF_UP, Decimal
from fractions import Fraction

import pytest
from click.testing import CliRunner
from hypothesis import given, settings
from hypothesis import strategies as st

from crossfell.cli import main
from crossfell.draft.edit import NotEditable
from crossfell.draft.reader import read_draft
from crossfell.piece import Piece
from crossfell.plan.quote import Coins, unit_total, wright_total
from crossfell.plan.quote_told import told, told_differences
from crossfell.plan.whatif import differences, with_changes

TEXT = """
[yarn.slate]
count = "tex 200"
fibre = "linen"
price = "40.00 per kg"
put_up = "100 g"
[yarn.chalk]
count = "tex 200"
fibre = "linen"
price = "400.00 per kg"
put_up = "100 g"
[strip.n]
width = 20
dents = 12
[unit.a]
strip = "n"
ends = "12 slate"
[warp]
pitch = 24
order = "a*4"
[band]
picks = "3, rod, 3"
weft = "slate"
rod = "steel 3"
[adhesive]
price = 18
[[span]]
height = 150
moves = "1-2 over 3-4"
[[span]]
height = 100
moves = "turn 2 right"
"""
WORKSHOP = """
[stock]   # what there is
rod_price = ["steel 3: 4.20"]
heddle_price = 30
rods = ["steel 3: 400 * 1", "steel 4: 900 * 2"]
{stock}
[rates]
{rates}
"""


def piece(rates="", stock="", text=TEXT):
    made = Piece(read_draft(text, workshop=WORKSHOP.format(rates=rates, stock=stock)))
    assert made.computable, [note.message for note in made.draft.notes]
    return made


@given(
    st.sampled_from([0, 2, 3]),
    st.sampled_from(["half up", "half even"]),
    st.integers(0, 60),
    st.integers(0, 40),
    st.integers(0, 25),
    st.sampled_from(["cost", "price"]),
)
@settings(max_examples=15, deadline=None)
def test_every_total_is_the_sum_of_its_lines_to_the_cent(minor, how, overhead, profit, tax, on):
    rates = f"""
minor = {minor}
rounding = "{how}"
overhead = {overhead}
profit = {profit}
profit_on = "{on}"
tax = {tax}
delivery = 80
installation = 120.5
"""
    quote = piece(rates).quote()
    for low in ("low", "likely", "high"):
        get = lambda line, low=low: getattr(line, low)  # noqa: E731
        parts = [quote.materials, quote.work, quote.overhead, quote.profit, *quote.extras]
        assert get(quote.net) == sum(map(get, parts))
        assert get(quote.total) == get(quote.net) + get(quote.tax)
        way = ROUND_HALF_EVEN if how == "half even" else ROUND_HALF_UP
        exact = Decimal(get(quote.net)) * Decimal(tax) / 100
        assert get(quote.tax) == int(exact.quantize(Decimal(1), rounding=way))
    assert quote.total.low <= quote.total.likely <= quote.total.high
    assert [line.name for line in quote.extras] == ["Delivery", "Installation"]


def test_a_quarter_of_markup_is_a_fifth_of_margin():
    markup, margin = (
        piece(f"profit = {share}\nprofit_on = '{on}'\noverhead = 0").quote()
        for share, on in ((25, "cost"), (20, "price"))
    )
    assert markup.profit == margin.profit.__class__(
        **{**{f: getattr(margin.profit, f) for f in ("name", "low", "likely", "high")},
           "how": markup.profit.how}
    )  # fmt: skip
    assert markup.margin == pytest.approx(0.20)
    assert margin.markup == pytest.approx(0.25)
    net = markup.net.likely
    assert markup.profit.likely / net == pytest.approx(0.20, abs=1e-4)


def test_halves_round_as_the_law_says():
    up, even = Coins(2, "half up"), Coins(2, "half even")
    assert [up.of(Fraction(x)) for x in ("0.125", "0.135")] == [13, 14]
    assert [even.of(Fraction(x)) for x in ("0.125", "0.135")] == [12, 14]
    assert up.of(Fraction("619.25") / 60 * 30) == 30963  # 619 1/4 minutes at 30 an hour
    assert up.share(0.07, 50) == 4  # 3.5 cents, exact in decimals
    assert even.share(0.05, 50) == 2  # 2.5 cents


@pytest.mark.parametrize(("how", "more"), [("half up", 1), ("half even", -1)])
def test_half_a_coin_of_tax_goes_the_way_that_she_set(how, more):
    """Half of an amount that leaves one of four: 2k + 1/2 coins."""
    rates = f"minor = 0\nrounding = '{how}'\ntax = 50\n"
    delivery = 4 + (1 - piece(rates).quote().net.likely) % 4
    quote = piece(f"{rates}delivery = {delivery}").quote()
    assert quote.net.likely % 4 == 1
    assert quote.tax.likely == (quote.net.likely + more) // 2
    assert (quote.net.how, quote.total.how) == ("the lines above", "net and tax")


def test_amounts_are_written_in_threes_with_the_decimals_of_the_currency():
    cents, whole = (piece(f"minor = {minor}").quote() for minor in (2, 0))
    assert cents.amount(120450) == "1\u202f204.50"
    assert whole.amount(1204500) == "1\u202f204\u202f500"


@pytest.mark.parametrize("key", ["overhead", "profit", "tax", "deposit", "waste", "learning"])
@pytest.mark.parametrize("said", ['"90 %"', '"90"', "90", "0.9", '"0.9"'])
def test_a_share_is_read_alike_however_it_is_written(key, said):
    rates = read_draft(TEXT, workshop=WORKSHOP.format(rates=f"{key} = {said}", stock="")).rates
    assert getattr(rates, key) == pytest.approx(0.9, abs=1e-12)


@pytest.mark.parametrize(
    ("said", "says"),
    [
        ("learning = 0", "more than 50 %"),
        ("learning = 14", "more than 50 %"),
        ("learning = 250", "250 % is more than makes sense: the most is 100 %"),
        ("minor = 30", "the most is 4"),
        ("tax = 1900", "1900 % is more than makes sense"),
        ("deposit = 101", "the most is 100 %"),
        ("overhead = true", 'a share, as "5 %"'),
        ("profit = -3", "less than nothing"),
    ],
)
def test_a_rate_without_sense_gets_a_sentence_with_its_line(said, says):
    draft = read_draft(TEXT, workshop=WORKSHOP.format(rates=said, stock=""), workshop_file="w")
    (note,) = draft.notes
    assert says in note.message
    assert draft.workshop_text.splitlines()[note.where.line - 1] == said
    assert Piece(draft).quote(3).total.likely >= 0  # and nothing falls over


def test_one_is_the_whole_of_a_rate_and_one_per_cent_of_the_rest():
    rates = read_draft(
        TEXT, workshop=WORKSHOP.format(rates="learning = 1\ntax = 1", stock="")
    ).rates
    assert (rates.learning, rates.tax) == (1.0, 0.01)
    draft = read_draft(TEXT.replace("pitch = 24", "pitch = 24\nlength_error = 0.3"))
    assert 'or is it "0.3 %"?' in draft.notes[0].message


@pytest.mark.parametrize(("currency", "decimals"), [("JPY", 0), ("EUR", 2), ("KWD", 3)])
def test_a_currency_has_its_own_decimals(currency, decimals):
    """Source: ISO 4217: yen have none, euro two, Kuwaiti dinar three."""
    quote = piece(f'currency = "{currency}"').quote()
    assert quote.minor == decimals
    assert len(quote.amount(1234567).partition(".")[2]) == decimals


def test_learning_curves_as_published():
    """80 %: 100, 80, 70.21, 64, eighth 51.2; four take 314.21 by units, 256 by Wright's average."""
    units = [unit_total(100, 0.8, n) - unit_total(100, 0.8, n - 1) for n in range(1, 9)]
    assert [units[n - 1] for n in (1, 2, 3, 4, 8)] == pytest.approx(
        [100, 80, 70.21, 64, 51.2], abs=0.005
    )
    assert unit_total(100, 0.8, 4) == pytest.approx(314.21, abs=0.005)
    assert wright_total(100, 0.8, 4) == pytest.approx(256)
    assert wright_total(100, 0.8, 2) - 100 == pytest.approx(60)
    assert wright_total(250, 0.85, 15) == pytest.approx(1987.4, abs=0.05)
    assert unit_total(250, 0.85, 15) == pytest.approx(2465.3, abs=0.05)


def test_hours_are_those_of_the_plan_and_repeat_by_the_learning_rate():
    made = piece("learning = 0.9\nhour = 30")
    quote, four = made.quote(), made.quote(4)
    assert quote.hours[1] == pytest.approx(made.plan.times.likely / 60)
    assert four.hours[1] == pytest.approx(unit_total(quote.hours[1], 0.9, 4))
    assert four.materials.likely < 4 * quote.materials.likely  # cones and heddles are shared


def test_a_missing_price_is_named_and_the_quote_is_without_it():
    quote = piece(text=TEXT.replace('price = "40.00 per kg"\n', "")).quote()
    assert quote.missing == ("yarn slate",)
    assert not quote.complete
    assert "yarn slate" in told(quote, title="x")


def test_what_if_a_height_a_colour_or_a_span_changes():
    made = piece("hour = 30")
    before = made.quote()

    def change(*changes):
        after = Piece(with_changes(made.draft, changes)).quote()
        return {row.name: row.change for row in differences(before, after)}

    assert change("span.1.height = 150") == dict.fromkeys(change("span.1.height = 150"), 0)
    dearer = change("unit.a.ends = 12 chalk")
    assert dearer["Materials"] > 0
    assert dearer["Hours"] == 0
    shorter = change("without span 2")
    assert shorter["Hours"] < 0
    assert shorter["Total"] < 0
    assert told_differences(before, differences(before, before)).startswith("Neither")
    for wrong in ("higher please", "without span 9", "span.9.height = 3"):
        with pytest.raises(NotEditable):
            with_changes(made.draft, (wrong,))


def test_the_command_quotes(tmp_path):
    draft, workshop = tmp_path / "low.toml", tmp_path / "workshop.toml"
    draft.write_text(TEXT)
    workshop.write_text(WORKSHOP.format(rates="hour = 30", stock=""))
    run = CliRunner().invoke
    shown = run(main, ["quote", str(draft), "--on", "2031-05-01"])
    assert shown.exit_code == 0
    assert "Valid until 2031-06-30 (60 days)" in shown.output
    assert run(main, ["quote", str(draft), "--if", "span.1.height = 300"]).exit_code == 0
    assert run(main, ["quote", str(draft), "--if", "what"]).exit_code == 2
    assert run(main, ["stock", str(draft)]).exit_code == 0


def test_the_command_measures_and_prints_the_sheet():
    run = CliRunner().invoke
    assert "Bench sheet" in run(main, ["measure"]).output
    assert "friction = 0.25" in run(
        main, ["measure", "slip", "light=100 g", "heavy=148.1 g", "wrap=90 deg"]
    ).output.replace("0.250", "0.25")
    asked = run(main, ["measure", "wraps"], input="96\n50 mm\nslate\n")
    assert "[yarn.slate]" in asked.output
    assert run(main, ["measure", "nonsense"]).exit_code == 2
