"""Crossing ribbons in space: over is in front, by enough, and nothing moves without need."""

import numpy as np
import pytest
from hung_samples import example, small
from hypothesis import given, settings
from hypothesis import strategies as st

from crossfell.model3d.course import courses_of, lines_of
from crossfell.model3d.heights import AIR_MM, CLOSE_MM, crossed


def _gaps(piece):
    """Least room in front of the lower ribbon, at every sample where two cover each other."""
    courses = courses_of(piece)
    units = len(piece.draft.units)
    lines, _ = lines_of(piece)
    pairs = crossed(piece.order, lines)
    out = []
    for k, a, b in zip(pairs.span, pairs.over, pairs.under, strict=True):
        i, j = k * units + a, k * units + b
        x = [lines[k, a], lines[k, b]]
        wide = [np.abs(np.cos(courses.angle_rad[r])) * courses.width_mm[r] / 2 for r in (i, j)]
        deep = [
            np.abs(np.sin(courses.angle_rad[r])) * courses.width_mm[r] / 2
            + np.abs(np.cos(courses.angle_rad[r])) * courses.thick_mm[r] / 2
            for r in (i, j)
        ]
        meets = np.abs(x[0] - x[1]) < wide[0] + wide[1] - 0.1
        room = courses.z_mm[i] - courses.z_mm[j] - deep[0] - deep[1]
        out.append(room[meets].min())
    return np.array(out)


@pytest.mark.parametrize("name", ["01-first-sampler", "02-tideline", "03-long-harvest"])
def test_wherever_two_ribbons_cover_each_other_the_upper_is_in_front(name):
    gaps = _gaps(example(name))
    assert len(gaps) > 10
    assert gaps.min() > AIR_MM - 2 * CLOSE_MM


@settings(max_examples=15, deadline=None)
@given(st.permutations([1, 2, 3, 4, 5]))
def test_any_layable_span_has_room_for_all_its_crossings(target):
    row, moves = [1, 2, 3, 4, 5], []
    for end in range(5, 0, -1):  # sort by neighbours, the one with the higher number over
        for i in range(end - 1):
            if target[row[i] - 1] > target[row[i + 1] - 1]:
                over = "over" if row[i] > row[i + 1] else "under"
                moves.append(f"{i + 1} {over} {i + 2}")
                row[i], row[i + 1] = row[i + 1], row[i]
    piece = small(moves="\n".join(moves), order="r*5")
    if moves:
        assert piece.order.spans[0].layable
        assert _gaps(piece).min() > AIR_MM - 2 * CLOSE_MM


def test_a_unit_that_meets_nobody_stays_in_its_plane():
    courses = courses_of(small())
    assert np.all(courses.z_mm[2] == 0)
    assert courses.z_mm[0].max() > 0 > courses.z_mm[1].min()


def test_ribbons_lie_flat_at_the_bands():
    courses = courses_of(example("01-first-sampler"))
    assert np.all(courses.z_mm[:, [0, -1]] == 0)
    assert np.allclose(np.sin(courses.angle_rad[:, [0, -1]]), 0, atol=1e-9)


CYCLE = "1 over 2\nshift 2 right 2\n4 under 5\nshift 4 left 2\n1 over 2"


def test_an_interlaced_span_keeps_the_middle_of_its_crossings_apart():
    piece = small(moves=CYCLE, order="r r - - r")
    assert not piece.order.spans[0].layable
    courses = courses_of(piece)
    assert courses.short_mm == 0.0
    lines, _ = lines_of(piece)
    pairs = crossed(piece.order, lines)
    assert len(pairs.over) == 3
    for a, b in zip(pairs.over, pairs.under, strict=True):
        at = np.abs(lines[0, a] - lines[0, b]).argmin()
        assert courses.z_mm[a, at] - courses.z_mm[b, at] > courses.thick_mm[0] + AIR_MM - 0.05


def test_a_pair_that_crosses_twice_is_in_front_where_the_moves_say():
    piece = small(moves="1 over 2\n1 over 2", order="r*2")
    lines, _ = lines_of(piece)
    pairs = crossed(piece.order, lines)
    assert len(pairs.over) == 2
    courses = courses_of(piece)
    for a, b, near in zip(pairs.over, pairs.under, pairs.near, strict=True):
        at = np.where(near, np.abs(lines[0, a] - lines[0, b]), np.inf).argmin()
        assert courses.z_mm[a, at] > courses.z_mm[b, at]


def test_three_that_cross_interlaced_are_kept_apart_pass_after_pass():
    piece = small(moves="1 over 2\n2 under 3\n1 over 2", order="r*3")
    assert not piece.order.spans[0].layable
    assert courses_of(piece).short_mm == 0.0
    assert _gaps(piece).min() > -0.1


@pytest.mark.parametrize(
    ("moves", "front"),
    [("1 over 2\n1 over 2\n1 under 2", 0), ("1 under 2\n1 over 2\n1 under 2", 1)],
)
def test_a_crossing_that_another_undoes_does_not_count(moves, front):
    piece = small(moves=moves, order="r*2")
    assert piece.order.spans[0].layable
    courses = courses_of(piece)
    middle = courses.z_mm[:, courses.z_mm.shape[1] // 2]
    assert middle[front] > middle[1 - front]
