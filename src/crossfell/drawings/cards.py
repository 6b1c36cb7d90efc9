"""What does it look like now: before a span's moves, after them, at any step?

Cards are drawn for reading at the loom, not to scale: a place is 20 mm wide. A card of a span
shows only the places that something happens to, and one more at each side.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from crossfell.drawings.glyphs import printable
from crossfell.drawings.lettering import CAP_HEIGHT, width_em
from crossfell.drawings.look import INK, QUIET, Look, look_of, runs_of
from crossfell.drawings.margins import fitted
from crossfell.drawings.naming import picture_names, short_names
from crossfell.drawings.ribbons import fade_of, ribbon_symbol
from crossfell.drawings.scene import (
    Command,
    DrawnPath,
    Fade,
    Item,
    Layer,
    Scene,
    Symbol,
    Text,
    Use,
    rectangle,
)
from crossfell.drawings.stacking import levels_of, stack_of
from crossfell.drawings.threads import Ribbon, outline
from crossfell.drawings.views import SAYS, View, view_of
from crossfell.piece import Piece

PLACE_MM = 20.0
MARGIN = 8.0
TAG = 15.0  # height of the row of names
LETTER, LARGE_LETTER = 8.0, 14.4  # of names; the large one is read from 1.5 m
NAME_SHARE = 0.88  # of a place's width that a name may fill
MOST_EM = 2.6  # a name that is longer is shortened where letters must be large: four letters or so
VIEWS = {"front": "loom", "back": "bobbins"}
STAGES = ("before", "after")


@dataclass
class Card:
    """A card as it grows; columns are places from `first` to `last`."""

    piece: Piece
    view: View
    look: Look
    first: int
    last: int
    open_mm: float  # height of the open warp
    names: tuple[str, ...]  # what units are called in it
    place_mm: float = PLACE_MM
    letter_mm: float = LETTER  # most that a name may have
    headed: bool = True
    ribbons: list[Item] = field(default_factory=list)
    letters: list[Item] = field(default_factory=list)
    symbols: list[Symbol] = field(default_factory=list)
    fades: dict[str, Fade] = field(default_factory=dict)
    clips: list[tuple[str, tuple[Command, ...]]] = field(default_factory=list)

    @property
    def width(self) -> float:
        """Of the whole card, mm; wide enough for its words."""
        least = 110.0 if self.headed else 0.0
        return max(least, self.across + 2 * MARGIN)

    @property
    def across(self) -> float:
        """Of its places, mm."""
        return (self.last - self.first + 1) * self.place_mm

    @property
    def tag(self) -> float:
        """Height of the row of names, mm."""
        return TAG * max(1.0, 0.95 * self.letter_mm / LETTER)

    @property
    def number_mm(self) -> float:
        """Size of the numbers of places, mm."""
        if self.letter_mm > LETTER:
            return self.letter_mm
        return 4.4 if self.headed else 5.6  # without a heading it is printed small, among others

    @property
    def scale(self) -> float:
        """Card mm for each mm of the loom."""
        return self.place_mm / self.piece.draft.pitch_mm

    def x(self, loom_x: float) -> float:
        """Card x of a loom x (mm)."""
        pitch = self.piece.draft.pitch_mm
        left = (self.width - self.across) / 2
        x = (loom_x - (self.first - 1) * pitch) * self.scale
        return left + self.view.frame.x(x, self.across)

    def ribbon(self, unit: int, x0: float, x1: float, face: int, turns: int) -> Ribbon:
        """The ribbon of a unit between two loom places, upper to lower."""
        draft = self.piece.draft
        kind = draft.kinds[draft.units[unit].kind]
        width = float(self.piece.paths.width_mm[unit]) * self.scale
        return Ribbon(
            runs=runs_of(kind.ends, width),
            width=width,
            dx=self.x(x1) - self.x(x0),
            height=self.open_mm,
            sign=self.view.frame.ends(face),
            half_turns=self.view.frame.turn(turns),
            over=False,
            under=False,
        )

    def lay(self, ribbon: Ribbon, x: float, y: float, clip: str = "") -> None:
        """Draw a ribbon; its upper end's middle at x, y."""
        symbol = ribbon_symbol(ribbon, self.look, f"n{len(self.symbols)}")
        self.symbols.append(symbol)
        if self.look.style == "full":
            fade = fade_of(ribbon)
            self.fades[fade.name] = fade
        self.ribbons.append(Use(symbol.name, x, y, clip))

    def tags(
        self, loom_x: Sequence[float], faces: Sequence[int], units: Sequence[int], y: float
    ) -> None:
        """A row of strips with their names; one whose back is forward says so."""
        longest = max((width_em(self.names[u], bold=True) for u in units), default=1.0)
        size = min(self.letter_mm, NAME_SHARE * self.place_mm / longest)
        for unit in units:
            back = self.view.frame.face(faces[unit]) < 0
            self._tag(self.x(loom_x[unit]), y, unit, size, back=back)

    def _tag(self, x: float, y: float, unit: int, size: float, *, back: bool) -> None:
        """One strip: its name, small its full name where that is shortened, and "back"."""
        half, tag, name = 0.46 * self.place_mm, self.tag, self.names[unit]
        fill, ink = (INK, "#ffffff") if back else ("#ffffff", INK)
        box = rectangle(x - half, y, x + half, y + tag)
        self.letters.append(DrawnPath(box, fill=fill, stroke=INK, stroke_mm=0.4))
        full = printable(self.piece.order.names[unit])
        below = " ".join(([full] if full != name else []) + (["back"] if back else []))
        base = y + (0.42 if below else 0.5) * tag + CAP_HEIGHT * size / 2
        self.letters.append(Text(x, base, name, size, ink, "middle", bold=True, ground=fill))
        if below:
            small = min(0.4 * self.letter_mm, NAME_SHARE * self.place_mm / width_em(below))
            text = Text(x, y + tag - 1.3, below, small, ink, "middle", ground=fill)
            self.letters.append(text)

    def places(self, y: float) -> None:
        """Numbers of the places, as counted from the left of who stands there."""
        pitch = self.piece.draft.pitch_mm
        for place in range(self.first, self.last + 1):
            x = self.x((place - 0.5) * pitch)
            number = str(self.view.frame.place(place))
            text = Text(x, y, number, self.number_mm, QUIET, "middle", ground="#ffffff")
            self.letters.append(text)

    def says(self, head: str, y: float) -> None:
        """What is shown, and whose view it is."""
        room = self.width - 2 * MARGIN
        line = fitted(head, 5.5, room, bold=True)
        self.letters.append(Text(MARGIN, y, line, 5.5, INK, bold=True, ground="#ffffff"))
        view = fitted(self.view.says, 4.4, room)
        self.letters.append(Text(MARGIN, y + 6.5, view, 4.4, QUIET, ground="#ffffff"))

    def scene(self, height: float, head: str) -> Scene:
        """The finished card."""
        ground = DrawnPath(rectangle(0, 0, self.width, height), fill="#ffffff")
        return Scene(
            width_mm=self.width,
            height_mm=height,
            title=head,
            says=f"{head}, {self.view.says}",
            layers=(
                Layer("ground", (ground,)),
                Layer("open", tuple(self.ribbons)),
                Layer("letters", tuple(self.letters)),
            ),
            symbols=tuple(self.symbols),
            fades=tuple(self.fades.values()),
            hatches=self.look.hatches,
            clips=tuple(self.clips),
            end_pitch_mm=1.0,
        )


def span_card(
    piece: Piece,
    span: int,
    *,
    view: str = "front",
    stage: str = "after",
    style: str = "full",
    places: tuple[int, int] | None = None,
    large: bool = False,
) -> Scene:
    """A span (numbered from 1) before or after its moves, from the front or the back of the loom.

    The lower row is the arrangement before, the upper the one after. `places` shows only those
    from first to last, without a heading; what leaves them is cut at the edge. `large` has names
    to be read from a distance.
    """
    if stage not in STAGES:
        raise ValueError(f"no such stage: {stage}")
    index = span - 1
    first, last = places or places_touched(piece, index)
    names = large_names(piece) if large else picture_names(piece.draft)
    wide = large_place_mm(piece) if large else PLACE_MM
    most = 70.0 if large else 64.0 if places else 150.0
    open_mm = min(max(60.0, 0.4 * (last - first + 1) * wide), most) if stage == "after" else 28.0
    card = Card(
        piece,
        view_of(piece, VIEWS[view]),
        look_of(piece.draft, style),
        first,
        last,
        open_mm,
        names,
        place_mm=wide,
        letter_mm=LARGE_LETTER if large else LETTER,
        headed=not places,
    )
    below, above, through = _shown(piece, index, first, last)
    y = MARGIN
    x = piece.paths.x_mm.tolist()
    faces = piece.order.face.tolist()
    if stage == "after":
        card.tags(x[index + 1], faces[index + 1], above, y)
        y += card.tag + 1.5
        _crossings(card, index, through, y)
    else:
        for unit in below:
            at = x[index][unit]
            card.lay(card.ribbon(unit, at, at, faces[index][unit], 0), card.x(at), y)
    y += open_mm + 1.5
    card.tags(x[index], faces[index], below, y)
    y += card.tag
    card.places(y + 1.6 + card.number_mm)
    name = piece.draft.spans[index].name
    head = f"Span {span}, {stage}" + (f": {name}" if name else "")
    if places:
        return card.scene(y + 1.6 + card.number_mm + MARGIN / 2, head)
    y += 1.6 + card.number_mm
    card.says(head, y + 11)
    return card.scene(y + 24, head)


def step_view(
    piece: Piece,
    order: Sequence[int | None],
    faces: Sequence[int],
    *,
    off_mm: Sequence[float] = (),
    view: str = "front",
    head: str = "What it looks like now",
    style: str = "full",
) -> Scene:
    """The strips in their places at any moment of the work.

    `order` has a unit or None for each place from 1; `faces` a 1 or -1 for each unit, `off_mm` how
    far right of the middle of its place each lies.
    """
    last = max(len(order), 1)
    names = picture_names(piece.draft)
    card = Card(
        piece, view_of(piece, VIEWS[view]), look_of(piece.draft, style), 1, last, 28.0, names
    )
    pitch = piece.draft.pitch_mm
    off = off_mm or [0.0] * len(piece.draft.units)
    at = {unit: (i + 0.5) * pitch + off[unit] for i, unit in enumerate(order) if unit is not None}
    for unit, x in at.items():
        card.lay(card.ribbon(unit, x, x, faces[unit], 0), card.x(x), MARGIN)
    y = MARGIN + card.open_mm + 1.5
    row = [at.get(unit, 0.0) for unit in range(len(piece.draft.units))]
    card.tags(row, faces, sorted(at), y)
    card.places(y + TAG + 6)
    card.says(head, y + TAG + 17)
    return card.scene(y + TAG + 30, head)


def large_names(piece: Piece) -> tuple[str, ...]:
    """What units are called where their names are read from 1.5 m."""
    return short_names(piece.draft, MOST_EM)


def large_place_mm(piece: Piece) -> float:
    """Width of a place in large print (mm): its longest name fits."""
    longest = max((width_em(name, bold=True) for name in large_names(piece)), default=1.0)
    return max(PLACE_MM, min(longest, 2 * MOST_EM) * LARGE_LETTER / NAME_SHARE)


def places_touched(piece: Piece, index: int) -> tuple[int, int]:
    """First and last place to show of a span (index from 0): what moves, and one at each side."""
    order, span = piece.order, piece.order.spans[index]
    before, after = order.place[index], order.place[index + 1]
    moved = (before != after) | (span.half_turns != 0)
    moved |= order.offset_mm[index] != order.offset_mm[index + 1]
    for units in (span.over, span.under):
        moved[units] = True
    if not moved.any():
        return 1, piece.draft.place_count
    touched = np.concatenate((before[moved], after[moved]))
    return max(1, int(touched.min()) - 1), min(piece.draft.place_count, int(touched.max()) + 1)


def _shown(
    piece: Piece, index: int, first: int, last: int
) -> tuple[list[int], list[int], list[int]]:
    """Units that lie in these places before a span, after it, or pass through them on the way."""
    before, after = piece.order.place[index : index + 2].tolist()
    units = range(len(before))
    return (
        [u for u in units if first <= before[u] <= last],
        [u for u in units if first <= after[u] <= last],
        [
            u
            for u in units
            if min(before[u], after[u]) <= last and max(before[u], after[u]) >= first
        ],
    )


def _crossings(card: Card, index: int, units: list[int], y: float) -> None:
    piece, span = card.piece, card.piece.order.spans[index]
    over, under = levels_of(span, len(piece.draft.units), back=card.view.frame.deep < 0)
    stack = stack_of(span, len(piece.draft.units), back=card.view.frame.deep < 0)
    x = piece.paths.x_mm.tolist()
    ribbons = {}
    for unit in (u for u in stack.units if u in set(units)):
        face = int(piece.order.face[index + 1, unit])
        plain = card.ribbon(
            unit, x[index + 1][unit], x[index][unit], face, int(span.half_turns[unit])
        )
        seen = {"over": over[unit], "under": under[unit]}
        ribbon = Ribbon(**{name: getattr(plain, name) for name in plain.__slots__} | seen)
        ribbons[unit] = ribbon
        card.lay(ribbon, card.x(x[index + 1][unit]), y)
    for a, b in (pair for pair in stack.mend if ribbons.keys() >= set(pair)):
        half, clip = ribbons[b].width / 2, f"c{len(card.clips)}"
        card.clips.append((clip, outline(ribbons[b], -half, half, card.x(x[index + 1][b]), y)))
        card.lay(ribbons[a], card.x(x[index + 1][a]), y, clip)


__all__ = ["SAYS", "places_touched", "span_card", "step_view"]
