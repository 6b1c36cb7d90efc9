"""The order of weaving: no order breaks fewer promises, none makes the latest less late."""

from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ortools.sat.python import cp_model

from crossfell.orders.sequence import DueWork, sequence_of

JOBS = st.lists(
    st.builds(DueWork, days=st.integers(1, 12), due=st.none() | st.integers(0, 40), begun=st.booleans()),
    max_size=6,
)  # fmt: skip


def lateness(jobs, order):
    done, late = 0, []
    for k in order:
        done += jobs[k].days
        late.append(done - jobs[k].due if jobs[k].due is not None else -1000)
    return late


@given(JOBS)
@settings(max_examples=120, deadline=None)
def test_no_order_is_better(jobs):
    """Outside: every order of up to six pieces."""
    found = sequence_of(jobs)
    begun = tuple(k for k, job in enumerate(jobs) if job.begun)
    rest = [k for k, job in enumerate(jobs) if not job.begun]
    assert sorted(found.order) == list(range(len(jobs)))
    assert found.order[: len(begun)] == begun
    all_ = [lateness(jobs, (*begun, *order)) for order in permutations(rest)]
    assert found.late == min(sum(by > 0 for by in late) for late in all_)
    assert found.late == sum(by > 0 for by in lateness(jobs, found.order))
    assert found.least_lateness == max(0, min(max(late, default=0) for late in all_))


def fewest_by_solver(jobs):
    """Outside: CP-SAT. Pieces in time, by due days, must fit before each due day."""
    model = cp_model.CpModel()
    kept = [model.new_bool_var(f"{k}") for k in range(len(jobs))]
    for job in jobs:
        rows = [kept[k] * other.days for k, other in enumerate(jobs) if other.due <= job.due]
        model.add(sum(rows) <= job.due)
    model.maximize(sum(kept))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    assert solver.solve(model) == cp_model.OPTIMAL
    return len(jobs) - round(solver.objective_value)


@pytest.mark.parametrize("seed", range(4))
def test_forty_pieces_agree_with_a_solver(seed):
    import random

    chance = random.Random(seed)
    jobs = [DueWork(days=chance.randint(1, 25), due=chance.randint(5, 400)) for _ in range(40)]
    assert sequence_of(jobs).late == fewest_by_solver(jobs)


def test_a_textbook_case():
    """Pieces of 10, 3, 4, 8, 10, 6 days due on 15, 6, 9, 23, 20, 30: two late (example from memory)."""
    rows = zip((10, 3, 4, 8, 10, 6), (15, 6, 9, 23, 20, 30), strict=True)
    jobs = [DueWork(days=days, due=due) for days, due in rows]
    found = sequence_of(jobs)
    assert found.late == 2
    assert found.order[:4] == (1, 2, 3, 5)
