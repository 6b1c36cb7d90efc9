"""What does the piece cost: materials, hours, overhead, profit, tax, and within what range?

Money is whole minor units (cents), each line rounded once as her rates say, tax on the net sum.
Hours come from the plan with their range; materials are what is to buy. A markup is a share of the
cost, a margin a share of the price: 25 % of markup is 20 % of margin, and the two are kept apart.
Source: common practice. Checked: tests/plan/test_quote.py, against learning curves of Wright
(1936) as published, and against Python's decimal arithmetic.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from math import log2

from crossfell.draft.model import Draft, Rates
from crossfell.plan.amounts import Amounts
from crossfell.plan.charging import Charged, yarn_charged
from crossfell.plan.model import Plan
from crossfell.plan.several import PiecesOf, together
from crossfell.plan.stock import YarnNeed
from crossfell.plan.sure import Sure


@dataclass(frozen=True, kw_only=True)
class Line:
    """One line of a quote, in minor units."""

    name: str
    low: int
    likely: int
    high: int
    how: str  # how it came about, for reading


@dataclass(frozen=True, kw_only=True)
class Quote:
    """A quote. Totals are sums of their lines, to the last cent."""

    currency: str
    minor: int  # decimals
    pieces: int
    hours: tuple[float, float, float]  # low, likely, high, of all pieces
    materials: Line
    work: Line
    overhead: Line
    profit: Line
    extras: tuple[Line, ...]  # delivery, installation
    discount: Line  # less than nothing, or nothing
    rounding: Line  # to the step that she set
    net: Line
    tax: Line
    total: Line
    deposit: Line
    markup: float  # profit as a share of cost
    margin: float  # profit as a share of the net price of the work
    valid_days: int
    missing: tuple[str, ...]  # what has no price yet; the quote is without it

    @property
    def lines(self) -> tuple[Line, ...]:
        """All lines in their order."""
        return (*self.parts, self.net, self.tax, self.total, self.deposit)

    @property
    def parts(self) -> tuple[Line, ...]:
        """Lines that make the net price; discount and rounding only where there is some."""
        own = (
            line
            for line in (self.discount, self.rounding)
            if any((line.low, line.likely, line.high))
        )
        return (self.materials, self.work, self.overhead, self.profit, *self.extras, *own)

    @property
    def complete(self) -> bool:
        """Whether every material has a price."""
        return not self.missing

    def amount(self, minor_units: int) -> str:
        """Write an amount: `1 204.50`."""
        value = Decimal(minor_units).scaleb(-self.minor)
        return f"{value:,.{self.minor}f}".replace(",", "\u202f")


def quote_of(
    draft: Draft, amounts: Amounts, plan: Plan, sure: Sure | None = None, *, pieces: int = 1
) -> Quote:
    """Quote a piece, or several alike made one after another."""
    rates = draft.rates
    coins = Coins(rates.minor, rates.rounding)
    charged, yarns = _charged(draft, amounts, pieces)
    known, missing = charged.known, charged.missing
    less, more = _yarn_swing(draft, yarns, sure, pieces)
    bills = tuple(coins.of(_exact(known + by)) for by in (less, 0.0, more))
    range_ = ", by how sure the amounts are" if less or more else ""
    cost = _line("Materials", bills, f"{_CHARGED[rates.charge]}, waste included{range_}")
    repeat = unit_total(1.0, rates.learning, pieces)
    times = (plan.times.low, plan.times.likely, plan.times.high)
    low, likely, high = (minutes / 60 * repeat for minutes in times)
    each = _exact(rates.hour) * _exact(repeat) / 60  # of a minute
    work = _line(
        "Work",
        tuple(coins.of(_exact(minutes) * each) for minutes in times),
        f"{low:.1f} to {high:.1f} hours at {rates.hour:g}",
    )
    overhead = _share("Overhead", (cost, work), rates.overhead, coins, "of materials and work")
    markup, margin = _markup_and_margin(rates)
    profit = _share(
        "Profit", (cost, work, overhead), markup, coins,
        f"on cost, a markup; as a margin {_percent(margin)} of the price",
    )  # fmt: skip
    extras = tuple(
        _line(name, (coins.of(_exact(value)),) * 3, "as agreed, net")
        for name, value in (("Delivery", rates.delivery), ("Installation", rates.installation))
        if value
    )
    before = (cost, work, overhead, profit, *extras)
    discount = _less(_share("Discount", before, rates.discount, coins, "off"))
    asked = PriceAsked(tax=rates.tax, step=rates.step, of=rates.step_of, coins=coins)
    rounding, tax = _rounded(_sum("", (*before, discount)), asked)
    net = _sum("Net", (*before, discount, rounding))
    total = _sum("Total", (net, tax))
    deposit = _share("Deposit", (total,), rates.deposit, coins, "of the total, on order")
    return Quote(
        currency=rates.currency,
        minor=rates.minor,
        pieces=pieces,
        hours=(low, likely, high),
        materials=cost,
        work=work,
        overhead=overhead,
        profit=profit,
        extras=extras,
        discount=discount,
        rounding=rounding,
        net=net,
        tax=tax,
        total=total,
        deposit=deposit,
        markup=markup,
        margin=margin,
        valid_days=rates.valid_days,
        missing=missing,
    )


_CHARGED = {
    "bought and own": "whole packs that are to buy, and what stock gives",
    "used": "what is used",
    "bought": "whole packs that are to buy",
}


def _markup_and_margin(rates: Rates) -> tuple[float, float]:
    """Profit as a share of cost, and of price: margin = markup / (1 + markup)."""
    if rates.profit_on == "price":
        return rates.profit / (1 - rates.profit), rates.profit
    return rates.profit, rates.profit / (1 + rates.profit)


def agreed_of(draft: Draft, quote: Quote) -> tuple[int, int, int] | None:
    """Net, tax and total that the client pays, in coins; None while the price is open.

    Of an agreed price the tax is taken out, rounded once; otherwise it is what is quoted.
    """
    rates = draft.rates
    agreed = draft.about.agreed
    if agreed is None:
        line = (quote.net.likely, quote.tax.likely, quote.total.likely)
        return line if quote.complete else None
    coins = Coins(rates.minor, rates.rounding)
    total = coins.of(_exact(agreed))
    net = coins.whole(total / (1 + _exact(rates.tax)))
    return net, total - net, total


def deposit_of(draft: Draft, total: int) -> int:
    """What is to be paid on order of a total, in coins, rounded once."""
    return Coins(draft.rates.minor, draft.rates.rounding).share(draft.rates.deposit, total)


def unit_total(first: float, rate: float, count: int) -> float:
    """Time of `count` pieces when each doubling takes `rate` as long for the last (unit model).

    t_n = t_1 n^b, b = log2(rate). Source: published, learning curves; the unit model.
    Checked: 80 %: 100, 80, 70.21, 64, … and 314.21 for four.
    """
    return first * sum(float(n ** log2(rate)) for n in range(1, count + 1))


def wright_total(first: float, rate: float, count: int) -> float:
    """The same when the average of all takes `rate` as long with each doubling.

    Source: published, Wright 1936. Checked: 80 %: 256 for four, the second alone 60.
    """
    return float(first * count ** (1 + log2(rate)))


@dataclass(frozen=True)
class Coins:
    """How amounts become whole minor units: decimals of the currency, way of rounding."""

    minor: int
    half: str  # "half up" or "half even"

    def of(self, amount: Fraction) -> int:
        """Round an amount of money, once."""
        return self.whole(amount * 10**self.minor)

    def share(self, part: float, coins: int) -> int:
        """A share of a whole number of minor units, rounded once."""
        return self.whole(_exact(part) * coins)

    def whole(self, amount: Fraction) -> int:
        """The nearest whole number; `round` takes a half to the even one."""
        even = round(amount)
        up = self.half == "half up" and amount - even == Fraction(1, 2)
        return even + 1 if up else even


def _exact(value: float) -> Fraction:
    """The decimal number that a person reads in a float."""
    return Fraction(repr(round(value, 9)))


def _line(name: str, amounts: tuple[int, ...], how: str) -> Line:
    low, likely, high = amounts
    return Line(name=name, low=low, likely=likely, high=high, how=how)


def _sum(name: str, lines: tuple[Line, ...]) -> Line:
    return Line(
        name=name,
        low=sum(line.low for line in lines),
        likely=sum(line.likely for line in lines),
        high=sum(line.high for line in lines),
        how="the lines above" if len(lines) > 2 else "net and tax",
    )


def _share(name: str, lines: tuple[Line, ...], share: float, coins: Coins, of: str) -> Line:
    base = _sum("", lines)
    low, likely, high = (coins.share(share, n) for n in (base.low, base.likely, base.high))
    return Line(name=name, low=low, likely=likely, high=high, how=f"{_percent(share)} {of}")


def _less(line: Line) -> Line:
    return replace(line, low=-line.low, likely=-line.likely, high=-line.high)


@dataclass(frozen=True, kw_only=True)
class PriceAsked:
    """What the price is brought to: a multiple of a step, net or with tax."""

    tax: float
    step: float
    of: str  # "total" or "net"
    coins: Coins

    def price(self, before: int) -> tuple[int, int]:
        """Net price and tax of what the lines come to, in coins.

        With tax the rounded total stands, and the tax is taken out of it, rounded once.
        """
        coins, step = self.coins, self.coins.of(_exact(self.step))
        if not step:
            return before, coins.share(self.tax, before)
        if self.of == "net":
            net = coins.whole(Fraction(before, step)) * step
            return net, coins.share(self.tax, net)
        total = before + coins.share(self.tax, before)
        total = coins.whole(Fraction(total, step)) * step
        net = coins.whole(total / (1 + _exact(self.tax)))
        return net, total - net


def _rounded(before: Line, asked: PriceAsked) -> tuple[Line, Line]:
    """The lines of rounding and of tax."""
    ends = (before.low, before.likely, before.high)
    prices = [asked.price(end) for end in ends]
    by = tuple(net - end for (net, _), end in zip(prices, ends, strict=True))
    how = f"{'the total' if asked.of == 'total' else 'net'} to whole {asked.step:g}"
    tax = _line("Tax", tuple(tax for _, tax in prices), f"{_percent(asked.tax)} on net")
    return _line("Rounding", by, how), tax


def _percent(share: float) -> str:
    return f"{share * 100:.3g} %"


def _charged(draft: Draft, amounts: Amounts, pieces: int) -> tuple[Charged, tuple[YarnNeed, ...]]:
    """What is charged for the materials of all pieces, bought for all at once."""
    if pieces == 1:
        return amounts.charged, amounts.yarns
    many = together([PiecesOf(draft=draft, amounts=amounts, pieces=pieces)])
    return many.charged, many.yarns


def _yarn_swing(
    draft: Draft, needs: tuple[YarnNeed, ...], sure: Sure | None, pieces: int
) -> tuple[float, float]:
    """How much less, and more, the yarn can cost; packs that may be one fewer or one more."""
    swing = [0.0, 0.0]
    for need in needs if sure else ():
        error = sure.yarn_g[need.yarn] * pieces if sure else 0.0
        grams = (max(need.need_g - error, 0.0), need.need_g, need.need_g + error)
        low, likely, high = (
            yarn_charged(draft.rates, draft.yarns[need.yarn], mass) for mass in grams
        )
        if low is not None and likely is not None and high is not None:
            swing = [swing[0] + low - likely, swing[1] + high - likely]
    return swing[0], swing[1]
