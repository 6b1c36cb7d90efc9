"""Drawn against hung, and the shadow on the wall: places, legibility, worked numbers."""

import itertools
from pathlib import Path

import pytest

from crossfell.draft.files import read_file
from crossfell.draft.reader import read_draft
from crossfell.drawings.hung import INK, SLACK, bowing, hung_alone, hung_view
from crossfell.drawings.scene import DrawnPath
from crossfell.drawings.shadow import Lamp, cast, lamp_of, shadow_view, thrown
from crossfell.drawings.svg import svg
from crossfell.materials.colour import contrast
from crossfell.piece import Piece

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*/*.toml"))
LAMP = Lamp(from_wall_mm=2000, height_mm=2500, x_mm=300, diameter_mm=50)
SWINGS = """
measure = "mm"
[piece]
woven_from = "{woven}"
[yarn.y]
count = "tex 200"
fibre = "linen"
[strip.s]
width = 24
dents = 12
[unit.u]
strip = "s"
ends = "12 y"
[warp]
pitch = 30
order = "u*5 -"
[band]
picks = "2, rod, 2"
rod = "steel 3"
[hang]
lamp = [2000, 2500, 100, 40]
[[span]]
height = 150
moves = "shift 1-5 right 1"
[[span]]
height = 150
"""


def swinging(woven="bottom"):
    return Piece(read_draft(SWINGS.format(woven=woven)))


def scenes():
    for path in EXAMPLES[:2]:
        piece = Piece(read_file(path))
        yield hung_view(piece)
        yield hung_alone(piece, over_drawn=True)
        yield shadow_view(piece, LAMP)
    for woven in ("bottom", "top"):
        yield hung_view(swinging(woven))
        yield hung_alone(swinging(woven))
        yield shadow_view(swinging(woven), lamp_of(swinging(woven)))


@pytest.fixture(scope="module")
def drawn():
    return list(scenes())


def test_nothing_is_cut_no_words_overlap_and_all_are_legible(drawn):
    """WCAG 2.2, 1.4.3 for the contrast; the metrics of the shipped font for the boxes."""
    for scene in drawn:
        left, top, right, low = scene.box()
        assert left >= -0.01
        assert top >= -0.01
        assert right <= scene.width_mm + 0.01
        assert low <= scene.height_mm + 0.01
        for one, two in itertools.combinations(scene.texts, 2):
            a, b = one.box(), two.box()
            assert not (a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]), (
                one.text,
                two.text,
            )
        for text in scene.texts:
            assert contrast(text.colour, text.ground) >= 4.5
        assert any("from the front" in text.text for text in scene.texts)


@pytest.mark.parametrize("woven", ["bottom", "top"])
def test_the_hung_panel_shows_the_rods_where_they_come_to_rest(woven):
    """The lowest rod is drawn as far aside of the top one as it drifts; turned round in its plane
    the piece leans, and drifts, to the same side."""
    piece = swinging(woven)
    scene = hung_view(piece)
    panels = [layer.items for layer in scene.layers if layer.name.startswith("panel")]

    def aside(rods):
        starts = [point for name, point in rods if name == "M"]
        low, top = (pick(starts, key=lambda p: p[1]) for pick in (max, min))
        return low[0] - top[0]

    drawn, hung = (aside(panel[-1].commands) for panel in panels[:2])
    top, low = (-1, 0) if woven == "bottom" else (0, -1)
    drift = float(piece.hung.drift_mm[low] - piece.hung.drift_mm[top])
    assert drift == pytest.approx(30, abs=1)
    assert drawn == pytest.approx(0)
    assert hung == pytest.approx(drift, abs=0.1)


def test_from_behind_the_hung_piece_drifts_to_the_other_side():
    """Its picture is the front one turned left for right about the middle of the piece."""
    piece = swinging()
    front, behind = (hung_alone(piece, behind=side) for side in (False, True))

    def rods(scene):
        layer = next(layer for layer in scene.layers if layer.name == "hung")
        return [point for _, point in layer.items[-1].commands]

    twice = 2 * (front.at["x"] + piece.paths.width_total_mm / 2)
    turned = [(twice - x, y) for x, y in rods(behind)]
    assert rods(front) == [pytest.approx(point) for point in turned]
    assert rods(front) != [pytest.approx(point) for point in rods(behind)]
    assert "from behind" in {t.text for t in behind.texts} | {behind.says.rpartition(", ")[2]}


def test_slack_units_bow_and_are_told_in_words_as_well():
    """Not by colour alone: a curve, and the number beside the span."""
    piece = Piece(read_draft(read_file(EXAMPLES[1]).text.replace("[hang]", "[hang]\nbows = 0.3")))
    assert bowing(piece).any()
    scene = hung_view(piece)
    bowed = [
        i
        for layer in scene.layers
        for i in layer.items
        if isinstance(i, DrawnPath) and i.stroke == SLACK
    ]
    assert bowed
    assert all("C" in {name for name, _ in shape.commands} for shape in bowed)
    taut = [
        i
        for layer in scene.layers
        for i in layer.items
        if isinstance(i, DrawnPath) and i.stroke == INK
    ]
    assert len({round(shape.stroke_mm, 2) for shape in taut}) > 3
    assert sum(" bow" in text.text and text.colour == SLACK for text in scene.texts) == sum(
        bool(row.any()) for row in bowing(piece)
    )


def test_the_hung_piece_is_in_its_colours_and_movements_can_be_enlarged():
    """Every colour of its yarns is there; the foot goes five times as far, and it is said so."""
    piece = swinging()
    once, five = (hung_alone(piece, times=times) for times in (1.0, 5.0))

    def foot(scene):
        layer = next(layer for layer in scene.layers if layer.name == "hung")
        starts = [point for name, point in layer.items[-1].commands if name == "M"]
        return max(starts, key=lambda p: p[1])[0] - min(starts, key=lambda p: p[1])[0]

    assert foot(once) == pytest.approx(30, abs=0.5)
    assert foot(five) == pytest.approx(5 * foot(once), rel=0.05)
    fills = {i.fill for layer in once.layers for i in layer.items if isinstance(i, DrawnPath)}
    assert {yarn.colour for yarn in piece.draft.yarns.values()} <= fills
    assert any("× 5" in text.text for text in five.texts)
    assert any("true to scale" in text.text for text in once.texts)


def test_worked_numbers_of_the_shadow():
    """Similar triangles: lamp 2 m from the wall and 2.5 m high, thread 0.1 m off it, 1.5 m high."""
    x, z = thrown(LAMP, 300.0, 1500.0, 100.0)
    assert (x, z) == pytest.approx((300.0, 1447.368), abs=1e-3)
    made = cast(LAMP, 1.0, 100.0)
    assert made.magnified == pytest.approx(1.052632, abs=1e-6)
    assert made.soft_mm == pytest.approx(2.632, abs=1e-3)
    assert made.core_mm == 0
    assert made.darkness == pytest.approx(0.40)
    assert cast(LAMP, 1.0, 39.9).core_mm > 0
    assert cast(LAMP, 1.0, 40.1).core_mm == 0
    assert cast(LAMP, 1.0, 40.0).darkness == pytest.approx(1.0)
    with pytest.raises(ValueError, match="between"):
        cast(LAMP, 1.0, 2000.0)


def test_the_lamp_of_the_draft_stands_right_of_the_middle():
    piece = swinging()
    lamp = lamp_of(piece)
    assert lamp.x_mm == piece.paths.width_total_mm / 2 + 100
    assert lamp.diameter_mm == 40
    assert lamp_of(Piece(read_file(EXAMPLES[0]))) is None


def test_same_piece_same_bytes():
    assert svg(hung_view(swinging())) == svg(hung_view(swinging()))
