"""Every formula, evaluated on the values that `why` shows, gives the number."""

import math

import pytest
from pieces import example_pieces, numbers, random_pieces

from crossfell.facts.declare import AS_WRITTEN
from crossfell.facts.declared import FACTS
from crossfell.facts.formula import evaluate, names_in, printed

WITH_FORMULA = [kind for kind, fact in FACTS.items() if fact.formulas]


def apart(one, other):
    """By what share two values differ; not at all where they are the same."""
    if isinstance(one, (list, tuple)):
        assert len(one) == len(other)
        return max((apart(a, b) for a, b in zip(one, other, strict=True)), default=0.0)
    if isinstance(one, bool) or isinstance(other, (bool, str)):
        return 0.0 if one == other else math.inf
    return abs(one - other) / max(abs(one), abs(other), 1e-6) if one != other else 0.0


def missed(kind, pieces):
    """Numbers of a kind that their formula does not give."""
    fact = FACTS[kind]
    out = []
    for piece, index, answer in numbers(pieces, kind):
        formula, put = fact.formulas[answer.case], answer.put_in()
        values = {name: row.value for name, row in put.items()}
        if answer.value is None and answer.case != "never":
            continue
        if formula == AS_WRITTEN:
            given = values[fact.name]
        elif answer.case == "never":
            given = None if evaluate(formula, values) is False else "at last"
        else:
            given = evaluate(formula, values)
        if given != answer.value and apart(given, answer.value) > 1e-9:
            out.append((fact.way(piece, *index), answer.value, given, values))
    return out


@pytest.mark.parametrize("kind", WITH_FORMULA)
def test_every_formula_gives_its_number(kind):
    """For how far a rod moves each piece is hung twenty times over: for that some of them do."""
    many = 12 if kind == "hung.moved" else None
    assert missed(kind, [*example_pieces(), *random_pieces()[:many]]) == []


@pytest.mark.soak
def test_every_formula_gives_its_number_over_many_drafts():
    """Nightly: three hundred drafts."""
    pieces = random_pieces(300)
    assert [row for kind in WITH_FORMULA for row in missed(kind, pieces)] == []


@pytest.mark.parametrize("kind", WITH_FORMULA)
def test_the_names_of_a_formula_are_put_in(kind):
    for piece in example_pieces():
        for index in FACTS[kind].indices(piece)[:2]:
            answer = FACTS[kind].of(piece, *index)
            formula = FACTS[kind].formulas[answer.case]
            if formula != AS_WRITTEN and answer.value is not None:
                assert names_in(formula) <= set(answer.put_in())
                assert printed(formula)
