"""The screen at the loom against published values: size of letters, contrast, robust times.

| what | source | licence | tolerance |
| --- | --- | --- | --- |
| height of capitals | ISO 9241-3 as quoted (16' least, 20' to 22' preferred), h = 2 D tan(a/2) | values | 0.01 mm: printed digits |
| contrast | WCAG 2.2, 1.4.3 and 1.4.6, relative luminance | W3C document licence | none: thresholds |
| range of times | numpy.quantile, method "linear" (type 7 of Hyndman and Fan, 1996) | BSD-3 | 1e-9 |
"""

import math
import re
from importlib.resources import files

import numpy as np
import pytest

from crossfell.drawings.lettering import CAP_HEIGHT
from crossfell.record.learned import _learned

STATIC = files("crossfell.loomside") / "static"
TABLET_PX_PER_INCH = 132  # CSS pixels of a common tablet


def height_mm(minutes, distance_mm):
    return 2 * distance_mm * math.tan(math.radians(minutes / 60) / 2)


@pytest.mark.parametrize(("minutes", "printed"), [(16, 6.98), (20, 8.73), (22, 9.60)])
def test_the_formula_gives_the_published_heights_at_a_metre_and_a_half(minutes, printed):
    assert height_mm(minutes, 1500) == pytest.approx(printed, abs=0.01)


def capital_mm(px):
    return CAP_HEIGHT * px * 25.4 / TABLET_PX_PER_INCH


def test_capitals_that_a_step_needs_reach_the_least_height_on_a_tablet():
    script = (STATIC / "show.js").read_text()
    least = float(re.search(r"LEAST = (\d+);", script).group(1))
    assert capital_mm(least) >= height_mm(16, 1500)
    style = (STATIC / "loom.css").read_text()
    wet = float(re.search(r"#wait:not\(:empty\).*?font-size: (\d+)px", style).group(1))
    assert capital_mm(wet) >= height_mm(16, 1500)


def luminance(colour):
    channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    light = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return float(np.dot(light, (0.2126, 0.7152, 0.0722)))


def contrast(one, other):
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_the_contrast_formula_gives_the_published_examples():
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.542, abs=1e-3)
    assert contrast("#595959", "#ffffff") == pytest.approx(7.005, abs=1e-3)


@pytest.mark.parametrize(
    ("ink", "ground"),
    [
        ("#000000", "#ffffff"),
        ("#ffffff", "#1d1a17"),
        ("#ffffff", "#0b3d66"),
        ("#3d3a36", "#ffffff"),
        ("#000000", "#f0e442"),
        ("#2b2926", "#f0e442"),
        ("#57524b", "#ffffff"),
    ],
)
def test_every_pair_of_colours_of_the_screen_has_the_contrast_of_triple_a(ink, ground):
    assert contrast(ink, ground) >= 7
    used = (STATIC / "loom.css").read_text().lower()
    drawn = (files("crossfell.loomside") / "picture.py").read_text() + (
        files("crossfell.drawings") / "look.py"
    ).read_text()
    for colour in (ink, ground):
        short = {"#000000": "#000", "#ffffff": "#fff"}.get(colour, colour)
        assert short in used or colour in drawn


@pytest.mark.parametrize(
    "times", [[1.0, 2.0, 3.0], [0.5, 0.7, 0.7, 9.0, 1.2], list(np.linspace(1, 4, 11))]
)
def test_the_range_of_times_is_that_of_the_usual_quantiles(times):
    found = _learned("lay", times)
    expected = np.quantile(times, [0.25, 0.5, 0.75])
    assert (found.low, found.likely, found.high) == pytest.approx(tuple(expected), abs=1e-9)
