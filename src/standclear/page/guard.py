"""Who may ask and what may be sent: every request passes here before it reaches a view.

Sent on: requests that name this machine as it was started (`Host`), come from its own pages
(`Origin`), and are not longer than the bound. Where the page is opened to the shop's network, the
browser must have typed the code, and may look and drag: nothing is written.
"""

from __future__ import annotations

import secrets
import time
from dataclasses import dataclass, field
from http.cookies import CookieError, SimpleCookie

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse, RedirectResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from standclear.page.refusal import Refused

LONGEST_BODY = 20_000_000
"""Bytes of a request: as much as the longest program file that is read."""
COOKIE = "standclear_code"
TRIES = 5
"""Wrong codes before everybody waits."""
WAIT_SECONDS = 30.0
LOOKING = ("GET", "HEAD")
HEADERS = {
    "content-security-policy": "default-src 'none'; script-src 'self'; style-src 'self'; "
    "img-src 'self' data:; connect-src 'self'; form-action 'self'; base-uri 'none'; "
    "frame-ancestors 'none'",
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "cache-control": "no-store",
}


@dataclass
class Gate:
    """The six-digit code of a page that is opened to the shop's network, and who has typed it."""

    code: str = field(default_factory=lambda: f"{secrets.randbelow(1_000_000):06d}")
    tokens: set[str] = field(default_factory=set)
    wrong: int = 0
    closed_until: float = 0.0

    def typed(self, code: str) -> str | None:
        """A token for the browser that has typed the code; None where it is wrong, or where so
        many were wrong that everybody waits."""
        now = time.monotonic()
        if now < self.closed_until:
            return None
        if not secrets.compare_digest(code.strip().encode(), self.code.encode()):
            self.wrong += 1
            if self.wrong >= TRIES:
                self.wrong, self.closed_until = 0, now + WAIT_SECONDS
            return None
        token = secrets.token_urlsafe(32)
        self.tokens.add(token)
        self.wrong = 0
        return token

    def knows(self, cookies: str) -> bool:
        """Whether the cookies hold a token that was handed out."""
        try:
            morsel = SimpleCookie(cookies).get(COOKIE)
        except CookieError:
            return False
        return morsel is not None and morsel.value in self.tokens


@dataclass(frozen=True)
class Guard:
    """The ASGI layer in front of the views. `hosts` are the values of `Host` that are ours."""

    app: ASGIApp
    hosts: frozenset[str]
    gate: Gate | None = None
    longest: int = LONGEST_BODY

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
            return
        if scope["type"] != "http":
            return
        refusal = self._refusal(scope)
        answer = _hardened(send)
        if refusal is not None:
            await refusal(scope, receive, answer)
            return
        await self.app(scope, _Bounded(receive, self.longest).receive, answer)

    def _refusal(self, scope: Scope) -> PlainTextResponse | RedirectResponse | None:
        headers = Headers(scope=scope)
        if headers.get("host", "") not in self.hosts:
            return PlainTextResponse("This page answers only to its own address.", 421)
        origin = headers.get("origin")
        if origin is not None and origin not in {f"http://{host}" for host in self.hosts}:
            return PlainTextResponse("Another site may not ask this page.", 403)
        if headers.get("sec-fetch-site") in ("cross-site", "same-site") and (
            headers.get("sec-fetch-mode") != "navigate" or scope["method"] not in LOOKING
        ):
            return PlainTextResponse("Another site may not ask this page.", 403)
        length = headers.get("content-length", "0")
        if not length.isdigit() or int(length) > self.longest:
            return _too_long(self.longest)
        return self._not_let_in(scope, headers)

    def _not_let_in(
        self, scope: Scope, headers: Headers
    ) -> PlainTextResponse | RedirectResponse | None:
        if self.gate is None or scope["path"] == "/code" or scope["path"].startswith("/static/"):
            return None
        if not self.gate.knows(headers.get("cookie", "")):
            if scope["method"] == "GET" and "text/html" in headers.get("accept", ""):
                return RedirectResponse("/code", 303)
            return PlainTextResponse("Type the code first: see /code", 403)
        if scope["method"] not in LOOKING and not scope["path"].endswith("/look"):
            return PlainTextResponse("From here you may look and drag; nothing is written.", 403)
        return None


@dataclass
class _Bounded:
    """Counts what comes in, for a request that does not say its length: whoever reads more than the
    bound lets in is stopped by Refused."""

    source: Receive
    longest: int
    count: int = 0

    async def receive(self) -> Message:
        message = await self.source()
        self.count += len(message.get("body", b""))
        if self.count > self.longest:
            raise Refused(413, _too_long_words(self.longest))
        return message


def _too_long(longest: int) -> PlainTextResponse:
    return PlainTextResponse(_too_long_words(longest), 413)


def _too_long_words(longest: int) -> str:
    return f"More than {longest:,} bytes were sent; send less."


def _hardened(send: Send) -> Send:
    async def sent(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                headers.setdefault(name, value)
        await send(message)

    return sent
