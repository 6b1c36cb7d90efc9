"""What a hung piece does where a formula says so: statics on paper against the kernel.

Sources: equilibrium of a free body and Hooke's law, as in any textbook of statics (e.g. Beer &
Johnston, Statics); the kern rule of a strip in bending, e.g. Timoshenko, Strength of Materials. The
formulas are derived in docs/mechanics.md. Tolerances are the second-order terms that each formula
leaves out, or rounding where it leaves out nothing.
"""

import math

import numpy as np
import pytest

from crossfell.draft.reader import read_draft
from crossfell.piece import Piece
from crossfell.statics.newton import rest_of
from crossfell.statics.rig import plain_rig

EA, T = 54_000.0, 36.0
STRAIN = T / EA


def row(units, pitch):
    return (np.arange(units) - (units - 1) / 2) * pitch


def natural(length):
    return length / (1 + STRAIN)


def one_span(top, low, height, weight, **how):
    """Two bands on a rail: what hangs is the lower one."""
    rig = plain_rig(
        np.array([top, low]), [height], band_n=[1.0, weight], ea_n=EA, tension_n=T, **how
    )
    rest = rest_of(rig)
    assert rest.converged
    return rest


def test_a_vertical_span_stretches_by_its_weight():
    """Stretch = W L0 / Σ EA, and each end carries W / n."""
    x = row(5, 30.0)
    rest = one_span(x, x, 150.0, 12.0)
    length = 150.0 - rest.pose[1, 1]
    assert length - natural(150.0) == pytest.approx(12.0 * natural(150.0) / (5 * EA), abs=1e-13)
    assert rest.tension_n[0] == pytest.approx(np.full((1, 5), 2.4), abs=1e-11)
    assert rest.pose[1, [0, 2]] == pytest.approx([0, 0], abs=1e-12)


def test_a_span_that_leans_as_one_loses_its_whole_lean():
    """A parallelogram: it drifts by −d and drops L − h; then it carries its weight off centre,
    N_i = W/n − W d x_i / Σ x²."""
    x, d, h, w = row(9, 25.0), 15.0, 150.0, 4.0
    rest = one_span(x, x + d, h, w)
    assert rest.pose[1, 0] == pytest.approx(-d, abs=2e-3)
    stretched = math.hypot(h, d) / (1 + STRAIN) * (1 + w / 9 / EA)
    assert rest.pose[1, 1] == pytest.approx(h - stretched, abs=1e-3)
    # its mass centre stays with the rod: d to the side of the middle of its ends
    assert rest.tension_n[0][0] == pytest.approx(w / 9 - w * d * x / np.sum(x**2), abs=1e-4)
    tilt = -w * d * natural(math.hypot(h, d)) / (EA * np.sum(x**2))
    assert rest.pose[1, 2] == pytest.approx(-tilt, rel=1e-3)


@pytest.mark.parametrize(("units", "pitch"), [(9, 25.0), (20, 50.0), (6, 26.0)])
def test_the_outermost_unit_goes_slack_beyond_the_kern(units, pitch):
    """|d| > (n + 1) p / 6, as a section loses contact when the load leaves its kern."""
    x, limit = row(units, pitch), (units + 1) * pitch / 6
    for share, slack in ((0.97, False), (1.03, True)):
        d = share * limit
        rest = one_span(x, x + d, 40 * pitch, 8.0)
        assert bool((rest.stretch_mm[0] < 0).any()) is slack


def test_drifts_of_spans_add():
    """Band s drifts by minus the sum of the leans above it."""
    leans = np.array([10.0, -4.0, 7.0, 12.0])
    x = row(12, 30.0) + np.concatenate([[0], np.cumsum(leans)])[:, None]
    rig = plain_rig(x, np.full(4, 150.0), band_n=np.full(5, 1.5), ea_n=EA, tension_n=T)
    rest = rest_of(rig)
    assert rest.pose[1:, 0] == pytest.approx(-np.cumsum(leans), abs=0.05)


def test_a_symmetric_x_stays_and_carries_half_each():
    """N = W / (2 cos a)."""
    rest = one_span([-40.0, 40.0], [40.0, -40.0], 120.0, 3.0)
    assert rest.pose[1, [0, 2]] == pytest.approx([0, 0], abs=1e-11)
    fallen = 120.0 - rest.pose[1, 1]
    lean = math.atan2(80.0, fallen)
    assert rest.tension_n[0] == pytest.approx(np.full((1, 2), 1.5 / math.cos(lean)), rel=1e-9)


@pytest.mark.parametrize("k", [1, 2, 5, 10])
def test_few_that_lean_back_carry_what_the_many_lean(k):
    """k of n lean back as far: N_back / N_lean = (n − k) / k, N_back = n / (2 k) of the mean."""
    n, d, h = 20, 50.0, 150.0
    x = row(n, 50.0)
    back = np.linspace(0, n - 1, k + 2).round().astype(int)[1:-1]
    if k == 10:
        back = np.arange(n // 2) * 2 + (np.arange(n // 2) >= n // 4)
    if k == 1:
        back = np.array([n // 2])
    side = np.ones(n)
    side[back] = -1
    rest = one_span(x, x + side * d, h, 20.0)
    pull = rest.tension_n[0][0]
    assert abs(rest.pose[1, 0]) < 0.1
    assert pull[side < 0].mean() / pull[side > 0].mean() == pytest.approx((n - k) / k, rel=2e-3)
    assert pull[side < 0].mean() / pull.mean() == pytest.approx(n / (2 * k), rel=2e-3)


def test_two_cords_share_by_the_lever():
    """N2 = (W0 (a + e) + W1 a) / 2 a and tilt = (N1 − N2) L0 / (2 a EA_cord), first order."""
    a, e, w0, w1, cord, ea = 100.0, 30.0, 5.0, 2.0, 400.0, 20_000.0
    x = row(5, 40.0)
    rig = plain_rig(np.array([x, x]), [150.0], band_n=[w0, w1], ea_n=EA, tension_n=T,
                    cords_mm=(-a, a), cord_mm=cord, cord_ea_n=ea)  # fmt: skip
    rig = type(rig)(**{**vars(rig), "moment_x": np.array([w0 * e, 0.0])})
    rest = rest_of(rig)
    n1, n2 = rest.tension_n[1][0]
    assert n2 == pytest.approx((w0 * (a + e) + w1 * a) / (2 * a), rel=5e-4)
    assert n1 + n2 == pytest.approx(w0 + w1, abs=1e-9)
    assert rest.pose[0, 2] == pytest.approx((n1 - n2) * cord / (2 * a * ea), rel=5e-3)


def test_on_one_nail_the_centre_of_mass_hangs_below_it():
    """The rod tilts until the centre of all hangs below the nail; the lower band stays level with
    the upper. tan tilt = −e W0 / (H (W0 + W1)) with the cords rigid and lengths as drafted."""
    e, w0, w1, high = 25.0, 4.0, 1.0, 300.0
    x = np.array([-60.0, 60.0])
    rig = plain_rig(np.array([x, x]), [40.0], band_n=[w0, w1], ea_n=EA * 100, tension_n=0.0,
                    cords_mm=(-150.0, 150.0), points_mm=(0.0, 0.0), cord_mm=high, cord_ea_n=2e7)  # fmt: skip
    rig = type(rig)(**{**vars(rig), "moment_x": np.array([w0 * e, 0.0])})
    rest = rest_of(rig)
    # units stay vertical, so below the upper band their weight acts at its middle
    want = math.atan2(-e * w0, high * (w0 + w1))
    assert rest.pose[0, 2] == pytest.approx(want, rel=2e-4)
    assert rest.pose[1, 2] == pytest.approx(rest.pose[0, 2], rel=2e-3)


def test_vertical_units_are_taut_only_below_enough_weight():
    """Release rule: W > Σ T sin² a cos a over the leaning units, whatever the stiffness."""
    n, d, h = 8, 50.0, 150.0
    x = row(n, 50.0)
    low = x.copy()
    for i in (0, 6):
        low[i], low[i + 1] = low[i + 1], low[i]
    a = math.atan2(d, h)
    limit = 4 * T * math.sin(a) ** 2 * math.cos(a)
    straight = x == low
    for ea in (EA, EA / 10):
        for share, slack in ((0.95, True), (1.05, False)):
            rig = plain_rig(
                np.array([x, low]), [h], band_n=[1.0, share * limit], ea_n=ea, tension_n=T
            )
            rest = rest_of(rig)
            assert bool((rest.stretch_mm[0][0][straight] < 0).all()) is slack
            assert bool((rest.stretch_mm[0][0][straight] < 0).any()) is slack


TURNED = """
measure = "mm"
[yarn.y]
count = "tex 200"
modulus = 5.4
[strip.s]
width = {width}
dents = 40
[unit.u]
strip = "s"
ends = "40 y"
[warp]
pitch = 60
order = "u*3"
tension = 0.9
[band]
picks = "3, rod, 3"
rod = "steel {rod}"
[hang]
rail = true
[[span]]
height = {height}
moves = "turn 1-3 right"
"""


@pytest.mark.parametrize("height", [50, 100, 200])
def test_the_middle_of_a_turned_unit_hangs_loose_below_too_little_weight(height):
    """tan a = 2 r / h; slack if the unit's weight is below Σ T sin² a cos a over its edges."""
    edges = 0.9 * 40 * 2 * 41 / (3 * 39) / 2  # tension of both edge fibres: 41/117 of all
    r = 40 / 2 * 39 / 40
    a = math.atan2(2 * r, height)
    limit = edges * math.sin(a) ** 2 * math.cos(a)

    def hung(rod_mm):
        made = Piece(read_draft(TURNED.format(width=40, rod=f"{rod_mm:.6f}", height=height)))
        return made.hung.rig.weight_n[-1] / 3, made.hung

    (light, _), (heavy, _) = hung(1.0), hung(3.0)
    for share in (0.95, 1.05):
        rod = math.sqrt(1 + 8 * (share * limit - light) / (heavy - light))
        weight, made = hung(rod)
        assert weight == pytest.approx(share * limit, rel=1e-2)
        assert bool((made.loose_mm[0] > 0).all()) is (share < 1)
        assert bool((made.loose_mm[0] > 0).any()) is (share < 1)
        assert (made.slack_mm == 0).all()
