"""Which colour does the eye see where yarn and wall lie side by side?

Colours mix as light: averaged in linear light, weighted by the area that each covers.
Source: IEC 61966-2-1 (sRGB). Checked: tests/outside/test_colour.py.
"""

from __future__ import annotations


def linear(colour: str) -> tuple[float, float, float]:
    """Linear-light parts (0 to 1) of a colour #rrggbb."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return red, green, blue


def coded(light: tuple[float, float, float]) -> str:
    """The colour #rrggbb of linear-light parts (0 to 1)."""
    parts = [
        12.92 * c if c <= 0.0031308 else 1.055 * c ** (1 / 2.4) - 0.055
        for c in (min(max(part, 0.0), 1.0) for part in light)
    ]
    return "#" + "".join(f"{round(part * 255):02x}" for part in parts)


def mixed(colour: str, other: str, share: float) -> str:
    """The colour of an area of which `share` is `colour` and the rest `other`."""
    one, two = linear(colour), linear(other)
    red, green, blue = (share * a + (1 - share) * b for a, b in zip(one, two, strict=True))
    return coded((red, green, blue))


def luminance(colour: str) -> float:
    """Relative luminance (0 to 1). Source: WCAG 2.2."""
    red, green, blue = linear(colour)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(colour: str, other: str) -> float:
    """Contrast ratio (1 to 21). Source: WCAG 2.2."""
    high, low = sorted((luminance(colour), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)
