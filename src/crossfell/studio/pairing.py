"""How does a tablet on the same network come in: with a code that is typed once?

The code stands on the screen of the machine that serves. Typed once, it is used up, and the tablet
holds a secret of its own until the studio is closed. After a few wrong codes there is a new one,
and a wait; so nobody tries them all. Source: common practice; odds of a guess: tries / 10^digits.
"""

from __future__ import annotations

import secrets
import time
from collections.abc import Callable
from html import escape
from urllib.parse import parse_qs

from starlette.requests import Request
from starlette.responses import HTMLResponse, PlainTextResponse
from starlette.types import Receive, Scope, Send

from crossfell.studio.guard import Door, same, welcome
from crossfell.studio.pictures import FONTS, font_answer, static_folder

DIGITS = 8
MOST_WRONG = 5
WAIT_S = 30.0
MOST_BODY = 200
POLICY = (
    "default-src 'none'; style-src 'self'; font-src 'self'; form-action 'self'; base-uri 'none'; "
    "frame-ancestors 'none'"
)


class Pairing:
    """Codes and the secrets given for them; `said` shows a code to who sits at this machine."""

    def __init__(
        self, said: Callable[[str], None], *, clock: Callable[[], float] = time.monotonic
    ) -> None:
        self._said, self._clock = said, clock
        self._given: list[str] = []
        self._code, self._wrong, self._not_before = "", 0, 0.0
        self._renew()

    def knows(self, secret: str) -> bool:
        """Whether this secret was given to a paired tablet."""
        return any(same(secret, given) for given in self._given)

    def tried(self, code: str) -> str | None:
        """A secret for the right code; it cannot be used again. None for a wrong one."""
        if self._clock() < self._not_before:
            return None
        plain = "".join(letter for letter in code if letter.isdecimal() and letter.isascii())
        if not same(plain, self._code):
            self._wrong += 1
            if self._wrong >= MOST_WRONG:
                self._not_before = self._clock() + WAIT_S
                self._renew()
            return None
        secret = secrets.token_urlsafe(24)
        self._given.append(secret)
        self._renew()
        return secret

    async def answer(self, scope: Scope, receive: Receive, send: Send, door: Door) -> None:
        """Ask a stranger for the code."""
        path = scope["path"]
        if path == "/static/index.css":
            style = (static_folder() / "index.css").read_text(encoding="utf-8")
            await PlainTextResponse(style, media_type="text/css")(scope, receive, send)
        elif path.removeprefix("/fonts/") in FONTS:
            await font_answer(path.removeprefix("/fonts/"))(scope, receive, send)
        elif path == "/pair" and scope["method"] == "POST":
            secret = self.tried(await _code_of(Request(scope, receive)))
            if secret:
                await welcome(door, secret)(scope, receive, send)
            else:
                await _page(
                    "That was not the code. Look at the other screen: it may be a new one."
                )(scope, receive, send)
        elif path == "/":
            await _page("")(scope, receive, send)
        else:
            await PlainTextResponse("This tablet is not paired.", 403)(scope, receive, send)

    def _renew(self) -> None:
        self._code = f"{secrets.randbelow(10**DIGITS):0{DIGITS}d}"
        self._wrong = 0
        self._said(f"Code for one tablet: {self._code[:4]} {self._code[4:]}")


async def _code_of(request: Request) -> str:
    body = b""
    async for part in request.stream():
        body += part
        if len(body) > MOST_BODY:
            return ""
    return parse_qs(body.decode("utf-8", "replace")).get("code", [""])[0]


def _page(says: str) -> HTMLResponse:
    trouble = f'<p class="trouble" role="alert">{escape(says)}</p>' if says else ""
    page = f"""<!doctype html>
<html lang="en"><head><meta charset="utf-8"><title>Pair this tablet · Crossfell</title>
<meta name="viewport" content="width=device-width, initial-scale=1">
<link rel="stylesheet" href="/static/index.css"></head>
<body><main class="pieces"><p class="brand">Crossfell</p><h1>Pair this tablet</h1>
<p>The studio shows a code of eight digits where it was started. It can be used once.</p>
{trouble}<form method="post" action="/pair" class="row"><label class="field">Code
<input name="code" inputmode="numeric" autocomplete="one-time-code" required autofocus></label>
<button class="main">Pair</button></form></main></body></html>"""
    headers = {
        "Content-Security-Policy": POLICY,
        "Referrer-Policy": "same-origin",  # or the form would come from nowhere
        "Cache-Control": "no-store",
    }
    return HTMLResponse(page, 403 if says else 200, headers)
