"""How does a sheet become a PDF, the same bytes each time, with its letters embedded?"""

from __future__ import annotations

import dataclasses
import hashlib
import json
from importlib.resources import as_file, files
from typing import TYPE_CHECKING, Any

from crossfell.drawings.margins import fitted
from crossfell.papers.letters import all_printable, printable

if TYPE_CHECKING:
    from collections.abc import Sequence

    from crossfell.draft.model import Draft
    from crossfell.papers.model import Sheet

HEAD_MM, HEAD_ROOM_MM = 3.0, 95.0  # size of the line at the head of a page, and its room
PAPERS = {"A4": "a4", "Letter": "us-letter"}


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
    data = {
        "title": draft.about.title,
        "short": short_title(draft),
        "version": version_of(draft),
        "paper": PAPERS[draft.about.paper],
        "foot": f"lengths in {'inches' if draft.measure == 'in' else draft.measure}",
        "sheets": [dataclasses.asdict(sheet) for sheet in sheets],
    }
    return compiled("sheets.typ", data)


def compiled(template: str, data: dict[str, Any], *, tags: bool = True, **extra: bytes) -> bytes:
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
        source = (files("crossfell.papers") / template).read_text(encoding="utf-8")
        (root / template).write_text(source, encoding="utf-8")
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
