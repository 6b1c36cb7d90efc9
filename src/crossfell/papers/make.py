"""What does `crossfell make` put into the folder beside the draft?"""

from __future__ import annotations

import os
import tempfile
from collections.abc import Callable, Sequence
from pathlib import Path

from crossfell.papers.done import from_record
from crossfell.papers.kept import LIST, FolderList, origin_of
from crossfell.papers.lists import lists_of
from crossfell.papers.model import Sheet
from crossfell.piece import Piece

Made = list[tuple[Path, str]]
Said = Callable[[str, str], None]  # part, and what of it is being made


def make_all(
    piece: Piece, folder: Path, wanted: Sequence[str], said: Said = lambda _, __: None
) -> Made:
    """Make the wanted parts; returns what lies there, what to look at first before the rest.

    A part whose files are still those of this draft is left as it is. Every file is written whole
    or not at all. Errors: OSError when the folder cannot be written.
    """
    folder.mkdir(parents=True, exist_ok=True)
    kept = FolderList.of(folder, origin_of(piece.draft), from_record(piece.draft))
    there: Made = []
    for part, parts_of in PARTS.items():
        if part not in wanted:
            continue
        still = kept.still(part)
        if still is None:
            still = _make(part, parts_of(piece), kept, said)
            write_whole(folder / LIST, kept.text())
        there += still
    return there


def _make(part: str, files: Part, kept: FolderList, said: Said) -> Made:
    made: dict[str, tuple[str, bytes]] = {}
    for number, (name, says, content) in enumerate(files, 1):
        said(part, f"{name} ({number} of {len(files)})")
        path = kept.folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        written = content() if callable(content) else content
        write_whole(path, written)
        made[name] = (says, written)
    kept.remember(part, made)
    return [(kept.folder / name, says) for name, (says, _) in made.items()]


Part = list[tuple[str, str, "bytes | Callable[[], bytes]"]]


def write_whole(path: Path, content: bytes) -> None:
    """Write a file so that it is there whole or as it was before, even when power fails."""
    path = Path(os.path.realpath(path))
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
    try:
        with os.fdopen(handle, "wb") as out:
            mode = path.stat().st_mode & 0o777 if path.exists() else 0o666 & ~_umask()
            os.fchmod(out.fileno(), mode)
            out.write(content)
            out.flush()
            os.fsync(out.fileno())
        Path(name).replace(path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask


def _pictures(piece: Piece) -> Part:
    from crossfell.drawings.front import behind, front_view, loom_view
    from crossfell.drawings.hung import hung_view
    from crossfell.drawings.png import png
    from crossfell.drawings.svg import svg

    front = front_view(piece)
    return [
        (
            "front.png",
            "the piece as it hangs, seen from the front",
            lambda: png(front, width_px=2000),
        ),
        ("front.svg", "the same, to be scaled", lambda: svg(front).encode()),
        (
            "front-line.svg",
            "the same in black and white",
            lambda: svg(front_view(piece, style="line")).encode(),
        ),
        ("behind.svg", "as it hangs, seen from behind", lambda: svg(behind(piece)).encode()),
        ("loom.svg", "on the loom, from the weaver's seat", lambda: svg(loom_view(piece)).encode()),
        (
            "hung.svg",
            "drawn against hung: what drifts, what hangs slack",
            lambda: svg(hung_view(piece)).encode(),
        ),
        *_shadow(piece),
    ]


def _shadow(piece: Piece) -> Part:
    from crossfell.drawings.shadow import lamp_of, shadow_view
    from crossfell.drawings.svg import svg

    lamp = lamp_of(piece)
    if lamp is None or lamp.from_wall_mm <= piece.draft.hang.off_wall_mm:
        return []
    says = "its shadow on the wall, for the lamp of the draft"
    return [("shadow.svg", says, lambda: svg(shadow_view(piece, lamp)).encode())]


def _papers(piece: Piece) -> Part:
    from crossfell.papers.sheets import first_papers

    says = "overview, winding list, shopping and cutting, step by step"
    return _book(piece, "papers", says, first_papers(piece))


def _client(piece: Piece) -> Part:
    from crossfell.papers.handover import for_the_client

    return _book(piece, "client", "one page for the client", for_the_client(piece))


def _handover(piece: Piece) -> Part:
    from crossfell.papers.handover import handover

    says = "how it hangs, installation, packing, record, condition, care"
    return _book(piece, "handover", says, handover(piece))


def _quote(piece: Piece) -> Part:
    from crossfell.papers.handover import for_the_maker, money_sheets

    hers = "your own calculation, not for the client"
    return [
        *_book(piece, "quote", "quotation and invoice, for the client", money_sheets(piece)),
        *_book(piece, "calculation", hers, for_the_maker(piece)),
    ]


def _booklet(piece: Piece) -> Part:
    from crossfell.papers.booklet import booklet_pdf

    says = "everything on paper in one run of pages, with a list of contents"
    return [("booklet.pdf", says, lambda: booklet_pdf(piece))]


def _book(piece: Piece, name: str, says: str, sheets: Sequence[Sheet]) -> Part:
    """Sheets as one PDF, and their lists as CSV."""
    from crossfell.papers.typeset import typeset

    lists: Part = [
        (f"lists/{list_}.csv", f"the list {list_}", content) for list_, content in lists_of(sheets)
    ]
    return [(f"{name}.pdf", says, lambda: typeset(sheets, piece.draft)), *lists]


def _cartoon(piece: Piece) -> Part:
    from crossfell.papers.cartoon import cartoon_pdf

    return [("cartoon.pdf", "the cartoon at true size, in sheets", lambda: cartoon_pdf(piece))]


def _cards(piece: Piece) -> Part:
    from crossfell.papers.loom_cards import cards_pdf

    says = "a card for each span, front and back of the loom"
    return [("cards.pdf", says, lambda: cards_pdf(piece))]


def _large_cards(piece: Piece) -> Part:
    from crossfell.papers.loom_cards import cards_pdf

    says = "the cards in letters for a metre and a half"
    return [("cards-large.pdf", says, lambda: cards_pdf(piece, large=True))]


def _labels(piece: Piece) -> Part:
    from crossfell.papers.labels import labels_csv, labels_pdf

    says = "labels for units, bobbins, weights, bands and rods, two sides each"
    return [
        ("labels.pdf", says, lambda: labels_pdf(piece)),
        ("lists/labels.csv", "the list labels", lambda: labels_csv(piece)),
    ]


def _model(piece: Piece) -> Part:
    from crossfell.model3d.model import glb
    from crossfell.model3d.still import still_png

    return [
        ("model.glb", "the piece in space, as drawn, true size (glTF 2.0)", lambda: glb(piece)),
        ("model-hung.glb", "the same as it comes to rest", lambda: glb(piece, hung=True)),
        ("still.png", "on its wall, with its shadow", lambda: still_png(piece)),
    ]


def _facts(piece: Piece) -> Part:
    from crossfell.facts.build import facts_of, written

    return [("facts.json", "every number, for other programs", written(facts_of(piece)).encode())]


PARTS: dict[str, Callable[[Piece], Part]] = {
    "pictures": _pictures,  # what needs large arrays comes before what fills the typesetter
    "model": _model,
    "client": _client,
    "papers": _papers,
    "cards": _cards,
    "labels": _labels,
    "cartoon": _cartoon,
    "handover": _handover,
    "quote": _quote,
    "facts": _facts,
    "booklet": _booklet,
    "cards-large": _large_cards,
}
ON_DEMAND = ("booklet", "cards-large")  # made only when asked for by name
USUAL = tuple(part for part in PARTS if part not in ON_DEMAND)
