"""What is written round a picture: names, places, spans, heights, scale, and whose view it is?"""

from __future__ import annotations

from dataclasses import dataclass

from crossfell.base.quantities import written
from crossfell.drawings.glyphs import printable
from crossfell.drawings.lettering import CAP_HEIGHT, DESCENT, width_em
from crossfell.drawings.look import INK, QUIET, WALL_LOW
from crossfell.drawings.naming import picture_names
from crossfell.drawings.scene import Anchor, DrawnPath, Item, Text, rectangle
from crossfell.drawings.views import View
from crossfell.piece import Piece

SCALE_STEPS_MM = (10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0)
SCALE_STEPS_IN = (25.4, 50.8, 127.0, 254.0, 508.0, 1016.0)
MOST_LETTERS = 120  # of a title in a picture
PRINTED_MM, LEAST_NAME_MM = 2.1, 1.5  # letters on paper; names that would be smaller are left out
NARROWEST = 27.0  # in letters: a picture has room for its title
Printed = tuple[float, float]  # greatest width and height on paper, mm


@dataclass(frozen=True, slots=True)
class Margins:
    """Where the piece lies in its picture, and how large the letters are (mm).

    Names of no size are left out.
    """

    width: float
    height: float
    x: float  # of the piece's upper left corner
    y: float
    letter: float
    names: float  # size of the names
    upright: bool  # names are turned
    least: float = 0.0  # letters that are never smaller; what has no room for them is left out


def letter_for(printed: Printed, size: tuple[float, float], room: tuple[float, float]) -> float:
    """Letters (mm of the picture) that are PRINTED_MM on paper, at least.

    `size` is what is drawn, without words; `room` is what words take beside it, in letters.
    """
    return PRINTED_MM * max(
        drawn / max(paper - PRINTED_MM * letters, PRINTED_MM)
        for drawn, paper, letters in zip(size, printed, room, strict=True)
    )


def margins_of(
    piece: Piece, view: View, *, labels: bool, printed: Printed | None = None
) -> Margins:
    """Margins for what is written, from the size of the piece and its longest words.

    Where it will be printed no larger than `printed`, letters are large enough to be read there.
    """
    w, h = view.width, view.height
    overhang = piece.paths.rod_side_mm
    if not labels:
        pad = max(overhang + 5, 0.04 * max(w, h))
        return Margins(w + 2 * pad, h + 2 * pad, pad, pad, 0, 0, upright=False)
    letter = min(max(4.0, 0.0125 * max(w, h)), 0.05 * max(w, 60))
    if printed:
        letter = max(letter, letter_for(printed, (w + 2 * overhang, h), (12.4, 13.0)))
    longest = max(map(width_em, picture_names(piece.draft)), default=1.0)
    pitch = piece.draft.pitch_mm or 10.0
    names, upright = 0.86 * pitch / longest, False
    if names < 0.75 * letter:
        names, upright = 0.92 * pitch / (CAP_HEIGHT + DESCENT), True
    names = min(names, letter)
    if printed and names * PRINTED_MM / letter < LEAST_NAME_MM:
        names = 0.0
    least = 0.6 * letter if printed else 0.0
    side = overhang + 6.1 * letter
    if printed:
        side = max(side, (NARROWEST * letter - w) / 2)
    name_room = (longest * names if upright else names) + letter
    top = name_room + 2.4 * letter
    low = name_room + 8.5 * letter
    return Margins(w + 2 * side, h + top + low, side, top, letter, names, upright, least)


def labels_of(piece: Piece, view: View, frame: Margins) -> tuple[Item, ...]:
    """Everything written round the piece."""
    items: list[Item] = []
    if piece.draft.units and piece.draft.bands:
        items += _names(piece, view, frame, view.frame.top, above=True)
        items += _names(piece, view, frame, view.frame.foot, above=False)
        items += _places(piece, view, frame)
    items += _spans(piece, view, frame)
    scale, scale_left = _scale(piece, frame)
    return (*items, *scale, *_title(piece, view, frame, scale_left))


def names_at_bands(piece: Piece, view: View, left: float, top: float) -> tuple[Item, ...]:
    """Every unit's name, 4 mm or less, above and below each band; ′ for a face to the back."""
    items: list[Item] = []
    paths, order, names = piece.paths, piece.order, picture_names(piece.draft)
    for band in range(len(paths.band_top_mm)):
        edges = [view.y(float(y[band])) for y in (paths.band_bottom_mm, paths.band_top_mm)]
        for unit, name in enumerate(names):
            said = name if view.frame.face(int(order.face[band, unit])) > 0 else f"{name}′"
            size = min(4.0, 0.8 * float(paths.width_mm[unit]) / width_em(said))
            x = left + view.x(float(paths.x_mm[band, unit]))
            above, below = top + min(edges) - 0.5 * size, top + max(edges) + 1.2 * size
            items += [_text(x, y, said, size, anchor="middle") for y in (above, below)]
    return tuple(items)


def _names(piece: Piece, view: View, frame: Margins, band: int, *, above: bool) -> list[Item]:
    items: list[Item] = []
    gap = 0.8 * frame.letter
    if not frame.names:
        return items
    for unit, name in enumerate(picture_names(piece.draft)):
        x = frame.x + view.x(float(piece.paths.x_mm[band, unit]))
        y = frame.y - gap if above else frame.y + view.height + gap
        if frame.upright:
            at = x + CAP_HEIGHT * frame.names / 2
            anchor: Anchor = "start" if above else "end"
            items.append(_text(at, y, name, frame.names, anchor=anchor, upright=True))
        else:
            base = y if above else y + CAP_HEIGHT * frame.names
            items.append(_text(x, base, name, frame.names, anchor="middle"))
    return items


def _places(piece: Piece, view: View, frame: Margins) -> list[Item]:
    """Place numbers below the names: every one if they fit, else 1 and every fifth."""
    count, pitch = piece.draft.place_count, piece.draft.pitch_mm
    size = 0.72 * frame.letter
    step = 1 if size * width_em(str(count)) < 0.8 * pitch else 5
    if step == 5 and size * width_em(str(count)) > 3.6 * pitch:
        step = 10
    longest = max(map(width_em, picture_names(piece.draft)), default=1.0)
    room = longest * frame.names if frame.upright else frame.names * CAP_HEIGHT
    y = frame.y + view.height + 0.8 * frame.letter + room + 1.4 * frame.letter
    numbers = [p for p in range(1, count + 1) if step == 1 or p == 1 or p % step == 0]
    return [
        _text(frame.x + view.x((p - 0.5) * pitch), y, str(p), size, colour=QUIET, anchor="middle")
        for p in numbers
    ]


def _spans(piece: Piece, view: View, frame: Margins) -> list[Item]:
    """Number of each span at the left, its height at the right."""
    items: list[Item] = []
    last = -1.0  # y of the last span that is labelled
    over = piece.paths.rod_side_mm + 0.9 * frame.letter
    for index, span in enumerate(piece.draft.spans):
        ends = (piece.paths.band_top_mm[index], piece.paths.band_bottom_mm[index + 1])
        middle = frame.y + sum(view.y(float(end)) for end in ends) / 2
        height = written(span.height_mm, piece.draft.measure)
        room = 4.0 * frame.letter
        size = min(0.9 * frame.letter, 0.9 * span.height_mm, room / width_em(height))
        size = max(size, frame.least)
        if frame.least and last >= 0 and abs(middle - last) < 1.2 * size:
            continue
        last = middle
        base = middle + CAP_HEIGHT * size / 2
        number = str(span.number)
        items.append(_text(frame.x - over, base, number, size, anchor="end", bold=True))
        right = frame.x + view.width + over
        items.append(_text(right, base, height, size, colour=QUIET))
    return items


def _scale(piece: Piece, frame: Margins) -> tuple[list[Item], float]:
    """A bar of a round length at the lower right, and where it begins."""
    steps = SCALE_STEPS_IN if piece.draft.measure == "in" else SCALE_STEPS_MM
    most = 0.3 * (frame.width - 2 * frame.letter)
    length = max((step for step in steps if step <= most), default=steps[0])
    right = frame.width - 2.2 * frame.letter
    left, y = right - length, frame.height - 2.2 * frame.letter
    thick = 0.22 * frame.letter
    items: list[Item] = [
        DrawnPath(
            rectangle(left, y - thick, right, y), fill="#ffffff", stroke=INK, stroke_mm=thick / 4
        )
    ]
    items += [
        DrawnPath(
            rectangle(left + i * length / 4, y - thick, left + (i + 1) * length / 4, y), fill=INK
        )
        for i in (0, 2)
    ]
    size = 0.8 * frame.letter
    label = written(length, piece.draft.measure)
    items.append(_text(right, y - 2.2 * thick, label, size, anchor="end", colour=QUIET))
    return items, left


def _title(piece: Piece, view: View, frame: Margins, right: float) -> list[Item]:
    left, low = 2.2 * frame.letter, frame.height - 2.2 * frame.letter
    room = right - left - 1.5 * frame.letter
    title = fitted(piece.draft.about.title, 0.75 * frame.letter, room, bold=True)
    size = min(1.6 * frame.letter, room / max(width_em(title, bold=True), 0.1))
    says = view.says
    small = min(0.9 * frame.letter, room / width_em(says))
    above = low - small * 1.55
    return [
        _text(left, above, title, size, bold=True),
        _text(left, low, says, small, colour=QUIET),
    ]


def fitted(text: str, size: float, room: float, *, bold: bool = False) -> str:
    """The text in one line, cut with "…" where it would not fit into `room` at `size` (mm)."""
    line = " ".join(printable(text).split())
    if len(line) <= MOST_LETTERS and size * width_em(line, bold=bold) <= room:
        return line
    line = line[:MOST_LETTERS]
    while line and size * width_em(line + "…", bold=bold) > room:
        line = line[:-1]
    return line.rstrip() + "…"


def _text(
    x: float,
    y: float,
    text: str,
    size: float,
    *,
    colour: str = INK,
    anchor: Anchor = "start",
    bold: bool = False,
    upright: bool = False,
) -> Text:
    return Text(
        x,
        y,
        text,
        size,
        colour,
        anchor,
        bold=bold,
        upright=upright,
        ground=WALL_LOW,
    )
