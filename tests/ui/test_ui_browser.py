"""The screens in a browser: on this machine only, or behind a token; deaf to other sites' pages."""

from __future__ import annotations

import asyncio
import os
import re
import signal
import socket
import subprocess
import sys

import pytest
from aiohttp import ClientSession, ClientWebSocketResponse, WSServerHandshakeError
from aiohttp.test_utils import TestClient, TestServer

from tracker.cli.main import main
from tracker.ui.browser import SiteServer, is_this_machine


@pytest.mark.parametrize(("host", "here"), [
    ("127.0.0.1", True), ("localhost", True), ("::1", True), ("[::1]", True), ("127.8.0.1", True), ("0.0.0.0", False),
    ("192.168.1.4", False), ("::", False), ("localhost.example", False), ("", False)])
def test_which_addresses_are_this_machine(host, here):
    assert is_this_machine(host) is here


def test_elsewhere_each_start_has_its_own_token(tmp_path):
    first, second = (SiteServer(tmp_path / "site.db", "0.0.0.0", 8000) for _ in range(2))
    assert len(first.token) >= 24 and first.token != second.token and f"/{first.token}/" in first.address
    assert SiteServer(tmp_path / "site.db", "127.0.0.1", 8000).address == "http://127.0.0.1:8000/"


async def test_without_the_token_nothing_answers(tmp_path):
    server = SiteServer(tmp_path / "site.db", "0.0.0.0", 8000)
    async with TestClient(TestServer(server.web_app())) as client:
        for path in ("/", "/ws", "/static/js/textual.js", "/wrong/", "/wrong/ws", f"/{server.token[:-1]}/", "//",
                     f"/x/..%2f{server.token}/"):
            assert (await client.get(path)).status == 404, path
        with pytest.raises(WSServerHandshakeError) as refused:
            await client.ws_connect("/ws")
        assert refused.value.status == 404
        page = await client.get(f"/{server.token}/")
        text = await page.text()
        assert page.status == 200 and f"/{server.token}/ws" in text and "https://" not in text
        assert (await client.get(f"/{server.token}/static/js/textual.js")).status == 200


async def test_a_page_of_another_site_cannot_reach_this_machine(tmp_path):
    server = SiteServer(tmp_path / "site.db", "127.0.0.1", 8000)
    async with TestClient(TestServer(server.web_app())) as client:
        assert (await client.get("/")).status == 200
        with pytest.raises(WSServerHandshakeError) as refused:
            await client.ws_connect("/ws", headers={"Origin": "http://elsewhere.example"})
        assert refused.value.status == 403
        assert (await client.get("/", headers={"Host": "elsewhere.example"})).status == 403


async def test_a_visitor_who_has_the_token_sees_the_screens_and_types(store):
    with socket.socket() as free:
        free.bind(("0.0.0.0", 0))
        port = free.getsockname()[1]
    words = [sys.executable, "-m", "tracker", "--store", str(store), "serve", "--host", "0.0.0.0", "--port", str(port)]
    bare = {**os.environ, "TERM": "linux", "LC_ALL": "C", "NO_COLOR": "1"}
    with subprocess.Popen(words, stdout=subprocess.PIPE, text=True, env=bare) as program:
        try:
            said = await asyncio.to_thread(program.stdout.readline)
            token = re.search(rf"http://[^/]+:{port}/([\w-]+)/ until", said)[1]
            assert "Caution: whoever has this whole" in await asyncio.to_thread(program.stdout.readline)
            address = f"http://127.0.0.1:{port}/{token}/ws?width=80&height=24"
            async with ClientSession() as visitor, asyncio.timeout(90), visitor.ws_connect(address) as screens:
                today = await _seen(screens, b"Absorption area")
                assert b";38;2;" in today or b"[38;2;" in today  # all colours, whatever the terminal that serves
                assert "▒".encode() in today or "█".encode() in today
                await screens.send_json(["stdin", "3"])
                await _seen(screens, b"on hand")
        finally:
            program.send_signal(signal.SIGINT)
    assert program.returncode == 0


async def _seen(screens: ClientWebSocketResponse, words: bytes) -> bytes:
    drawn = b""
    async for message in screens:
        drawn += message.data if isinstance(message.data, bytes) else b""
        if words in drawn:
            return drawn
    raise AssertionError(drawn[-400:])


def test_a_port_that_is_taken_is_refused(store, capsys):
    with socket.create_server(("127.0.0.1", 0)) as taken:
        status = main(["--store", str(store), "serve", "--port", str(taken.getsockname()[1])])
    said = capsys.readouterr()
    assert status == 2 and "choose another port" in said.err and not said.out


def test_a_store_that_is_not_there_is_said_at_once(tmp_path, capsys):
    assert main(["--store", str(tmp_path / "none.db"), "serve"]) == 3
    assert "no store there" in capsys.readouterr().err
