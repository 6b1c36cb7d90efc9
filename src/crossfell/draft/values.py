"""What does one value of the draft mean?

One small reader for each kind that `keys.key` names. Each takes the value as TOML gave it and the
measure for bare lengths, and raises `NotAQuantity` with a sentence when it makes no sense.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from typing import Any

from crossfell.base.quantities import BARE, NotAQuantity, in_reach, read_quantity
from crossfell.draft.keys import kind_of
from crossfell.draft.model import Rod
from crossfell.draft.prices import YarnPrice, yarn_price_of
from crossfell.draft.rod_text import rod_of
from crossfell.draft.stock_items import Reserved
from crossfell.draft.stock_text import reserved_of
from crossfell.materials.counts import YarnCount

LONGEST_TEXT = 400
_COLOUR = re.compile(r"#[0-9a-fA-F]{6}")
_CONTROL = re.compile(r"[\x00-\x08\x0b-\x1f\x7f\u202a-\u202e\u2066-\u2069]")
_TIMES = re.compile(r"(?P<what>[^*]+)\*\s*(?P<count>\d+)\s*")
_BARE_LENGTH = re.compile(r"(:\s*\d[\d\s./]*?)\s*(?=\*|$)")
_MONEY = re.compile(r"(?P<amount>\d+(?:\.\d+)?)\s*(?:(?P<per>per|/)\s*(?P<what>\w+))?\s*")


def value_of(kind: str, raw: Any, measure: str) -> Any:
    """Read a raw value as the kind that a key declares. Errors: NotAQuantity."""
    plain, least, most, rest = kind_of(kind)
    value = _READERS[plain](raw, rest, measure)
    if isinstance(value, str):
        return value
    size = math.degrees(value) if plain == "angle" else 100 * value if plain == "percent" else value
    if least is not None and size <= least:
        raise NotAQuantity(f"this must be more than {_limit(least, plain)}")
    if most < math.inf and size > most * (1 + 1e-12):
        beyond = "more than makes sense" if plain in {"percent", "count"} else "beyond any loom"
        read = f"{size:.10g} % is" if plain == "percent" else "this is"
        hint = (
            f'; or is it "{raw:g} %"?'
            if plain == "percent" and isinstance(raw, float) and raw < 1
            else ""
        )
        raise NotAQuantity(f"{read} {beyond}: the most is {_limit(most, plain)}{hint}")
    return value


def _limit(limit: float, plain: str) -> str:
    """A limit as it is told, in the unit of the kind."""
    if not limit:
        return "nothing"
    return f"{limit:g} {'mm' if plain == 'length' else BARE.get(plain, '')}".rstrip()


def _text(raw: Any, _rest: str, _measure: str) -> str:
    if not isinstance(raw, str):
        raise NotAQuantity("this should be text in quotes")
    if len(raw) > LONGEST_TEXT:
        raise NotAQuantity(f"this is longer than {LONGEST_TEXT} letters")
    if _CONTROL.search(raw):
        raise NotAQuantity("this has signs that cannot be seen or printed")
    return raw


def _number(raw: Any, _rest: str, _measure: str) -> float:
    if isinstance(raw, bool) or not isinstance(raw, (int, float)):
        raise NotAQuantity("this should be a number")
    value = in_reach(float(raw))
    if value < 0:
        raise NotAQuantity("this cannot be less than nothing")
    return value


def _count(raw: Any, _rest: str, _measure: str) -> int:
    if isinstance(raw, bool) or not isinstance(raw, int):
        raise NotAQuantity("this should be a whole number")
    return int(_number(raw, "", ""))


def _yes(raw: Any, _rest: str, _measure: str) -> bool:
    if not isinstance(raw, bool):
        raise NotAQuantity("this should be true or false")
    return raw


def _one_of(raw: Any, rest: str, _measure: str) -> str:
    options = rest.split("|")
    if raw not in options:
        raise NotAQuantity(f"this should be one of {', '.join(options)}")
    return str(raw)


def _quantity(kind: str) -> Callable[[Any, str, str], float]:
    def read(raw: Any, _rest: str, measure: str) -> float:
        if isinstance(raw, str):
            value = read_quantity(raw, kind, measure)
        elif isinstance(raw, bool) or not isinstance(raw, (int, float)):
            raise NotAQuantity(f"this should be a {_SAID[kind]}, as {_AS[kind]}")
        else:
            value = read_quantity(_plain(raw), kind, measure)
        if value < 0:
            raise NotAQuantity("this cannot be less than nothing")
        return value

    return read


_SAID = {
    "length": "length",
    "mass": "mass",
    "force": "force",
    "angle": "angle",
    "minutes": "time",
}
_AS = {
    "length": '120 or "4 3/4 in"',
    "mass": '"250 g"',
    "force": '"0.3 N"',
    "angle": '"35 deg"',
    "minutes": '"40 min"',
}


def _percent(raw: Any, rest: str, measure: str) -> float:
    """A share: `"90 %"`, 90 and 0.9 are the same; a bare number below 1 is a part of the whole.

    1 is one per cent; only of a rate, which is never so small, it is the whole.
    """
    if isinstance(raw, bool) or not isinstance(raw, (int, float, str)):
        raise NotAQuantity('this should be a share, as "5 %"')
    text = raw if isinstance(raw, str) else _plain(raw)
    share = read_quantity(text, "percent", measure)
    if share < 0:
        raise NotAQuantity("this cannot be less than nothing")
    bare = not text.rstrip().endswith(("%", "percent"))
    is_part = 0 < share < 0.01 or (rest == "rate" and share == 0.01)
    return round(100 * share, 12) if bare and is_part else share


def _plain(raw: float) -> str:
    in_reach(float(raw))
    return f"{raw:.12f}".rstrip("0").rstrip(".") if isinstance(raw, float) else str(raw)


def _colour(raw: Any, _rest: str, _measure: str) -> str:
    if not isinstance(raw, str) or not _COLOUR.fullmatch(raw):
        raise NotAQuantity("a colour is written #rrggbb, as #4a5560")
    return raw.lower()


def _money(raw: Any, rest: str, _measure: str) -> float:
    if isinstance(raw, str):
        found = _MONEY.fullmatch(raw.strip())
        if found is None:
            raise NotAQuantity("a price is written as 46.00" + (f" per {rest}" if rest else ""))
        if found["what"] and found["what"] != rest:
            raise NotAQuantity(f"this price should be {'per ' + rest if rest else 'a bare amount'}")
        return in_reach(float(found["amount"]))
    return _number(raw, "", "")


def _money_per_kg(raw: Any, _rest: str, measure: str) -> float | YarnPrice:
    price = yarn_price_of(raw) if isinstance(raw, str) else _money(raw, "kg", measure)
    return in_reach(price) if isinstance(price, float) else price


def _yarn_count(raw: Any, rest: str, _measure: str) -> YarnCount:
    from crossfell.materials.counts import CountProblem, read_count

    if not isinstance(raw, str):
        raise NotAQuantity('a yarn count is written as "lea 16/2" or "tex 207"')
    read = read_count(raw, rest)
    if isinstance(read, CountProblem):
        raise NotAQuantity(read.says)
    return read


def _rod(raw: Any, _rest: str, _measure: str) -> Rod:
    return rod_of(raw)


def _list(kind: str) -> Callable[[Any, str, str], tuple[Any, ...]]:
    def read(raw: Any, rest: str, measure: str) -> tuple[Any, ...]:
        if not isinstance(raw, list):
            raise NotAQuantity("this should be a list in square brackets")
        return tuple(_READERS[kind](item, rest, measure) for item in raw)

    return read


def _lengths_or(raw: Any, rest: str, measure: str) -> tuple[float, ...] | str:
    if raw == rest:
        return rest
    if not isinstance(raw, list):
        raise NotAQuantity(f'this should be a list of lengths, or "{rest}"')
    return _list("length")(raw, "", measure)


def _length_or(raw: Any, rest: str, measure: str) -> float | str:
    options = rest.split("|")
    if raw in options:
        return str(raw)
    if isinstance(raw, str) and not raw[:1].isdigit():
        said = " or ".join(f'"{option}"' for option in options)
        raise NotAQuantity(f"this should be {said}, or a length")
    return _quantity("length")(raw, "", measure)


def _weights(raw: Any, _rest: str, measure: str) -> tuple[tuple[float, int], ...]:
    if not isinstance(raw, list):
        raise NotAQuantity('weights are a list: ["250 g * 30", "500 g * 12"]')
    weights = []
    for item in raw:
        found = _TIMES.fullmatch(item) if isinstance(item, str) else None
        if found is None:
            raise NotAQuantity("a weight is written as `250 g * 30`: its mass and how many")
        mass = read_quantity(found["what"], "mass", measure)
        if mass <= 0:
            raise NotAQuantity("a weight must weigh something")
        weights.append((mass, min(int(found["count"]), 100_000)))
    return tuple(weights)


MOST_IN_STOCK = 10_000  # rods of one length
_HOW_MANY = re.compile(r"\*\s*(\d+)\s*$")
_BELOW_NOTHING = re.compile(r":\s*-")


def _stock_rods(raw: Any, rest: str, measure: str) -> tuple[str, ...]:
    """Rods in stock, still as text; a bare length keeps the measure of the file that it is in."""
    rows: tuple[str, ...] = _list("text")(raw, rest, measure)
    for row in rows:
        count = _HOW_MANY.search(row)
        if count and (len(count[1]) > 6 or int(count[1]) > MOST_IN_STOCK):
            raise NotAQuantity(f"no workshop has more than {MOST_IN_STOCK} rods of one length")
        if _BELOW_NOTHING.search(row):
            raise NotAQuantity("a rod in stock is longer than nothing")
    return tuple(_BARE_LENGTH.sub(rf"\1 {measure} ", row).rstrip() for row in rows)


def day_of(raw: object) -> str:
    """A day of the calendar, as `2031-03-14`; TOML's own dates too. Errors: NotAQuantity."""
    text = raw.isoformat() if hasattr(raw, "isoformat") else raw
    found = _DAY.fullmatch(text.strip()) if isinstance(text, str) else None
    if not found:
        raise NotAQuantity("a day is written year, month, day, as 2031-03-14")
    year, month, day = (int(part) for part in found.groups())
    long = _MONTHS[month - 1] if 1 <= month <= 12 else 0
    leap = month == 2 and year % 4 == 0 and (year % 100 != 0 or year % 400 == 0)
    if not 1 <= day <= long + leap:
        raise NotAQuantity(f"the calendar has no day {found[0]}")
    return found[0]


_DAY = re.compile(r"([12]\d{3})-(\d{2})-(\d{2})", re.ASCII)
_MONTHS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
_WEEK = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


def _day(raw: Any, _rest: str, _measure: str) -> str:
    return "" if raw == "" else day_of(raw)


def _days(raw: Any, _rest: str, _measure: str) -> tuple[tuple[str, str], ...]:
    if not isinstance(raw, list):
        raise NotAQuantity('this should be a list: ["2031-02-10", "2031-07-01 to 2031-07-14"]')
    spans = []
    for item in raw:
        first, _, last = item.partition(" to ") if isinstance(item, str) else (item, "", "")
        span = (day_of(first), day_of(last or first))
        if span[1] < span[0]:
            raise NotAQuantity(f"{span[0]} to {span[1]} ends before it begins")
        spans.append(span)
    return tuple(spans)


def _weekdays(raw: Any, _rest: str, _measure: str) -> tuple[int, ...]:
    words = raw.lower().replace(",", " ").split() if isinstance(raw, str) else []
    if not words or not set(words) <= set(_WEEK):
        raise NotAQuantity(f"days of the week are written {' '.join(_WEEK)}")
    return tuple(sorted({_WEEK.index(word) for word in words}))


def _reserved(raw: Any, _rest: str, measure: str) -> tuple[Reserved, ...]:
    return reserved_of(raw, measure)


_READERS: dict[str, Callable[[Any, str, str], Any]] = {
    "text": _text,
    "number": _number,
    "count": _count,
    "yes": _yes,
    "one-of": _one_of,
    **{kind: _quantity(kind) for kind in _SAID},
    "percent": _percent,
    "colour": _colour,
    "money": _money,
    "money-per-kg": _money_per_kg,
    "yarn-count": _yarn_count,
    "rod": _rod,
    "lengths": _list("length"),
    "texts": _list("text"),
    "stock-rods": _stock_rods,
    "length-or": _length_or,
    "lengths-or": _lengths_or,
    "weights": _weights,
    "day": _day,
    "days": _days,
    "weekdays": _weekdays,
    "reserved": _reserved,
}
