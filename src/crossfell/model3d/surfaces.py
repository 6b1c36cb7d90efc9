"""What colour is each spot of the model's parts, in linear light?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from crossfell.materials.colour import linear_from_hex
from crossfell.model3d.glb import Node
from crossfell.model3d.picture import Pixels
from crossfell.order.model import Ints
from crossfell.paths.model import Floats

Light = NDArray[np.float32]


@dataclass(frozen=True, kw_only=True)
class Triangles:
    """All triangles of some parts."""

    corners: Floats  # [triangles, 3, 3] mm
    normals: Floats  # [triangles, 3, 3]
    uv: Floats  # [triangles, 3, 2]
    part: Ints  # [triangles]


def triangles_of(parts: Sequence[Node]) -> Triangles:
    """The triangles of parts, one after the other."""
    meshes = [part.mesh for part in parts]
    return Triangles(
        corners=np.concatenate([mesh.points[mesh.faces] for mesh in meshes]),
        normals=np.concatenate([mesh.normals[mesh.faces] for mesh in meshes]),
        uv=np.concatenate([mesh.uv[mesh.faces] for mesh in meshes]),
        part=np.repeat(np.arange(len(parts)), [len(mesh.faces) for mesh in meshes]),
    )


@dataclass(frozen=True, kw_only=True)
class Surfaces:
    """Pictures and plain colours of parts; arrays are [parts] where nothing else is said."""

    texels: Light  # [texels, 3] all pictures, one after the other
    solid: NDArray[np.bool_]  # [texels]
    first: Ints  # of a part's picture among the texels, -1 where it has none
    wide: Ints
    high: Ints
    plain: Light  # [parts, 3]
    metallic: Light
    holed: NDArray[np.bool_]  # [parts] whether a part's picture has holes

    def at(self, part: Ints, u: Floats, v: Floats) -> tuple[Light, NDArray[np.bool_]]:
        """Colours [spots, 3], and which spots are solid."""
        wide, high, first = self.wide[part], self.high[part], self.first[part]
        column = np.clip((u * wide).astype(np.int64), 0, wide - 1)
        row = (v * high).astype(np.int64) % high
        pictured = first >= 0
        texel = np.where(pictured, first + row * wide + column, 0)
        colour = np.where(pictured[:, None], self.texels[texel], self.plain[part])
        return colour, ~pictured | self.solid[texel]


def surfaces_of(parts: Sequence[Node], px_per_mm: float) -> Surfaces:
    """The surfaces of parts, their pictures no finer than `px_per_mm` can show."""
    known: dict[tuple[int, int, int], Light] = {}  # parts of one kind share their picture
    pictures = [_mixed(part, px_per_mm, known) for part in parts]
    sizes = [0 if picture is None else picture.shape[0] * picture.shape[1] for picture in pictures]
    starts = np.cumsum([0, *sizes[:-1]])
    flat = [picture.reshape(-1, 4) for picture in pictures if picture is not None]
    texels = np.concatenate([*flat, np.zeros((1, 4), dtype=np.float32)])
    return Surfaces(
        texels=texels[:, :3],
        solid=texels[:, 3] > 0.5,
        first=np.where(np.array(sizes) > 0, starts, -1),
        wide=np.array([1 if picture is None else picture.shape[1] for picture in pictures]),
        high=np.array([1 if picture is None else picture.shape[0] for picture in pictures]),
        plain=np.array([part.skin.colour for part in parts], dtype=np.float32),
        metallic=np.array([part.skin.metallic for part in parts], dtype=np.float32),
        holed=np.array([part.skin.holes for part in parts]),
    )


def _mixed(part: Node, px_per_mm: float, known: dict[tuple[int, int, int], Light]) -> Light | None:
    """A part's picture [rows, columns, 4] in linear light, texels finer than pixels averaged."""
    picture = part.skin.picture
    if picture is None:
        return None
    across, down = _texels_in_a_pixel(part, px_per_mm)
    key = (id(picture), across, down)
    if key not in known:
        full = np.ones((*picture.shape[:2], 4), dtype=np.float32)
        full[..., :3] = _linear()[picture[..., :3]]
        if picture.shape[2] == 4:
            full[..., 3] = picture[..., 3] / np.float32(255)
        known[key] = averaged(averaged(full, across, 1), down, 0)
    return known[key]


def _texels_in_a_pixel(part: Node, px_per_mm: float) -> tuple[int, int]:
    """How many texels of a part's picture, across and down, fall into a pixel."""
    picture, mesh = part.skin.picture, part.mesh
    if picture is None:
        return 1, 1
    edges = mesh.faces[:, [[0, 1], [1, 2], [2, 0]]].reshape(-1, 2)
    ends, places = mesh.points[edges], mesh.uv[edges]
    lengths = np.linalg.norm(ends[:, 1] - ends[:, 0], axis=1) * px_per_mm
    steps = np.abs(places[:, 1] - places[:, 0]) * [picture.shape[1], picture.shape[0]]
    times = [1, 1]
    for axis in (0, 1):
        mine = steps[:, axis] > 0.9 * steps[:, axis].max(initial=1.0)
        if mine.any():
            times[axis] = int(np.median(steps[mine, axis] / np.maximum(lengths[mine], 1e-9)))
    return times[0], times[1]


def averaged(picture: Light, times: int, axis: int) -> Light:
    """`times` neighbouring texels made one, as far as they come out even."""
    size = picture.shape[axis]
    while times > 1 and size % times:
        times -= 1
    if times < 2:
        return picture
    lines = np.moveaxis(picture, axis, 0)
    out = lines[0::times].copy()
    for i in range(1, times):
        out += lines[i::times]
    out /= times
    return np.moveaxis(out, 0, axis)


@cache
def _linear() -> Light:
    """Linear light of the 256 bytes of sRGB."""
    return np.array([linear_from_hex(f"#{i:02x}0000")[0] for i in range(256)], dtype=np.float32)


def encoded(light: Light) -> Pixels:
    """Bytes of linear light as sRGB has them. Source: IEC 61966-2-1."""
    part = np.clip(light, 0, 1)
    coded = np.where(part <= 0.0031308, 12.92 * part, 1.055 * part ** (1 / 2.4) - 0.055)
    out: Pixels = np.round(255 * coded).astype(np.uint8)
    return out
