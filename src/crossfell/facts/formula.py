"""What does a formula say, and what comes out when values are put in?

A formula is a line of a small language of its own, read by Python's `ast` against a list of what
is allowed: names, numbers, + - * / **, comparisons, and the functions below. A name may stand for a
list; arithmetic goes item by item, and one number goes with every item. It cannot reach anything
else, so that it can be printed as she would write it, mutated by the tests, and stays apart from
the kernels.
"""

from __future__ import annotations

import ast
import math
import operator
from collections.abc import Callable, Mapping, Sequence
from decimal import ROUND_HALF_EVEN, ROUND_HALF_UP, Decimal
from fractions import Fraction
from functools import cache
from itertools import accumulate, pairwise
from typing import Any

_TWO: dict[type[ast.AST], tuple[str, Callable[[Any, Any], Any]]] = {
    ast.Add: ("+", operator.add),
    ast.Sub: ("−", operator.sub),
    ast.Mult: ("×", operator.mul),
    ast.Div: ("/", operator.truediv),
    ast.Pow: ("^", operator.pow),
    ast.Eq: ("=", operator.eq),
    ast.Lt: ("<", operator.lt),
    ast.LtE: ("≤", operator.le),
    ast.Gt: (">", operator.gt),
    ast.GtE: ("≥", operator.ge),
}
_CONSTANTS = {"pi": math.pi}
_BINDS = {ast.Add: 2, ast.Sub: 2, ast.Mult: 3, ast.Div: 3, ast.Pow: 5}
_MINUS, _PLAIN = 4, 9


def _each(does: Callable[..., Any], *args: Any) -> Any:
    """Do it item by item; what is no list goes with every item."""
    lengths = {len(arg) for arg in args if isinstance(arg, list)}
    if not lengths:
        return does(*args)
    (length,) = lengths  # lists of different length do not go together
    rows = [arg if isinstance(arg, list) else [arg] * length for arg in args]
    return [_each(does, *row) for row in zip(*rows, strict=True)]


def _flat(value: Any) -> list[Any]:
    return [item for part in value for item in _flat(part)] if isinstance(value, list) else [value]


def _sum(value: list[Any]) -> Any:
    flat = _flat(value)
    return sum(flat) if any(isinstance(item, Fraction) for item in flat) else math.fsum(flat)


def _best(choose: Callable[[Sequence[Any]], Any]) -> Callable[..., Any]:
    """The greatest (or least) of a list; of two values, item by item."""
    return lambda *args: (
        choose(_flat(args[0])) if len(args) == 1 else _each(lambda *a: choose(a), *args)
    )


def _cents(amount: Fraction, decimals: Fraction, half: str) -> Fraction:
    """Round money once, to so many decimals; `half` says which way halves go."""
    mode = ROUND_HALF_EVEN if half == "half even" else ROUND_HALF_UP
    scaled = Fraction(amount) * 10 ** int(decimals)
    whole, rest = divmod(scaled, 1)
    near = Decimal(int(whole)) + Decimal(rest.numerator) / Decimal(rest.denominator)
    return Fraction(int(near.quantize(Decimal(1), rounding=mode)), 10 ** int(decimals))


_DOES: dict[str, tuple[str, Callable[..., Any]]] = {
    "sum": ("Σ", _sum),
    "max": ("greatest of", _best(max)),
    "min": ("least of", _best(min)),
    "count": ("number of", len),
    "first": ("first of", lambda value: value[0]),
    "last": ("last of", lambda value: value[-1]),
    "all": ("all", lambda value: all(_flat(value))),
    "running": ("running Σ", lambda value: list(accumulate(value))),
    "steps": ("steps of", lambda value: [b - a for a, b in pairwise(value)]),
    "where": ("the numbers of", lambda value: [k for k, one in enumerate(value, 1) if one]),
    "cents": ("to the coin", _cents),
    "sqrt": ("√", lambda value: _each(math.sqrt, value)),
    "abs": ("size of", lambda value: _each(abs, value)),
    "floor": ("whole part of", lambda value: _each(math.floor, value)),
    "ceil": ("rounded up", lambda value: _each(lambda x: math.ceil(x - 1e-9), value)),
    "exp": ("e^", lambda value: _each(math.exp, value)),
    "atan": ("arctan", lambda value: _each(math.atan, value)),
    "tan": ("tan", lambda value: _each(math.tan, value)),
    "hypot": ("√Σ²", lambda *args: _each(math.hypot, *args)),
}


@cache
def read(formula: str) -> ast.expr:
    """The syntax of a formula. Errors: ValueError for what the language does not have."""
    tree = ast.parse(formula, mode="eval").body
    for node in ast.walk(tree):
        if not _allowed(node):
            raise ValueError(f"a formula cannot have {ast.dump(node)[:60]}: {formula}")
    return tree


def _allowed(node: ast.AST) -> bool:
    if isinstance(node, ast.Call):
        return isinstance(node.func, ast.Name) and node.func.id in _DOES and not node.keywords
    if isinstance(node, ast.Compare):
        return len(node.ops) == 1
    if isinstance(node, ast.Constant):
        return type(node.value) in {int, float}
    plain = (ast.Name, ast.Load, ast.BinOp, ast.UnaryOp, ast.USub, ast.Not, ast.List)
    return isinstance(node, plain) or type(node) in _TWO


def names_in(formula: str) -> set[str]:
    """Names that a formula needs values for."""
    tree = read(formula)
    called = {id(node.func) for node in ast.walk(tree) if isinstance(node, ast.Call)}
    names = {n.id for n in ast.walk(tree) if isinstance(n, ast.Name) and id(n) not in called}
    return names - set(_CONSTANTS)


def evaluate(formula: str, values: Mapping[str, Any]) -> Any:
    """What comes out when these values are put in. Money is reckoned exactly, rounded once."""
    exact = "cents(" in formula
    found = _value(read(formula), {k: _exact(v) for k, v in values.items()} if exact else values)
    return float(found) if isinstance(found, Fraction) else found


def _value(node: ast.expr, values: Mapping[str, Any]) -> Any:
    match node:
        case ast.Constant():
            return node.value
        case ast.Name():
            return _CONSTANTS.get(node.id) or values[node.id]
        case ast.List():
            return [_value(part, values) for part in node.elts]
        case ast.UnaryOp(op=ast.Not()):
            return _each(operator.not_, _value(node.operand, values))
        case ast.UnaryOp():
            return _each(operator.neg, _value(node.operand, values))
        case ast.BinOp():
            does = _TWO[type(node.op)][1]
            return _each(does, _value(node.left, values), _value(node.right, values))
        case ast.Compare():
            does = _TWO[type(node.ops[0])][1]
            return _each(does, _value(node.left, values), _value(node.comparators[0], values))
        case ast.Call(func=ast.Name(id=name)):
            return _DOES[name][1](*(_value(part, values) for part in node.args))
    raise AssertionError(ast.dump(node))


def _exact(value: Any) -> Any:
    """The number that a person reads in a float."""
    if isinstance(value, list):
        return [_exact(item) for item in value]
    number = isinstance(value, (int, float)) and not isinstance(value, bool)
    return Fraction(repr(value)) if number else value


def printed(formula: str) -> str:
    """A formula as it is written by hand: Σ, √, ×, names without underlines."""
    return _printed(read(formula))[0]


def _printed(node: ast.expr) -> tuple[str, int]:
    """What is printed, and how tightly it binds."""
    match node:
        case ast.Constant(value=int() | float() as number):
            if 0 < number < 1e-4:
                return f"{number:.0e}".replace("1e-0", "10^−"), _PLAIN
            return f"{number:g}" if number < 1e5 else f"{number:,.0f}".replace(",", " "), _PLAIN
        case ast.Name():
            return "π" if node.id == "pi" else node.id.replace("_", " "), _PLAIN
        case ast.List():
            return " and ".join(_printed(part)[0] for part in node.elts), 0
        case ast.UnaryOp():
            sign = "not " if isinstance(node.op, ast.Not) else "−"
            return sign + _inside(node.operand, _MINUS), _MINUS
        case ast.BinOp():
            binds = _BINDS[type(node.op)]
            left, right = _inside(node.left, binds), _inside(node.right, binds + 1)
            sign = _TWO[type(node.op)][0]
            return f"{left}{sign}{right}" if sign == "^" else f"{left} {sign} {right}", binds
        case ast.Compare():
            left, right = _inside(node.left, 1), _inside(node.comparators[0], 1)
            return f"{left} {_TWO[type(node.ops[0])][0]} {right}", 1
        case ast.Call(func=ast.Name(id=name)):
            args = [_printed(part)[0] for part in node.args]
            word, one = _DOES[name][0], len(args) == 1
            if one and isinstance(node.args[0], (ast.Name, ast.Constant)):
                gap = "" if word.endswith(("√", "^")) else " "
                return f"{word}{gap}{args[0]}", _MINUS
            return f"{word} ({', '.join(args)})".replace("√ (", "√("), _PLAIN
    raise AssertionError(ast.dump(node))


def _inside(node: ast.expr, binds: int) -> str:
    text, inner = _printed(node)
    return text if inner >= binds else f"({text})"
