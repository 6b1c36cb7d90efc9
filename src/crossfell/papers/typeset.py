"""How does a sheet become a PDF, the same bytes each time, with its letters embedded?"""

from __future__ import annotations

import dataclasses
import hashlib
import json
from importlib.resources import as_file, files
from typing import TYPE_CHECKING

from crossfell.drawings.album import Album
from crossfell.drawings.margins import fitted
from crossfell.papers.art import Data, drawn, shown
from crossfell.papers.letters import all_printable, printable
from crossfell.papers.model import Picture, Still

if TYPE_CHECKING:
    from collections.abc import Sequence

    from crossfell.draft.model import Draft
    from crossfell.papers.model import Block, Sheet

HEAD_MM, HEAD_ROOM_MM = 3.0, 95.0  # size of the line at the head of a page, and its room
PAPERS = {"A4": "a4", "Letter": "us-letter"}
SIZES = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}  # mm; ISO 216, ANSI/ASME Y14.1


def version_of(draft: Draft) -> str:
    """Short hash of the draft's text: it names the version on every page."""
    return hashlib.sha256(draft.text.encode()).hexdigest()[:8]


def short_title(draft: Draft) -> str:
    """The title in one line at the head of a page, cut where it is too long for it."""
    return fitted(printable(draft.about.title), HEAD_MM, HEAD_ROOM_MM)


def typeset(sheets: Sequence[Sheet], draft: Draft) -> bytes:
    """Set sheets as one PDF on the draft's paper.

    Same draft, same bytes: no date, no system fonts.
    """
    album = Album()
    return bound(draft, [chapter("", sheets, album)], album)


def chapter(title: str, sheets: Sequence[Sheet], album: Album) -> Data:
    """Sheets as a part of a document; their pictures go into the album."""
    set_ = [
        {
            "title": sheet.title,
            "called": sheet.called or sheet.title,
            "view": sheet.view,
            "blocks": [_block(block, album) for block in sheet.blocks],
        }
        for sheet in sheets
    ]
    return {"kind": "sheets", "title": title, "sheets": set_}


def _block(block: Block, album: Album) -> Data:
    if isinstance(block, Picture):
        art = drawn(album, block.scene, fine=block.fine)
    elif isinstance(block, Still):
        art = shown(album, block.pixels, block.px_per_mm, block.says)
    else:
        return dataclasses.asdict(block)
    return {
        "kind": block.kind,
        "art": art,
        "caption": block.caption,
        "share": block.share,
        "tallest_mm": block.tallest_mm,
    }


def bound(
    draft: Draft,
    chapters: Sequence[Data],
    album: Album,
    *,
    tags: bool = True,
    contents: bool = False,
) -> bytes:
    """Chapters as one PDF with one run of pages; with `contents`, what is in it comes first."""
    measure = "inches" if draft.measure == "in" else draft.measure
    data = {
        "title": draft.about.title,
        "short": short_title(draft),
        "version": version_of(draft),
        "paper": PAPERS[draft.about.paper],
        "foot": f"lengths in {measure}",
        "about": " · ".join(
            part for part in (draft.about.maker, draft.about.number, draft.about.client) if part
        ),
        "contents": contents,
        "chapters": list(chapters),
    }
    return compiled("book.typ", data, tags=tags, art=album.written())


def compiled(template: str, data: Data, *, tags: bool = True, **extra: bytes) -> bytes:
    """Compile a template of this folder with `data` as JSON in sys.inputs; `extra` are files.

    Letters that no shipped font has are said by name (see letters.py).
    Without `tags` the PDF has no structure for screen readers, and is made in a third of the time.

    Returns the PDF. Errors: a typst error is our own fault and is raised.
    """
    import tempfile
    from pathlib import Path

    import typst

    with (
        as_file(files("crossfell.drawings") / "fonts") as fonts,
        tempfile.TemporaryDirectory() as t,
    ):
        root = Path(t)
        for part in files("crossfell.papers").iterdir():
            if part.name.endswith(".typ"):
                (root / part.name).write_text(part.read_text(encoding="utf-8"), encoding="utf-8")
        for name, content in extra.items():
            (root / f"{name}.pdf").write_bytes(content)
        pdf: bytes = typst.compile(
            str(root / template),
            root=str(root),
            format="pdf",
            font_paths=[str(fonts)],
            ignore_system_fonts=True,
            pdf_tags=tags,
            sys_inputs={"data": json.dumps(all_printable(data), ensure_ascii=False)},
        )
    return pdf
