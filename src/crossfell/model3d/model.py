"""What is the piece in space: on its wall, true in size, every part named?"""

from __future__ import annotations

import hashlib

import numpy as np

from crossfell.drawings.look import WALL_LOW, kind_runs, rod_colour, shines
from crossfell.materials.colour import linear_from_hex
from crossfell.model3d.bands import HungBand, cloth_of, drawdown, skin
from crossfell.model3d.course import Courses, courses_of
from crossfell.model3d.glb import Node, Skin, glb_of
from crossfell.model3d.mesh import Mesh, sheet, tube
from crossfell.model3d.picture import bumps_of, colours_of
from crossfell.model3d.pose import Poses, poses_of
from crossfell.model3d.ribbons import count, ribbons_of, threads_of
from crossfell.model3d.strips import BARE, strips_of
from crossfell.paths.model import Floats
from crossfell.paths.rods import rods_on_wall_mm
from crossfell.piece import Piece
from crossfell.statics.cords import cords_of, top_left_mm

MOST_TRIANGLES = 50_000
TOLERANCE_MM, FINE_MM = 0.12, 0.05  # that corners may leave out
LOOSE_MM, LOOSEST_MM = 1.0, 4.0  # beyond the first, ribbons lose their sides
ROD_SIDES, LEAST_SIDES = 10, 3  # of rods; the least where there are very many
CORD_MM, PEG_MM = 2.0, 6.0
BESIDE_MM = 250.0  # wall beside the piece where the draft says nothing of the wall
CORD_COLOUR, PEG_COLOUR = "#857d6e", "#6d6f72"


def glb(piece: Piece, *, fine: bool = False, hung: bool = False) -> bytes:
    """The piece as drawn, or `hung` as it comes to rest, as glTF 2.0 binary, in metres.

    Origin: on the wall, at the floor, below the middle of the piece; x to the right, y up, z to the
    viewer. Nodes: "unit a1", "band 1", "rod 1", "cord 1", "point 1", "wall". Without `fine` it
    stays under 50,000 triangles: beyond some 4,000 open ribbons (units × spans) they lose their
    sides, beyond some 10,000 a unit is one strip through all spans, and many bands are flat. With
    `fine` every end is a thread.
    """
    title = piece.draft.about.title
    version = hashlib.sha256(piece.draft.text.encode()).hexdigest()[:8]
    shape = "hung" if hung and piece.hung.converged else "drawn"
    parts = parts_of(piece, fine=fine, hung=hung)
    return glb_of(title, parts, {"draft": version, "shape": shape})


def parts_of(piece: Piece, *, fine: bool = False, hung: bool = False) -> list[Node]:
    """Every part, in mm, at its place on the wall."""
    draft = piece.draft
    shift = np.array(
        [-piece.paths.width_total_mm / 2, draft.hang.above_floor_mm, draft.hang.off_wall_mm]
    )
    poses = poses_of(piece, hung=hung)
    cloths = [cloth_of(piece, index) for index in range(len(draft.bands))]
    hanging = [part for cloth in cloths for part in _band(piece, cloth, poses)]
    if not fine and _triangles(hanging) > MOST_TRIANGLES / 2:
        hanging = [part for cloth in cloths for part in _band(piece, cloth, poses, plain=True)]
    hanging += _cords(piece, cloths, poses)
    room = MOST_TRIANGLES - _triangles(hanging) - 2
    parts = [*_units(piece, courses_of(piece, poses), room, fine=fine), *hanging]
    return [*(_moved(part, shift) for part in parts), _wall(piece)]


def _units(piece: Piece, courses: Courses, room: int, *, fine: bool) -> list[Node]:
    draft = piece.draft
    skins = {}
    for name, kind in draft.kinds.items():
        bumps = None if fine else bumps_of(kind.end_count)
        skins[name] = Skin(name=f"unit {name}", picture=colours_of(draft, kind), bumps=bumps)
    meshes = _fine(piece, courses) if fine else _within(courses, room)
    return [
        Node(name=f"unit {draft.units[u].name}", mesh=mesh, skin=skins[draft.units[u].kind])
        for u, mesh in meshes.items()
    ]


def _triangles(parts: list[Node]) -> int:
    return sum(len(part.mesh.faces) for part in parts)


def _within(courses: Courses, room: int) -> dict[int, Mesh]:
    """Ribbons with as many corners as there is room for; without sides where there is little.

    Where there is no room for them, one strip for each unit.
    """
    if len(courses.span) * BARE >= room:
        return strips_of(courses, room)
    tolerance, bare = TOLERANCE_MM, False
    kept = courses.keep(tolerance)
    while count(courses, kept, bare=bare) > room:
        if bare and tolerance > LOOSEST_MM:
            return strips_of(courses, room)
        bare = bare or tolerance > LOOSE_MM
        tolerance *= 1.6
        kept = courses.keep(tolerance)
    return ribbons_of(courses, kept, bare=bare)


def _fine(piece: Piece, courses: Courses) -> dict[int, Mesh]:
    draft = piece.draft
    at: dict[str, Floats] = {
        name: np.array([end for run in kind_runs(draft, kind) for end in run.ends])
        for name, kind in draft.kinds.items()
    }
    ends = {u: at[unit.kind] for u, unit in enumerate(draft.units)}
    return threads_of(courses, courses.keep(FINE_MM), ends)


def _band(piece: Piece, cloth: HungBand, poses: Poses, *, plain: bool = False) -> list[Node]:
    number = cloth.index + 1
    parts = []
    if cloth.high - cloth.low > 0.01:
        woven = Skin(name=f"band {number}", picture=drawdown(piece, cloth), holes=True)
        mesh = poses.mesh(cloth.index, skin(cloth, plain=plain))
        parts.append(Node(name=f"band {number}", mesh=mesh, skin=woven))
    rods, sides = cloth.rods, LEAST_SIDES if plain else ROD_SIDES
    for i, y in enumerate(rods):
        name = f"rod {number}" if len(rods) == 1 else f"rod {number}.{i + 1}"
        ends = rods_on_wall_mm(piece.draft, piece.paths)[cloth.index]
        bar = tube((ends[0], y, 0.0), (ends[1], y, 0.0), cloth.weave.rod_mm / 2, sides)
        mesh = poses.mesh(cloth.index, bar)
        parts.append(Node(name=name, mesh=mesh, skin=_rod_skin(cloth.weave.material)))
    return parts


def _rod_skin(material: str) -> Skin:
    metal = shines(material)
    return Skin(
        name=f"rod {material}",
        colour=linear_from_hex(rod_colour(material)),
        metallic=0.9 if metal else 0.0,
        roughness=0.35 if metal else 0.7,
    )


def _cords(piece: Piece, cloths: list[HungBand], poses: Poses) -> list[Node]:
    """Cords and the pegs in the wall that they hang from; with a rail, pegs that hold the rod."""
    rods = [(y, cloth.index) for cloth in cloths for y in cloth.rods]
    if not rods:
        return []
    hang = piece.draft.hang
    y, band = max(rods)
    left = top_left_mm(piece.draft, piece.paths)
    cords = cords_of(piece.draft, piece.paths)
    peg = Skin(name="peg", colour=linear_from_hex(PEG_COLOUR), metallic=0.8, roughness=0.4)
    cord = Skin(name="cord", colour=linear_from_hex(CORD_COLOUR))
    parts = []
    for i, (below, above, up) in enumerate(
        zip(cords.at_mm, cords.point_mm, cords.up_mm, strict=True)
    ):
        x0, x1 = left + below, left + (below if hang.rail else above)
        low = poses.points(band, np.array([[x0, y, 0.0]]))[0]
        top = low if hang.rail else np.array([x1, y + up, 0.0])
        if not hang.rail:
            line = tube(low, top, CORD_MM / 2, sides=6)
            parts.append(Node(name=f"cord {i + 1}", mesh=line, skin=cord))
        if hang.off_wall_mm > 0:
            bar = tube([top[0], top[1], -hang.off_wall_mm], top, PEG_MM / 2)
            parts.append(Node(name=f"point {i + 1}", mesh=bar, skin=peg))
    return parts


def _wall(piece: Piece) -> Node:
    wall, paths, hang = piece.draft.about.wall, piece.paths, piece.draft.hang
    need = hang.above_floor_mm + paths.height_total_mm + hang.cord_length_mm + BESIDE_MM / 2
    wide = wall.width_mm if wall and wall.width_mm else paths.width_total_mm + 2 * BESIDE_MM
    high = max(wall.height_mm or 0.0, need) if wall else need
    plaster = Skin(name="wall", colour=linear_from_hex(WALL_LOW), roughness=1.0)
    return Node(name="wall", mesh=sheet(-wide / 2, 0.0, wide / 2, high, 0.0), skin=plaster)


def _moved(part: Node, by: Floats) -> Node:
    mesh = part.mesh
    moved = Mesh(**{**vars(mesh), "points": mesh.points + by})
    return Node(name=part.name, mesh=moved, skin=part.skin)
