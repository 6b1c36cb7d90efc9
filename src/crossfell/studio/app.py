"""How do the parts of the studio come together as one server application?"""

from __future__ import annotations

import asyncio
import contextlib
import json
import logging
from collections.abc import AsyncIterator, Callable
from pathlib import Path

import anyio.to_thread
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import JSONResponse, PlainTextResponse, Response
from starlette.routing import Mount, Route, WebSocketRoute
from starlette.staticfiles import StaticFiles
from starlette.types import ASGIApp

from crossfell.draft.edit import NotEditable
from crossfell.loomside.looms import Looms
from crossfell.studio import hanging, paging, pictures
from crossfell.studio.answers import Call, Disagreed
from crossfell.studio.aside import Aside
from crossfell.studio.calls import calls_on
from crossfell.studio.desk import Desk
from crossfell.studio.events import Hub
from crossfell.studio.folder import Folder, Refused
from crossfell.studio.guard import ByAddress, Door, Guard
from crossfell.studio.journal import Journal

MOST_ASKED = 9_000_000  # bytes of one request


def studio(root: Path, door: Door, secret: str) -> ASGIApp:
    """The studio of a folder behind its door, for who has the secret. Errors: as `bare_studio`."""
    return Guard(bare_studio(root), door, ByAddress(secret))


def bare_studio(root: Path) -> ASGIApp:
    """The studio of a folder, without a door: never to be served as it is.

    Errors: OSError when the folder cannot be written.
    """
    folder = Folder(root)
    desk, hub = Desk(folder, Journal(folder.root)), Hub()
    aside = Aside()
    calls = calls_on(desk, hub, aside)
    looms = Looms(folder.path_of)

    @contextlib.asynccontextmanager
    async def lifespan(app: Starlette) -> AsyncIterator[None]:
        del app
        watching = asyncio.create_task(hub.watch(desk))
        yield
        watching.cancel()
        with contextlib.suppress(asyncio.CancelledError):
            await watching
        looms.close()
        aside.close()
        desk.journal.close()

    async def call(request: Request) -> Response:
        return await _call(calls, request)

    async def front_page(request: Request) -> Response:
        del request
        page = (pictures.static_folder() / "index.html").read_text(encoding="utf-8")
        return Response(page, media_type="text/html", headers={"Cache-Control": "no-store"})

    async def font(request: Request) -> Response:
        return pictures.font_answer(request.path_params["name"])

    routes = [
        Route("/", front_page),
        Route("/api/{name}", call, methods=["POST"]),
        Route("/whole/{view}.svg", _drawn(desk, pictures.whole_answer)),
        Route("/hung/{shape}.svg", _drawn(desk, hanging.hung_answer)),
        Route("/model.glb", _drawn(desk, pictures.model_answer)),
        Route("/page/{number:int}.png", _drawn(desk, paging.page_answer)),
        Route("/made", _drawn(desk, pictures.made_answer)),
        Route("/fonts/{name}", font),
        Mount("/loom", looms),
        WebSocketRoute("/events", hub.listen),
        Mount("/static", StaticFiles(directory=pictures.static_folder(), check_dir=False)),
    ]
    return Starlette(routes=routes, lifespan=lifespan)


def _drawn(desk: Desk, answer: Callable[[Desk, Request], Response]) -> Callable[[Request], object]:
    async def drawing(request: Request) -> Response:
        try:
            return await anyio.to_thread.run_sync(answer, desk, request)
        except Refused as problem:
            return PlainTextResponse(str(problem), 404)

    return drawing


async def _call(calls: dict[str, Call], request: Request) -> Response:
    made = calls.get(request.path_params["name"])
    if made is None:
        return _trouble("there is no such call", 404)
    if request.headers.get("content-type", "").split(";")[0] != "application/json":
        return _trouble("a call is made in JSON", 415)
    body = b""
    async for part in request.stream():
        body += part
        if len(body) > MOST_ASKED:
            return _trouble("that is too much at once", 413)
    try:
        asked = json.loads(body or b"{}")
        # no endless numbers, no halves of letters: no file and no answer can hold them
        json.dumps(asked, ensure_ascii=False, allow_nan=False).encode()
    except (ValueError, RecursionError):
        return _trouble("a call is made in JSON", 400)
    if not isinstance(asked, dict):
        return _trouble("a call is a table", 400)
    try:
        return JSONResponse(await anyio.to_thread.run_sync(made, asked))
    except (Refused, NotEditable) as problem:
        return _trouble(str(problem), 400)
    except Disagreed as problem:
        return JSONResponse(problem.told, 409)
    except OSError as problem:
        return _trouble(f"a file could not be written: {problem.strerror or problem}", 500)
    except Exception as fault:  # a fault of our own must not look like a lost connection
        logging.getLogger("crossfell.studio").exception("call %s", request.url.path)
        return _trouble(f"our own fault: {type(fault).__name__}; the draft is as it was", 500)


def _trouble(says: str, status: int) -> Response:
    return JSONResponse({"error": says}, status)
