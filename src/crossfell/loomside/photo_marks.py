"""Which marks does a photograph of the batten show, and where?

Reads QR marks (ISO/IEC 18004) with a general library in several passes: as it is, then larger and
sharper. A mark is read whole or not at all: its code corrects or refuses.
Needs the extra `photo` (opencv-python-headless, zxing-cpp).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

MOST_PIXELS = 60_000_000
LARGEST_SIDE = 5000  # px; larger photographs are made smaller first


class NotReadable(ValueError):  # noqa: N818 - it is a sentence for the maker
    """There is no picture in these bytes, or nothing to read it with."""


@dataclass(frozen=True, kw_only=True)
class Mark:
    """One mark that was read (px, y down)."""

    text: str
    x: float  # its middle
    y: float
    along: tuple[float, float]  # its upper edge, from its left to its right, as a unit vector
    size: float  # length of that edge


def marks_in(photo: bytes, *, enough: Callable[[Sequence[Mark]], bool]) -> tuple[Mark, ...]:
    """Marks in a JPEG or PNG, each once for each place; no pass more when there are `enough`.

    Errors: NotReadable.
    """
    found: list[Mark] = []
    for picture, scale in _passes(_picture(photo)):
        if enough(found):
            break
        for mark in _read(picture, scale):
            if not any(_same(mark, other) for other in found):
                found.append(mark)
    return tuple(found)


def _picture(photo: bytes) -> Any:
    try:
        import cv2
        import numpy as np
    except ImportError as problem:
        raise NotReadable(
            "photographs need two more libraries: pip install 'crossfell[photo]'"
        ) from problem
    try:
        picture = cv2.imdecode(np.frombuffer(photo, np.uint8), cv2.IMREAD_GRAYSCALE)
    except cv2.error as problem:
        raise NotReadable("this is no photograph that can be read") from problem
    if picture is None or picture.size > MOST_PIXELS:
        raise NotReadable("this is no photograph that can be read: send a JPEG or a PNG")
    side = max(picture.shape)
    if side > LARGEST_SIDE:
        share = LARGEST_SIDE / side
        picture = cv2.resize(picture, None, fx=share, fy=share, interpolation=cv2.INTER_AREA)
    return picture


def _passes(picture: Any) -> Iterator[tuple[Any, float]]:
    """The picture as it is, then larger and sharper, with how much larger each is.

    Scale, radius and strength were chosen by trying seven on random scenes.
    """
    import cv2

    yield picture, 1.0
    for scale, radius, strength in ((2, 2.5, 2.0), (3, 3.8, 2.5)):
        if max(picture.shape) * scale > LARGEST_SIDE:
            return
        large = cv2.resize(picture, None, fx=scale, fy=scale, interpolation=cv2.INTER_CUBIC)
        soft = cv2.GaussianBlur(large, (0, 0), radius)
        yield cv2.addWeighted(large, 1 + strength, soft, -strength, 0), float(scale)


def _read(picture: Any, scale: float) -> Iterator[Mark]:
    import zxingcpp

    kinds = zxingcpp.BarcodeFormats([zxingcpp.BarcodeFormat.QRCode])
    for code in zxingcpp.read_barcodes(picture, formats=kinds):
        corners = [
            (point.x / scale, point.y / scale)
            for point in (
                code.position.top_left,
                code.position.top_right,
                code.position.bottom_right,
                code.position.bottom_left,
            )
        ]
        (x0, y0), (x1, y1) = corners[:2]
        edge = math.hypot(x1 - x0, y1 - y0)
        if code.valid and edge > 0:
            yield Mark(
                text=code.text,
                x=sum(x for x, _ in corners) / 4,
                y=sum(y for _, y in corners) / 4,
                along=((x1 - x0) / edge, (y1 - y0) / edge),
                size=edge,
            )


def _same(one: Mark, other: Mark) -> bool:
    near = math.hypot(one.x - other.x, one.y - other.y) < max(one.size, other.size) / 2
    return one.text == other.text and near
