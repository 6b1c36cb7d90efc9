"""Layers, cycles and the largest set that stays: against networkx and exhaustive search."""

from itertools import combinations, product
from random import Random

import networkx as nx
from hypothesis import given, settings
from hypothesis import strategies as st

from crossfell.order.antichain import antichain_of
from crossfell.order.passes import fewest_passes, first_fit
from crossfell.order.relation import (
    bits,
    closure_of,
    cycle_of,
    layers_of,
    rows_of,
)
from crossfell.order.twice import laid_twice


@st.composite
def permutation_spans(draw, *, most=8, layable=None):
    """(n, over, under): crossings of one permutation, each pair once, in the order of a word.

    With `layable` each unit has a height, and the higher passes over.
    """
    n = draw(st.integers(2, most))
    goal = draw(st.permutations(range(n)))
    height = draw(st.permutations(range(n)))
    row, over, under = list(range(n)), [], []
    for _ in range(n * n):
        swaps = [i for i in range(n - 1) if goal[row[i]] > goal[row[i + 1]]]
        if not swaps:
            break
        at = draw(st.sampled_from(swaps))
        left, right = row[at], row[at + 1]
        top = height[left] > height[right] if layable else draw(st.booleans())
        over.append(left if top else right)
        under.append(right if top else left)
        row[at], row[at + 1] = right, left
    return n, over, under


def graph_of(n, over, under):
    graph = nx.DiGraph()
    graph.add_nodes_from(range(n))
    graph.add_edges_from(zip(over, under, strict=True))
    return graph


@settings(max_examples=54, deadline=None)
@given(permutation_spans())
def test_layers_are_those_of_networkx_and_none_when_there_is_a_cycle(span):
    n, over, under = span
    graph = graph_of(n, over, under)
    layers = layers_of(n, rows_of(n, over, under))
    if not nx.is_directed_acyclic_graph(graph):
        assert layers is None
        return
    theirs = [tuple(sorted(layer)) for layer in nx.topological_generations(graph.reverse())]
    assert layers == tuple(theirs)


@settings(max_examples=54, deadline=None)
@given(permutation_spans())
def test_the_cycle_shown_is_a_shortest_and_has_three_or_four_units(span):
    n, over, under = span
    graph = graph_of(n, over, under)
    cycle = cycle_of(n, rows_of(n, over, under))
    if cycle is None:
        assert nx.is_directed_acyclic_graph(graph)
        return
    assert all(graph.has_edge(u, v) for u, v in zip(cycle, cycle[1:] + cycle[:1], strict=True))
    shortest = min(
        nx.shortest_path_length(graph, v, u) + 1 for u, v in graph.edges if nx.has_path(graph, v, u)
    )
    assert len(cycle) == shortest
    assert len(cycle) in {3, 4}


@settings(max_examples=36, deadline=None)
@given(permutation_spans(layable=True))
def test_the_largest_set_that_stays_has_dilworths_size(span):
    n, over, under = span
    rows = rows_of(n, over, under)
    closed = closure_of(layers_of(n, rows), rows)
    graph = nx.transitive_closure(graph_of(n, over, under))
    assert {(u, v) for u in range(n) for v in bits(closed[u])} == set(graph.edges)
    stay = antichain_of(closed)
    assert not any(graph.has_edge(u, v) or graph.has_edge(v, u) for u, v in combinations(stay, 2))
    halves = nx.Graph([(("top", u), ("bottom", v)) for u, v in graph.edges])
    tops = [node for node in halves if node[0] == "top"]
    matching = nx.bipartite.maximum_matching(halves, top_nodes=tops)
    assert len(stay) == n - len(matching) // 2


@settings(max_examples=18, deadline=None)
@given(permutation_spans(most=6, layable=True))
def test_the_largest_set_that_stays_is_largest_by_trying_all(span):
    n, over, under = span
    rows = rows_of(n, over, under)
    closed = closure_of(layers_of(n, rows), rows)
    free = [
        len(some)
        for size in range(n + 1)
        for some in combinations(range(n), size)
        if not any(closed[u] >> v & 1 for u in some for v in some)
    ]
    assert len(antichain_of(closed)) == max(free)


@settings(max_examples=36, deadline=None)
@given(permutation_spans())
def test_every_pass_is_layable_and_keeps_the_order_along_each_unit(span):
    n, over, under = span
    passes = first_fit(n, over, under)
    assert sorted(index for part in passes for index in part) == list(range(len(over)))
    number = {index: k for k, part in enumerate(passes) for index in part}
    for part in passes:
        graph = graph_of(n, [over[i] for i in part], [under[i] for i in part])
        assert nx.is_directed_acyclic_graph(graph)
    for unit in range(n):
        along = [number[i] for i in range(len(over)) if unit in {over[i], under[i]}]
        assert along == sorted(along)


def plain_weave(m):
    """(n, over, under, word): m units pass through m others, over and under in turn."""
    row, over, under = list(range(2 * m)), [], []
    for i in reversed(range(m)):
        at = i
        for j in range(m):
            left, right = row[at], row[at + 1]
            top = left if (i + j) % 2 else right
            over.append(top)
            under.append(left if top == right else right)
            row[at], row[at + 1] = right, left
            at += 1
    return 2 * m, over, under


def test_plain_weave_of_m_through_m_takes_m_passes():
    """Source: derived; found by search for m = 2..6 and 8 before this project began."""
    for m in (2, 3, 4, 5, 6, 8):
        assert len(first_fit(*plain_weave(m))) == m


@settings(max_examples=18, deadline=None)
@given(permutation_spans(most=6))
def test_no_split_has_fewer_passes_by_trying_all(span):
    n, over, under = span
    passes = fewest_passes(n, over, under)
    if not over or len(over) > 9:
        return
    assert passes.least == len(passes.parts)
    assert passes.least == fewest_by_trying(n, over, under)


def fewest_by_trying(n, over, under):
    for count in range(1, len(over) + 1):
        for choice in product(range(count), repeat=len(over)):
            along = all(
                list(part) == sorted(part)
                for part in (
                    [choice[i] for i in range(len(over)) if u in {over[i], under[i]}]
                    for u in range(n)
                )
            )
            if along and all(
                nx.is_directed_acyclic_graph(
                    nx.DiGraph([(over[i], under[i]) for i in range(len(over)) if choice[i] == t])
                )
                for t in range(count)
            ):
                return count
    return 0


@settings(max_examples=36, deadline=None)
@given(permutation_spans(most=8))
def test_no_fewer_units_laid_twice_by_trying_all(span):
    n, over, under = span
    twice = laid_twice(n, rows_of(n, over, under))
    graph = graph_of(n, over, under)
    graph.remove_nodes_from(twice.units)
    assert nx.is_directed_acyclic_graph(graph)
    assert twice.least == len(twice.units)
    for some in combinations(range(n), max(len(twice.units) - 1, 0)):
        rest = graph_of(n, over, under)
        rest.remove_nodes_from(some)
        assert not nx.is_directed_acyclic_graph(rest) or not twice.units


def test_plain_weave_lays_half_of_one_side_twice():
    """Source: derived; found by search for m = 2..6 and 8 before this project began."""
    for m in (2, 3, 4, 5, 6):
        n, over, under = plain_weave(m)
        assert len(laid_twice(n, rows_of(n, over, under)).units) == m // 2
        assert fewest_passes(n, over, under).least == m


@settings(max_examples=27, deadline=None)
@given(permutation_spans(most=7, layable=True), st.lists(st.integers(1, 9), min_size=7, max_size=7))
def test_the_heaviest_set_that_stays_is_heaviest_by_trying_all(span, weights):
    n, over, under = span
    weights = weights[:n]
    rows = rows_of(n, over, under)
    closed = closure_of(layers_of(n, rows), rows)

    def free(some):
        return not any(closed[u] >> v & 1 for u in some for v in some)

    stay = antichain_of(closed, weights)
    assert free(stay)
    best = max(
        sum(weights[u] for u in some)
        for size in range(n + 1)
        for some in combinations(range(n), size)
        if free(some)
    )
    assert sum(weights[u] for u in stay) == best


@settings(max_examples=8, deadline=None)
@given(st.integers(70, 120), st.integers(0, 10**6), st.booleans())
def test_many_units_have_the_same_layers(n, seed, layable):
    chance = Random(seed)
    height = list(range(n))
    chance.shuffle(height)
    pairs = [
        (u, v) if (height[u] > height[v] if layable else chance.random() < 0.5) else (v, u)
        for u, v in combinations(range(n), 2)
        if chance.random() < 0.3
    ]
    over, under = [u for u, _ in pairs], [v for _, v in pairs]
    graph = graph_of(n, over, under)
    layers = layers_of(n, rows_of(n, over, under))
    if not nx.is_directed_acyclic_graph(graph):
        assert layers is None
        return
    theirs = [tuple(sorted(layer)) for layer in nx.topological_generations(graph.reverse())]
    assert layers == tuple(theirs)
