"""What colour does the eye see, where threads are too fine to be told apart?

Colours are sRGB hex strings outside and linear light [3] (0 to 1) inside; light is averaged in
linear light, never on the stored values.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

RGB = tuple[float, float, float]
Floats = NDArray[np.float64]
_HEX = re.compile(r"#[0-9a-fA-F]{6}")
# Linear light to XYZ under D65: the sums of the rows are its white.
_XYZ = np.array(
    (
        (0.4123907992659593, 0.357584339383878, 0.1804807884018343),
        (0.2126390058715102, 0.715168678767756, 0.0721923153607337),
        (0.0193308187155918, 0.119194779794626, 0.9505321522496607),
    )
)


@lru_cache(maxsize=1024)
def linear_from_hex(colour: str) -> RGB:
    """Linear light of an sRGB colour "#rrggbb".

    Source: IEC 61966-2-1 (inverse of the transfer function). Checked: tests/outside/test_colour.
    """
    if not _HEX.fullmatch(colour):
        raise ValueError(f"not a colour: {colour}")
    parts = (int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5))
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return red, green, blue


def hex_from_linear(light: RGB) -> str:
    """The sRGB colour "#rrggbb" of linear light; what cannot be shown is clipped.

    Source: IEC 61966-2-1. Checked: tests/outside/test_colour.
    """
    parts = []
    for part in light:
        c = min(1.0, max(0.0, part))
        coded = 12.92 * c if c <= 0.0031308 else 1.055 * c ** (1 / 2.4) - 0.055
        parts.append(round(255 * coded))
    return "#{:02x}{:02x}{:02x}".format(*parts)


def mixed(parts: Iterable[tuple[float, str]]) -> str:
    """Colour seen where `parts` (weight, colour) lie side by side too finely to be told apart.

    Source: additive mixing of light by area. Checked: tests/outside/test_colour (black and white).
    """
    known = [(weight, linear_from_hex(colour)) for weight, colour in parts]
    whole = math.fsum(weight for weight, _ in known)
    if whole <= 0:
        raise ValueError("nothing to mix")
    red, green, blue = (math.fsum(w * light[i] for w, light in known) / whole for i in range(3))
    return hex_from_linear((red, green, blue))


def lit(colour: str, share: float) -> str:
    """The colour with its light multiplied by `share`; above 1 it goes towards white."""
    red, green, blue = linear_from_hex(colour)
    if share <= 1:
        return hex_from_linear((red * share, green * share, blue * share))
    up = 1 - 1 / share
    return hex_from_linear((red + (1 - red) * up, green + (1 - green) * up, blue + (1 - blue) * up))


def cover(diameters_mm: Iterable[float], width_mm: float) -> float:
    """Share of a strip's width that its ends hide, 0 to 1: k = Σd / w.

    Source: definition of projected cover. Checked: tests/drawings.
    """
    return min(1.0, math.fsum(diameters_mm) / width_mm)


def luminance(colour: str) -> float:
    """Relative luminance, 0 to 1.

    Source: WCAG 2.2, definition of relative luminance. Checked: tests/outside/test_colour.
    """
    red, green, blue = linear_from_hex(colour)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio, 1 to 21.

    Source: WCAG 2.2, contrast ratio (L1 + 0.05) / (L2 + 0.05). Checked: tests/outside/test_colour.
    """
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def lab_from_hex(colour: str) -> RGB:
    """CIE L*a*b* under D65.

    Source: CIE 15, with the sRGB primaries of IEC 61966-2-1. Checked: tests/outside/test_colour.
    """
    lightness, a, b = lab_from_linear(np.array(linear_from_hex(colour))).tolist()
    return lightness, a, b


def lab_from_linear(light: Floats) -> Floats:
    """CIE L*a*b* [..., 3] under D65 of linear light [..., 3].

    Source: CIE 15, with the sRGB primaries of IEC 61966-2-1. Checked: tests/outside/test_colour.
    """
    t = np.asarray(light) @ _XYZ.T / _XYZ.sum(axis=1)
    root = np.where(t > (6 / 29) ** 3, np.cbrt(t), t / (3 * (6 / 29) ** 2) + 4 / 29)
    x, y, z = root[..., 0], root[..., 1], root[..., 2]
    return np.stack((116 * y - 16, 500 * (x - y), 200 * (y - z)), axis=-1)


def difference(one: RGB, other: RGB) -> float:
    """How different two L*a*b* colours look, CIEDE2000 (1 is about just noticeable)."""
    return float(differences(np.array(one), np.array(other)))


def differences(one: Floats, other: Floats) -> Floats:
    """CIEDE2000 between L*a*b* colours [..., 3] and [..., 3]; shapes are broadcast.

    Source: Sharma, Wu and Dalal, Color Research and Application 30 (2005) 21-30.
    Checked: tests/outside/test_colour, their pairs.
    """
    l1, a1, b1 = np.moveaxis(np.asarray(one, dtype=np.float64), -1, 0)
    l2, a2, b2 = np.moveaxis(np.asarray(other, dtype=np.float64), -1, 0)
    g = 0.5 * (1 - _towards_one((np.hypot(a1, b1) + np.hypot(a2, b2)) / 2))
    a1, a2 = (1 + g) * a1, (1 + g) * a2
    c1, c2 = np.hypot(a1, b1), np.hypot(a2, b2)
    turn, mean_h = _hues(np.arctan2(b1, a1), np.arctan2(b2, a2), c1 * c2 == 0)
    dl, dc = l2 - l1, c2 - c1
    dh = 2 * np.sqrt(c1 * c2) * np.sin(turn / 2)
    ml, mc = (l1 + l2) / 2, (c1 + c2) / 2
    t = (
        1
        - 0.17 * np.cos(mean_h - np.radians(30))
        + 0.24 * np.cos(2 * mean_h)
        + 0.32 * np.cos(3 * mean_h + np.radians(6))
        - 0.20 * np.cos(4 * mean_h - np.radians(63))
    )
    sl = 1 + 0.015 * (ml - 50) ** 2 / np.sqrt(20 + (ml - 50) ** 2)
    sc, sh = 1 + 0.045 * mc, 1 + 0.015 * mc * t
    round_blue = np.radians(60) * np.exp(-(((np.degrees(mean_h) - 275) / 25) ** 2))
    rt = -2 * np.sin(round_blue) * _towards_one(mc)
    dl, dc, dh = dl / sl, dc / sc, dh / sh
    found: Floats = np.sqrt(dl**2 + dc**2 + dh**2 + rt * dc * dh)
    return found


def _towards_one(chroma: Floats) -> Floats:
    return np.sqrt(chroma**7 / (chroma**7 + 25.0**7))


def _hues(h1: Floats, h2: Floats, grey: NDArray[np.bool_]) -> tuple[Floats, Floats]:
    """Hue step and mean hue (rad) of hues (rad); Sharma's equations 10 and 14."""
    h1, h2, whole = h1 % math.tau, h2 % math.tau, math.tau
    turn = h2 - h1
    far = np.abs(turn) > math.pi
    mean = (h1 + h2) / 2
    mean = np.where(far, np.where(h1 + h2 < whole, mean + math.pi, mean - math.pi), mean)
    turn = np.where(far, turn - np.sign(turn) * whole, turn)
    return np.where(grey, 0.0, turn), np.where(grey, h1 + h2, mean)
