"""A formula that is wrong in one place would be noticed: every mutant misses some number."""

import ast
import copy

import pytest
from pieces import example_pieces, numbers, random_pieces
from test_formulas import apart

from crossfell.draft.reader import read_draft
from crossfell.draft.start import STARTER
from crossfell.facts import formula as language
from crossfell.facts.declare import AS_WRITTEN
from crossfell.facts.declared import FACTS
from crossfell.piece import Piece

EXCHANGED = {ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult,
             ast.Pow: ast.Mult, ast.Gt: ast.LtE, ast.LtE: ast.Gt, ast.Lt: ast.GtE,
             ast.Eq: ast.Gt}  # fmt: skip
CALLED = {"max": "min", "min": "max", "floor": "ceil", "sum": "max", "first": "last",
          "last": "first", "exp": "atan", "tan": "sqrt"}  # fmt: skip
# Mutants that come to the same: shares of 0.4 and 0.6 make one, the greatest share is one, and a
# guard against the last bit.
ALIKE = ("of_fibre / (share_least + share_most) / 2 * tex", "of_fibre / share_most",
         "first(where(running(drawn) > drop - 1e-09))")  # fmt: skip
UNUSUAL = """
[loom]
shuttle_at = "400 mm"
[stock]
heddles = ["600 mm", "600 mm", "600 mm"]
[rates]
delivery = 45.5
installation = 33
profit_on = "price"
profit = 17
discount = 7
step = 5
tax = 19
charge = "bought and own"
[minutes]
wind = "7.31 min"
"""
BOUGHT = """
[stock]
rod_length = "700 mm"
rod_price = ["steel 3: 4.10", "steel 4: 5.20", "steel 6: 7"]
heddle_length = "120 mm"
heddle_price = 30
reserved = ["another: yarn slate 30 g"]
[rates]
charge = "bought"
[yarn.slate]
in_stock = "50 g"
"""


def mutants(text):
    """Each formula that differs from this one in one operator, function or number."""
    tree = language.read(text)
    for at, node in enumerate(ast.walk(tree)):
        for change in changes(node):
            other = copy.deepcopy(tree)
            change(list(ast.walk(other))[at])
            yield ast.unparse(other)


def changes(node):
    if isinstance(node, ast.BinOp):
        yield lambda n: setattr(n, "op", EXCHANGED[type(n.op)]())
    elif isinstance(node, ast.Compare):
        yield lambda n: setattr(n, "ops", [EXCHANGED[type(n.ops[0])]()])
    elif isinstance(node, ast.Constant) and node.value not in {0, 1e-9}:
        yield lambda n: setattr(n, "value", n.value * 1.01)
    elif isinstance(node, ast.Call) and node.func.id in CALLED:
        yield lambda n: setattr(n.func, "id", CALLED[n.func.id])


def notices(mutant, cases):
    for value, values in cases:
        try:
            if apart(language.evaluate(mutant, values), value) > 1e-9:
                return True
        except (ArithmeticError, ValueError, TypeError, AssertionError, IndexError):
            return True
    return False


KINDS = [(kind, case) for kind, fact in FACTS.items() for case, text in fact.formulas.items()
         if text != AS_WRITTEN and case != "never" and not kind.startswith("hung.moved")]  # fmt: skip


@pytest.mark.parametrize(("kind", "case"), KINDS, ids=lambda part: part or "-")
def test_every_mutant_of_a_formula_is_noticed(kind, case):
    unusual = Piece(read_draft(STARTER, workshop=UNUSUAL))
    bought = Piece(read_draft(STARTER, workshop=BOUGHT))
    pieces = [unusual, bought, *example_pieces()[:2], *random_pieces()]
    found = [(a.value, {name: row.value for name, row in a.put_in().items()})
             for _, _, a in numbers(pieces, kind) if a.case == case and a.value is not None][:400]  # fmt: skip
    assert found, "this case never comes up"
    text = FACTS[kind].formulas[case]
    assert [m for m in mutants(text) if m not in ALIKE and not notices(m, found)] == []
