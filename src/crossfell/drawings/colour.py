"""What colour does the eye see, where threads are too fine to be told apart?

Colours are sRGB hex strings outside and linear light [3] (0 to 1) inside; light is averaged in
linear light, never on the stored values.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from functools import lru_cache

RGB = tuple[float, float, float]
_HEX = re.compile(r"#[0-9a-fA-F]{6}")
_D65 = (0.9504559270516716, 1.0, 1.0890577507598784)  # white of the matrix below: sum of its rows


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
    r, g, b = linear_from_hex(colour)
    xyz = (
        0.4123907992659593 * r + 0.357584339383878 * g + 0.1804807884018343 * b,
        0.2126390058715102 * r + 0.715168678767756 * g + 0.0721923153607337 * b,
        0.0193308187155918 * r + 0.119194779794626 * g + 0.9505321522496607 * b,
    )
    x, y, z = (_lab_root(part / white) for part, white in zip(xyz, _D65, strict=True))
    return 116 * y - 16, 500 * (x - y), 200 * (y - z)


def _lab_root(t: float) -> float:
    return t ** (1 / 3) if t > (6 / 29) ** 3 else t / (3 * (6 / 29) ** 2) + 4 / 29


def difference(one: RGB, other: RGB) -> float:
    """How different two L*a*b* colours look, CIEDE2000 (1 is about just noticeable).

    Source: Sharma, Wu and Dalal, Color Research and Application 30 (2005) 21-30.
    Checked: tests/outside/test_colour, their pairs.
    """
    (l1, a1, b1), (l2, a2, b2) = one, other
    c7 = ((math.hypot(a1, b1) + math.hypot(a2, b2)) / 2) ** 7
    g = 0.5 * (1 - math.sqrt(c7 / (c7 + 25.0**7)))
    a1, a2 = (1 + g) * a1, (1 + g) * a2
    c1, c2 = math.hypot(a1, b1), math.hypot(a2, b2)
    h1, h2 = math.degrees(math.atan2(b1, a1)) % 360, math.degrees(math.atan2(b2, a2)) % 360
    turn, mean_h = _hues(h1, h2, grey=c1 * c2 == 0)
    dl, dc = l2 - l1, c2 - c1
    dh = 2 * math.sqrt(c1 * c2) * math.sin(math.radians(turn) / 2)
    ml, mc = (l1 + l2) / 2, (c1 + c2) / 2
    t = (
        1
        - 0.17 * math.cos(math.radians(mean_h - 30))
        + 0.24 * math.cos(math.radians(2 * mean_h))
        + 0.32 * math.cos(math.radians(3 * mean_h + 6))
        - 0.20 * math.cos(math.radians(4 * mean_h - 63))
    )
    sl = 1 + 0.015 * (ml - 50) ** 2 / math.sqrt(20 + (ml - 50) ** 2)
    sc, sh = 1 + 0.045 * mc, 1 + 0.015 * mc * t
    rc = 2 * math.sqrt(mc**7 / (mc**7 + 25.0**7))
    rt = -math.sin(math.radians(60 * math.exp(-(((mean_h - 275) / 25) ** 2)))) * rc
    return math.sqrt((dl / sl) ** 2 + (dc / sc) ** 2 + (dh / sh) ** 2 + rt * (dc / sc) * (dh / sh))


def _hues(h1: float, h2: float, *, grey: bool) -> tuple[float, float]:
    """Hue step and mean hue, degrees (Sharma's equations 10 and 14)."""
    if grey:
        return 0.0, h1 + h2
    turn = h2 - h1
    if abs(turn) <= 180:
        return turn, (h1 + h2) / 2
    step = turn - 360 if turn > 180 else turn + 360
    mean = (h1 + h2 + 360) / 2 if h1 + h2 < 360 else (h1 + h2 - 360) / 2
    return step, mean
