"""What stands before every page: where a request may come from, how long it may be, and what a browser may do with the answer.

The Host named must be one this server goes by, which keeps out a name somewhere else that was turned to this address. What
changes anything must come from a page of this server: by its Origin, or where a browser sends none by what it says of where
the request came from. No answer may be framed, hold a script or a style of its own, or fetch anything from elsewhere.
"""

from __future__ import annotations

from collections.abc import Awaitable, Callable, MutableMapping
from typing import Any

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse

Scope = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[MutableMapping[str, Any]]]
Send = Callable[[MutableMapping[str, Any]], Awaitable[None]]

MOST_FORM = 256 * 1024
"""Bytes a form may have."""
MOST_PHOTO = 20 * 1024 * 1024
"""Bytes what is sent with a photo may have."""
_SAFE = frozenset({"GET", "HEAD"})
_RULES = {
    "Content-Security-Policy": (
        "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self' blob:; connect-src 'self'; "
        "form-action 'self'; base-uri 'none'; frame-ancestors 'none'; manifest-src 'self'; worker-src 'self'"
    ),
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(self), geolocation=(), microphone=()",
}


class TooLong(Exception):
    """More was sent than a request may have."""


class Guard:
    """Lets through what may come in. `hosts` are the names with port that this server goes by; `photos` the paths to which
    a photo may be sent."""

    def __init__(self, app: Any, hosts: frozenset[str], photos: frozenset[str] = frozenset()) -> None:
        self.app, self.hosts, self.photos = app, hosts, photos

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """One request."""
        if scope["type"] != "http":
            if scope["type"] == "lifespan":
                await self.app(scope, receive, send)
            return
        refused = self._refused(scope)
        answered = _Answer(send)
        if refused is not None:
            await refused(scope, receive, answered)
            return
        most = MOST_PHOTO if scope["path"] in self.photos else MOST_FORM
        await self.app(scope, _at_most(receive, most), answered)

    def _refused(self, scope: Scope) -> PlainTextResponse | None:
        headers = Headers(scope=scope)
        host = headers.get("host", "").lower()
        if host not in self.hosts:
            return _said(421, "This server does not go by that name. Use the address it printed.")
        if scope["method"] not in _SAFE and not _from_here(headers, f"{scope['scheme']}://{host}"):
            return _said(403, "This was sent from a page of another place, and nothing of it was done.")
        most = MOST_PHOTO if scope["path"] in self.photos else MOST_FORM
        length = headers.get("content-length", "0")
        if not length.isascii() or not length.isdigit() or len(length) > 15 or int(length) > most:
            return _said(413, _too_long(most))
        return None


def _from_here(headers: Headers, own: str) -> bool:
    origin = headers.get("origin")
    if origin is not None:
        return origin.lower() == own
    return headers.get("sec-fetch-site") == "same-origin"


def _too_long(most: int) -> str:
    size = f"{most // 1024 // 1024} MB" if most >= 1024 * 1024 else f"{most // 1024} kB"
    return f"That is too much at once: at most {size}. Nothing of it was read. Send a smaller picture, or fewer words."


def _said(status: int, text: str) -> PlainTextResponse:
    return PlainTextResponse(f"{text}\n", status)


def _at_most(receive: Receive, most: int) -> Receive:
    """The same messages; raises TooLong once their bodies are longer than that, whatever length was stated."""
    read = 0

    async def limited() -> MutableMapping[str, Any]:
        nonlocal read
        message = await receive()
        read += len(message.get("body", b""))
        if read > most:
            raise TooLong
        return message

    return limited


class _Answer:
    """Sends an answer with the rules for browsers in its headers."""

    def __init__(self, send: Send) -> None:
        self._send = send

    async def __call__(self, message: MutableMapping[str, Any]) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in _RULES.items():
                headers.setdefault(name, value)
            headers.setdefault("Cache-Control", "no-store")
        await self._send(message)
