"""How is a made paper looked at page by page, before it is printed?

The PDF itself that lies beside the draft is drawn, so that what is seen is what is printed.
"""

from __future__ import annotations

import math
import threading
from pathlib import Path
from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from crossfell.model3d.picture import png_of
from crossfell.studio.asked import Asked, word
from crossfell.studio.desk import Desk, OpenDraft
from crossfell.studio.folder import Refused
from crossfell.studio.pictures import FOR_EVER

POINTS_PER_MM = 72 / 25.4
WIDTHS = (700, 1400, 2400)  # px; a page is drawn in one of these
MOST_PIXELS = 12_000_000  # a cartoon in one long page is drawn smaller
_ONE_AT_A_TIME = threading.Lock()  # the library that draws pages knows no threads


def pages_told(desk: Desk, asked: Asked) -> dict[str, Any]:
    """How many pages a made paper has, and how large each is (mm). Errors: Refused."""
    path = made_file(desk, desk.open(word(asked, "piece")), word(asked, "file"))
    with _ONE_AT_A_TIME:
        document = _document(path)
        try:
            sizes = [document.get_page_size(number) for number in range(len(document))]
        finally:
            document.close()
    return {
        "key": _key(path),
        "sizes": [[round(side / POINTS_PER_MM, 1) for side in size] for size in sizes],
        "widths": list(WIDTHS),
    }


def page_answer(desk: Desk, request: Request) -> Response:
    """One page as a PNG, so many pixels wide. Errors: Refused."""
    asked = request.query_params
    path = made_file(desk, desk.open(asked.get("piece", "")), asked.get("file", ""))
    number, wide = int(request.path_params["number"]), asked.get("wide", str(WIDTHS[0]))
    if wide not in map(str, WIDTHS):
        raise Refused("a page is not drawn in that width")
    key = _key(path)
    tag = f'"page-{number}-{wide}-{key}"'
    headers = {"ETag": tag, "Cache-Control": FOR_EVER if asked.get("v") == key else "no-cache"}
    if request.headers.get("if-none-match") == tag:
        return Response(status_code=304, headers=headers)
    return Response(_drawn(path, number, int(wide)), media_type="image/png", headers=headers)


def made_file(desk: Desk, draft: OpenDraft, name: str) -> Path:
    """A PDF in the folder of made files; it is looked up, no way is built from the name."""
    folder = draft.path.with_suffix(".made")
    there = {p.relative_to(folder).as_posix(): p for p in folder.rglob("*.pdf") if p.is_file()}
    path = there.get(name)
    if path is None or not path.resolve().is_relative_to(desk.folder.root):
        raise Refused(f"there is no made paper {name[:80]}")
    return path


def _key(path: Path) -> str:
    seen = path.stat()
    return f"{seen.st_mtime_ns:x}-{seen.st_size:x}-{seen.st_ino:x}"


def _document(path: Path) -> Any:
    import pypdfium2

    try:
        return pypdfium2.PdfDocument(path)
    except pypdfium2.PdfiumError:
        raise Refused(f"{path.name} cannot be read; make it again") from None


def _drawn(path: Path, number: int, wide: int) -> bytes:
    with _ONE_AT_A_TIME:
        document = _document(path)
        try:
            if not 0 <= number < len(document):
                raise Refused("there is no such page")
            page = document[number]
            width, height = page.get_size()
            scale = min(wide / width, math.sqrt(MOST_PIXELS / (width * height)))
            pixels = page.render(scale=scale, rev_byteorder=True).to_numpy().copy()
        finally:
            document.close()
    return png_of(pixels[:, :, :3])
