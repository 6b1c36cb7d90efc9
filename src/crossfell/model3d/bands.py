"""What does a woven band look like in space: its cloth bulging over picks and rod, every end?

The cloth is one skin before and one behind, from the leftmost unit to the rightmost; its picture
has each end and each pick, over or under in plain weave, and holes where only picks run.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from crossfell.draft.model import Draft, UnitKind
from crossfell.drawings.bands import Weave, weave_of
from crossfell.drawings.look import THREAD_SHARE, kind_runs, rod_colour, thread_colours
from crossfell.model3d.mesh import Mesh, joined, unit
from crossfell.model3d.picture import Pixels, rgb
from crossfell.paths.model import Floats
from crossfell.paths.stage import warp_diameter_mm, weft_diameter_mm, weft_name
from crossfell.piece import Piece

WIDEST_PX = 4096
PX_PER_END, PX_PER_ROW = 3, 4


@dataclass(frozen=True, kw_only=True)
class HungBand:
    """A band as it hangs: where its cloth lies (mm, wall's frame), its rows from above to below."""

    index: int
    left: float
    right: float
    low: float
    high: float
    weave: Weave
    warp_mm: float
    weft_mm: float

    @property
    def rods(self) -> tuple[float, ...]:
        """Height y of each rod."""
        rows = self.weave.rows
        return tuple(self.high - (top + low) / 2 for top, low, is_rod in rows if is_rod)


def cloth_of(piece: Piece, index: int) -> HungBand:
    """The cloth of a band (index from 0); a piece without units has none to ask for."""
    draft, paths = piece.draft, piece.paths
    wall = draft.on_wall()
    x = wall.x(paths.x_mm[index], paths.width_total_mm)
    ends = paths.band_bottom_mm[index], paths.band_top_mm[index]
    y = [wall.y(end, paths.height_total_mm) for end in ends]
    band = draft.bands[index]
    rod = (band.rod.material, band.rod.diameter_mm) if band.rod else ("steel", 0.0)
    height = float(max(y) - min(y))
    return HungBand(
        index=index,
        left=float((x - paths.width_mm / 2).min()),
        right=float((x + paths.width_mm / 2).max()),
        low=float(min(y)),
        high=float(max(y)),
        weave=weave_of(band.runs, height, weft_name(draft, band), rod, flip=wall.up < 0),
        warp_mm=warp_diameter_mm(draft),
        weft_mm=weft_diameter_mm(draft, band),
    )


def skin(cloth: HungBand, *, plain: bool = False) -> Mesh:
    """The cloth's front, back and both edges; `plain`: flat, front and back only."""
    y, z = _profile(cloth)
    if plain:
        y, z = y[[0, -1]], np.full(2, z.max())
    v = (cloth.high - y) / (cloth.high - cloth.low) / 2  # the front has the upper half
    front = _wall(cloth.left, cloth.right, y, z, v, facing=1.0)
    back = _wall(cloth.left, cloth.right, y, -z, v + 0.5, facing=-1.0)
    if plain:
        return joined([front, back])
    edges = [_edge(x, y, z, v, facing) for x, facing in ((cloth.left, -1.0), (cloth.right, 1.0))]
    return joined([front, back, *edges])


def _profile(cloth: HungBand) -> tuple[Floats, Floats]:
    """Heights y from above to below and half thicknesses z of the cloth's section."""
    rows = [((top + low) / 2, is_rod) for top, low, is_rod in cloth.weave.rows]
    rod = cloth.weave.rod_mm / 2
    picks = (cloth.warp_mm + cloth.weft_mm) / 2
    y, z = [cloth.high], [cloth.warp_mm / 2]
    for at, is_rod in rows:
        if is_rod:
            wide = rod + cloth.warp_mm / 2
            turn = np.array([-0.8, 0.0, 0.8])
            y += list(cloth.high - at - wide * turn)
            z += list(wide * np.sqrt(1 - (0.75 * turn) ** 2))
        else:
            y.append(cloth.high - at)
            z.append(picks)
    ys, zs = np.array([*y, cloth.low]), np.array([*z, cloth.warp_mm / 2])
    order = np.argsort(-ys, kind="stable")
    ys, zs = np.clip(ys[order], cloth.low, cloth.high), zs[order]
    new = np.concatenate([[True], np.diff(ys) < -1e-6])
    return ys[new], zs[new]


def _wall(left: float, right: float, y: Floats, z: Floats, v: Floats, *, facing: float) -> Mesh:
    number = len(y)
    slope = np.column_stack([np.zeros(number), np.gradient(y), np.gradient(z)])
    normal = unit(np.cross(slope, [facing, 0.0, 0.0]) * -1.0)
    normal *= np.sign(normal[:, 2:] * facing)
    points = np.concatenate([np.column_stack([np.full(number, x), y, z]) for x in (left, right)])
    i = np.arange(number - 1)
    one, two = (
        np.column_stack([i, i + 1, i + 1 + number]),
        np.column_stack([i, i + 1 + number, i + number]),
    )
    faces = np.concatenate([one, two])
    return Mesh(
        points=points,
        normals=np.tile(normal, (2, 1)),
        tangents=np.tile([1.0, 0.0, 0.0, facing], (2 * number, 1)),
        uv=np.column_stack([np.repeat([0.0, 1.0], number), np.tile(v, 2)]),
        faces=faces if facing > 0 else faces[:, ::-1],
    )


def _edge(x: float, y: Floats, z: Floats, v: Floats, facing: float) -> Mesh:
    number = len(y)
    front, back = (np.column_stack([np.full(number, x), y, side * z]) for side in (1.0, -1.0))
    i = np.arange(number - 1)
    one, two = (
        np.column_stack([i, i + 1 + number, i + 1]),
        np.column_stack([i, i + number, i + 1 + number]),
    )
    faces = np.concatenate([one, two])
    return Mesh(
        points=np.concatenate([front, back]),
        normals=np.tile([facing, 0.0, 0.0], (2 * number, 1)),
        tangents=np.tile([0.0, 0.0, 1.0, 1.0], (2 * number, 1)),
        uv=np.column_stack([np.full(2 * number, 0.5 + facing * 0.4999), np.tile(v, 2)]),
        faces=faces[:, ::-1] if facing > 0 else faces,
    )


def drawdown(piece: Piece, cloth: HungBand) -> Pixels:
    """Every end and pick of a band [pixels, pixels, 4]: its front above, its back below."""
    across = _ends(piece, cloth)
    rows = [is_rod for _, _, is_rod in cloth.weave.rows]
    weft = thread_colours(piece.draft.yarns[cloth.weave.weft].colour)
    rod = rod_colour(cloth.weave.material)
    looks = {False: weft, True: (rod, rod)}
    blocks = {
        (is_rod, parity): _row(across, parity, *looks[is_rod])
        for is_rod in sorted(set(rows))
        for parity in (0, 1)
    }
    if not rows:
        bare = np.dstack([across.light[None], np.full((1, len(across.end)), 255, np.uint8)])
        return np.concatenate([bare, bare])
    sides = [
        np.concatenate([blocks[is_rod, (i + side) % 2] for i, is_rod in enumerate(rows)])
        for side in (0, 1)
    ]
    return np.concatenate(sides)


def _row(across: _Across, parity: int, pick: str, shade: str) -> Pixels:
    """A pick or rod [PX_PER_ROW, pixels, 4]; ends whose number has this parity pass over it."""
    count = len(across.end)
    row = np.empty((PX_PER_ROW, count, 4), dtype=np.uint8)
    row[..., :3], row[[0, -1], :, :3] = rgb(pick), rgb(shade)
    warp = across.end >= 0
    over = warp & (across.end % 2 == parity)
    ends = np.where((across.thread & over)[:, None], across.light, across.dark)
    row[:, over, :3] = ends[over]
    row[..., 3] = 255
    row[[0, -1], :, 3] = np.where(warp, 255, 0)
    return row


@dataclass(frozen=True, slots=True)
class _Across:
    """What lies at each pixel across a band; arrays are [pixels]."""

    end: np.ndarray  # number of the end in its unit, -1 in a gap
    thread: np.ndarray  # on the end, not between two
    light: np.ndarray  # [pixels, 3]
    dark: np.ndarray


def _ends(piece: Piece, cloth: HungBand) -> _Across:
    draft, paths, order = piece.draft, piece.paths, piece.order
    step = min(draft.strips[k.strip].width_mm / k.end_count for k in draft.kinds.values())
    wide = cloth.right - cloth.left
    count = min(WIDEST_PX, max(4, round(PX_PER_END * wide / step)))
    at = cloth.left + (np.arange(count) + 0.5) * wide / count
    wall = draft.on_wall()
    x = wall.x(paths.x_mm[cloth.index], paths.width_total_mm)
    sign = wall.ends(order.face[cloth.index])
    palettes = {name: _palette(draft, kind) for name, kind in draft.kinds.items()}
    end, thread = np.full(count, -1), np.zeros(count, dtype=bool)
    light, dark = np.zeros((count, 3), np.uint8), np.zeros((count, 3), np.uint8)
    half = paths.width_mm / 2
    spans = np.searchsorted(at, np.stack([x - half, x + half]))
    for u, unit_ in enumerate(draft.units):
        here = slice(*spans[:, u])
        bright, shade = palettes[unit_.kind]
        where = (at[here] - x[u]) * sign[u] / (2 * half[u]) + 0.5  # from its left, face forward
        number = np.clip((where * len(bright)).astype(int), 0, len(bright) - 1)
        end[here] = number
        thread[here] = np.abs(where * len(bright) - number - 0.5) < THREAD_SHARE / 2
        light[here], dark[here] = bright[number], shade[number]
    return _Across(end, thread, light, dark)


def _palette(draft: Draft, kind: UnitKind) -> tuple[Pixels, Pixels]:
    """Colours [ends, 3] of a kind's threads, and of the lines between them."""
    yarns = [run.yarn for run in kind_runs(draft, kind) for _ in run.ends]
    pairs = [thread_colours(draft.yarns[yarn].colour) for yarn in yarns]
    one, two = ([rgb(pair[i]) for pair in pairs] for i in (0, 1))
    return np.array(one, dtype=np.uint8), np.array(two, dtype=np.uint8)
