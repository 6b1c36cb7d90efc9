"""How is a scene written as SVG 1.1? The same bytes each time, and no text that could be markup.

Source: W3C SVG 1.1 (Second Edition). Checked: an XML parser and a browser, tests/outside.
"""

from __future__ import annotations

import re
from itertools import groupby
from xml.sax.saxutils import escape, quoteattr

from crossfell.drawings.scene import Point, Scene, Shape, Word

FONTS = "Atkinson Hyperlegible Next,Noto Sans,Noto Sans Hebrew,Noto Sans Arabic,sans-serif"
_CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\ud800-\udfff\ufffe\uffff]")


def svg(scene: Scene) -> str:
    """Write a scene as a whole SVG document, true size in mm."""
    width, height = number(scene.width_mm), number(scene.height_mm)
    out = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" '
        f'viewBox="0 0 {width} {height}" role="img" font-family="{FONTS}">',
        f"<title>{_text(scene.title)}</title><desc>{_text(scene.view)}</desc>",
        f'<rect width="{width}" height="{height}" fill="{scene.ground}"/>',
    ]
    for _, alike in groupby(scene.items, key=_style_key):
        items = list(alike)
        first = items[0]
        if isinstance(first, Word):
            out += [_word(item) for item in items if isinstance(item, Word)]
        else:
            shapes = [item for item in items if isinstance(item, Shape)]
            path = "".join(_path(shape) for shape in shapes)
            out.append(f'<path d="{path}"{_style(first)}/>')
    out.append("</svg>\n")
    return "\n".join(out)


def number(value: float) -> str:
    """A length with two decimals at most."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _style_key(item: Shape | Word) -> object:
    if isinstance(item, Word):
        return "word"
    if item.opacity < 1:
        return id(item)  # shapes that let light through are painted one by one
    return (item.fill, item.stroke, item.width, item.closed, item.dash, item.shift, item.round)


def _path(shape: Shape) -> str:
    return "".join(_run(run, closed=shape.closed) for run in shape.runs)


def _run(run: tuple[Point, ...], *, closed: bool) -> str:
    """Relative coordinates in hundredths would be shorter still; these stay readable."""
    points = [(round(x, 2), round(y, 2)) for x, y in run]
    x, y = points[0]
    out = [f"M{number(x)} {number(y)}"]
    for px, py in points[1:]:
        out.append(f"l{number(px - x)} {number(py - y)}")
        x, y = px, py
    return "".join(out) + ("z" if closed else "")


def _style(shape: Shape) -> str:
    out = f' fill="{shape.fill}"'
    if shape.stroke != "none":
        out += f' stroke="{shape.stroke}" stroke-width="{number(shape.width)}"'
        if shape.round:
            out += ' stroke-linecap="round" stroke-linejoin="round"'
        if shape.dash:
            out += f' stroke-dasharray="{" ".join(number(d) for d in shape.dash)}"'
            if shape.shift:
                out += f' stroke-dashoffset="{number(shape.shift)}"'
    if shape.opacity < 1:
        out += f' opacity="{number(shape.opacity)}"'
    return out


def _word(word: Word) -> str:
    x, y = number(word.at[0]), number(word.at[1])
    turned = "" if word.upright else f' transform="rotate(-90 {x} {y})"'
    anchor = "" if word.anchor == "start" else f' text-anchor="{word.anchor}"'
    bold = ' font-weight="700"' if word.bold else ""
    size = number(word.size)
    return (
        f'<text x="{x}" y="{y}" font-size="{size}" fill={quoteattr(word.fill)}'
        f"{anchor}{bold}{turned}>{_text(word.text)}</text>"
    )


def _text(text: str) -> str:
    return escape(_CONTROL.sub("\ufffd", text))
