"""Whatever a rod is called, its mass, its bending and its looks come from one row of one table."""

from pathlib import Path

import pytest

from crossfell.draft.reader import read_draft
from crossfell.drawings.front import front_view
from crossfell.drawings.svg import svg
from crossfell.materials.colour import linear_from_hex
from crossfell.materials.tables import rod_materials, rod_names
from crossfell.model3d.model import parts_of
from crossfell.piece import Piece
from crossfell.search.hanging import told
from small_piece import small_draft

GLINT = 'offset="0.36" stop-color="#ffffff"'


def of_rod(name: str) -> Piece:
    """A piece with rods of this material, 8 mm thick."""
    return Piece(read_draft(small_draft("1 over 2").replace("steel 3", f"{name} 8")))


@pytest.mark.parametrize("name", sorted(rod_materials()))
def test_every_accepted_name_is_one_material_in_mass_model_and_picture(name):
    piece, material = of_rod(name), rod_materials()[name]
    (need,) = piece.amounts.rods
    assert need.mass_g == pytest.approx(
        material.density * 1e-6 * 3.14159265 * 16 * sum(need.pieces), rel=1e-6
    )
    skin = next(part.skin for part in parts_of(piece) if part.name == "rod 1")
    assert skin.colour == linear_from_hex(material.colour)
    assert (skin.metallic > 0) == material.metal
    picture = svg(front_view(piece))
    assert (GLINT in picture) == material.metal
    assert material.source["strength"] in "\n".join(told(piece))


def test_beech_and_carbon_are_no_metal_and_steel_is():
    table = rod_materials()
    shines = {name: table[name].metal for name in ("beech", "dowel", "carbon", "steel")}
    assert shines == {"beech": False, "dowel": False, "carbon": False, "steel": True}


def test_a_metre_of_rod_weighs_what_the_handbooks_say():
    """g per m at 3 mm. Source: tables of bar dealers, density × area; steel, brass, aluminium."""
    area = 3.14159265 * 1.5**2
    each = {name: area * rod_materials()[name].density / 1000 for name in rod_materials()}
    assert each["steel"] == pytest.approx(55.49, abs=0.01)
    assert each["brass"] == pytest.approx(59.87, abs=0.01)
    assert each["aluminium"] == pytest.approx(19.09, abs=0.01)


def test_the_page_of_the_language_names_every_material():
    page = (Path(__file__).parents[2] / "docs" / "draft.md").read_text(encoding="utf-8")
    assert f"A rod is of {rod_names()}." in page
