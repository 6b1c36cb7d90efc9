"""The model: few triangles, true size, names kept, outward faces, the same bytes each time."""

import json
import struct

import numpy as np
import pytest
from hung_samples import example, small

from crossfell.draft.reader import read_draft
from crossfell.model3d.bands import cloth_of, drawdown
from crossfell.model3d.course import courses_of
from crossfell.model3d.model import MOST_TRIANGLES, glb, parts_of
from crossfell.model3d.picture import png_of
from crossfell.model3d.strips import strips_of
from crossfell.piece import Piece
from crossfell.statics.cords import cords_of


def _named(piece):
    return {part.name: part for part in parts_of(piece)}


@pytest.mark.parametrize("name", ["01-first-sampler", "02-tideline", "03-long-harvest"])
def test_every_example_stays_under_fifty_thousand_triangles(name):
    assert sum(len(part.mesh.faces) for part in parts_of(example(name))) < MOST_TRIANGLES


def test_fine_makes_a_thread_of_every_end():
    piece = small()
    plain, fine = (parts_of(piece, fine=fine)[0].mesh for fine in (False, True))
    assert len(fine.faces) >= 10 * 10 * 2
    assert len(fine.faces) > 5 * len(plain.faces)


@pytest.mark.parametrize("fine", [False, True])
@pytest.mark.parametrize("name", ["01-first-sampler", "02-tideline"])
def test_every_face_is_anticlockwise_from_outside(name, fine):
    for part in parts_of(example(name), fine=fine):
        mesh = part.mesh
        a, b, c = (mesh.points[mesh.faces[:, i]] for i in range(3))
        across = np.cross(b - a, c - a)
        area = np.linalg.norm(across, axis=1)
        facing = (across * mesh.normals[mesh.faces].sum(axis=1)).sum(axis=1)
        assert (facing[area > 1e-6] > 0).all(), part.name
        assert np.allclose(np.linalg.norm(mesh.normals, axis=1), 1)


def test_parts_keep_the_names_of_the_draft():
    names = set(_named(small()))
    units = {"unit r1", "unit b1", "unit r2"}
    rest = {"band 1", "band 2", "rod 1", "rod 2", "cord 1", "cord 2", "point 1", "point 2", "wall"}
    assert names == units | rest


def test_it_hangs_where_the_draft_says():
    piece = small()
    parts = _named(piece)
    hang = piece.draft.hang
    rod = parts["rod 1"].mesh.points
    assert np.isclose(
        rod[:, 1].mean(), hang.above_floor_mm + piece.paths.band_top_mm[0] / 2, atol=1
    )
    assert np.isclose(rod[:, 2].mean(), hang.off_wall_mm)
    assert np.isclose(np.ptp(rod[:, 0]), 120 + 30 + 2 * 15)  # units 30 wide, 120 apart
    assert np.isclose(np.ptp(rod[:, 2]), 3.0, atol=0.2)
    assert np.all(parts["wall"].mesh.points[:, 2] == 0)
    cord = parts["cord 1"].mesh.points
    assert np.isclose(cord[:, 0].mean(), rod[:, 0].min() + 20)
    assert np.isclose(np.ptp(cord[:, 1]), hang.cord_length_mm)


def test_cords_hang_where_the_statics_takes_them():
    piece = example("02-tideline")
    parts, cords = _named(piece), cords_of(piece.draft, piece.paths)
    left = parts["rod 1"].mesh.points[:, 0].min()
    for i, at in enumerate(cords.at_mm):
        assert np.isclose(parts[f"cord {i + 1}"].mesh.points[:, 0].mean(), left + at, atol=0.01)


def test_a_rail_needs_no_cords():
    text = small().draft.text.replace("cords = [20, 150]", "cords = [20, 150]\nrail = true")
    names = set(_named(Piece(read_draft(text))))
    assert "cord 1" not in names
    assert "point 1" in names


def test_the_same_draft_makes_the_same_bytes():
    assert glb(small()) == glb(small())
    assert glb(small()) != glb(small(moves="1 under 2"))


def test_any_title_is_data():
    title = 'Ebbe #1 \\" $x$ </script> שלום é'
    made = glb(small(title=title))
    length = struct.unpack_from("<I", made, 12)[0]
    document = json.loads(made[20 : 20 + length])
    assert document["scenes"][0]["name"] == 'Ebbe #1 " $x$ </script> שלום é'


def test_a_band_is_plain_weave_and_its_back_is_its_complement():
    piece = small()
    image = drawdown(piece, cloth_of(piece, 0)).astype(int)
    half = len(image) // 2
    front, back = image[:half], image[half:]
    pick = piece.draft.yarns["red"].colour
    assert front.shape == back.shape
    differs = (front[1] != back[1]).any(axis=1)
    warp = front[0, :, 3] == 255
    assert pick == "#c02020"
    assert 0.4 < differs[warp].mean() <= 1.0
    gap = front[:, :, 3] == 0
    assert gap.any()  # between units only picks run
    assert not gap.all()


def test_pictures_are_true_png():
    from io import BytesIO

    from PIL import Image

    pixels = np.arange(2 * 3 * 4, dtype=np.uint8).reshape(2, 3, 4)
    assert np.array_equal(np.asarray(Image.open(BytesIO(png_of(pixels)))), pixels)
    assert np.array_equal(np.asarray(Image.open(BytesIO(png_of(pixels[..., :3])))), pixels[..., :3])


def test_hung_every_rod_lies_where_the_statics_let_it_rest():
    piece = example("02-tideline")
    drawn = {part.name: part for part in parts_of(piece)}
    hung = {part.name: part for part in parts_of(piece, hung=True)}
    for i, (drift, rise, _) in enumerate(piece.hung.rods):
        name = f"rod {i + 1}"
        moved = hung[name].mesh.points.mean(axis=0) - drawn[name].mesh.points.mean(axis=0)
        assert np.allclose(moved, [drift, rise, 0], atol=0.05)
    assert np.allclose(hung["point 1"].mesh.points, drawn["point 1"].mesh.points)


def test_a_span_that_swings_hangs_askew():
    piece = small(moves="shift 1-4 right 1", order="r r r r -")
    assert piece.hung.converged
    drawn, hung = ({p.name: p for p in parts_of(piece, hung=h)} for h in (False, True))
    drift = [
        hung[f"rod {i}"].mesh.points[:, 0].mean() - drawn[f"rod {i}"].mesh.points[:, 0].mean()
        for i in (1, 2)
    ]
    assert abs(drift[0] - drift[1]) > 10
    made = glb(piece, hung=True)
    assert b'"shape":"hung"' in made
    assert made != glb(piece)


def test_where_there_is_little_room_ribbons_lose_their_sides(monkeypatch):
    monkeypatch.setattr("crossfell.model3d.model.MOST_TRIANGLES", 4500)
    parts = parts_of(example("02-tideline"))
    assert sum(len(part.mesh.faces) for part in parts) < 4500
    mesh = parts[0].mesh
    assert len(np.unique(mesh.faces)) == len(mesh.points)  # nothing is left unused
    assert set(np.unique(np.sign(mesh.normals[:, 2].round(3)))) == {-1.0, 1.0}


def test_where_there_is_hardly_any_room_each_unit_is_one_strip(monkeypatch):
    piece = example("02-tideline")
    monkeypatch.setattr("crossfell.model3d.model.MOST_TRIANGLES", 1500)
    parts = {part.name: part.mesh for part in parts_of(piece)}
    assert sum(len(mesh.faces) for mesh in parts.values()) < 1500
    assert set(parts) == {part.name for part in parts_of(piece, fine=True)}
    whole = piece.paths.height_total_mm
    for unit in piece.draft.units:
        mesh = parts[f"unit {unit.name}"]
        assert np.ptp(mesh.points[:, 1]) > 0.95 * whole  # from its first band to its last
        assert set(np.unique(np.sign(mesh.normals[:, 2].round(3)))) >= {-1.0, 1.0}
    for i in range(len(piece.draft.bands)):
        assert len(parts[f"band {i + 1}"].faces) == 4


def test_a_strip_goes_where_its_unit_goes():
    """With room for all points, every kept point lies on the unit's own ribbons."""
    courses = courses_of(example("01-first-sampler"))
    rich = strips_of(courses, 1_000_000)
    share = np.array([0.0, 0.5, 1.0])[:, None]
    for unit, mesh in rich.items():
        mine = courses.unit == unit
        start, end = courses.start_mm[mine][:, None], courses.end_mm[mine][:, None]
        own = (start + (end - start) * share).reshape(-1, 2)
        middles = mesh.points.reshape(-1, 4, 3).mean(axis=1)[:, :2]
        away = np.linalg.norm(middles[:, None] - own[None], axis=2).min(axis=1)
        assert away.max() < 0.1
        assert len(middles) > len(own) / 2
    few = strips_of(courses, 4 * len(rich))
    assert all(len(mesh.faces) == 4 for mesh in few.values())


@pytest.mark.soak
@pytest.mark.parametrize(("units", "spans"), [(96, 90), (160, 120)])
def test_a_very_large_piece_stays_under_fifty_thousand_triangles_too(units, spans):
    rows = f'\n[[span]]\nheight = 60\nmoves = "plait 1-{units}"' * spans
    text = small(order=f"r*{units}", moves="").draft.text
    piece = Piece(read_draft(text[: text.index("[[span]]")] + rows))
    assert sum(len(part.mesh.faces) for part in parts_of(piece)) < MOST_TRIANGLES
