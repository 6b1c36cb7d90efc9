"""What does the piece cost: materials, hours, overhead, profit, tax?"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache

from crossfell.facts.declare import (
    AS_WRITTEN,
    MONEY,
    Answer,
    Inputs,
    Put,
    each,
    fact,
    level,
    of,
    other,
    ranged,
)
from crossfell.piece import Piece
from crossfell.plan.quote import Line, Quote

level("price", whom="client", says="the quote, in the currency's units")
LOW, HIGH = "Lower end of the range of ", "Upper end of the range of "


def _coins(piece: Piece) -> Inputs:
    rates = of(piece.draft.rates, "minor rounding")
    return {"decimals": rates["minor"], "half": rates["rounding"]}


def _at(line: Line, end: str) -> int:
    return {"": line.likely, "_low": line.low, "_high": line.high}[end]


def _closed(piece: Piece, line: str, put: Callable[[], Inputs], end: str = "") -> Answer:
    """An amount of the quote in units of the currency; open while a material has no price."""
    quote = _quote(piece)
    found: Line = getattr(quote, line)
    return Answer(_at(found, end) / 10**quote.minor if quote.complete else None, put)


@lru_cache(maxsize=1)
def _quote(piece: Piece) -> Quote:
    return piece.quote()


@fact("price.currency", form="string")
def currency(piece: Piece) -> Answer:
    """Currency of the rates."""
    return Answer(piece.draft.rates.currency)


_MATERIALS = "sum(yarns) + sum(rods) + sum(heddles) + adhesive"


def _materials(piece: Piece, what: str) -> Inputs:
    """Charged, or to be paid in the shop, for each."""
    return (
        each(piece, f"stock.yarn.*.{what}", name="yarns")
        | each(piece, f"stock.rods.*.{what}", name="rods")
        | each(piece, f"stock.strips.*.{what}", name="heddles")
        | other(piece, "stock.adhesive.price", name="adhesive")
    )


@fact(
    "price.materials",
    MONEY,
    form="number>=0?",
    formula=_MATERIALS,
    source="the draft and the workshop",
    says="Materials are charged at {value}: yarn {yarns}, rods {rods}, heddles {heddles}, adhesive "
    "{adhesive}.",
)
def materials(piece: Piece) -> Answer:
    """All materials as they are charged, her own stock too; open while a price is missing."""
    return Answer(piece.amounts.charged.total, lambda: _materials(piece, "charged"))


@fact(
    "price.to_buy",
    MONEY,
    form="number>=0?",
    formula=_MATERIALS,
    source="the draft and the workshop",
    says="What is to buy costs {value}: yarn {yarns}, rods {rods}, heddles {heddles}, adhesive "
    "{adhesive}.",
    whom="shop",
)
def to_buy(piece: Piece) -> Answer:
    """Everything that is to buy; open while a price is missing."""
    return Answer(piece.amounts.price, lambda: _materials(piece, "price"))


_SHARES = {"": 1.0, "_low": 0.75, "_high": 1.5}


@ranged(
    "price.hours",
    "h",
    low=f"{LOW}hours.",
    high=f"{HIGH}hours.",
    formula={"": "share * minutes / 60"},
    source="common practice; the range 0.75 to 1.5: common practice, no source",
)
def hours(piece: Piece, end: str) -> Answer:
    """Hours of work, without drying."""
    low, likely, high = _quote(piece).hours
    return Answer(
        {"": likely, "_low": low, "_high": high}[end],
        lambda: other(piece, "plan.minutes") | {"share": Put(_SHARES[end])},
    )


@ranged(
    "price.work",
    MONEY,
    low=f"{LOW}the work.",
    high=f"{HIGH}the work.",
    formula={"": "cents(share * minutes / 60 * hour, decimals, half)"},
    source="the rates",
    says="The work comes to {value}: {minutes} at {hour} an hour.",
)
def work(piece: Piece, end: str) -> Answer:
    """Hours times the rate, rounded once to the coin."""
    quote = _quote(piece)
    return Answer(
        _at(quote.work, end) / 10**quote.minor,
        lambda: (
            other(piece, "plan.minutes")
            | {"share": Put(_SHARES[end]), "hour": _hour(piece)}
            | _coins(piece)
        ),
    )


def _hour(piece: Piece) -> Put:
    return of(piece.draft.rates, "hour")["hour"]._replace(unit=MONEY)


_BOUGHT = "cents(materials, decimals, half)"


@fact(
    "price.overhead",
    MONEY,
    form="number>=0?",
    formula=f"cents(overhead * ({_BOUGHT} + work), decimals, half)",
    source="the rates",
)
def overhead(piece: Piece) -> Answer:
    """Share of materials and work, rounded once."""
    own = "price.materials price.work"
    return _closed(
        piece,
        "overhead",
        lambda: other(piece, own) | of(piece.draft.rates, "overhead") | _coins(piece),
    )


@fact(
    "price.profit",
    MONEY,
    form="number>=0?",
    formula={
        "cost": f"cents(profit * ({_BOUGHT} + work + overhead), decimals, half)",
        "price": f"cents(profit / (1 - profit) * ({_BOUGHT} + work + overhead), decimals, half)",
    },
    source="the rates; a margin m is a markup of m / (1 − m)",
)
def profit(piece: Piece) -> Answer:
    """Share of the cost; a margin, a share of the price, as the markup that it is."""
    rates = piece.draft.rates
    cost = "price.materials price.work price.overhead"
    closed = _closed(
        piece, "profit", lambda: other(piece, cost) | of(rates, "profit profit_on") | _coins(piece)
    )
    return closed._replace(case=rates.profit_on)


@fact(
    "price.before",
    MONEY,
    form="number>=0?",
    formula=f"{_BOUGHT} + work + overhead + profit + cents(delivery, decimals, half)"
    " + cents(installation, decimals, half)",
    source="the rates",
)
def before(piece: Piece) -> Answer:
    """What the lines come to: materials, work, overhead, profit, and what was agreed beside."""
    quote = _quote(piece)
    own = quote.net.likely - quote.rounding.likely - quote.discount.likely
    cost = "price.materials price.work price.overhead price.profit"
    return Answer(
        own / 10**quote.minor if quote.complete else None,
        lambda: other(piece, cost) | of(piece.draft.rates, "delivery installation") | _coins(piece),
    )


@fact("price.discount", MONEY, form="number>=0?",
      formula="cents(discount * before, decimals, half)", source="the rates")  # fmt: skip
def discount(piece: Piece) -> Answer:
    """What is taken off, a share of what the lines come to, rounded once."""
    quote = _quote(piece)
    return Answer(
        -quote.discount.likely / 10**quote.minor if quote.complete else None,
        lambda: other(piece, "price.before") | of(piece.draft.rates, "discount") | _coins(piece),
    )


_LEFT = "(before - discount)"
_GROSS = f"cents(({_LEFT} + cents(tax * {_LEFT}, decimals, half)) / step, 0, half) * step"


def _step_case(piece: Piece) -> str:
    """Which price is brought to a multiple of a step, if any."""
    rates = piece.draft.rates
    return rates.step_of if round(rates.step * 10**rates.minor) else "no step"


def _asked(piece: Piece) -> Inputs:
    step = of(piece.draft.rates, "step")["step"]._replace(unit=MONEY)
    return (
        other(piece, "price.before price.discount")
        | of(piece.draft.rates, "tax")
        | {"step": step}
        | _coins(piece)
    )


@fact(
    "price.rounding",
    MONEY,
    form="number?",
    formula={
        "no step": "0",
        "net": f"cents({_LEFT} / step, 0, half) * step - {_LEFT}",
        "total": f"cents({_GROSS} / (1 + tax), decimals, half) - {_LEFT}",
    },
    source="the rates",
)
def rounding(piece: Piece) -> Answer:
    """What brings the price, net or with tax, to the nearest whole step."""
    closed = _closed(piece, "rounding", lambda: _asked(piece))
    return closed._replace(case=_step_case(piece))


@fact("price.net", MONEY, form="number>=0?", formula="before - discount + rounding",
      source="the rates")  # fmt: skip
def net(piece: Piece) -> Answer:
    """Net price: what the lines come to, less the discount, rounded to the step."""
    own = "price.before price.discount price.rounding"
    return _closed(piece, "net", lambda: other(piece, own))


@fact(
    "price.tax",
    MONEY,
    form="number>=0?",
    formula={
        "of net": "cents(tax * net, decimals, half)",
        "out of the total": f"{_GROSS} - net",
    },
    source="the rates",
)
def tax(piece: Piece) -> Answer:
    """Tax on the net price, rounded once; what is left of a total that was rounded to a step."""
    whole = _step_case(piece) == "total"
    own = of(piece.draft.rates, "tax") | _coins(piece)
    closed = _closed(
        piece,
        "tax",
        lambda: other(piece, "price.net") | (_asked(piece) if whole else own),
    )
    return closed._replace(case="out of the total" if whole else "of net")


def _end_of(quote: Quote, line: Line, end: str) -> Put:
    return Put(_at(line, end) / 10**quote.minor, MONEY)


@ranged(
    "price.total",
    MONEY,
    form="number>=0?",
    low=f"{LOW}the price with tax.",
    high=f"{HIGH}the price with tax.",
    formula={"": "net + tax"},
    source="the rates",
    says="The piece costs {value} with tax: {net} net and {tax} of tax.",
)
def total(piece: Piece, end: str) -> Answer:
    """Price with tax."""
    quote = _quote(piece)
    put = {"net": _end_of(quote, quote.net, end), "tax": _end_of(quote, quote.tax, end)}
    return _closed(piece, "total", lambda: put if end else other(piece, "price.net price.tax"), end)


@fact("price.deposit", MONEY, form="number>=0?", formula="cents(deposit * total, decimals, half)",
      source="the rates; common practice 30 to 50 %")  # fmt: skip
def deposit(piece: Piece) -> Answer:
    """Deposit on order, a share of the total, rounded once."""
    return _closed(
        piece,
        "deposit",
        lambda: other(piece, "price.total") | of(piece.draft.rates, "deposit") | _coins(piece),
    )


@fact("price.markup", form="number", formula={"cost": "profit", "price": "profit / (1 - profit)"})
def markup(piece: Piece) -> Answer:
    """Profit as a share of cost."""
    rates = piece.draft.rates
    return Answer(_quote(piece).markup, lambda: of(rates, "profit profit_on"), rates.profit_on)


@fact("price.margin", form="number", formula="markup / (1 + markup)")
def margin(piece: Piece) -> Answer:
    """Profit as a share of the price of the work."""
    return Answer(_quote(piece).margin, lambda: other(piece, "price.markup"))


@fact("price.valid_days", "days", form="integer>=0", formula=AS_WRITTEN, source="the rates")
def valid_days(piece: Piece) -> Answer:
    """Days that the quote is valid."""
    return Answer(_quote(piece).valid_days, lambda: of(piece.draft.rates, "valid_days"))


@fact("price.per_metre", MONEY, form="number>=0?", formula="net / height * 1000",
      source="a check against other pieces")  # fmt: skip
def per_metre(piece: Piece) -> Answer:
    """Net price of a metre of height."""
    found = net(piece).value
    high = piece.paths.height_total_mm
    return Answer(
        None if found is None else found / high * 1000,
        lambda: other(piece, "price.net piece.height"),
    )


@fact("price.per_square_metre", MONEY, form="number>=0?", formula="net / (width * height) * 1e6",
      source="a check against other pieces")  # fmt: skip
def per_square_metre(piece: Piece) -> Answer:
    """Net price of a square metre of the woven piece."""
    found = net(piece).value
    area = piece.paths.width_total_mm * piece.paths.height_total_mm
    return Answer(
        None if found is None else found / area * 1e6,
        lambda: other(piece, "price.net piece.width piece.height"),
    )
