"""What light does a picture have in each cell of the grid?

PNG, JPEG, WebP and SVG. An image with a colour profile or an orientation is read as it is meant;
what is transparent is bare wall. Light is averaged, not stored values (IEC 61966-2-1).
"""

from __future__ import annotations

import io
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from crossfell.search.sketch.asked import Floats

if TYPE_CHECKING:
    from PIL import Image

MOST_BYTES = 60_000_000
MOST_PIXELS = 60_000_000
MOST_DRAWING_BYTES = 5_000_000  # of an SVG
SLAB = 256  # rows of pixels decoded to light at once
KINDS = ("PNG", "JPEG", "WEBP")


@dataclass(frozen=True)
class PictureRefused:
    """Why a picture cannot be used, in a sentence."""

    says: str


@dataclass(frozen=True, kw_only=True)
class Cells:
    """A picture on the grid: light [rows, places, 3], how much each cell matters [rows, places].

    The first row is the top of the picture.
    """

    light: Floats
    matters: Floats


def cells_of(
    file: Path, rows: int, places: int, *, aspect: float, fit: str, wall: Floats, upright: bool
) -> Cells | PictureRefused:
    """Cells of a picture file; aspect is width over height of the grid as it hangs.

    fit: "fill" crops what is too much, "whole" leaves what is missing open, "stretch" distorts.
    wall [3]: linear light where the picture is transparent. Errors: OSError for the file.
    """
    if file.stat().st_size > MOST_BYTES:
        return PictureRefused(f"{file} is larger than {MOST_BYTES // 1_000_000} MB")
    picture = opened(file.read_bytes(), str(file))
    if isinstance(picture, PictureRefused):
        return picture
    if upright:
        picture = picture.rotate(90, expand=True)
    return averaged(picture, rows, places, aspect, fit, wall)


def opened(raw: bytes, name: str) -> Image.Image | PictureRefused:
    """A picture as RGBA in sRGB, upright."""
    import warnings

    from PIL import Image, ImageOps, UnidentifiedImageError

    if raw.lstrip(b"\xef\xbb\xbf \t\r\n").startswith(b"<"):
        drawn = _drawn(raw, name)
        if isinstance(drawn, PictureRefused):
            return drawn
        raw = drawn
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # too many pixels: counted below
            image = Image.open(io.BytesIO(raw), formats=KINDS)
        if image.width * image.height > MOST_PIXELS:
            return PictureRefused(f"{name} has {image.width} × {image.height} pixels; at most "
                           f"{MOST_PIXELS // 1_000_000} million are read")  # fmt: skip
        image.load()
        return _plain(ImageOps.exif_transpose(image))
    except Image.DecompressionBombError:
        return PictureRefused(f"{name} has far more than {MOST_PIXELS // 1_000_000} million pixels")
    except UnidentifiedImageError:
        return PictureRefused(f"{name} is no PNG, JPEG, WebP or SVG")
    except (OSError, ValueError, SyntaxError, EOFError, MemoryError) as problem:
        return PictureRefused(f"{name} is damaged: {problem}")


def _plain(image: Image.Image) -> Image.Image:
    """The picture as RGBA, its profile applied."""
    from PIL import Image, ImageCms

    profile = image.info.get("icc_profile")
    if profile and image.mode in {"RGB", "RGBA", "CMYK", "L"}:
        clear = image.getchannel("A") if image.mode == "RGBA" else None
        known = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        srgb = ImageCms.createProfile("sRGB")
        plain = image.convert("RGB") if image.mode == "RGBA" else image
        try:
            made = ImageCms.profileToProfile(plain, known, srgb, outputMode="RGB")
        except ImageCms.PyCMSError:
            made = plain  # a profile of another kind of picture says nothing about this one
        image = made if made is not None else plain
        if clear is not None:
            image.putalpha(clear)
    if image.mode.startswith("I;16"):
        image = Image.fromarray((np.asarray(image) >> 8).astype(np.uint8))
    return image.convert("RGBA")


def _drawn(raw: bytes, name: str) -> bytes | PictureRefused:
    """An SVG as PNG, drawn by a process that is ended when it takes too much."""
    if len(raw) > MOST_DRAWING_BYTES:
        return PictureRefused(f"{name} is larger than {MOST_DRAWING_BYTES // 1_000_000} MB")
    try:
        done = subprocess.run(
            [sys.executable, "-m", "crossfell.search.sketch.drawn"],
            input=raw, capture_output=True, timeout=20, check=False,
        )  # fmt: skip
    except subprocess.TimeoutExpired:
        return PictureRefused(f"{name} takes too long to draw")
    if done.returncode or not done.stdout:
        return PictureRefused(f"{name} is an SVG that cannot be drawn")
    return done.stdout


def averaged(
    picture: Image.Image, rows: int, places: int, aspect: float, fit: str, wall: Floats
) -> Cells:
    """Cells of a picture that is read; arguments as of `cells_of`."""
    wide, high = picture.size
    width, height = float(wide), float(high)
    if fit == "fill":
        width, height = min(width, height * aspect), min(height, width / aspect)
    elif fit == "whole":
        width, height = max(width, height * aspect), max(height, width / aspect)
    across = shares_of(places, (wide - width) / 2, width, wide)
    down = shares_of(rows, (high - height) / 2, height, high)
    light = np.zeros((rows, places, 3))
    for top in range(0, high, SLAB):
        part = np.asarray(picture.crop((0, top, wide, min(top + SLAB, high))))
        clear = part[..., 3:] / 255.0
        seen = _LINEAR[part[..., :3]] * clear + wall * (1 - clear)
        light += np.einsum("rh,hwc,pw->rpc", down[:, top : top + SLAB], seen, across, optimize=True)
    there = np.outer(down.sum(axis=1), across.sum(axis=1))
    matters = np.minimum(1.0, np.round(there, 9))
    light = np.where(there[..., None] > 0, light / np.maximum(there, 1e-12)[..., None], wall)
    return Cells(light=light, matters=matters)


def shares_of(cells: int, start: float, length: float, pixels: int) -> Floats:
    """Share of each cell that each pixel fills [cells, pixels]."""
    edges = start + length * np.arange(cells + 1) / cells
    at = np.arange(pixels)
    over = np.minimum(edges[1:, None], at + 1) - np.maximum(edges[:-1, None], at)
    found: Floats = np.clip(over, 0.0, None) / (length / cells)
    return found


def _linear() -> Any:
    c = np.arange(256) / 255
    return np.where(c <= 0.04045, c / 12.92, ((c + 0.055) / 1.055) ** 2.4)


_LINEAR = _linear()
