"""A remedy does to the draft what its words say, to that and to nothing else; worse is never better."""

import re
from dataclasses import replace

import pytest

from crossfell.draft.reader import read_draft
from crossfell.piece import Piece
from crossfell.search.fittings import fittings
from crossfell.search.standing import standing_of
from small_piece import small_draft

SPANS = ("1-2 over 3-4", "5 over 6", "1 under 2", "3 over 4")


def made(*, woven="bottom", more=""):
    text = small_draft(*SPANS, order="a*6")
    text = text.replace('title = "', f'woven_from = "{woven}"\ntitle = "')
    text = text.replace("pitch = 28", "pitch = 28\ntension = 3")
    piece = Piece(read_draft(text + more))
    assert piece.computable
    return piece


def changed(piece, kind):
    """What is said, and the draft as it then reads."""
    return [(one.says, read_draft(one.make())) for one in fittings(piece) if one.kind == kind]


def rods(draft):
    return [band.rod.label for band in draft.bands]


@pytest.mark.parametrize("woven", ["bottom", "top"])
def test_another_rod_goes_into_the_band_that_is_named_and_no_other(woven):
    piece = made(woven=woven, more='[stock]\nrods = ["brass 8: 2000 * 9"]\n')
    last = len(piece.draft.bands) - 1
    seen = set()
    for says, new in changed(piece, "rod"):
        if says.endswith("for every rod that has none of its own"):
            assert set(rods(new)) == {says.split(" for ")[0]}
            continue
        which, label, was = re.fullmatch(r"(.*rod.*?) (\w+ \d+) instead of (.*)", says).groups()
        ends = {
            "lowest rod": last if woven == "top" else 0,
            "top rod": 0 if woven == "top" else last,
        }
        band = ends[which] if which in ends else int(which.rsplit(" ", 1)[1]) - 1
        wanted = rods(piece.draft)
        assert wanted[band] == was
        wanted[band] = label
        assert rods(new) == wanted
        seen.add(band)
    assert {0, last} < seen


def test_less_tension_is_tried_and_written_as_said():
    piece = made()
    tensions = [(says, new.warp.tension_n) for says, new in changed(piece, "tension")]
    assert [t for _, t in tensions] == [1.5, 0.75]
    for says, tension in tensions:
        assert says == f"weave at {tension:.2g} N on each end instead of 3"


@pytest.mark.parametrize("woven", ["bottom", "top"])
def test_heights_are_written_as_said_to_the_spans_that_are_named(woven):
    piece = made(woven=woven)
    was = [span.height_mm for span in piece.draft.spans]
    for says, new in changed(piece, "height of one span"):
        number, share, way, height = re.fullmatch(
            r"weave span (\d+) (\d+)% (higher|lower), (\d+) mm", says
        ).groups()
        by = 1 + int(share) / 100 * (1 if way == "higher" else -1)
        wanted = [h * by if n == int(number) else h for n, h in enumerate(was, 1)]
        assert [span.height_mm for span in new.spans] == pytest.approx(wanted, abs=0.06)
        assert float(height) == pytest.approx(wanted[int(number) - 1], abs=0.5)
    for says, new in changed(piece, "height"):
        share, way = re.fullmatch(r"weave every span ([\d.]+)% (higher|lower)", says).groups()
        by = 1 + float(share) / 100 * (1 if way == "higher" else -1)
        assert [s.height_mm for s in new.spans] == pytest.approx([h * by for h in was], abs=0.1)


STANDS = standing_of(made())


@pytest.mark.parametrize(
    ("number", "worse", "no_better", "better"),
    [
        ("bowed", 11, 10, 9),
        ("drift_mm", 12.0, 9.6, 9.4),
        ("top_sag_mm", 12.0, 9.6, 9.4),
        ("loosest_mm_per_n", 12.0, 8.1, 7.9),
        ("shrinkage_mm", -12.0, -9.6, 9.4),
    ],
)
def test_one_number_alone_decides_what_is_better_and_only_when_it_is_seen(
    number, worse, no_better, better
):
    """Half a millimetre, a fifth of looseness, one unit that bows. Common practice, no source."""
    now = replace(STANDS, swings=(), **{number: -10.0 if number == "shrinkage_mm" else 10})
    assert not replace(now, **{number: worse}).better_than(now)
    assert not replace(now, **{number: no_better}).better_than(now)
    assert replace(now, **{number: better}).better_than(now)


def test_what_swings_comes_before_everything_else():
    swings = replace(STANDS, swings=(1,), quick_drift_mm=100.0)
    assert replace(swings, swings=(), lifted=99, bowed=99).better_than(swings)
    assert not replace(swings, swings=(1, 2), drift_mm=0.0).better_than(swings)
    assert not replace(swings, quick_drift_mm=96.0, drift_mm=0.0).better_than(swings)
    assert replace(swings, quick_drift_mm=94.0, lifted=99).better_than(swings)


def test_whatever_it_mends_no_rod_may_hang_farther_aside():
    swings = replace(STANDS, swings=(1,), quick_drift_mm=100.0)
    farther = replace(swings, swings=(), drift_mm=swings.drift_mm + 1.0)
    assert not farther.better_than(swings)
    ranks = [replace(STANDS, swings=s).rank for s in ((), (1,), (1, 2))]
    assert ranks == sorted(ranks)
