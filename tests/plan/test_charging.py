"""What she charges: her own stock at its price, wear, discount, rounding to a step, by sums in decimals."""

from decimal import ROUND_HALF_UP, Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from test_quote import TEXT, piece

from crossfell.draft.reader import read_draft

OWN = TEXT.replace('put_up = "100 g"', 'put_up = "100 g"\nin_stock = "{own}"', 1)


def yarn(own, rates):
    made = piece(f'charge = "{rates}"', text=OWN.replace("{own}", own))
    (need,) = (need for need in made.amounts.yarns if need.yarn == "slate")
    return need, made.amounts.charged.yarns[0], made


@pytest.mark.parametrize("own", ["0 g", "5 g", "2 kg"])
def test_yarn_that_was_there_is_charged_at_its_price(own):
    """40 per kg: packs of 100 g, and what the shelf gives."""
    need, charged, _ = yarn(own, "bought and own")
    short = max(need.need_g - need.in_stock_g, 0)
    packs = -(-short // 100)
    assert charged == pytest.approx((100 * packs + min(need.need_g, need.in_stock_g)) * 0.040)
    assert yarn(own, "used")[1] == pytest.approx(need.need_g * 0.040)
    assert yarn(own, "bought")[1] == pytest.approx(100 * packs * 0.040)


@pytest.mark.parametrize(
    ("said", "per_kg"),
    [
        ("46.00 per kg", 46), ("46", 46), ("9.50 per 100 g", 95), ("12 per lb", 12 / 0.45359237),
        ("2 per oz", 2 / 0.028349523125), ("0.01 per m", 50), ("4 per 500 m", 40),
        ("1 / yd", 1e6 / (914.4 * 0.2)), ("11.50 per cone", 115), ("11.50 per skein", 115),
    ],
)  # fmt: skip
def test_a_price_is_read_as_the_yarn_is_sold(said, per_kg):
    """200 tex is 0.2 g a metre, put up by 100 g. Source: pound and yard of 1959 (definition)."""
    draft = read_draft(TEXT.replace("40.00 per kg", said))
    assert not draft.notes
    assert draft.yarns["slate"].price == pytest.approx(per_kg, rel=1e-12)


@pytest.mark.parametrize(
    ("said", "says"),
    [("4 per bag", "per kg, g, lb"), ("dear", "46.00 per kg"), ("4 per 0 m", "for nothing")],
)
def test_a_price_without_sense_is_told(said, says):
    (note,) = read_draft(TEXT.replace("40.00 per kg", said)).notes
    assert says in note.message


def test_a_price_by_the_cone_needs_its_mass():
    text = TEXT.replace("40.00 per kg", "11 per cone").replace('put_up = "100 g"\n', "", 1)
    (note,) = read_draft(text).notes
    assert "needs `put_up`" in note.message
    assert text.splitlines()[note.where.line - 1].startswith("price")


def test_rods_of_her_own_are_charged_by_their_length():
    """4.20 for 2 m; what goes back to stock is not charged."""
    made = piece('charge = "bought and own"', stock="keep = 20\nkerf = 0")
    (rod,) = made.amounts.rods
    own = [bar for bar in rod.plan.bars if bar.in_stock]
    gone = sum(b.times * (b.stock_mm - (b.rest_mm if b.rest_mm >= 20 else 0)) for b in own)
    assert gone > 0
    assert made.amounts.charged.rods[0] == pytest.approx(4.20 * (rod.plan.bought + gone / 2000))
    used = piece('charge = "used"', stock="keep = 20\nkerf = 0").amounts.charged.rods[0]
    assert used == pytest.approx(4.20 * sum(rod.pieces) / 2000)


def test_a_heddle_that_is_used_again_is_charged_by_its_wear():
    whole, some, none = (
        piece(f'heddle_wear = "{share} %"').amounts.charged.strips[0] for share in (100, 20, 0)
    )
    assert (some, none) == (pytest.approx(whole / 5), 0)


def test_own_yarn_without_a_price_leaves_the_price_open():
    made = piece(text=OWN.replace("{own}", "2 kg").replace('price = "40.00 per kg"\n', ""))
    assert made.quote().missing == ("yarn slate",)
    assert made.amounts.price is not None  # nothing is to buy
    assert any(note.code == "price-missing" for note in made.notes)


@given(
    st.integers(0, 30), st.integers(0, 25), st.sampled_from(["1", "5", "10", "0.05", "99.95"]),
    st.sampled_from(["total", "net"]),
)  # fmt: skip
@settings(max_examples=12, deadline=None)
def test_a_price_comes_to_whole_steps_and_its_lines_to_the_price(discount, tax, step, of):
    rates = f'discount = {discount}\ntax = {tax}\nstep = "{step}"\nstep_of = "{of}"'
    quote = piece(rates).quote()
    coin = Decimal(1)
    for end in ("low", "likely", "high"):
        get = lambda line, end=end: Decimal(getattr(line, end))  # noqa: E731
        before = sum(get(x) for x in (quote.materials, quote.work, quote.overhead, quote.profit))
        off = (before * discount / 100).quantize(coin, ROUND_HALF_UP)
        assert get(quote.discount) == -off
        assert get(quote.net) == before - off + get(quote.rounding)
        assert get(quote.total) == get(quote.net) + get(quote.tax)
        whole = get(getattr(quote, of))
        cents = 100 * Decimal(step)
        assert whole % cents == 0
        exact = before - off
        if of == "total":
            exact += (exact * tax / 100).quantize(coin, ROUND_HALF_UP)
        assert abs(whole - exact) <= cents / 2
        assert abs(get(quote.tax) - get(quote.net) * tax / 100) <= 1
    assert sum(line.likely for line in quote.parts) == quote.net.likely


def test_without_a_step_or_a_discount_the_quote_has_no_such_lines():
    names = [line.name for line in piece().quote().lines]
    assert not {"Rounding", "Discount"} & set(names)
