"""How is a unit, or a list of them, said aloud?

"Slate four", not "s4": a kind of one yarn that no other kind has is called by the yarn. Numbers
that follow on are said as "one to four". Sentences are short and end with a full stop.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from functools import cache

from crossfell.draft.model import Draft, UnitKind

_ONES = (
    "zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine",
    "ten", "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen",
    "seventeen", "eighteen", "nineteen",
)  # fmt: skip
_TENS = (
    "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety",
)  # fmt: skip


@cache
def number_said(number: int) -> str:
    """A whole number from 0 to 999 in words; larger ones in digits."""
    if number < 20:
        return _ONES[number]
    if number < 100:
        tens, ones = divmod(number, 10)
        return _TENS[tens - 2] + (f" {_ONES[ones]}" if ones else "")
    if number < 1000:
        hundreds, rest = divmod(number, 100)
        return f"{_ONES[hundreds]} hundred" + (f" {number_said(rest)}" if rest else "")
    return str(number)


def kinds_said(draft: Draft) -> dict[str, str]:
    """What each kind of unit is called: by its yarn where that tells it from the others."""
    yarns = {name: _only_yarn(kind) for name, kind in draft.kinds.items()}
    heard = list(yarns.values()) + list(draft.kinds)
    return {name: yarn if yarn and heard.count(yarn) == 1 else name for name, yarn in yarns.items()}


def units_said(draft: Draft, units: Sequence[int], said: Mapping[str, str]) -> str:
    """Units in the order given: "slate one to four and chalk two"."""
    groups: list[tuple[str, list[int]]] = []
    for unit in units:
        kind = draft.units[unit].kind
        number = draft.units[unit].number
        if groups and groups[-1][0] == kind:
            groups[-1][1].append(number)
        else:
            groups.append((kind, [number]))
    return listed(f"{said[kind]} {_numbers(numbers)}" for kind, numbers in groups)


def runs_written(draft: Draft, units: Sequence[int]) -> str:
    """Units by name, runs of four and more shortened: "a1, b1, i5 … i12"."""
    parts: list[str] = []
    at = 0
    while at < len(units):
        end = at
        while end + 1 < len(units) and _follows(draft, units[end], units[end + 1], units[at:end]):
            end += 1
        names = [draft.units[u].name for u in units[at : end + 1]]
        parts += [f"{names[0]} … {names[-1]}"] if len(names) > 3 else names
        at = end + 1
    return ", ".join(parts)


def _follows(draft: Draft, one: int, other: int, before: Sequence[int]) -> bool:
    """Whether the name after `one` is the next of its kind, counting the way that the run does."""
    first, second = draft.units[one], draft.units[other]
    if first.kind != second.kind:
        return False
    step = second.number - first.number
    if not before:
        return abs(step) == 1
    last = draft.units[before[-1]]
    return step == first.number - last.number


def places_said(places: Iterable[int]) -> str:
    """Places: "place three", "places three to five"."""
    numbers = list(places)
    word = "place" if len(numbers) == 1 else "places"
    return f"{word} {_numbers(numbers)}"


def windows_said(windows: Iterable[tuple[int, int]]) -> str:
    """Windows of weights: "one to four, then five to eight"."""
    return ", then ".join(
        number_said(low) if low == high else f"{number_said(low)} to {number_said(high)}"
        for low, high in windows
    )


def listed(parts: Iterable[str]) -> str:
    """Parts in a sentence: a, b and c."""
    words = list(parts)
    return words[0] if len(words) == 1 else ", ".join(words[:-1]) + f" and {words[-1]}"


def sentence(text: str) -> str:
    """With a capital and a full stop."""
    text = text.strip()
    text = text[:1].upper() + text[1:]
    return text if text.endswith((".", "!", "?")) else f"{text}."


def _numbers(numbers: Sequence[int]) -> str:
    """Runs of three or more are said with "to"; a run may count down."""
    parts: list[str] = []
    at = 0
    while at < len(numbers):
        end = _run_end(numbers, at)
        if end - at >= 2:
            parts.append(f"{number_said(numbers[at])} to {number_said(numbers[end])}")
        else:
            parts += [number_said(n) for n in numbers[at : end + 1]]
        at = end + 1
    return listed(parts)


def _run_end(numbers: Sequence[int], at: int) -> int:
    if at + 1 >= len(numbers) or abs(step := numbers[at + 1] - numbers[at]) != 1:
        return at
    end = at + 1
    while end + 1 < len(numbers) and numbers[end + 1] - numbers[end] == step:
        end += 1
    return end


def _only_yarn(kind: UnitKind) -> str:
    yarns = {yarn for _, yarn in kind.ends}
    return yarns.pop() if len(yarns) == 1 else ""
