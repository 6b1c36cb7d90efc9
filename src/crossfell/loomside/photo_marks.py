"""Which marks does a photograph of the batten show, and where?

Reads QR marks (ISO/IEC 18004) with a general library in several passes: as it is, then larger and
sharper. A mark is read whole or not at all: its code corrects or refuses. What is still missing is
compared with the marks that can be there (photo_known.py).
Needs the extra `photo` (opencv-python-headless, zxing-cpp).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from crossfell.loomside.photo_known import (
    MOST_SPOTS,
    Quad,
    known_at,
    known_marks,
    likely,
    spots_beside,
)

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
    corners: tuple[tuple[float, float], ...] = ()  # from the upper left of the mark, clockwise


def marks_in(
    photo: bytes,
    *,
    enough: Callable[[Sequence[Mark]], bool],
    known: Collection[str] = (),
) -> tuple[Mark, ...]:
    """Marks in a JPEG or PNG, each once for each place; no pass more when there are `enough`.

    `known` are the texts that can be there. Errors: NotReadable.
    """
    found: list[Mark] = []
    spots: list[Quad] = []
    whole = _picture(photo)
    for picture, scale in _passes(whole):
        if enough(found):
            return tuple(found)
        for mark in _read(picture, scale):
            if not mark.text:
                spots.append(np.array(mark.corners, np.float32))
            elif not any(_same(mark, other) for other in found):
                found.append(mark)
    if not enough(found) and known:
        found += _known(whole, found, spots, frozenset(known))
    return tuple(found)


def _known(
    picture: Any, found: Sequence[Mark], spots: Sequence[Quad], texts: frozenset[str]
) -> list[Mark]:
    """Marks that could not be read by themselves, at spots where one should be."""
    more: list[Mark] = []
    tried = 0
    kinds = known_marks(texts)
    for spot in (*spots_beside(_quads(found)), *spots):
        read = _quads((*found, *more))
        if tried >= MOST_SPOTS or not likely(spot, read, picture.shape):
            continue
        tried += 1
        for known in kinds:
            told = known_at(picture, spot, known)
            if told is None or not likely(told[1], read, picture.shape):
                continue
            mark = _mark(told[0], told[1].tolist())
            if mark is not None and all(mark.text != other.text for other in (*found, *more)):
                more.append(mark)
                break
    return more


def _quads(marks: Sequence[Mark]) -> list[Quad]:
    """Corners of marks, from the left as most of them lie."""
    along = np.sum([mark.along for mark in marks], axis=0) if marks else np.zeros(2)
    in_order = sorted(marks, key=lambda mark: mark.x * along[0] + mark.y * along[1])
    return [np.array(mark.corners, np.float32) for mark in in_order]


def _picture(photo: bytes) -> Any:
    try:
        import cv2
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
    """Marks read, and, without text, those that were only seen."""
    import zxingcpp

    kinds = zxingcpp.BarcodeFormats([zxingcpp.BarcodeFormat.QRCode])
    for code in zxingcpp.read_barcodes(picture, formats=kinds, return_errors=True):
        at = code.position
        corners = [
            (point.x / scale, point.y / scale)
            for point in (at.top_left, at.top_right, at.bottom_right, at.bottom_left)
        ]
        mark = _mark(code.text if code.valid else "", corners)
        if mark is not None:
            yield mark


def _mark(text: str, corners: Sequence[Sequence[float]]) -> Mark | None:
    (x0, y0), (x1, y1) = corners[:2]
    edge = math.hypot(x1 - x0, y1 - y0)
    if not edge:
        return None
    return Mark(
        text=text,
        x=sum(x for x, _ in corners) / 4,
        y=sum(y for _, y in corners) / 4,
        along=((x1 - x0) / edge, (y1 - y0) / edge),
        size=edge,
        corners=tuple((float(x), float(y)) for x, y in corners),
    )


def _same(one: Mark, other: Mark) -> bool:
    near = math.hypot(one.x - other.x, one.y - other.y) < max(one.size, other.size) / 2
    return one.text == other.text and near
