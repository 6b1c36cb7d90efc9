"""How does a scene become SVG, the same bytes each time, with nothing from outside?"""

from __future__ import annotations

import base64
import re
from collections.abc import Iterable
from functools import lru_cache
from importlib.resources import files
from xml.sax.saxutils import escape, quoteattr

from crossfell.drawings.lettering import FAMILY, STACK
from crossfell.drawings.scene import Command, DrawnPath, Hatch, Scene, Text, Use

# XML 1.0, production Char: anything else may not stand in a document, not even escaped.
_NO_CHAR = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def svg(scene: Scene, *, fine: bool = True, letters: bool = True) -> str:
    """The scene as an SVG document, one user unit to the millimetre.

    `fine` draws every end; without it ribbons have the colour that their ends mix to, which is
    right for small pictures and quick to show. `letters` embeds the font.
    """
    skip = "coarse" if fine else "fine"
    body = "".join(_layer(layer.name, _items(layer.items, skip)) for layer in scene.layers)
    font = _font() if letters and scene.texts else ""
    w, h = number(scene.width_mm), number(scene.height_mm)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{w}mm" height="{h}mm" '
        f'viewBox="0 0 {w} {h}" role="img" font-family="{STACK}">'
        f"<title>{_said(scene.title)}</title><desc>{_said(scene.says)}</desc>"
        f"<defs>{font}{_defs(scene, skip)}</defs>{body}</svg>\n"
    )


def number(value: float) -> str:
    """A number to a hundredth, without needless digits."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in {"-0", ""} else text


def _said(text: str) -> str:
    return escape(_NO_CHAR.sub("\ufffd", text))


def _layer(name: str, body: str) -> str:
    return f"<g id={quoteattr(name)}>{body}</g>"


def _items(items: Iterable[DrawnPath | Text | Use], skip: str) -> str:
    parts = []
    for item in items:
        if isinstance(item, Use):
            parts.append(_lay(item))
        elif isinstance(item, Text):
            parts.append(_text(item))
        elif item.detail != skip:
            parts.append(_shape(item))
    return "".join(parts)


def _lay(item: Use) -> str:
    laid = f'<use href="#{item.symbol}" x="{number(item.x)}" y="{number(item.y)}"/>'
    return f'<g clip-path="url(#{item.clip})">{laid}</g>' if item.clip else laid


@lru_cache(maxsize=4096)  # the same ribbons are drawn again and again in slices
def _shape(item: DrawnPath) -> str:
    parts = [f'<path d="{path_data(item.commands)}"', f' fill="{item.fill or "none"}"']
    if item.stroke:
        parts.append(f' stroke="{item.stroke}" stroke-width="{number(item.stroke_mm)}"')
        if item.round_ends:
            parts.append(' stroke-linecap="round" stroke-linejoin="round"')
    if item.opacity < 1:
        parts.append(f' opacity="{number(item.opacity)}"')
    parts.append("/>")
    return "".join(parts)


def path_data(commands: Iterable[Command]) -> str:
    """The `d` of a path."""
    return "".join(name + " ".join(number(value) for value in values) for name, values in commands)


def _text(item: Text) -> str:
    x, y = number(item.x), number(item.y)
    turned = f' transform="rotate(-90 {x} {y})"' if item.upright else ""
    anchor = "" if item.anchor == "start" else f' text-anchor="{item.anchor}"'
    bold = ' font-weight="700"' if item.bold else ""
    return (
        f'<text x="{x}" y="{y}" font-size="{number(item.size_mm)}" fill="{item.colour}"'
        f"{anchor}{bold}{turned}>{_said(item.text)}</text>"
    )


def _defs(scene: Scene, skip: str) -> str:
    parts = []
    for fade in scene.fades:
        (x1, y1), (x2, y2) = fade.start, fade.end
        stops = "".join(
            f'<stop offset="{number(at)}" stop-color="{colour}" stop-opacity="{number(opacity)}"/>'
            for at, colour, opacity in fade.stops
        )
        parts.append(
            f'<linearGradient id="{fade.name}" gradientUnits="userSpaceOnUse" '
            f'x1="{number(x1)}" y1="{number(y1)}" x2="{number(x2)}" y2="{number(y2)}">'
            f"{stops}</linearGradient>"
        )
    parts += [_hatch(hatch, skip) for hatch in scene.hatches]
    parts += [
        f'<clipPath id="{name}"><path d="{path_data(commands)}"/></clipPath>'
        for name, commands in scene.clips
    ]
    parts += [f'<g id="{symbol.name}">{_items(symbol.items, skip)}</g>' for symbol in scene.symbols]
    return "".join(parts)


def _hatch(hatch: Hatch, skip: str) -> str:
    size = number(hatch.size_mm)
    return (
        f'<pattern id="{hatch.name}" patternUnits="userSpaceOnUse" width="{size}" '
        f'height="{size}">{_items(hatch.items, skip)}</pattern>'
    )


def _font() -> str:
    folder = files("crossfell.drawings") / "fonts"
    rules = []
    for weight, name in ((400, "Regular"), (700, "Bold")):
        data = (folder / f"AtkinsonHyperlegibleNext-{name}.ttf").read_bytes()
        rules.append(
            f"@font-face{{font-family:'{FAMILY}';font-weight:{weight};"
            f"src:url(data:font/ttf;base64,{base64.b64encode(data).decode()})}}"
        )
    return f"<style>{''.join(rules)}</style>"
