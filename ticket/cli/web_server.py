"""The screens in a browser: textual-serve behind a PIN, for one authority and one origin, with nothing from outside.

Each page is a process of its own that runs the screens under the name whose PIN was typed. Before that nothing of the
shop is shown, not even its name.
"""

import asyncio
import copy
import secrets
import shlex
import sys
from collections.abc import Awaitable, Callable
from html import escape
from pathlib import Path
from time import monotonic
from urllib.parse import urlsplit

from aiohttp import web
from textual_serve.server import Server

from ticket.cli.screens_command import SERVED
from ticket.job.errors import TicketError
from ticket.machine.environment import PERSON
from ticket.shop.opening import Shop

COOKIE = "ticket-session"
_LASTS = 12 * 3600  # seconds a page may be opened anew without the PIN
_PAGES = Path(__file__).with_name("web")
_BEFORE = ("/", "/pin", "/own/page.css")
"""What is answered before a PIN was typed; fonts and scripts are not."""

# Content Security Policy Level 3: the page loads from its own origin alone; the terminal sets styles of its own.
_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self' 'unsafe-inline'; font-src 'self'; img-src 'self' data:;"
    " connect-src 'self' {socket}; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
Handler = Callable[[web.Request], Awaitable[web.StreamResponse]]


class ShopServer(Server):
    """The server of one shop.

    Args:
        database: the shop's file.
        host: the address it listens on.
        port: and its port.
        public_url: what is typed into the browser; the only authority that is answered.
    """

    def __init__(self, database: Path, host: str, port: int, public_url: str) -> None:
        super().__init__("ticket", host, port, title="Job ticket", public_url=public_url, templates_path=_PAGES)
        self.database = database
        self._sessions: dict[str, tuple[str, float]] = {}

    async def _make_app(self) -> web.Application:
        app = await super()._make_app()

        @web.middleware
        async def guard(request: web.Request, handler: Handler) -> web.StreamResponse:
            return await self._guarded(request, handler)

        app.middlewares.append(guard)
        app.add_routes([web.post("/pin", self._take_pin), web.get("/own/page.css", _style)])
        return app

    async def on_startup(self, app: web.Application) -> None:
        """Say nothing: the command has told where the page is."""

    # -- who may see what ----------------------------------------------------------------------------------------

    async def _guarded(self, request: web.Request, handler: Handler) -> web.StreamResponse:
        """Answer one authority and its own pages only, and nothing but the question for a PIN before it was typed."""
        own = urlsplit(self.public_url)
        if request.host != own.netloc:
            return _refused(421, f"Open {self.public_url} instead.")
        origin = request.headers.get("Origin")
        if origin != self.public_url if request.path == "/ws" else origin not in (None, self.public_url):
            return _refused(403, "This page is not one of the shop's.")
        if request.path not in _BEFORE and self._person(request) is None:
            return _refused(403, "Type the PIN first.")
        answer = await handler(request)
        if not answer.prepared:
            socket = f"{'wss' if own.scheme == 'https' else 'ws'}://{own.netloc}"
            answer.headers["Content-Security-Policy"] = _POLICY.format(socket=socket)
            answer.headers["Cache-Control"] = "no-store"
            # "no-referrer" would make a browser send "Origin: null" with the PIN page's own form (Fetch standard).
            answer.headers["Referrer-Policy"] = "same-origin"
            answer.headers["X-Content-Type-Options"] = "nosniff"
        return answer

    def _person(self, request: web.Request) -> str | None:
        """Whose PIN was typed for this page; ``None`` for nobody's."""
        found = self._sessions.get(request.cookies.get(COOKIE, ""))
        return found[0] if found is not None and monotonic() < found[1] else None

    async def handle_index(self, request: web.Request) -> web.StreamResponse:
        """The screens, or the question for a PIN."""
        if self._person(request) is None:
            return _asked("")
        made: web.StreamResponse = await super().handle_index(request)
        return made

    async def _take_pin(self, request: web.Request) -> web.StreamResponse:
        typed = await request.post()
        person, pin = str(typed.get("person", "")).strip(), str(typed.get("pin", ""))
        try:
            await asyncio.to_thread(self._prove, person, pin)
        except TicketError as error:
            return _asked(str(error), status=403)
        token = secrets.token_urlsafe(32)
        self._sessions[token] = (person, monotonic() + _LASTS)
        answer = web.Response(status=303, headers={"Location": "/"})
        secure = urlsplit(self.public_url).scheme == "https"
        answer.set_cookie(COOKIE, token, httponly=True, samesite="Strict", secure=secure, max_age=_LASTS)
        return answer

    def _prove(self, person: str, pin: str) -> None:
        """Raises :class:`TicketError` unless it is the PIN; wrong ones are counted where the shop counts them."""
        with Shop.open(self.database, person or "?", create=False) as shop:
            shop.gate.unlock(person, pin)

    async def handle_websocket(self, request: web.Request) -> web.WebSocketResponse:
        """The screens of whoever typed the PIN, as a process of their own."""
        served = copy.copy(self)
        around = shlex.join(["env", f"{SERVED}=1", f"{PERSON}={self._person(request) or ''}"])
        served.command = f"exec {around} {shlex.join([sys.executable, '-m', 'ticket', '--db', str(self.database)])}"
        return await super(ShopServer, served).handle_websocket(request)


def _asked(told: str, status: int = 200) -> web.Response:
    page = (_PAGES / "pin.html").read_text(encoding="utf-8").replace("{{ told }}", escape(told))
    return web.Response(text=page, content_type="text/html", status=status)


async def _style(_: web.Request) -> web.Response:
    return web.Response(text=(_PAGES / "page.css").read_text(encoding="utf-8"), content_type="text/css")


def _refused(status: int, why: str) -> web.Response:
    return web.Response(status=status, text=f"{why}\n")
