"""How does a studio of many drafts lead through each of them?

Mounted at some address, it answers below `NAME/`, where the slashes of a draft's name are written
`~`. A draft is opened when it is first asked for, and stays open.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from pathlib import Path

import anyio.to_thread
from starlette.applications import Starlette
from starlette.responses import PlainTextResponse, RedirectResponse, Response
from starlette.types import Receive, Scope, Send

from crossfell.loomside.guide import Guide
from crossfell.loomside.leading import CannotLead
from crossfell.loomside.web import loom_app
from crossfell.record.opening import NotSaved, RecordRefused

SLASH = "~"


class Looms:
    """ASGI application; `path_of` gives the file of a draft's name. Errors of it: ValueError."""

    def __init__(self, path_of: Callable[[str], Path]) -> None:
        self.path_of = path_of
        self._open: dict[Path, tuple[Guide, Starlette]] = {}
        self._lock = threading.Lock()

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Hand a request on to the screen of its draft."""
        if scope["type"] != "http":
            return
        root = scope.get("root_path", "")
        name, slash, _ = scope["path"].removeprefix(root).lstrip("/").partition("/")
        found = await anyio.to_thread.run_sync(self._app_of, name)
        if isinstance(found, Response):
            await found(scope, receive, send)
        elif not slash:
            await RedirectResponse(f"{root}/{name}/", 307)(scope, receive, send)
        else:
            await found({**scope, "root_path": f"{root}/{name}"}, receive, send)

    def close(self) -> None:
        """Close every record."""
        with self._lock:
            for guide, _ in self._open.values():
                guide.close()
            self._open.clear()

    def _app_of(self, name: str) -> Starlette | Response:
        try:
            path = self.path_of(name.replace(SLASH, "/"))
            with self._lock:
                if path not in self._open:
                    guide = Guide(path)
                    self._open[path] = (guide, loom_app(guide))
                return self._open[path][1]
        except ValueError as problem:
            return PlainTextResponse(str(problem), 404)
        except (CannotLead, RecordRefused) as problem:
            return PlainTextResponse(str(problem), 409)
        except (NotSaved, OSError) as problem:
            return PlainTextResponse(f"it cannot be opened: {problem}", 507)
