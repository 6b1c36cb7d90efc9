"""How near is touching, and which of two unlike units gives way where they cross?"""

import numpy as np
import pytest

from crossfell.draft.reader import read_draft
from crossfell.piece import Piece
from small_piece import small_draft


def named(gap):
    """What is said of six units with so much room (mm) between them at each band."""
    text = small_draft("", order="a*6").replace("pitch = 28", f"pitch = {25 + gap}")
    return [n.code for n in Piece(read_draft(text)).paths.notes if n.code.startswith("units-")]


@pytest.mark.parametrize(
    ("gap", "codes"),
    [
        (0.32, []),
        (0.28, ["units-touch"]),
        (0.0, ["units-touch"]),
        (-0.04, ["units-touch"]),  # less than a strip is measured to
        (-0.06, ["units-overlap"]),
    ],
)
def test_units_touch_within_three_tenths_and_overlap_beyond_a_twentieth(gap, codes):
    assert named(gap) == codes


@pytest.mark.parametrize(("times", "ends"), [(1, 10), (2, 10), (3, 10), (2, 5)])
def test_a_thick_unit_gives_way_less_by_the_fourth_power_of_its_yarn(times, ends):
    """One meeting in the middle of both: δ = P L³/192 EI of both, I = π d⁴/64 for each end.

    Source: beam fixed at both ends, load in the middle; second moment of a round section; in every
    beam table.
    """
    text = small_draft("1 over 2", order="a b")
    text = text.replace(
        '[yarn.slate]\ncount = "tex 200"', '[yarn.slate]\ncount = "tex 200"\ndiameter = 0.5'
    )
    text = text.replace(
        '[yarn.chalk]\ncount = "tex 200"',
        f'[yarn.chalk]\ncount = "tex 200"\ndiameter = {times / 2}',
    )
    made = Piece(read_draft(text.replace("10 chalk", f"{ends} chalk")))
    lines = made.paths.lines
    thin, thick = (float(np.abs(lines.z_mm[lines.of(0, unit)]).max()) for unit in (0, 1))
    assert thick > 0
    assert thin / thick == pytest.approx(times**4 * ends / 10, rel=1e-3)
