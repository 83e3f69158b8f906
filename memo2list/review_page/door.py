"""Who may come in: launch links with a one-time token, sessions in a cookie, and what every request must show.

The rules follow OWASP's cheat sheets on cross-site request forgery (Fetch Metadata with Origin as fallback), session
management (cookie HttpOnly and SameSite=Strict) and HTTP headers; the Host check is the defence against DNS rebinding.
"""

import secrets
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass

LINK_LIVES_S = 900  # a link that nobody opened
LINK_AGAIN_S = 60  # the same device may open its link again, for phones that look at a link before they open it


@dataclass(slots=True)
class Visitor:
    """Someone who opened a launch link; `who` is written beside their changes, `told` is what their last change came to."""

    who: str
    told: str = ""


@dataclass(slots=True)
class _Link:
    made: float
    who: str
    used_at: float | None = None
    used_by: str = ""
    session: str = ""


class Door:
    """Knows the hosts we answer to, the links not used yet, and the sessions of this launch. Nothing of it is kept."""

    def __init__(self, hosts: frozenset[str], port: int, clock: Callable[[], float] = time.monotonic):
        self.hosts = hosts  # as in the Host header, lower case, with the port
        self.cookie = f"memo2list_{port}"  # browsers share cookies between the ports of a host
        self._clock = clock
        self._links: dict[str, _Link] = {}
        self._sessions: dict[str, Visitor] = {}
        self._lock = threading.Lock()

    def new_token(self, who: str = "") -> str:
        """A token for one device, good for a quarter of an hour."""
        token = secrets.token_urlsafe(24)
        with self._lock:
            self._links[token] = _Link(self._clock(), who)
        return token

    def let_in(self, token: str, client: str) -> str | None:
        """A session for whoever brings an unused token; None for one that is unknown, too old or used by another device."""
        now = self._clock()
        with self._lock:
            link = self._links.get(token)
            if link is None:
                return None
            if link.used_at is not None:
                return link.session if client == link.used_by and now - link.used_at <= LINK_AGAIN_S else None
            if now - link.made > LINK_LIVES_S:
                return None
            link.used_at, link.used_by, link.session = now, client, secrets.token_urlsafe(32)
            self._sessions[link.session] = Visitor(link.who or f"guest {len(self._sessions) + 1}")
            return link.session

    def visitor(self, session: str | None) -> Visitor | None:
        return self._sessions.get(session or "")


def from_own_page(headers: dict[str, str]) -> bool:
    """Whether a change comes from our own page: by Sec-Fetch-Site, else by Origin; neither is no.

    Browsers send Sec-Fetch-Site only to trustworthy addresses, which a phone's http://192.168… is not; they send Origin
    with every POST.

    >>> from_own_page({"host": "127.0.0.1:8000", "sec-fetch-site": "cross-site"}), from_own_page({"host": "127.0.0.1:8000"})
    (False, False)
    >>> from_own_page({"host": "192.168.0.7:8000", "origin": "http://192.168.0.7:8000"})
    True
    """
    site = headers.get("sec-fetch-site")
    if site is not None and site != "same-origin":
        return False
    origin = headers.get("origin")
    if origin is not None:
        return origin.lower() in (f"http://{headers.get('host', '').lower()}", f"https://{headers.get('host', '').lower()}")
    return site == "same-origin"
