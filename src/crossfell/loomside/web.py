"""What does the browser at the loom ask for, and what is it told?

A small application of its own, with addresses relative to where it is mounted: `crossfell loom`
serves it alone, the studio can mount it. It trusts whoever it is served to: the guard stands
before it.
"""

from __future__ import annotations

import json
from collections.abc import Awaitable, Callable
from dataclasses import asdict
from importlib.resources import files
from typing import Any

import anyio.to_thread
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import JSONResponse, PlainTextResponse, Response
from starlette.routing import Route

from crossfell.drawings.svg import svg
from crossfell.loomside import mending
from crossfell.loomside.guide import Guide, Now
from crossfell.loomside.leading import LedPlan
from crossfell.loomside.photo_look import head_of, looked_at, verdict_text
from crossfell.loomside.photos import keep_photo
from crossfell.loomside.picture import has_picture, picture_of
from crossfell.loomside.screen import screen_of, step_screen
from crossfell.loomside.sent import events_sent
from crossfell.record.opening import NotSaved
from crossfell.record.telling import log_table

MOST_ASKED = 12_000_000  # bytes of one request
TYPES = {
    ".html": "text/html",
    ".css": "text/css",
    ".js": "text/javascript",
    ".ttf": "font/ttf",
    ".webmanifest": "application/manifest+json",
    ".svg": "image/svg+xml",
}


def loom_app(guide: Guide) -> Starlette:
    """The application that leads through one draft."""
    asked: dict[str, Callable[[Guide, Request], Response]] = {
        "/state": lambda guide, _: JSONResponse(state_table(guide.now())),
        "/steps": lambda guide, _: JSONResponse(steps_table(guide.now().plan)),
        "/picture/{draft}/{number:int}-{side}.svg": _picture,
        "/lying.json": _lying,
        "/log.json": lambda guide, _: JSONResponse(_log(guide)),
    }
    told: dict[str, Callable[[Guide, bytes], dict[str, Any]]] = {
        "/events": _events,
        "/photo": lambda guide, body: {"path": keep_photo(guide, body)},
        "/look": _look,
        "/mistake": _mistake,
        "/keep": _keep,
        "/walk": _walk,
    }
    return Starlette(
        routes=[
            *(Route(way, _asking(guide, what)) for way, what in asked.items()),
            *(Route(way, _telling(guide, what), methods=["POST"]) for way, what in told.items()),
            Route("/letters/{name}", _letters),
            Route("/", _file),
            Route("/{name}", _file),
        ]
    )


Handler = Callable[[Request], Awaitable[Response]]


def _asking(guide: Guide, what: Callable[[Guide, Request], Response]) -> Handler:
    """Answer in a thread: the record and the plan may take their time."""

    async def answering(request: Request) -> Response:
        return await anyio.to_thread.run_sync(what, guide, request)

    return answering


def _telling(guide: Guide, what: Callable[[Guide, bytes], dict[str, Any]]) -> Handler:
    """Take a body that is not too large; what is wrong with it comes back as a sentence."""

    async def answering(request: Request) -> Response:
        body = bytearray()
        async for part in request.stream():
            body += part
            if len(body) > MOST_ASKED:
                return _sorry(413, "this is too much at once")
        return await anyio.to_thread.run_sync(_told, lambda: what(guide, bytes(body)))

    return answering


def _told(what: Callable[[], dict[str, Any]]) -> Response:
    try:
        return JSONResponse(what())
    except (ValueError, RecursionError) as problem:
        return _sorry(400, str(problem))
    except NotSaved as problem:
        return _sorry(507, str(problem))
    except OSError as problem:
        return _sorry(507, f"not saved: {problem}")


def state_table(now: Now) -> dict[str, Any]:
    """Where she is, as a screen needs it."""
    screen = screen_of(now)
    drying = now.drying
    return {
        "revision": now.revision,
        "draft": now.plan.draft,
        "at": now.progress.at,
        "last": now.progress.done[-1].key if now.progress.done else "",
        "left": screen.left,
        "stop": screen.stop,
        "doubt": now.doubt,
        "wet_ms": 0 if drying is None else round(drying.left_min * 60_000),
        "wait": screen.wait,
    }


def steps_table(plan: LedPlan) -> dict[str, Any]:
    """Every step in words, for both sides: enough to go on without the server.

    What is empty is left out; of the other side only what differs is said.
    """
    return {
        "draft": plan.draft,
        "title": plan.piece.draft.about.title,
        "steps": [_step_table(plan, i) for i in range(len(plan.steps))],
    }


def _step_table(plan: LedPlan, index: int) -> dict[str, Any]:
    own = asdict(step_screen(plan, index))
    other = asdict(step_screen(plan, index, other_side=True))
    return {
        "key": own.pop("key"),
        "drawn": has_picture(plan.steps[index]),
        "own": {name: value for name, value in own.items() if value or value is False},
        "other": {name: value for name, value in other.items() if value != own.get(name, value)},
    }


def _picture(guide: Guide, request: Request) -> Response:
    plan = guide.plan_of(request.path_params["draft"])
    index = request.path_params["number"] - 1
    side = request.path_params["side"]
    if plan is None or not 0 <= index < len(plan.steps) or side not in {"front", "back"}:
        return _sorry(404, "there is no such picture")
    row = request.query_params.get("row", "16")
    most = min(max(int(row), 4), 24) if row.isdecimal() and len(row) < 4 else 16
    sights = plan.sights[index], plan.sights[index + 1]
    scene = picture_of(plan.piece, plan.steps[index], sights, behind=side == "back", most=most)
    if scene is None:
        return _sorry(404, "this step has no picture")
    text = svg(scene, letters=False)
    return Response(text, media_type=TYPES[".svg"], headers={"Cache-Control": "max-age=604800"})


def _events(guide: Guide, body: bytes) -> dict[str, Any]:
    events, refused = events_sent(guide, json.loads(body))
    guide.tell(events)
    saved = [event.id for event in events]
    return {"saved": saved, "refused": refused, "state": state_table(guide.now())}


def _look(guide: Guide, body: bytes) -> dict[str, Any]:
    verdict = looked_at(guide, body)
    return {"says": verdict.says, "head": head_of(verdict), "text": verdict_text(verdict)}


def _lying(guide: Guide, request: Request) -> Response:
    text = request.query_params.get("span", "")
    span = int(text) if text.isdecimal() and len(text) < 6 else None
    return _told(lambda: mending.lying_table(guide, span))


def _mistake(guide: Guide, body: bytes) -> dict[str, Any]:
    return mending.answer_table(mending.answered(guide, json.loads(body)), guide.now().plan)


def _walk(guide: Guide, body: bytes) -> dict[str, Any]:
    mending.walked(guide, json.loads(body))
    return state_table(guide.now())


def _keep(guide: Guide, body: bytes) -> dict[str, Any]:
    mending.keep_it(guide, json.loads(body))
    return state_table(guide.now())


def _log(guide: Guide) -> dict[str, Any]:
    plan = guide.now().plan
    table = log_table(plan.steps, plan.piece.order.names, guide.record.events())
    return {"title": plan.piece.draft.about.title, **table}


async def _file(request: Request) -> Response:
    name = request.path_params.get("name", "") or "index.html"
    found = files("crossfell.loomside") / "static" / name
    suffix = name[name.rfind(".") :] if "." in name else ""
    if "/" in name or suffix not in TYPES or not found.is_file():
        return _sorry(404, "there is no such page")
    return Response(found.read_bytes(), media_type=TYPES[suffix])


async def _letters(request: Request) -> Response:
    name = request.path_params["name"]
    if name not in {"Regular.ttf", "Bold.ttf"}:
        return _sorry(404, "there are no such letters")
    found = files("crossfell.drawings") / "fonts" / f"AtkinsonHyperlegibleNext-{name}"
    headers = {"Cache-Control": "max-age=604800"}
    return Response(found.read_bytes(), media_type=TYPES[".ttf"], headers=headers)


def _sorry(code: int, says: str) -> Response:
    return PlainTextResponse(says, code)
