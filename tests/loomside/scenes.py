"""Photographs of a batten that were never taken: strips with labels, seen askew, blurred, shaded."""

import cv2
import numpy as np
import segno

VERSION = "0a1b2c3d"
PX = 9  # for each module of a mark, before the camera
PITCH = 1.25  # of a mark's side


def mark_picture(text):
    """A mark with its light margin, as a grey picture."""
    code = segno.make(text, error="m", micro=False, boost_error=False, mask=2)
    matrix = np.array([list(row) for row in code.matrix], np.uint8)
    light = np.pad(1 - matrix, 4, constant_values=1)
    return np.kron(light, np.ones((PX, PX), np.uint8)) * 255


def batten(row, faces, *, ground=150):
    """A flat picture of the row: names by place, None where it is empty; faces by place."""
    shown = [
        None if n is None else mark_picture(text_of(n, f)) for n, f in zip(row, faces, strict=True)
    ]
    side = max(m.shape[0] for m in shown if m is not None)
    step = round(side * PITCH)
    picture = np.full((2 * side, step * len(row) + side), ground, np.uint8)
    for place, (mark, face) in enumerate(zip(shown, faces, strict=True)):
        if mark is None:
            continue
        left = side // 2 + place * step
        paper = 255 if face > 0 else 20
        picture[side // 4 : side // 4 + round(1.5 * side), left - 4 : left + side + 4] = paper
        top = side // 2
        picture[top : top + mark.shape[0], left : left + mark.shape[1]] = mark
    return picture


def text_of(name, face):
    return f"crossfell {VERSION} unit {name} {'front' if face > 0 else 'back'}"


def photographed(flat, rng, *, width=1600, hard=1.0):
    """The flat picture as a hand-held camera sees it: askew, blurred, shaded, partly covered."""
    high, wide = flat.shape
    height = round(width * high / wide * 1.6) + 120
    span = 0.86 * width
    tall = span * high / wide
    corners = np.float32([[0, 0], [wide, 0], [wide, high], [0, high]])
    x0, y0 = (width - span) / 2, (height - tall) / 2
    there = np.float32([[x0, y0], [x0 + span, y0], [x0 + span, y0 + tall], [x0, y0 + tall]])
    there += (
        rng.uniform(-1, 1, (4, 2)).astype(np.float32)
        * np.float32([0.05 * width, 0.18 * tall])
        * hard
    )
    matrix = cv2.getPerspectiveTransform(corners, there)
    out = cv2.warpPerspective(flat, matrix, (width, height), flags=cv2.INTER_AREA, borderValue=110)
    out = out.astype(np.float32)
    out *= _shade(rng, out.shape, hard)
    if rng.random() < 0.3 * hard:
        _cover(rng, out)
    out = cv2.GaussianBlur(out, (0, 0), 0.3 + rng.random() * 1.3 * hard)
    out += rng.normal(0, 1 + 7 * rng.random() * hard, out.shape)
    quality = int(rng.integers(55, 96))
    return cv2.imencode(
        ".jpg", np.clip(out, 0, 255).astype(np.uint8), [cv2.IMWRITE_JPEG_QUALITY, quality]
    )[1].tobytes()


def _shade(rng, shape, hard):
    """Light from one side, and the edge of a shadow across."""
    high, wide = shape
    x = np.linspace(-1, 1, wide)[None, :]
    y = np.linspace(-1, 1, high)[:, None]
    angle = rng.random() * 2 * np.pi
    slope = 1 - 0.25 * hard * (x * np.cos(angle) + y * np.sin(angle) + 1) / 2
    edge = x * np.cos(angle + 1) + y * np.sin(angle + 1) - rng.uniform(-1, 1)
    return slope * (1 - 0.45 * hard * rng.random() / (1 + np.exp(-edge * 40)))


def _cover(rng, picture):
    """A thread, a finger or a weight in front of the strips."""
    high, wide = picture.shape
    x, y = int(rng.integers(0, wide)), int(rng.integers(0, high))
    cv2.ellipse(
        picture,
        (x, y),
        (int(rng.integers(5, 60)), int(rng.integers(20, 160))),
        float(rng.random() * 180),
        0,
        360,
        float(rng.integers(20, 200)),
        -1,
    )


def arrangement(rng, gaps):
    """A row of eight units with faces by place, as a step may have it."""
    names = [f"a{i}" for i in range(1, 5)] + [f"b{i}" for i in range(1, 5)]
    row = list(rng.permutation(names))
    if gaps:
        row.insert(int(rng.integers(1, 8)), None)
    faces = [int(f) for f in rng.choice([1, 1, 1, -1], len(row))]
    return [None if n is None else str(n) for n in row], faces


def spoiled(row, faces, rng):
    """An arrangement that is not that of the step: exchanged, turned, taken out or set aside."""
    row, faces = list(row), list(faces)
    units = [i for i, name in enumerate(row) if name is not None]
    i, j = (int(k) for k in rng.choice(units, 2, replace=False))
    kind = int(rng.integers(0, 4))
    if kind == 0:
        row[i], row[j] = row[j], row[i]
        faces[i], faces[j] = faces[j], faces[i]
    elif kind == 1:
        faces[i] = -faces[i]
    elif kind == 2:
        row[i] = None
    elif None in row:
        gap = row.index(None)
        beside = gap + 1 if gap + 1 < len(row) else gap - 1
        row[gap], row[beside] = row[beside], None
        faces[gap], faces[beside] = faces[beside], faces[gap]
    else:
        k = min(i, len(row) - 2)
        row[k], row[k + 1] = row[k + 1], row[k]
        faces[k], faces[k + 1] = faces[k + 1], faces[k]
    return row, faces
