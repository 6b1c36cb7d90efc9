"""What does a mark say that is too blurred, or too much covered, for its code to be read?

Which marks there can be is known: each side of each strip. A spot where a mark should be is
straightened and laid over the picture of every one of them. The best is taken for read only where
it fits well and where, against each other one, what tells the two apart speaks for it: as the
share of it in a mixture of the two, which is 1 for the mark itself, 0 for the other, and about a
half where neither lies, or where something covers it. Else it is not read.
Spots: where the reading library saw a mark but no text, and between and beside those it read.
Source: derived (least squares). Checked: tests/loomside/test_photo_check.py, on random scenes.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float32]
Quad = Floats  # corners from the upper left of the mark, clockwise, [4, 2] px

CELL = 4  # px of a module, straightened
EDGE = 4  # modules of margin in which a mark is looked for
FITS = 0.72  # least correlation with the mark
ANY = 0.25  # least correlation of any mark with any other: their finders are alike
SHARE = 0.7  # least share in a mixture with any other
SOFT = (0.35, 0.6, 0.9)  # blurs that are tried, modules
MASK = 2  # the one that our labels are printed with; ISO/IEC 18004, 7.8.2
MOST_SPOTS = 16
FAR = 2.5  # a spot is at most so many times larger, or smaller, than the marks that were read


@dataclass(frozen=True, kw_only=True)
class Known:
    """Marks that can be there, all of one size."""

    texts: tuple[str, ...]
    pictures: Floats  # [marks, px, px] 1 light, -1 dark, with a light margin
    modules: int


@cache
def known_marks(texts: frozenset[str]) -> tuple[Known, ...]:
    """What the marks of these texts look like, by how many modules they have."""
    import segno

    by_size: dict[int, list[tuple[str, Floats]]] = {}
    for text in sorted(texts):
        code = segno.make(text, error="m", micro=False, boost_error=False, mask=MASK)
        light = 1 - 2 * np.array([list(row) for row in code.matrix], np.float32)
        whole = np.pad(light, EDGE, constant_values=1.0)
        cells = np.kron(whole, np.ones((CELL, CELL), np.float32))
        by_size.setdefault(len(light), []).append((text, cells))
    return tuple(
        Known(texts=tuple(t for t, _ in rows), pictures=np.stack([p for _, p in rows]), modules=n)
        for n, rows in by_size.items()
    )


def known_at(picture: Any, spot: Quad, known: Known) -> tuple[str, Quad] | None:
    """Which of the known marks lies at a spot of a grey picture, and where exactly; or none."""
    flat, back = _straightened(picture, spot, known.modules)
    if _fit(flat, known.pictures[0], known.modules)[0] < ANY:
        return None
    for _ in range(2):
        flat, back = _straightened(picture, spot, known.modules)
        best, shift = _placed(flat, known)
        spot = _mapped(_square(known.modules) + shift, back)
    flat, back = _straightened(picture, spot, known.modules)
    spot = _mapped(_fitted(flat, known.pictures[best], known.modules), back)
    flat, _ = _straightened(picture, spot, known.modules)
    found = _told(flat, known)
    return None if found is None else (found, spot)


def spots_beside(quads: Sequence[Quad]) -> Iterator[Quad]:
    """Where marks may lie between, and beyond, marks that were read (from the left)."""
    if len(quads) < 2:
        return
    middles = [quad.mean(axis=0) for quad in quads]
    sizes = [float(np.linalg.norm(quad[1] - quad[0])) for quad in quads]
    gaps = [
        float(np.linalg.norm(b - a)) / ((s + t) / 2)
        for (a, b), (s, t) in zip(pairwise(middles), pairwise(sizes), strict=True)
    ]
    pitch = min(gaps)
    steps = [max(round(gap / pitch), 1) for gap in gaps]
    for (one, other), count in zip(pairwise(quads), steps, strict=True):
        for k in range(1, count):
            yield one + (other - one) * np.float32(k / count)
    yield quads[0] + (quads[0] - quads[1]) / np.float32(steps[0])
    yield quads[-1] + (quads[-1] - quads[-2]) / np.float32(steps[-1])


def likely(spot: Quad, read: Sequence[Quad], shape: tuple[int, ...]) -> bool:
    """Whether a mark can lie at a spot: in the picture, of a likely size, none read there."""
    cv2 = _cv2()
    middle, size = spot.mean(axis=0), float(np.linalg.norm(spot[1] - spot[0]))
    inside = 0 <= middle[0] < shape[1] and 0 <= middle[1] < shape[0]
    if not inside or size < EDGE or not cv2.isContourConvex(spot.astype(np.float32)):
        return False
    if not read:
        return True
    sizes = [float(np.linalg.norm(quad[1] - quad[0])) for quad in read]
    near = min(float(np.linalg.norm(quad.mean(axis=0) - middle)) for quad in read)
    return 1 / FAR < size / float(np.median(sizes)) < FAR and near > 0.6 * min(size, *sizes)


def _cv2() -> Any:
    """The library of pictures, which is there when a photograph was opened."""
    import cv2

    return cv2


def _square(modules: int) -> Quad:
    low, high = EDGE * CELL, (EDGE + modules) * CELL
    return np.array([[low, low], [high, low], [high, high], [low, high]], np.float32)


def _straightened(picture: Any, spot: Quad, modules: int) -> tuple[Floats, Any]:
    """The spot seen straight on, light and shade evened out; and the way back."""
    cv2 = _cv2()
    side = (modules + 2 * EDGE) * CELL
    there = cv2.getPerspectiveTransform(spot.astype(np.float32), _square(modules))
    flat = cv2.warpPerspective(
        picture, there, (side, side), flags=cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE
    ).astype(np.float32)
    off = flat - cv2.GaussianBlur(flat, (0, 0), 5 * CELL)
    spread = np.sqrt(cv2.GaussianBlur(off * off, (0, 0), 5 * CELL)) + 2
    return off / spread, np.linalg.inv(there)


def _placed(flat: Floats, known: Known) -> tuple[int, Floats]:
    """The mark that fits best, and how far it must be shifted (px)."""
    fits = [_fit(flat, mark, known.modules) for mark in known.pictures]
    best = max(range(len(fits)), key=lambda k: fits[k][0])
    return best, np.array(fits[best][1], np.float32) - EDGE * CELL


def _fit(flat: Floats, mark: Floats, modules: int) -> tuple[float, tuple[int, int]]:
    """How well a mark fits where it fits best, and where that is (px)."""
    cv2 = _cv2()
    low, high = EDGE * CELL, (EDGE + modules) * CELL
    found = cv2.minMaxLoc(cv2.matchTemplate(flat, mark[low:high, low:high], cv2.TM_CCOEFF_NORMED))
    return found[1], (found[3][0], found[3][1])


def _fitted(flat: Floats, mark: Floats, modules: int) -> Quad:
    """The corners of a mark in the straightened spot, by enhanced correlation; or as they were."""
    cv2 = _cv2()
    soft = cv2.GaussianBlur(mark, (0, 0), 0.5 * CELL)
    ends = (cv2.TERM_CRITERIA_EPS | cv2.TERM_CRITERIA_COUNT, 40, 1e-4)
    try:
        _, warp = cv2.findTransformECC(
            soft, flat, np.eye(3, dtype=np.float32), cv2.MOTION_HOMOGRAPHY, ends, None, 5
        )
    except cv2.error:  # it did not come to rest: the spot stays where it was
        return _square(modules)
    return _mapped(_square(modules), warp)


def _told(flat: Floats, known: Known) -> str | None:
    """The text of the mark that a straightened spot shows, if it is sure."""
    cv2 = _cv2()
    low, high = EDGE * CELL, (EDGE + known.modules) * CELL
    seen = cv2.GaussianBlur(flat, (0, 0), 0.25 * CELL)[low:high, low:high]
    seen = _even(seen)
    best, fit, marks = 0, -1.0, known.pictures
    for soft in SOFT:
        softer = np.stack(
            [
                _even(cv2.GaussianBlur(mark, (0, 0), soft * CELL)[low:high, low:high])
                for mark in known.pictures
            ]
        )
        fits = (softer * seen).sum(axis=(1, 2))
        k = int(fits.argmax())
        if fits[k] > fit:
            best, fit, marks = k, float(fits[k]), softer
    if fit < FITS:
        return None
    for k, other in enumerate(marks):
        if k == best:
            continue
        apart = marks[best] - other
        share = 0.5 + float((seen * apart).sum()) / (fit * float((apart * apart).sum()))
        if share < SHARE:
            return None
    return known.texts[best]


def _even(picture: Floats) -> Floats:
    """With a mean of nothing and a length of one."""
    even: Floats = picture - picture.mean()
    return even / np.float32(np.linalg.norm(even) + 1e-9)


def _mapped(corners: Quad, way: Any) -> Quad:
    cv2 = _cv2()
    there: Quad = cv2.perspectiveTransform(corners.reshape(1, 4, 2).astype(np.float32), way)[0]
    return there
