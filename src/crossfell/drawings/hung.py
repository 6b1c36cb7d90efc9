"""What does the piece look like as drawn, as it hangs, and one laid over the other?

All three side by side for paper, or the hung one alone for the screen, from the front or behind.
True scale in place, in the frame of the wall. Side by side, a unit is as thick as it pulls hard and
one that bows is thin; alone it is in its colours, bows as they are, or all movements enlarged. What
a span carries stands beside it.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from crossfell.base.frame import FROM_BEHIND, Frame
from crossfell.base.quantities import written
from crossfell.drawings.hung_ribbons import ribbons
from crossfell.drawings.lettering import width_em
from crossfell.drawings.look import INK, QUIET
from crossfell.drawings.margins import Printed, fitted, letter_for
from crossfell.drawings.scene import Anchor, Command, DrawnPath, Item, Layer, Scene, Text, rectangle
from crossfell.paths.rods import rods_on_wall_mm
from crossfell.piece import Piece
from crossfell.statics.bow import bow_mm
from crossfell.statics.rig import on_the_wall
from crossfell.statics.springs import Floats
from crossfell.statics.verdict_told import in_words

LEAST_SHARE = 0.6  # of the letters on paper: what would be smaller is left out
PAPER = "#ffffff"
DRAWN = "#8a847b"  # as drawn: grey, thin
SLACK = "#9a3412"  # slack: thin, bowed, rust
BOW_SHARE = 0.06  # of the span, the least that a bow is drawn
THICKEST_SHARE = 0.35  # of the pitch, for the unit that pulls hardest
PANELS = ("as drawn", "as it hangs", "laid over each other")


def hung_view(piece: Piece, *, printed: Printed | None = None) -> Scene:
    """Three panels side by side: drawn, hung, both.

    Where it will be printed no larger than `printed`, letters can be read there, and what
    `how_drawn` says stands beside it on the page.
    """
    paths = piece.paths
    wide, high = paths.width_total_mm, paths.height_total_mm
    letter = max(4.0, 0.018 * max(wide, high))
    room = _overreach(piece)
    if printed:
        drawn_size = (3 * wide + 6 * room, high + room + _above(piece))
        letter = max(letter, letter_for(printed, drawn_size, (15.8, 7.0)))
    labels = 8.2 * letter
    step = wide + 2 * room + 1.5 * letter
    left, top = room + 1.5 * letter, 4.5 * letter + _above(piece)
    places = (left, left + step, left + 2 * step + labels)
    full = places[2] + wide + room + 1.5 * letter
    foot = top + high + room + 2.5 * letter
    height = foot + (0 if printed else 7) * letter
    drawn, rest = _ends(piece, hung=False), _ends(piece, hung=True)
    layers = [Layer("wall", (DrawnPath(rectangle(0, 0, full, height), fill=PAPER),))]
    for x, parts in zip(places, ((drawn, None), (None, rest), (drawn, rest)), strict=True):
        items: list[Item] = []
        if parts[0]:
            items += _plain(piece, parts[0], (x, top + high), DRAWN if parts[1] else INK)
        if parts[1]:
            items += _pulling(piece, parts[1], (x, top + high))
        layers.append(Layer(f"panel{len(layers)}", tuple(items)))
    pulls = _labels(piece, places[1], (top + high, letter), printed=printed is not None)
    says = [] if printed else _says(piece, (left - room, foot, full - 3 * letter), letter)
    texts = [*_headings(places, letter), *pulls, *says]
    return Scene(
        width_mm=full,
        height_mm=height,
        title=piece.draft.about.title,
        says=f"{piece.draft.about.title}, drawn against hung, from the front",
        layers=(*layers, Layer("letters", tuple(texts))),
        at={"x": places[1], "y": top},
    )


def hung_alone(
    piece: Piece, *, over_drawn: bool = False, behind: bool = False, times: float = 1.0
) -> Scene:
    """The piece in its colours as it comes to rest, by itself or over the drawn one, thin and grey.

    From either side; all movements and bows `times` as large as they are.
    """
    paths = piece.paths
    wide, high = paths.width_total_mm, paths.height_total_mm
    letter = max(4.0, 0.018 * max(wide, high))
    room = times * _overreach(piece)
    left, top = room + 1.5 * letter, 4.5 * letter + times * _above(piece)
    full, foot = left + wide + room + 9.7 * letter, top + high + room + 2.5 * letter
    at = (left, top + high)
    layers = [Layer("wall", (DrawnPath(rectangle(0, 0, full, foot + 11 * letter), fill=PAPER),))]
    rest = _ends(piece, hung=True, behind=behind, times=times)
    colours = ribbons(piece, at, times=times, behind=behind)
    rods = _rods(rest[2], at, INK, 0.1 * piece.draft.pitch_mm)
    layers.append(Layer("hung", (*colours, *rods)))
    if over_drawn:
        drawn = _ends(piece, hung=False, behind=behind)
        layers.append(Layer("drawn", tuple(_plain(piece, drawn, at, DRAWN))))
    side = f"from {'behind' if behind else 'the front'}"
    heading = "as it hangs, under the drawn piece in grey" if over_drawn else "as it hangs"
    if times != 1:
        heading += f", movements × {times:g}"
    texts = [_text(left, 2.6 * letter, heading, letter, bold=True),
             *_labels(piece, left + room - _overreach(piece), (top + high, letter)),
             *_says(piece, (1.5 * letter, foot, full - 3 * letter), letter, side=side,
                    lines=coloured(piece, times))]  # fmt: skip
    return Scene(
        width_mm=full,
        height_mm=foot + 11 * letter,
        title=piece.draft.about.title,
        says=f"{piece.draft.about.title}, {heading}, {side}",
        layers=(*layers, Layer("letters", tuple(texts))),
        at={"x": left, "y": top},
    )


Ends = tuple[Floats, Floats, Floats]  # above [spans, units, 2], below, rods [bands, 2, 2]


def _overreach(piece: Piece) -> float:
    """How far anything reaches beside or below the drawn piece."""
    hung = piece.hung
    half = piece.paths.width_total_mm / 2 + piece.paths.rod_side_mm
    moved = np.abs(hung.drift_mm) + half * np.abs(np.sin(hung.tilt_rad)) + np.abs(hung.rise_mm)
    return piece.paths.rod_side_mm + float(moved.max(initial=0.0))


def _above(piece: Piece) -> float:
    """How far the top rod reaches above its drawn place."""
    hung, top = piece.hung, piece.draft.on_wall().top
    half = piece.paths.width_total_mm / 2 + piece.paths.rod_side_mm
    return max(0.0, float(hung.rise_mm[top] + half * abs(np.sin(hung.tilt_rad[top]))))


def _ends(piece: Piece, *, hung: bool, behind: bool = False, times: float = 1.0) -> Ends:
    """Ends of every unit's middle, and of every rod, from the top down; mm, y up."""
    wall = on_the_wall(piece.draft, piece.order, piece.paths)
    pose = times * piece.hung.rest.pose if hung else np.zeros((len(wall.x_mm), 3))
    about = np.stack([np.full(len(pose), wall.middle_mm), wall.rod_mm], axis=1)
    seen = FROM_BEHIND if behind else Frame()

    def placed(x: Floats, y: Floats) -> Floats:
        dx, dy = x - about[:, :1], y - about[:, 1:]
        c, s = np.cos(pose[:, 2:]), np.sin(pose[:, 2:])
        there = np.stack([c * dx - s * dy, s * dx + c * dy], axis=-1)
        moved: Floats = about[:, None] + pose[:, None, :2] + there
        moved[..., 0] = seen.x(moved[..., 0], 2 * wall.middle_mm)
        return moved

    above = placed(wall.x_mm, wall.low_mm[:, None])[:-1]
    below = placed(wall.x_mm, wall.high_mm[:, None])[1:]
    tips = rods_on_wall_mm(piece.draft, piece.paths)[piece.draft.on_wall().downwards]
    return above, below, placed(tips, wall.rod_mm[:, None])


def _plain(piece: Piece, ends: Ends, at: tuple[float, float], colour: str) -> list[Item]:
    """Everything as thin lines."""
    x0, y0 = at
    above, below, rods = ends
    thin = 0.045 * piece.draft.pitch_mm
    lines: list[Command] = []
    for one, two in zip(above.reshape(-1, 2).tolist(), below.reshape(-1, 2).tolist(), strict=True):
        lines += [("M", (x0 + one[0], y0 - one[1])), ("L", (x0 + two[0], y0 - two[1]))]
    return [
        DrawnPath(tuple(lines), stroke=colour, stroke_mm=thin),
        *_rods(rods, at, colour, 2 * thin),
    ]


def _rods(rods: Floats, at: tuple[float, float], colour: str, thick: float) -> list[Item]:
    lines: list[Command] = []
    for (x1, y1), (x2, y2) in rods.tolist():
        lines += [("M", (at[0] + x1, at[1] - y1)), ("L", (at[0] + x2, at[1] - y2))]
    return [DrawnPath(tuple(lines), stroke=colour, stroke_mm=thick)]


def _pulling(piece: Piece, ends: Ends, at: tuple[float, float]) -> list[Item]:
    """Units as thick as they pull; slack ones bow."""
    down = piece.draft.on_wall().downwards
    tension, slack = piece.bent.tension_n[down], bowing(piece)[down]
    above, below, rods = ends
    most = float(tension.max(initial=0.0)) or 1.0
    pitch = piece.draft.pitch_mm
    items: list[Item] = []
    loose: list[Command] = []
    for k in range(len(tension)):
        for u in range(tension.shape[1]):
            one, two = above[k, u], below[k, u]
            a, b = (at[0] + one[0], at[1] - one[1]), (at[0] + two[0], at[1] - two[1])
            if slack[k, u]:
                loose += _bow(a, b, 1 if u % 2 else -1)
                continue
            share = math.sqrt(float(tension[k, u]) / most)
            thick = pitch * max(0.03, THICKEST_SHARE * share)
            items.append(DrawnPath((("M", a), ("L", b)), stroke=INK, stroke_mm=thick))
    if loose:
        items.append(DrawnPath(tuple(loose), stroke=SLACK, stroke_mm=0.055 * pitch))
    return [*items, *_rods(rods, at, INK, 0.1 * pitch)]


def _bow(a: tuple[float, float], b: tuple[float, float], side: int) -> list[Command]:
    """A slack unit from a to b: it sags below its chord; a vertical one bows to either side."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    long = math.hypot(dx, dy) or 1.0
    if abs(dx) > 0.02 * long:
        side = 1 if dx < 0 else -1
    reach = 2 * BOW_SHARE * long * side  # a control point twice as far as the curve
    middle = ((a[0] + b[0]) / 2 + reach * dy / long, (a[1] + b[1]) / 2 - reach * dx / long)
    one = tuple(p + 2 / 3 * (m - p) for p, m in zip(a, middle, strict=True))
    two = tuple(p + 2 / 3 * (m - p) for p, m in zip(b, middle, strict=True))
    return [("M", a), ("C", (*one, *two, *b))]


def _headings(places: tuple[float, ...], letter: float) -> list[Item]:
    return [
        _text(x, 2.6 * letter, says, letter, bold=True)
        for x, says in zip(places, PANELS, strict=True)
    ]


def _labels(
    piece: Piece, x: float, at: tuple[float, float], *, printed: bool = False
) -> list[Item]:
    """Least and greatest pull of each span, and how many units bow so far that it is seen."""
    low, letter = at
    paths = piece.paths
    side = x + paths.width_total_mm + _overreach(piece) + 0.8 * letter
    items: list[Item] = []
    for k, span in enumerate(piece.draft.spans):
        middle = float(paths.band_top_mm[k] + paths.band_bottom_mm[k + 1]) / 2
        middle = piece.draft.on_wall().y(middle, paths.height_total_mm)
        row = piece.bent.tension_n[k]
        says = f"{row.min():.2f} to {row.max():.2f} N"
        slack = int(bowing(piece)[k].sum())
        size = min(0.85 * letter, 0.36 * span.height_mm, 7.0 * letter / width_em(says))
        if printed and size < LEAST_SHARE * letter:
            continue  # nobody could read it
        items.append(_text(side, low - middle, says, size))
        if slack:
            items.append(
                _text(side, low - middle + 1.25 * size, f"{slack} bow", size, colour=SLACK)
            )
    return items


def bowing(piece: Piece) -> NDArray[np.bool_]:
    """Which units [spans, units] bow so far that it is seen, lengths as drawn, rods that bend."""
    bow = bow_mm(piece.paths.chord_mm, piece.bent.slack_mm)
    seen: NDArray[np.bool_] = bow > piece.draft.hang.bows_mm
    return seen


def coloured(piece: Piece, times: float) -> tuple[str, ...]:
    """What the picture in colours shows, its scale among it."""
    scale = "places and bows are true to scale" if times == 1 else f"movements and bows × {times:g}"
    verdict = in_words(piece.verdict, piece.draft.measure)
    return f"It {verdict};", f"{scale}.", "Single pulls hang on tenths of a millimetre."


def how_drawn(piece: Piece) -> tuple[tuple[str, ...], ...]:
    """What the picture shows: two lines, each of parts that can stand below each other."""
    hung, measure = piece.hung, piece.draft.measure
    drift = written(float(np.abs(hung.drift_mm).max()), measure)
    tilt = 1000 * float(np.abs(hung.tilt_rad).max())
    return (
        (f"Rods drift by up to {drift} and tilt by up to {tilt:.1f} in 1000;",
         "places are true to scale."),
        ("A unit is as thick as it pulls;",
         "those that bow are thin, their bow drawn larger than it is.",
         "Single pulls hang on tenths of a millimetre."),
    )  # fmt: skip


def _says(
    piece: Piece, at: tuple[float, float, float], letter: float, *, side: str = "from the front",
    lines: tuple[str, ...] = (),
) -> list[Item]:  # fmt: skip
    left, y, room = at
    lines = lines or tuple(map(" ".join, how_drawn(piece)))
    title = fitted(piece.draft.about.title, 1.3 * letter, room, bold=True)
    size = min(0.85 * letter, *(room / width_em(line) for line in lines))
    return [
        _text(left, y, title, 1.3 * letter, bold=True),
        *(
            _text(left, y + (1.9 + 1.3 * k) * letter, line, size, colour=QUIET)
            for k, line in enumerate((*lines, f"as it hangs, {side}"))
        ),
    ]


def _text(
    x: float, y: float, text: str, size: float, *, colour: str = INK, bold: bool = False,
    anchor: Anchor = "start",
) -> Text:  # fmt: skip
    return Text(x, y, text, size, colour, anchor, bold=bold, ground=PAPER)
