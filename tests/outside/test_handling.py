"""The least handling: against exhaustive search, CP-SAT and uniform-cost search.

Nothing of the plan's own search is used on the other side.
"""

import heapq
from itertools import combinations, pairwise

import networkx as nx
from hypothesis import given, settings
from hypothesis import strategies as st
from ortools.sat.python import cp_model

from crossfell.plan.handled import Hands, SpanTask, worked
from crossfell.plan.motions import Prices
from crossfell.plan.passing import HAND, STRIP, passed_in_place
from crossfell.plan.stretch import Stretch, Task, choices
from crossfell.plan.windows import least_windows, windows_of


@st.composite
def layable_tasks(draw, most=7):
    """A layable pass: places before (with gaps) and after, and the higher unit over."""
    n = draw(st.integers(2, most))
    places = sorted(draw(st.sets(st.integers(1, n + 2), min_size=n, max_size=n)))
    goal = draw(st.permutations(range(n)))
    height = draw(st.permutations(range(n)))
    pairs = [
        (u, v) if height[u] > height[v] else (v, u)
        for u, v in combinations(range(n), 2)
        if goal[u] > goal[v]
    ]
    return Task(
        pairs=pairs,
        before=dict(enumerate(places)),
        after={u: places[goal[u]] for u in range(n)},
        moved=frozenset(),
        hand=draw(st.integers(1, 4)),
    )


def first_choice(task):
    """Of the sets that can stay the one that lifts the fewest strips, then takes fewest hands."""
    stretch = Stretch(task)
    stay = next(choices(stretch, Prices()))
    lifted = [u for i, u in enumerate(stretch.units) if i not in stay]
    hands = [-(-len(group) // task.hand) for group in stretch.groups if not set(group) & stay]
    return len(lifted), sum(hands)


@settings(max_examples=60, deadline=None)
@given(layable_tasks())
def test_no_set_that_stays_lifts_fewer_strips_nor_takes_fewer_hands(task):
    assert first_choice(task) == least_by_trying(task)


@settings(max_examples=60, deadline=None)
@given(layable_tasks(most=6))
def test_no_way_of_all_takes_fewer_minutes_than_the_floor(task):
    """Of two that cross one leaves the row: a smallest vertex cover, by trying all."""
    cover = next(
        size
        for size in range(len(task.before) + 1)
        if any(
            all(set(pair) & set(some) for pair in task.pairs)
            for some in combinations(task.before, size)
        )
    )
    row = SpanTask(
        before=task.before, after=task.after, passes=[task.pairs], half_turns={}, moved=task.moved
    )
    can = Hands(hand=task.hand, most_loose=6, limit_is_hers=False, lay_aside=True, prices=Prices())
    found = worked(row, can)
    assert sum(part.lifted_least for part in found) <= cover <= sum(part.lifted for part in found)


def least_by_trying(task):
    """Every set that can stay; for each, every way of joining neighbours to hands."""
    graph = nx.DiGraph(task.pairs)
    graph.add_nodes_from(task.before)
    closed = nx.transitive_closure(graph)
    best = None
    for size in range(len(task.before) + 1):
        for some in combinations(task.before, size):
            if any(
                closed.has_edge(u, v) or closed.has_edge(v, u) for u, v in combinations(some, 2)
            ):
                continue
            lifted = [u for u in task.before if u not in some]
            aim = (len(lifted), fewest_hands(task, graph, lifted))
            best = aim if best is None else min(best, aim)
    return best


def fewest_hands(task, graph, lifted):
    """Split each run of neighbours that go the same way as one; all must have the same crossings."""
    row = sorted(lifted, key=task.before.get)

    def alike(block):
        steps = list(pairwise(block))
        return (
            len(block) <= task.hand
            and all(task.before[v] - task.before[u] == 1 for u, v in steps)
            and all(task.after[v] - task.after[u] == 1 for u, v in steps)
            and len({frozenset(graph.succ[u]) for u in block}) == 1
            and len({frozenset(graph.pred[u]) for u in block}) == 1
        )

    least = [0]
    for end in range(1, len(row) + 1):
        least.append(min(least[start] + 1 for start in range(end) if alike(row[start:end])))
    return least[-1]


@settings(max_examples=12, deadline=None)
@given(layable_tasks(most=12))
def test_cp_sat_finds_no_plan_with_fewer_strips_or_hands(task):
    assert first_choice(task) == least_by_cp_sat(task)


def least_by_cp_sat(task):
    """Fewest strips, then fewest hands: who stays, and which neighbours join, as 0 or 1."""
    graph = nx.DiGraph(task.pairs)
    graph.add_nodes_from(task.before)
    model = cp_model.CpModel()
    lifted = {u: model.new_bool_var(f"lifted {u}") for u in task.before}
    for u, v in nx.transitive_closure(graph).edges:
        model.add_bool_or(lifted[u], lifted[v])
    row = sorted(task.before, key=task.before.get)
    joined = []
    for u, v in pairwise(row):
        join = model.new_bool_var(f"joined {u} {v}")
        joined.append(join)
        alike = (
            task.before[v] - task.before[u] == task.after[v] - task.after[u] == 1
            and set(graph.succ[u]) == set(graph.succ[v])
            and set(graph.pred[u]) == set(graph.pred[v])
        )
        model.add_implication(join, lifted[u])
        model.add_implication(join, lifted[v])
        if not alike:
            model.add(join == 0)
    for start in range(len(joined) - task.hand + 1):
        model.add(sum(joined[start : start + task.hand]) < task.hand)
    strips = sum(lifted.values())
    hands = strips - sum(joined)
    model.minimize(100 * strips + hands)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    assert solver.solve(model) == cp_model.OPTIMAL
    return divmod(round(solver.objective_value), 100)


@settings(max_examples=30, deadline=None)
@given(layable_tasks(most=6))
def test_passing_in_place_takes_the_least_effort_by_uniform_cost_search(task):
    row = sorted(task.before, key=task.before.get)
    found = passed_in_place(row, *zip(*task.pairs, strict=True), task.hand) if task.pairs else None
    if found is None:
        return
    best = uniform_cost(row, set(task.pairs), task.hand)
    assert found.cost == found.least == best
    replay(row, found.moves, set(task.pairs), task.hand)


def uniform_cost(row, pairs, hand):
    """Least cost, with no floor and no cutting into parts: every pair passes once."""
    start = tuple(row)
    queue, known = [(0, start, frozenset(pairs))], {}
    while queue:
        spent, here, left = heapq.heappop(queue)
        if not left:
            return spent
        if known.get(here, spent + 1) <= spent:
            continue
        known[here] = spent
        for a, m, b in combinations(range(len(here) + 1), 3):
            one, two = here[a:m], here[m:b]
            over = {(u, v) for u in one for v in two}
            under = {(v, u) for u, v in over}
            for passing in (over, under):
                if passing <= left:
                    for lifted in {len(one), len(two)}:
                        if lifted <= hand:
                            after = here[:a] + two + one + here[b:]
                            cost = spent + HAND + STRIP * lifted
                            heapq.heappush(queue, (cost, after, left - passing))
    raise AssertionError("no way")


def replay(row, moves, pairs, hand):
    """The moves make each crossing once, as drafted, with one hand at a time."""
    row, left = list(row), set(pairs)
    for move in moves:
        assert len(move.hand) <= hand
        made = {(u, v) if move.over else (v, u) for u in move.hand for v in move.passed}
        assert made <= left
        left -= made
        at = sorted(row.index(u) for u in (*move.hand, *move.passed))
        assert at == list(range(at[0], at[0] + len(at)))
        first = row.index(move.hand[0]) < row.index(move.passed[0])
        block = (*move.passed, *move.hand) if first else (*move.hand, *move.passed)
        row[at[0] : at[-1] + 1] = block
    assert not left


@settings(max_examples=8, deadline=None)
@given(st.integers(10, 40), st.randoms(use_true_random=False))
def test_large_parts_are_passed_as_drafted_and_never_below_the_floor(n, chance):
    height = list(range(n))
    chance.shuffle(height)
    goal = [u + chance.randint(0, 12) for u in range(n)]
    pairs = [
        (u, v) if height[u] > height[v] else (v, u)
        for u, v in combinations(range(n), 2)
        if goal[u] > goal[v]
    ]
    found = passed_in_place(range(n), [t for t, _ in pairs], [b for _, b in pairs], 4)
    replay(range(n), found.moves, set(pairs), 4)
    assert found.least <= found.cost


@settings(max_examples=50, deadline=None)
@given(st.sets(st.integers(1, 9), min_size=1), st.integers(1, 4))
def test_no_fewer_windows_by_trying_all(places, hand):
    found = windows_of(places, hand)
    assert {p for low, high in found for p in range(low, high + 1)} >= places
    assert all(high - low < hand for low, high in found)
    spans = [(low, min(low + hand - 1, 9)) for low in range(1, 10)]
    fewest = next(
        size
        for size in range(len(places) + 1)
        if any(
            places <= {p for low, high in some for p in range(low, high + 1)}
            for some in combinations(spans, size)
        )
    )
    assert len(found) == least_windows(places, hand) == fewest
