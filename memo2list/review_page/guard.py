"""What every request passes through: Host, session, origin and size are checked, and every answer bears safe headers."""

from http.cookies import CookieError, SimpleCookie
from typing import Any

from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from memo2list.review_page.door import Door, from_own_page

POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' data: blob:",
        "media-src 'self' blob:",
        "connect-src 'self'",
        "worker-src 'none'",
        "form-action 'self'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
    )
)
HEADERS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "same-origin",  # with no-referrer browsers say "Origin: null" on our own forms
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(self), microphone=(self), geolocation=()",
    "cache-control": "no-store",
}
OPEN_PATHS = ("/enter/",)  # all else needs a session
LONGEST_FORM = 1 << 20
LONGEST_FILE = 4 << 30  # whole files, from a page without script
LONGEST_PIECE = 16 << 20  # a piece of a recording that is sent in pieces
CLOSED = "This page opens with the link that `memo2list review` printed. Start it again for a fresh link."


class Guard:
    """ASGI middleware; puts the `Visitor` into the scope's state."""

    def __init__(self, app: ASGIApp, door: Door):
        self.app, self.door = app, door

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        headers = {name.decode("latin-1").lower(): value.decode("latin-1") for name, value in scope["headers"]}
        refusal = self._refusal(scope, headers)
        app: ASGIApp = refusal or self.app
        await app(scope, receive, _with_headers(send))

    def _refusal(self, scope: Scope, headers: dict[str, str]) -> PlainTextResponse | None:
        if headers.get("host", "").lower() not in self.door.hosts:
            return PlainTextResponse("This address is not one memo2list answers to.", 421)
        if scope["path"].startswith(OPEN_PATHS):
            return None
        visitor = self.door.visitor(_cookie(headers.get("cookie", ""), self.door.cookie))
        if visitor is None:
            return PlainTextResponse(CLOSED, 403)
        scope.setdefault("state", {})["visitor"] = visitor
        if scope["method"] in ("GET", "HEAD"):
            return None
        if scope["method"] not in ("POST", "PUT") or not from_own_page(headers):
            return PlainTextResponse("Changes are taken only from memo2list's own page.", 403)
        path = scope["path"]
        longest = LONGEST_FILE if path == "/send/plain" else LONGEST_PIECE if path.startswith("/send/") else LONGEST_FORM
        length = headers.get("content-length", "")
        if not length.isdecimal() or int(length) > longest:
            return PlainTextResponse("That is more than is taken at once.", 413)
        return None


def _cookie(header: str, name: str) -> str | None:
    try:
        found = SimpleCookie(header).get(name)
    except CookieError:
        return None
    return found.value if found else None


def _with_headers(send: Send) -> Send:
    async def wrapped(message: Message) -> None:
        if message["type"] == "http.response.start":
            there: list[Any] = list(message.get("headers", []))
            names = {name.lower() for name, _ in there}
            there += [(n.encode(), v.encode()) for n, v in HEADERS.items() if n.encode() not in names]
            message = {**message, "headers": there}
        await send(message)

    return wrapped
