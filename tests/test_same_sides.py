"""Left and right are told the same everywhere, for a piece woven from its bottom and its top.

The expectation is made here from the draft alone: places from the weaver's left; behind the loom
and on the wall of a piece woven from its top the row is read from the other end, and that piece
hangs with its first band uppermost (decisions 0001, 0012).
"""

import io
from functools import lru_cache
from types import SimpleNamespace

import numpy as np
import pytest
import trimesh

from crossfell.draft.reader import read_draft
from crossfell.drawings.cards import span_card
from crossfell.drawings.front import picture
from crossfell.drawings.gallery import small
from crossfell.drawings.hung import hung_alone
from crossfell.drawings.moments import now_view
from crossfell.drawings.views import view_of
from crossfell.loomside.leading import planned
from crossfell.loomside.picture import picture_of as step_picture
from crossfell.loomside.screen import step_screen
from crossfell.model3d.model import glb
from crossfell.papers.card_rows import moments
from crossfell.papers.hanging_points import points_of
from crossfell.papers.wall_picture import wall_view
from crossfell.piece import Piece
from crossfell.studio.pointing import pointed
from crossfell.studio.showing import picture_of

DRAFT = """
[piece]
title = "Sides"
woven_from = "{woven}"
[yarn.flax]
count = "tex 400"
fibre = "linen"
[strip.s]
width = 20
dents = 8
[unit.p]
strip = "s"
ends = "8 flax"
[unit.q]
strip = "s"
ends = "8 flax"
[unit.r]
strip = "s"
ends = "8 flax"
[warp]
pitch = 24
order = "p*2 q - r*2"
[band]
picks = "3, rod, 3"
rod = "steel 3"
[hang]
cords = [30, 100]
[[span]]
height = 200
moves = "1 over 2, turn 3 right"
[[span]]
height = 200
moves = "2 over 3"
[[span]]
height = 200
moves = "1-2 over 3"
"""
BANDS = [  # units in places 1 to 6, band after band, made by hand from the moves
    ["p1", "p2", "q1", None, "r1", "r2"],
    ["p2", "p1", "q1", None, "r1", "r2"],
    ["p2", "q1", "p1", None, "r1", "r2"],
    ["p1", "p2", "q1", None, "r1", "r2"],
]
WOVEN = pytest.mark.parametrize("woven", ["bottom", "top"])


@lru_cache
def piece(woven):
    made = Piece(read_draft(DRAFT.format(woven=woven)))
    assert made.computable
    return made


def names(row, *, turned=False):
    """From the left of who looks."""
    there = [name for name in row if name]
    return there[::-1] if turned else there


def read_across(scene, allowed):
    """Words of a scene that are names, from the left, row by row from above."""
    texts = sorted((t.y, t.x, t.text.rstrip("′")) for t in scene.texts)
    rows, last = [], -100.0
    for y, x, name in texts:
        if name in allowed:
            if y - last > 4:  # mm: a name with "back" below it stands a little higher
                rows.append([])
            rows[-1].append((x, name))
            last = y
    return [[name for _, name in sorted(row)] for row in rows]


UNITS = set(names(BANDS[0]))
TURNED = {("front", "bottom"): False, ("front", "top"): True,
          ("behind", "bottom"): True, ("behind", "top"): False,
          ("loom", "bottom"): False, ("loom", "top"): False}  # fmt: skip


@WOVEN
@pytest.mark.parametrize("behind", [False, True])
def test_cards_screen_and_pictures_at_the_loom_say_the_same_row(woven, behind):
    made = piece(woven)
    plan = planned(made)
    for k, step in enumerate(plan.steps):
        if step.kind != "check":
            continue
        row = BANDS[step.span]
        seen = step_screen(plan, k, other_side=behind).row.removeprefix("after: ")
        cells = [word.strip("[]").rstrip("′") for word in seen.split()]
        assert [c for c in cells if c != "·"] == names(row, turned=behind)
        assert cells.index("·") == (2 if behind else 3)
        scene = step_picture(made, step, plan.sights[k : k + 2], behind=behind)
        assert read_across(scene, UNITS) == [names(row, turned=behind)]
        assert read_across(now_view(made, k + 1), UNITS) == [names(row)]
    for span in (1, 2, 3):
        side = "back" if behind else "front"
        above, below = read_across(span_card(made, span, view=side, places=(1, 6)), UNITS)
        assert (above, below) == tuple(names(BANDS[b], turned=behind) for b in (span, span - 1))
        steps = [s for s in made.plan.steps if s.span == span and (s.side == "back") == behind]
        seen = moments(made, span, side, steps)
        for moment, band in ((seen[0], span - 1), (seen[-1], span)):
            told = [made.order.names[u] for u in moment.row if u is not None]
            assert told == names(BANDS[band], turned=behind)


@WOVEN
@pytest.mark.parametrize("view", ["front", "behind", "loom"])
def test_pictures_and_the_studio_have_every_unit_on_the_same_side(woven, view):
    made = piece(woven)
    first_above = woven == "top" and view != "loom"
    above, *_, below = read_across(picture(made, view, style="line", labels=True), UNITS)
    bands = [BANDS[0], BANDS[-1]] if first_above else [BANDS[-1], BANDS[0]]
    assert [above, below] == [names(band, turned=TURNED[view, woven]) for band in bands]
    seen, step = view_of(made, view), 144 / 6
    for span in range(3):
        up = (made.paths.band_bottom_mm[span + 1] - 20) / seen.height  # just before the band
        y = (up if first_above else 1 - up) * seen.height
        row = BANDS[span + 1][::-1] if TURNED[view, woven] else BANDS[span + 1]
        for cell, name in enumerate(row):
            if name:
                told = pointed(made, view, (cell + 0.5) * step, float(y))
                assert (told["span"], told["unit"]) == (span + 1, name)


@WOVEN
@pytest.mark.parametrize("view", ["front", "behind", "loom"])
def test_the_client_is_told_which_way_places_and_spans_go_in_its_picture(woven, view):
    made = piece(woven)
    told = picture_of(SimpleNamespace(piece=made, slices=lambda *_: ()), view, "line")
    assert told["places"] == sorted(told["places"], reverse=told["across"] < 0)
    assert told["bands"] == sorted(told["bands"], reverse=told["up"] > 0)  # y goes down
    assert told["across"] == (-1 if TURNED[view, woven] else 1)
    assert told["up"] == (-1 if woven == "top" and view != "loom" else 1)


@WOVEN
def test_the_model_in_space_has_them_where_the_wall_has_them(woven):
    made = piece(woven)
    parts = trimesh.load(io.BytesIO(glb(made)), file_type="glb").geometry
    ends = {
        name: mesh.vertices[np.argsort(mesh.vertices[:, 1])]
        for name, mesh in ((u, parts[f"unit {u}"]) for u in UNITS)
    }
    lowest = sorted(UNITS, key=lambda u: ends[u][:4, 0].mean())
    highest = sorted(UNITS, key=lambda u: ends[u][-4:, 0].mean())
    turned = woven == "top"
    up = [BANDS[-1], BANDS[0]] if turned else [BANDS[0], BANDS[-1]]
    assert [lowest, highest] == [names(band, turned=turned) for band in up]


@WOVEN
def test_a_small_picture_of_a_gallery_hangs_as_the_large_one(woven):
    shapes = small(piece(woven), 0.0, 0.0, 144.0, 600.0)[: -len(BANDS)]
    ends = [[at for _, at in shape.commands[:4]] for shape in shapes]
    found = {}
    for left, right, _, low in ends:
        found.setdefault(round(left[1], 3), []).append((left[0] + right[0]) / 2)
        found.setdefault(round(low[1], 3), [])
    turned = woven == "top"
    first = max(found) if woven == "bottom" else min(found)
    places = sorted((x - min(found[first])) / (max(found[first]) - min(found[first])) * 5
                    for x in found[first])  # fmt: skip
    assert places == pytest.approx([0, 1, 3, 4, 5] if turned else [0, 1, 2, 4, 5])


@WOVEN
def test_the_wall_sheet_counts_cords_from_the_left_of_the_hung_rod(woven):
    made = piece(woven)
    assert [p.on_rod_mm for p in points_of(made)] == [30, 100]
    left, right = made.paths.rod_ends_mm[-1 if woven == "bottom" else 0]
    middle = (right - left) / 2
    for point in points_of(made):
        assert point.tied_mm == pytest.approx(point.on_rod_mm - middle)
    x = {t.text[0]: t.x for t in wall_view(made).texts if t.text[:2] in {"1:", "2:"}}
    assert x["2"] - x["1"] == pytest.approx(70)


LEANING = (
    DRAFT.split("[[span]]")[0]
    + """
[[span]]
height = 200
moves = "shift 3 right 1, shift 1-2 right 1"
"""
)


@WOVEN
def test_a_drift_goes_to_the_same_side_in_numbers_words_pictures_and_space(woven):
    """All that lies left of the gap leans to the weaver's right, weaving on: the upper band of a
    piece woven from its bottom, the lower one of one woven from its top, is off to one side."""
    made = Piece(read_draft(LEANING.format(woven=woven)))
    drift = made.hung.drift_mm
    low = 0 if woven == "bottom" else 1
    assert abs(drift[low]) > 5
    (swings,) = [note for note in made.notes if note.code == "swings"]
    assert swings.facts["side"] == ("right" if drift[low] > 0 else "left")
    moved = cloth_x(made, low, hung=True) - cloth_x(made, low, hung=False)
    assert 1000 * moved == pytest.approx(drift[low], rel=0.02)
    for behind in (False, True):
        drawn = rods_x(hung_alone(made, over_drawn=True, behind=behind), "drawn")
        hung = rods_x(hung_alone(made, behind=behind), "hung")
        seen = -drift[low] if behind else drift[low]
        assert hung[-1] - drawn[-1] == pytest.approx(seen, rel=0.02)


def cloth_x(made, band, *, hung):
    """Middle of a band's cloth (m) in the model in space."""
    parts = trimesh.load(io.BytesIO(glb(made, hung=hung)), file_type="glb").geometry
    return parts[f"band {band + 1}"].bounds[:, 0].mean()


def rods_x(scene, name):
    """Middles of the rods, from the top: the last shape of a layer has a line for each."""
    (layer,) = [layer for layer in scene.layers if layer.name == name]
    ends = np.array([point for _, point in layer.items[-1].commands]).reshape(-1, 2, 2)
    return ends[:, :, 0].mean(axis=1)
