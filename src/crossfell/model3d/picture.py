"""What pictures lie on the model: yarns side by side, and how their roundness turns the light?

PNG (ISO/IEC 15948) written here: the same bytes each time, on every machine with the same zlib.
"""

from __future__ import annotations

import struct
import zlib
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from crossfell.draft.model import Draft, UnitKind
from crossfell.drawings.look import kind_runs, thread_colours
from crossfell.materials.colour import lit

Pixels = NDArray[np.uint8]
PX_PER_END = 8
TALL = 16  # pixels along the yarn, for REPEAT_MM of it
WIDEST_PX = 1024


@lru_cache(maxsize=1024)
def rgb(colour: str) -> tuple[int, int, int]:
    """Red, green and blue of "#rrggbb", 0 to 255."""
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)


def colours_of(draft: Draft, kind: UnitKind) -> Pixels:
    """Ends of a kind from left to right, face forward [pixels, pixels, 3], with their ply."""
    yarns = [run.yarn for run in kind_runs(draft, kind) for _ in run.ends]
    per_end = _per_end(len(yarns))
    x = (np.arange(per_end) + 0.5) / per_end
    y = np.arange(TALL)[:, None] / TALL
    out = np.zeros((TALL, len(yarns) * per_end, 3), dtype=np.uint8)
    ply = np.cos(2 * np.pi * (2 * y + 0.8 * x)) > 0.3  # the groove between two plies, Z
    round_ = np.abs(x - 0.5) > 0.36
    tile = np.where(ply, 1, 0) + np.where(round_[None, :], 2, 0)
    for i, yarn in enumerate(yarns):
        light, dark = thread_colours(draft.yarns[yarn].colour)
        shades = [light, lit(light, 0.85), dark, dark]
        palette = np.array([rgb(shade) for shade in shades], dtype=np.uint8)
        out[:, i * per_end : (i + 1) * per_end] = palette[tile]
    return out


def bumps_of(ends: int) -> Pixels:
    """Normals of round ends side by side [1 row of pixels, pixels, 3] (glTF 2.0, 3.9.3)."""
    per_end = _per_end(ends)
    x = (np.arange(per_end) + 0.5) / per_end * 2 - 1
    nx = 0.75 * x
    nz = np.sqrt(1 - nx**2)
    one = np.stack([nx, np.zeros_like(nx), nz], axis=-1)
    row = np.round((np.tile(one, (ends, 1)) + 1) * 127.5).astype(np.uint8)
    return np.repeat(row[None], 4, axis=0)


def _per_end(ends: int) -> int:
    return max(1, min(PX_PER_END, WIDEST_PX // max(1, ends)))


def png_of(pixels: Pixels) -> bytes:
    """Pixels [height, width, 3 or 4] as a PNG."""
    height, width, depth = pixels.shape
    kind = {3: 2, 4: 6}[depth]
    raw = np.zeros((height, 1 + width * depth), dtype=np.uint8)
    raw[:, 1:] = pixels.reshape(height, -1)
    header = struct.pack(">IIBBBBB", width, height, 8, kind, 0, 0, 0)
    parts = [(b"IHDR", header), (b"IDAT", zlib.compress(raw.tobytes(), 6)), (b"IEND", b"")]
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))
        for name, data in parts
    )
