"""The same screens in a browser: one program for each visitor, behind a secret in the address where it is needed."""

from __future__ import annotations

import hmac
import html
import ipaddress
import logging
import secrets
import shlex
import socket
import subprocess
import sys
from collections.abc import Awaitable, Callable
from pathlib import Path
from urllib.parse import urlsplit

from aiohttp import web
from textual_serve.server import Server

from tracker.domain.errors import Refused
from tracker.ui.themes import NIGHT

TOKEN_BYTES = 18
"""144 bits: not to be guessed. Common practice, no source."""
BROWSER = ("env", "-u", "COLORFGBG", "-u", "NO_COLOR", "COLORTERM=truecolor", "TERM=xterm-256color", "LC_ALL=C.UTF-8")
"""A browser has all colours and signs, whatever the terminal that serves it can show."""
Handler = Callable[[web.Request], Awaitable[web.StreamResponse]]

PAGE = """<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8"><meta name="referrer" content="no-referrer"><title>Sabinry</title>
<link rel="stylesheet" href="{static}/css/xterm.css">
<script src="{static}/js/textual.js"></script>
<style>
@font-face {{ font-family: "Roboto Mono"; src: url("{static}/fonts/RobotoMono-VariableFont_wght.ttf"); }}
html, body {{ height: 100%; margin: 0; background: {ground}; color: {ink}; font: 16px "Roboto Mono", monospace; }}
.textual-terminal {{ position: absolute; inset: 0; }}
#start, #closed {{ display: none; position: absolute; inset: 0; background: {ground}; padding: 2rem; z-index: 1; }}
body.-closed #closed {{ display: block; }}
a {{ color: {accent}; }}
</style>
</head>
<body>
<div class="textual-terminal" data-session-websocket-url="{socket}" data-font-size="{size}"></div>
<div id="start"></div>
<div id="closed">The screens are closed; all that was logged is saved. <a href="">Open them again.</a></div>
</body>
</html>
"""


def is_this_machine(host: str) -> bool:
    """Whether a host name or address can be reached from this machine only."""
    if host.strip("[]").casefold() == "localhost":
        return True
    try:
        return ipaddress.ip_address(host.strip("[]")).is_loopback
    except ValueError:
        return False


class SiteServer(Server):
    """Serves the screens of one store; away from this machine only to those who know the token."""

    def __init__(self, store: Path, host: str, port: int) -> None:
        words = [sys.executable, "-m", "tracker", "--store", str(store.absolute())]
        command = subprocess.list2cmdline(words) if sys.platform == "win32" else shlex.join([*BROWSER, *words])
        super().__init__(command, host=host, port=port, title="Sabinry")
        self.token = "" if is_this_machine(host) else secrets.token_urlsafe(TOKEN_BYTES)

    @property
    def address(self) -> str:
        """What to type into the browser."""
        everywhere = self.host in ("0.0.0.0", "::")
        host = socket.gethostname() if everywhere else f"[{self.host}]" if ":" in self.host else self.host
        return f"http://{host}:{self.port}{self.root}/"

    @property
    def root(self) -> str:
        """What every path begins with."""
        return f"/{self.token}" if self.token else ""

    def web_app(self) -> web.Application:
        """The routes, all behind the token and deaf to other sites' pages."""
        app = web.Application(middlewares=[self._only_the_invited])
        app.add_routes([
            web.get(f"{self.root}/", self._page), web.get(f"{self.root}/ws", self.handle_websocket),
            web.static(f"{self.root}/static", self.statics_path)])
        return app

    @web.middleware
    async def _only_the_invited(self, request: web.Request, handler: Handler) -> web.StreamResponse:
        if self.token:
            given = request.path.removeprefix("/").partition("/")[0]
            if not hmac.compare_digest(given.encode(), self.token.encode()):
                raise web.HTTPNotFound
        # A name that some other page made point here must not reach this machine.
        elif not is_this_machine(_host_of(f"//{request.host}")):
            raise web.HTTPForbidden
        origin = request.headers.get("Origin")
        # Browsers let any page open a web socket to anywhere: only our own page may.
        if origin is not None and not (_host_of(origin) and urlsplit(origin).netloc == request.host):
            raise web.HTTPForbidden
        return await handler(request)

    async def _page(self, request: web.Request) -> web.Response:
        size = request.query.get("fontsize", "16")
        text = PAGE.format(
            static=f"{self.root}/static", socket=html.escape(f"ws://{request.host}{self.root}/ws"),
            size=size if size.isdecimal() and size.isascii() else "16",
            ground=NIGHT.background, ink=NIGHT.foreground, accent=NIGHT.accent)
        return web.Response(text=text, content_type="text/html", headers={"Cache-Control": "no-store"})


def _host_of(address: str) -> str:
    """The host an address names; empty where it names none, or is no address at all."""
    try:
        return urlsplit(address).hostname or ""
    except ValueError:
        return ""


def serve(store: Path, host: str, port: int, say: Callable[[str], None]) -> int:
    """Serves the screens until ctrl+c and returns the exit status; Refused where the address can't be had."""
    logging.getLogger("textual-serve").setLevel(logging.CRITICAL)
    server = SiteServer(store, host, port)

    def announce(_words: str) -> None:
        say(f"The screens of {store} are at {server.address} until ctrl+c.")
        if server.token:
            say("Caution: whoever has this whole address can read and change the site, and what they send is not "
                "encrypted. Give it only to people and networks you trust, and stop it when you are done.")

    try:
        web.run_app(server.web_app(), host=host, port=port, print=announce, access_log=None)
    except OSError as error:
        raise Refused(f"--host {host} --port {port}: can't listen there ({error.strerror}); "
                      "choose another port, e.g. --port 8001") from error
    return 0
