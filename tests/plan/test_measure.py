"""The bench: simulated readings give back what they were made from, within their uncertainty."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crossfell.draft.reader import read_draft
from crossfell.loom.tension import howell_n
from crossfell.plan import measure
from crossfell.plan.measure_sheet import TRIALS, answered, beside, sheet, trial

RNG = np.random.default_rng(7)


@given(st.floats(0.2, 2), st.floats(40, 120))
@settings(max_examples=40)
def test_wraps_give_the_diameter_within_their_uncertainty(diameter, over):
    count = math.floor(over / diameter)
    found = measure.wraps(count + 0.5, over)
    assert abs(found.value - diameter) <= found.uncertainty * 1.01


@given(st.floats(20, 1000), st.floats(10_000, 100_000))
@settings(max_examples=40)
def test_a_hank_gives_its_tex_within_its_uncertainty(tex, length):
    mass = round(tex * length * 1e-6, 1)
    if mass <= 0:
        return
    found = measure.hank(length, mass)
    assert abs(found.value - tex) <= found.uncertainty * 1.01


def test_a_loaded_yarn_gives_its_modulus():
    """207 tex, 6 N/tex: 1242 N of stiffness; 2 N stretch a metre by 1.61 mm."""
    found = measure.stretch(1000, 2.0, 2.0 / 1242 * 1000, 207)
    assert found.value == pytest.approx(6.0, rel=1e-9)
    assert found.uncertainty == pytest.approx(6.0 * 0.2 / 1.61, rel=0.01)


def test_two_weights_over_the_beam_give_friction():
    found = measure.slip(100, 100 * math.exp(0.25 * math.pi / 2), math.pi / 2)
    assert found.value == pytest.approx(0.25)
    assert found.line == "friction = 0.25"


@pytest.mark.parametrize(("a", "n"), [(0.3, 0.9), (0.25, 0.75)])
def test_slips_at_several_loads_give_howells_law(a, n):
    light = np.array([0.2, 0.5, 1.0, 3.0, 6.0])
    heavy = howell_n(light, a, n, 0.02, 1.5)
    found = measure.howell(list(zip(light, heavy, strict=True)), 20, 1.5)
    assert found.value == pytest.approx(n, abs=2e-4)
    assert f"a = {a:.3g}" in found.unit
    codes = [note.code for note in read_draft("", workshop=f"[loom]\n{found.line}\n").notes]
    assert "unknown-key" not in codes
    with pytest.raises(ValueError, match="two loads"):
        measure.howell([(1, 2), (1, 2.1)], 20, 1.5)


def test_every_trial_gives_a_line_that_the_reader_takes():
    given_readings = {
        "wraps": {"count": "96", "over": "50 mm", "yarn": "s"},
        "pressed": {"layers": "8", "stack": "3.2 mm", "yarn": "s"},
        "hank": {"length": "20 m", "mass": "4.1 g", "yarn": "s"},
        "stretch": {"length": "1 m", "load": "2 N", "longer": "1.6 mm", "tex": "205", "yarn": "s"},
        "slip": {"light": "100 g", "heavy": "150 g", "wrap": "90 deg"},
        "slips": {"pairs": "20/28, 100/138, 600/800", "radius": "20 mm", "wrap": "90 deg"},
        "band": {"height": "11 mm", "end": "13 mm"},
    }
    assert set(given_readings) == {one.name for one in TRIALS}
    for name, readings in given_readings.items():
        found = answered(trial(name), readings)
        workshop = f"[{found.table}]\n{found.line}\n"
        notes = read_draft("", workshop=workshop).notes
        assert "unknown-key" not in [note.code for note in notes], workshop
        assert "not-understood" not in [note.code for note in notes], workshop
        assert "±" in found.told


@pytest.mark.parametrize(
    "readings",
    [{"count": "0", "over": "50 mm"}, {"count": "many", "over": "50 mm"}, {"over": "50 mm"},
     {"count": "90", "over": "50 furlongs"}, {"count": "90", "over": "50 mm", "depth": "1"}],
)  # fmt: skip
def test_a_reading_that_cannot_be_is_told(readings):
    with pytest.raises(ValueError, match=r"\w{4}"):
        answered(trial("wraps"), readings)


@pytest.mark.parametrize(
    ("name", "readings", "says"),
    [
        ("wraps", {"count": "many", "over": "50 mm", "yarn": "s"}, "count: `many` is no number"),
        ("slips", {"pairs": "20, 100/138", "radius": "20 mm", "wrap": "90 deg"}, "lighter/heavier"),
    ],
)
def test_a_reading_that_is_no_number_is_told_in_plain_words(name, readings, says):
    with pytest.raises(ValueError, match=says):
        answered(trial(name), readings)


def test_the_sheet_has_every_trial_and_its_cautions():
    text = sheet()
    assert all(f"measure {one.name}" in text for one in TRIALS)
    assert "hands and feet away" in text


DRAFT = """
[yarn.s]
count = "lea 16/2"
fibre = "linen"
{yarn}
[strip.n]
width = 20
dents = 12
[unit.a]
strip = "n"
ends = "12 s"
[warp]
pitch = 24
order = "a*2"
[loom]
{loom}
[band]
rod = "steel 3"
{band}
[[span]]
height = 100
"""


@pytest.mark.parametrize(
    ("found", "table", "line"),
    [
        (measure.wraps(96, 50, "s"), "yarn", "diameter = 0.52"),
        (measure.pressed(8, 3.2, "s"), "yarn", "pressed = 0.4"),
        (measure.stretch(1000, 2, 1.6, 205, "s"), "yarn", "modulus = 6"),
        (measure.slip(100, 150, 1.57), "loom", "friction = 0.26"),
        (measure.band(11, 13), "band", "takeup = 2"),
    ],
)
def test_what_stands_in_the_draft_is_told_as_measured_or_not(found, table, line):
    empty = {"yarn": "", "loom": "", "band": ""}
    before = beside(found, read_draft(DRAFT.format(**empty)))
    after = beside(found, read_draft(DRAFT.format(**{**empty, table: line})))
    assert "measured" not in before
    assert "measured" in after
    assert before.startswith("in use")
