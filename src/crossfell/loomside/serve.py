"""How is the screen at the loom served on this machine, to nobody else?"""

from __future__ import annotations

import contextlib
import threading
import webbrowser
from collections.abc import Callable
from pathlib import Path

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from crossfell.loomside.guide import Guide
from crossfell.loomside.listening import HOST, listening_on
from crossfell.loomside.web import loom_app

HEADERS = {
    "Content-Security-Policy": (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; "
        "font-src 'self'; connect-src 'self'; worker-src 'self'; manifest-src 'self'; "
        "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
    ),
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cache-Control": "no-cache",
}


class OnlyHere:
    """Middleware: a request names us as its host, and one that tells us something is from our page.

    Source: W3C, Fetch (Origin header) and Content Security Policy Level 3.
    """

    def __init__(self, app: ASGIApp, port: int) -> None:
        self.app = app
        self.hosts = frozenset(f"{name}:{port}" for name in (HOST, "localhost", "[::1]"))

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let it in, or turn it away."""

        async def sending(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in HEADERS.items():
                    headers.setdefault(name, value)
            await send(message)

        if scope["type"] != "http":
            await self.app(scope, receive, send)
        elif self._is_stranger(scope):
            refusal = PlainTextResponse("This was asked by another page.", 403)
            await refusal(scope, receive, sending)
        else:
            await self.app(scope, receive, sending)

    def _is_stranger(self, scope: Scope) -> bool:
        headers = Headers(scope=scope)
        if headers.get("host", "").lower() not in self.hosts:
            return True
        origin = headers.get("origin")
        if origin is None:
            return str(scope["method"]) not in {"GET", "HEAD"}
        return origin.lower() not in {f"http://{host}" for host in self.hosts}


def lead(file: Path, *, port: int, says: Callable[[str], None], open_browser: bool = True) -> None:
    """Serve the screen for one draft until it is stopped. Errors: as those of `Guide`, OSError."""
    import uvicorn

    guide = Guide(file)
    try:
        listening = listening_on(HOST, port)
        number = int(listening.getsockname()[1])
        address = f"http://{HOST}:{number}/"
        says(f"{guide.now().plan.piece.draft.about.title}: the screen is open at {address}")
        says("Only this machine can reach it. Ctrl+C closes it; every tick is kept.")
        app = OnlyHere(loom_app(guide), number)
        config = uvicorn.Config(
            app, log_level="warning", lifespan="off", server_header=False,
            timeout_graceful_shutdown=1,
        )  # fmt: skip
        if open_browser:
            threading.Timer(0.4, webbrowser.open, (address,)).start()
        with contextlib.suppress(KeyboardInterrupt):  # how she closes it
            uvicorn.Server(config).run(sockets=[listening])
    finally:
        guide.close()
