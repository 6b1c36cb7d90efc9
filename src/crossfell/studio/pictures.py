"""How do pictures, letters and made files reach the browser?

A picture is asked for by its address; with the digest that names it, it may be kept for ever.
Answers carry an ETag. (The large picture of the piece is painted by the browser: see `sheets`.)
"""

from __future__ import annotations

import mimetypes
from collections.abc import Callable
from importlib.resources import files
from pathlib import Path

from starlette.requests import Request
from starlette.responses import FileResponse, PlainTextResponse, Response

from crossfell.drawings.front import picture
from crossfell.drawings.svg import svg
from crossfell.drawings.views import SAYS
from crossfell.studio.desk import Desk, OpenDraft
from crossfell.studio.folder import Refused
from crossfell.studio.guard import PICTURE_POLICY
from crossfell.studio.shelf import digest_of

Drawn = Callable[[], str]
SVG = "image/svg+xml"
FOR_EVER = "private, max-age=31536000, immutable"
FONTS = ("AtkinsonHyperlegibleNext-Regular.ttf", "AtkinsonHyperlegibleNext-Bold.ttf")


def whole_answer(desk: Desk, request: Request) -> Response:
    """A whole picture with its letters; `small` for the list of pieces: no letters, no ends."""
    draft, view, style = _asked(desk, request)
    small = request.query_params.get("small") == "1"
    revision = request.query_params.get("revision", "")
    if revision and not (revision.isascii() and revision.isdecimal() and len(revision) < 12):
        return PlainTextResponse("There is no such state.", 404)
    piece = draft.piece_at(int(revision)) if revision else draft.piece
    if not piece.computable:
        return PlainTextResponse("The draft has errors; it has no picture.", 404)
    key = f"{view}-{style}-{int(small)}-{revision or digest_of(draft)}"
    return svg_answer(request, key, bool(request.query_params.get("v")), lambda: svg(
        picture(piece, view, style=style, labels=not small), fine=not small, letters=not small
    ))  # fmt: skip


def model_answer(desk: Desk, request: Request) -> Response:
    """The piece in space, as glTF: as drawn, or as it comes to rest."""
    from crossfell.model3d.model import glb

    draft = desk.open(request.query_params.get("piece", ""))
    hung = request.query_params.get("shape") == "hung"
    if not draft.piece.computable:
        return PlainTextResponse("The draft has errors; it has no model.", 404)
    tag = f'"model-{int(hung)}-{digest_of(draft)}"'
    headers = {"ETag": tag, "Cache-Control": "no-cache"}
    if request.headers.get("if-none-match") == tag:
        return Response(status_code=304, headers=headers)
    made = glb(draft.piece, hung=hung)
    return Response(made, media_type="model/gltf-binary", headers=headers)


def font_answer(name: str) -> Response:
    """The letters that drawings use too."""
    if name not in FONTS:
        return PlainTextResponse("There are no such letters.", 404)
    data = (files("crossfell.drawings") / "fonts" / name).read_bytes()
    return Response(data, media_type="font/ttf", headers={"Cache-Control": FOR_EVER})


def made_answer(desk: Desk, request: Request) -> Response:
    """A file that was made from a draft."""
    draft = desk.open(request.query_params.get("piece", ""))
    folder = draft.path.with_suffix(".made")
    there = {p.relative_to(folder).as_posix(): p for p in folder.rglob("*") if p.is_file()}
    path = there.get(request.query_params.get("file", ""))
    if path is None or not path.resolve().is_relative_to(desk.folder.root):
        return PlainTextResponse("There is no such file.", 404)
    kind = mimetypes.guess_type(path.name)[0] or "application/octet-stream"
    shown = kind in {"application/pdf", "image/png", SVG}
    return FileResponse(
        path,
        media_type=kind,
        filename=path.name,
        content_disposition_type="inline" if shown else "attachment",
        headers={"Content-Security-Policy": PICTURE_POLICY if kind == SVG else "default-src 'none'",
                 "Cache-Control": "no-cache"},
    )  # fmt: skip


def static_folder() -> Path:
    """Where the built client lies."""
    return Path(str(files("crossfell.studio") / "static"))


def _asked(desk: Desk, request: Request) -> tuple[OpenDraft, str, str]:
    draft = desk.open(request.query_params.get("piece", ""))
    view, style = request.path_params["view"], request.query_params.get("style", "full")
    if view not in SAYS or style not in {"full", "line"}:
        raise Refused("there is no such view")
    if not draft.piece.computable and "revision" not in request.query_params:
        raise Refused("the draft has errors; it has no picture")
    return draft, view, style


def svg_answer(request: Request, key: str, keep: bool, drawn: Drawn) -> Response:
    """A picture by its key, drawn only if the browser has it not; `keep` it for ever."""
    tag = f'"{key}"'
    headers = {
        "ETag": tag,
        "Cache-Control": FOR_EVER if keep else "no-cache",
        "Content-Security-Policy": PICTURE_POLICY,
    }
    if request.headers.get("if-none-match") == tag:
        return Response(status_code=304, headers=headers)
    return Response(drawn(), media_type=SVG, headers=headers)
