"""Who may talk to the studio?

Only a browser on this machine that was given the secret of this start: every request must name us
as its host (so that no other name can be made to point here), carry the secret in a cookie, and,
when it changes anything or opens a channel, come from our own page. Every answer says what the
page may load: our own files, no script or style within a page.
Source: W3C, Content Security Policy Level 3; RFC 6265bis (SameSite cookies); RFC 6455, section 10.2
(Origin of a WebSocket).
"""

from __future__ import annotations

import hmac
from dataclasses import dataclass
from http.cookies import CookieError, SimpleCookie
from typing import Protocol
from urllib.parse import parse_qs

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send
from starlette.websockets import WebSocketClose

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; "
    "font-src 'self'; connect-src 'self' blob:; manifest-src 'self'; base-uri 'none'; "
    "form-action 'none'; frame-ancestors 'none'"
)
PICTURE_POLICY = "default-src 'none'; style-src 'unsafe-inline'; font-src data:; sandbox"
ALWAYS = {
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Permissions-Policy": "camera=(), microphone=(), geolocation=()",
}
SAFE = {"GET", "HEAD"}


@dataclass(frozen=True, slots=True)
class Door:
    """The names under which we are reached, and the name of the cookie with the secret."""

    hosts: frozenset[str]  # as in a Host header: "127.0.0.1:8321"
    scheme: str = "http"

    @property
    def cookie(self) -> str:
        """Cookies do not know ports: each start has a cookie of its own."""
        return f"crossfell-{min(self.hosts).rsplit(':', 1)[-1]}"

    @property
    def origins(self) -> frozenset[str]:
        """Our own page, as in an Origin header."""
        return frozenset(f"{self.scheme}://{host}" for host in self.hosts)


def door(port: int) -> Door:
    """The door of a studio that only this machine can reach."""
    names = ("127.0.0.1", "localhost", "[::1]")
    return Door(frozenset(f"{name}:{port}" for name in names))


class Stranger(Protocol):
    """Answers whoever does not hold a secret yet, and knows the secrets that were given."""

    def knows(self, secret: str) -> bool:
        """Whether this secret was given."""

    async def answer(self, scope: Scope, receive: Receive, send: Send, door: Door) -> None:
        """Answer a stranger."""


@dataclass(frozen=True, slots=True)
class ByAddress:
    """The secret stands in the address that was printed."""

    secret: str

    def knows(self, secret: str) -> bool:
        """Whether it is the secret of this start."""
        return same(secret, self.secret)

    async def answer(self, scope: Scope, receive: Receive, send: Send, door: Door) -> None:
        """Welcome who brings the secret in the address; turn others away."""
        key = parse_qs(scope["query_string"].decode("latin-1")).get("key", [""])[0]
        if scope["path"] == "/" and self.knows(key):
            await welcome(door, self.secret)(scope, receive, send)
            return
        says = (
            "Open the studio with the address that `crossfell studio` prints: it holds the "
            "secret of this start."
        )
        await PlainTextResponse(says, 403)(scope, receive, send)


class Guard:
    """ASGI middleware that turns away whoever may not talk to us."""

    def __init__(self, app: ASGIApp, door: Door, stranger: Stranger) -> None:
        self.app, self.door, self.stranger = app, door, stranger

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request in, or turn it away."""
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
            return
        refusal = self._refusal(scope)
        known = refusal is None and self._knows(Headers(scope=scope))
        if known:
            await self.app(scope, receive, _with_headers(send))
        elif scope["type"] == "websocket":
            await WebSocketClose(code=1008)(scope, receive, send)
        elif refusal is not None:
            await refusal(scope, receive, _with_headers(send))
        else:
            await self.stranger.answer(scope, receive, _with_headers(send), self.door)

    def _refusal(self, scope: Scope) -> Response | None:
        headers = Headers(scope=scope)
        if headers.get("host", "").lower() not in self.door.hosts:
            return PlainTextResponse("This studio does not go by that name.", 421)
        origin = headers.get("origin")
        must_say = scope["type"] == "websocket" or scope["method"] not in SAFE
        if (origin or must_say) and (origin or "").lower() not in self.door.origins:
            return PlainTextResponse("This was asked by another page.", 403)
        if headers.get("sec-fetch-site") == "cross-site" and scope["path"] != "/":
            return PlainTextResponse("This was asked by another page.", 403)
        return None

    def _knows(self, headers: Headers) -> bool:
        cookies: SimpleCookie = SimpleCookie()
        try:
            cookies.load(headers.get("cookie", ""))
        except CookieError:
            return False
        found = cookies.get(self.door.cookie)
        return found is not None and self.stranger.knows(found.value)


def welcome(door: Door, secret: str) -> Response:
    """The secret goes into a cookie, and the browser to the front page."""
    answer = RedirectResponse("/", 303)
    secure = door.scheme == "https"
    answer.set_cookie(
        door.cookie, secret, httponly=True, samesite="strict", secure=secure, path="/"
    )
    answer.headers["Cache-Control"] = "no-store"
    return answer


def same(one: str, other: str) -> bool:
    """Compare in a time that does not tell how much was right."""
    return hmac.compare_digest(one.encode("utf-8", "replace"), other.encode())


def _with_headers(send: Send) -> Send:
    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in ALWAYS.items():
                headers.setdefault(name, value)
            headers.setdefault("Content-Security-Policy", POLICY)
            headers.setdefault("Cache-Control", "no-cache")
        await send(message)

    return sending
