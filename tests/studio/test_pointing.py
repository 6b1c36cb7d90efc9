"""What she points at is what is there, in every view; a drag is the crossing that she sees."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crossfell.draft.files import read_file
from crossfell.drawings.views import SAYS, view_of
from crossfell.piece import Piece
from crossfell.studio.pointing import (
    Selection,
    band_dragged,
    dragged,
    pointed,
    selected,
    units_of,
)

EXAMPLES = Path(__file__).parents[2] / "examples"
PIECES = {
    name: Piece(read_file(EXAMPLES / name / f"{name[3:]}.toml"))
    for name in ("02-tideline", "03-long-harvest")
}


@settings(max_examples=40, deadline=None)
@given(st.sampled_from(sorted(PIECES)), st.sampled_from(sorted(SAYS)), st.data())
def test_pointing_at_the_end_of_a_unit_finds_it(name, view_name, data):
    """Just before the band that a span ends in, at the middle of a unit."""
    piece = PIECES[name]
    view = view_of(piece, view_name)
    span = data.draw(st.integers(0, len(piece.draft.spans) - 1))
    unit = data.draw(st.integers(0, len(piece.draft.units) - 1))
    x = view.x(float(piece.paths.x_mm[span + 1, unit]))
    y = view.y(float(piece.paths.band_bottom_mm[span + 1]) - 0.01)
    told = pointed(piece, view_name, x, y)
    assert (told["kind"], told["span"]) == ("span", span + 1)
    assert told["unit"] == piece.order.names[unit]
    assert told["place"] == piece.order.place[span + 1, unit]


@pytest.mark.parametrize("view_name", sorted(SAYS))
@pytest.mark.parametrize("name", sorted(PIECES))
def test_every_band_can_be_pointed_at(name, view_name):
    piece = PIECES[name]
    view = view_of(piece, view_name)
    for band in range(len(piece.draft.bands)):
        middle = (piece.paths.band_bottom_mm[band] + piece.paths.band_top_mm[band]) / 2
        told = pointed(piece, view_name, 100.0, view.y(float(middle)))
        assert (told["kind"], told["band"]) == ("band", band + 1)


def test_of_two_units_at_a_crossing_the_upper_one_is_pointed_at():
    piece = PIECES["02-tideline"]
    for k, span in enumerate(piece.order.spans):
        for over, under in zip(span.over.tolist(), span.under.tolist(), strict=True):
            a0, b0 = piece.paths.x_mm[k, [over, under]]
            a1, b1 = piece.paths.x_mm[k + 1, [over, under]]
            share = (b0 - a0) / ((b0 - a0) - (b1 - a1))
            low, high = piece.paths.band_top_mm[k], piece.paths.band_bottom_mm[k + 1]
            x, y = float(a0 + share * (a1 - a0)), float(low + share * (high - low))
            hits = []
            for view_name in ("front", "behind"):
                view = view_of(piece, view_name)
                hits.append(pointed(piece, view_name, view.x(x), view.y(y))["unit"])
            names = piece.order.names
            between = [u for u in range(len(names)) if u not in {over, under}
                       and abs(piece.paths.x_mm[k, u] * (1 - share)
                               + piece.paths.x_mm[k + 1, u] * share - x)
                       <= piece.paths.width_mm[u] / 2]  # fmt: skip
            if not between:
                assert hits == [names[over], names[under]]


@settings(max_examples=40, deadline=None)
@given(st.integers(-50, 90), st.integers(-9, 90), st.integers(-9, 90), st.integers(-9, 90))
def test_any_selection_is_held_within_the_piece(span, first, last, span_to):
    piece = PIECES["02-tideline"]
    told = selected(piece, "front", Selection(span, first, last, span_to))
    assert 1 <= told["span"] <= 14
    assert 1 <= told["first"] <= told["last"] <= 26
    assert told["says"]


@settings(max_examples=40, deadline=None)
@given(st.sampled_from(["front", "behind"]), st.floats(-2000, 2000), st.integers(1, 20))
def test_a_drag_never_leaves_the_batten(view, far, first):
    piece = PIECES["03-long-harvest"]
    by = dragged(piece, view, Selection(3, first, first + 2, 3), 0.0, far)
    step = view_of(piece, view).frame.side(by)
    assert first + step >= 1
    assert first + 2 + step <= piece.draft.place_count


def test_a_drag_to_where_a_neighbour_lies_crosses_it_and_the_units_land_there(client):
    piece = "02-tideline/tideline"
    state = client.call("open", piece=piece)
    pitch = PIECES["02-tideline"].draft.pitch_mm
    asked = {"piece": piece, "view": "front", "span": 13, "first": 12, "last": 12}
    told = client.call("drag", **asked, from_x=0, to_x=2 * pitch, over=False)
    assert told["says"] == "12 under 13-14 in span 13"
    assert told["ghost"]
    assert told["lands"] == [14, 14]
    assert {n["key"] for n in told["numbers"]} >= {"layable", "holds", "lifted", "yarn"}
    before = client.call("select", **asked)["units"]
    after = client.call("edit", piece=piece, edit=told["edit"], revision=state["revision"])
    assert after["undo"] == "12 under 13-14 in span 13"
    there = client.call("select", **{**asked, "first": 14, "last": 14})
    assert there["units"] == before


def test_a_drag_into_empty_places_is_a_shift(client):
    told = client.call("drag", piece="02-tideline/tideline", view="front", span=14, first=6, last=6,
                       by=1)  # fmt: skip
    assert told["edit"]["do"] == "shift"


def test_a_trial_keeps_nothing(client, folder):
    path = folder / "02-tideline" / "tideline.toml"
    before = path.read_text()
    client.call("drag", piece="02-tideline/tideline", view="front", span=3, first=2, last=2, by=1)
    client.call("drag-band", piece="02-tideline/tideline", band=3, from_y=0, to_y=40)
    assert path.read_text() == before


@pytest.mark.parametrize("view", ["front", "loom", "behind"])
@pytest.mark.parametrize("name", sorted(PIECES))
def test_a_band_dragged_away_from_its_span_makes_it_higher(name, view):
    """The ghost lies where the band will lie as long as what was woven before it stays."""
    piece = PIECES[name]
    seen = view_of(piece, view)
    away = -20 * seen.frame.up
    told = band_dragged(piece, view, 4, 100.0, 100.0 + away)
    height = piece.draft.spans[2].height_mm
    assert told["edit"] == {"do": "height", "span": 3, "height": f"{height + 20:g} mm"}
    assert told["line"] == pytest.approx(
        seen.y(float(piece.paths.band_bottom_mm[3])) + away, abs=0.1
    )


def test_units_of_a_selection_are_those_at_the_end_of_its_span():
    piece = PIECES["02-tideline"]
    for span in range(1, 15):
        for place in range(1, 27):
            units = units_of(piece, Selection(span, place, place, span))
            assert units == [u for u in range(24) if piece.order.place[span, u] == place]
