"""How do hundreds of pictures become one small PDF, a page each, what they share written once?

Pages have the true size of their scenes. Text is left out: the typesetter lays it over, in the
letters of the paper. A symbol becomes a form that is laid wherever it stands, in any picture, so
the file holds each kind of ribbon once, and is placed in a tenth of the time of its SVG.
Source: ISO 32000-1:2008, 8.5 (paths), 8.7 (patterns and shadings), 11.6.5.3 (soft masks).
Checked: tests/outside/test_picture_pages.py, drawn by another library and set beside the SVG.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from crossfell.drawings.pdf import File, Stream
from crossfell.drawings.scene import Command, DrawnPath, Fade, Hatch, Scene, Symbol, Use

PT_PER_MM = 72 / 25.4
OPERATORS = {
    "M": "%.2f %.2f m",
    "L": "%.2f %.2f l",
    "C": "%.2f %.2f %.2f %.2f %.2f %.2f c",
    "Z": "h",
}
FAR_MM = 1e5
ROOM_MM = 5.0  # round a form, for the corners of strokes
Pixels = NDArray[np.uint8]
Fill = tuple[str, int, int]  # "fade": shading, state with its opacity or 0; "hatch": pattern, 0


@dataclass
class Album:
    """The PDF as it grows."""

    file: File = field(default_factory=File)
    forms: dict[tuple[object, ...], tuple[object, int]] = field(default_factory=dict)

    def add(self, scene: Scene, *, fine: bool = True) -> int:
        """A page of the scene, without its text; returns the page's number, from 1.

        `fine` draws every end; without it ribbons have the colour that their ends mix to.
        """
        skip = "coarse" if fine else "fine"
        fills = {fade.name: self._fade(fade) for fade in scene.fades}
        for hatch in scene.hatches:
            fills[hatch.name] = self._hatch(hatch)
        forms = {symbol.name: self._symbol(symbol, skip, fills) for symbol in scene.symbols}
        clips = dict(scene.clips)
        whole = Stream()
        for layer in scene.layers:
            for item in layer.items:
                if isinstance(item, Use):
                    _lay(whole, item, forms[item.symbol], clips.get(item.clip, ()))
                elif isinstance(item, DrawnPath) and item.detail != skip:
                    self._paint(whole, item, fills)
        wide, high = scene.width_mm, scene.height_mm
        form = self.file.form(whole, (0.0, 0.0, wide, high))
        page, k = Stream(), PT_PER_MM
        page.add(f"{k:.6f} 0 0 {-k:.6f} 0 {high * k:.3f} cm {page.name('XObject', form)} Do")
        return self.file.page(page, wide * k, high * k)

    def add_pixels(self, pixels: Pixels, px_per_mm: float) -> int:
        """A page of a picture [pixels, pixels, 3]; returns the page's number, from 1."""
        high, wide, depth = pixels.shape
        if depth != 3:
            raise ValueError(f"a picture of three colours, not of {depth}")
        picture = self.file.pixels(pixels.tobytes(), wide, high)
        page, k = Stream(), PT_PER_MM / px_per_mm
        page.add(f"{wide * k:.3f} 0 0 {high * k:.3f} 0 0 cm {page.name('XObject', picture)} Do")
        return self.file.page(page, wide * k, high * k)

    def written(self) -> bytes:
        """The PDF."""
        return self.file.written()

    def _symbol(self, symbol: Symbol, skip: str, fills: Mapping[str, Fill]) -> int:
        """The form of a symbol. One with the same shapes, in any scene, is the same form."""
        shapes = symbol.items
        urls = {shape.fill for shape in shapes if shape.fill and shape.fill.startswith("url")}
        key = (id(shapes), skip, *sorted(fills[_named(url)] for url in urls))
        found = self.forms.get(key)
        if found is None:
            stream = Stream()
            for shape in shapes:
                if shape.detail != skip:
                    self._paint(stream, shape, fills)
            left, top, right, low = symbol.box()
            room = (left - ROOM_MM, top - ROOM_MM, right + ROOM_MM, low + ROOM_MM)
            found = self.forms[key] = (shapes, self.file.form(stream, room))  # kept, for their id
        return found[1]

    def _paint(self, stream: Stream, shape: DrawnPath, fills: Mapping[str, Fill]) -> None:
        """One shape. Its opacity is for fill and stroke each; no shape here has both and less."""
        line = _path(shape.commands)
        stream.add("q")
        if shape.opacity < 1:
            state = self.file.put(b"<</ca %.3f/CA %.3f>>" % (shape.opacity, shape.opacity))
            stream.add(f"{stream.name('ExtGState', state)} gs")
        if shape.fill and shape.fill.startswith("url"):
            kind, paint, state = fills[_named(shape.fill)]
            if kind == "hatch":
                stream.add(f"/Pattern cs {stream.name('Pattern', paint)} scn {line} f")
            else:
                faded = f"{stream.name('ExtGState', state)} gs " if state else ""
                shade = stream.name("Shading", paint)
                stream.add(f"q {line} W n {faded}{shade} sh Q")
        elif shape.fill:
            stream.add(f"{rgb(shape.fill)} rg {line} f")
        if shape.stroke:
            ends = "1 J 1 j " if shape.round_ends else ""
            stream.add(f"{ends}{rgb(shape.stroke)} RG {shape.stroke_mm:.3f} w {line} S")
        stream.add("Q")

    def _fade(self, fade: Fade) -> Fill:
        """A shading; where it lets through, a state whose mask has its opacity as light."""
        at = [stop[0] for stop in fade.stops]
        line = " ".join(f"{value:.2f}" for value in (*fade.start, *fade.end))
        shading = self._shading("RGB", line, at, [rgb(colour) for _, colour, _ in fade.stops])
        opacities = [opacity for *_, opacity in fade.stops]
        if min(opacities) >= 1:
            return "fade", shading, 0
        mask = self._shading("Gray", line, at, [f"{opacity:.3f}" for opacity in opacities])
        stream = Stream()
        stream.add(f"{stream.name('Shading', mask)} sh")
        group = "/Group<</S/Transparency/CS/DeviceGray>>"
        form = self.file.form(stream, (-FAR_MM, -FAR_MM, FAR_MM, FAR_MM), group)
        state = f"<</SMask<</Type/Mask/S/Luminosity/G {form} 0 R>>>>"
        return "fade", shading, self.file.put(state.encode("ascii"))

    def _shading(self, space: str, line: str, at: list[float], values: list[str]) -> int:
        parts = "".join(
            f"<</FunctionType 2/Domain[0 1]/N 1/C0[{one}]/C1[{two}]>>"
            for one, two in pairwise(values)
        )
        bounds = " ".join(f"{value:.4f}" for value in at[1:-1])
        encode = " ".join("0 1" for _ in at[1:])
        return self.file.put(
            f"<</ShadingType 2/ColorSpace/Device{space}/Coords[{line}]/Extend[true true]"
            f"/Function<</FunctionType 3/Domain[0 1]/Functions[{parts}]/Bounds[{bounds}]"
            f"/Encode[{encode}]>>>>".encode("ascii")
        )

    def _hatch(self, hatch: Hatch) -> Fill:
        stream, size = Stream(), f"{hatch.size_mm:g}"
        for shape in hatch.items:
            self._paint(stream, shape, {})
        head = (
            f"/Type/Pattern/PatternType 1/PaintType 1/TilingType 1/BBox[0 0 {size} {size}]"
            f"/XStep {size}/YStep {size}"
        )
        return "hatch", self.file.stream(head, stream), 0


def _lay(stream: Stream, item: Use, form: int, clip: tuple[Command, ...]) -> None:
    inside = f"{_path(clip)} W n " if clip else ""
    laid = f"1 0 0 1 {item.x:.2f} {item.y:.2f} cm {stream.name('XObject', form)} Do"
    stream.add(f"q {inside}{laid} Q")


def _path(commands: Iterable[Command]) -> str:
    """Operators of a path."""
    return " ".join([OPERATORS[name] % values for name, values in commands])


@lru_cache(maxsize=512)
def rgb(colour: str) -> str:
    """Red, green and blue of "#rrggbb", each from 0 to 1."""
    return " ".join(f"{int(colour[i : i + 2], 16) / 255:.4f}" for i in (1, 3, 5))


def _named(url: str) -> str:
    return url.removeprefix("url(#").removesuffix(")")
