"""What is a paper made of?

A sheet is a title, whose view it shows, and blocks. The same blocks are typeset to PDF
(`typeset.py`) and, where they are tables, written as CSV. Text from the draft is data, never
markup.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from crossfell.drawings.album import Pixels
    from crossfell.drawings.scene import Scene


@dataclass(frozen=True, kw_only=True)
class Paragraph:
    """A paragraph; `strong` sets it bold, `large` for reading from a distance."""

    text: str
    strong: bool = False
    large: bool = False
    kind: str = "words"


@dataclass(frozen=True, kw_only=True)
class Heading:
    """A heading within a sheet."""

    text: str
    kind: str = "heading"


@dataclass(frozen=True, kw_only=True)
class Caution:
    """What can hurt, and who decides."""

    text: str
    kind: str = "caution"


@dataclass(frozen=True, kw_only=True)
class Pairs:
    """Labels and values, in two columns."""

    rows: tuple[tuple[str, str], ...]
    kind: str = "pairs"


@dataclass(frozen=True, kw_only=True)
class Table:
    """A list that can also be had as CSV under `name`.

    `align` has one letter a column: l, r or c. `tick` puts a box to tick before each row.
    `widths` are shares of the page's width, 0 for as wide as needed. Of kind "steps", its columns
    are number, where to stand, what to do, and a short word; long lists are set faster so.
    """

    name: str
    columns: tuple[str, ...]
    align: str
    rows: tuple[tuple[str, ...], ...]
    tick: bool = False
    widths: tuple[float, ...] = ()
    strong: tuple[int, ...] = ()  # rows that sum up
    kind: str = "table"


@dataclass(frozen=True, kw_only=True)
class Bars:
    """A cut plan: each bar with its pieces and what is left, drawn to scale.

    A bar is how many times it is cut so, its length, its pieces with what is written on them, and
    what is left. `length_mm` is that of the longest.
    """

    length_mm: float
    bars: tuple[tuple[int, float, tuple[tuple[float, str], ...], str], ...]
    kind: str = "bars"


@dataclass(frozen=True, kw_only=True, eq=False)
class Picture:
    """A drawing, as wide as `share` of the page or less, with a line under it.

    `fine` draws every end; without it ribbons have the colour that their ends mix to.
    """

    scene: Scene
    caption: str = ""
    share: float = 1.0
    tallest_mm: float = 190.0
    fine: bool = True
    kind: str = "picture"


@dataclass(frozen=True, kw_only=True, eq=False)
class Still:
    """A picture of pixels [pixels, pixels, 3] of a size, and what it says to who cannot see it."""

    pixels: Pixels
    px_per_mm: float
    says: str
    tallest_mm: float = 190.0
    caption: str = ""
    share: float = 1.0
    kind: str = "picture"


@dataclass(frozen=True, kw_only=True)
class Blanks:
    """Labels, each with a line to write on; `columns` of them side by side."""

    labels: tuple[str, ...]
    columns: int = 2
    kind: str = "blanks"


@dataclass(frozen=True, kw_only=True)
class Frames:
    """Empty frames for photographs, with what belongs into each."""

    captions: tuple[str, ...]
    columns: int = 2
    height_mm: float = 60.0
    kind: str = "frames"


@dataclass(frozen=True, kw_only=True)
class Break:
    """A new page."""

    kind: str = "break"


Block = (
    Paragraph | Heading | Caution | Pairs | Table | Bars | Picture | Still | Blanks | Frames | Break
)


@dataclass(frozen=True, kw_only=True)
class Sheet:
    """One paper: it starts on a page of its own."""

    name: str
    title: str
    blocks: tuple[Block, ...]
    view: str = ""  # whose view its pictures show
    called: str = ""  # in a list of contents, where its title does not tell
