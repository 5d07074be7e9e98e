"""What reaches the screens from outside: addresses that are none, and hours taken from the clock for another day."""

from __future__ import annotations

import asyncio
from dataclasses import replace

import pytest
from aiohttp.test_utils import TestServer

from tracker.domain.errors import Refused
from tracker.services.clock import log_clocked, read_clock, start
from tracker.services.diary import DayWords, log_choices, read_diary
from tracker.ui.browser import SiteServer

HOSTILE = {
    "an open bracket as host": (b"GET / HTTP/1.1\r\nHost: [::1\r\n", b"403"),
    "an open bracket as origin": (b"GET / HTTP/1.1\r\nHost: localhost\r\nOrigin: http://[x\r\n", b"403"),
    "no origin at all": (b"GET / HTTP/1.1\r\nHost: localhost\r\nOrigin: null\r\n", b"403"),
    "words before the host": (b'GET / HTTP/1.1\r\nHost: "><script>@localhost\r\n', b"200"),
    "a star for a path": (b"OPTIONS * HTTP/1.1\r\nHost: localhost\r\n", b"404"),
    "another script's figure": (b"GET /?fontsize=%C2%B2 HTTP/1.1\r\nHost: localhost\r\n", b"200"),
}


async def answered(address: str, request: bytes, tmp_path) -> bytes:
    server = TestServer(SiteServer(tmp_path / "site.db", address, 8000).web_app())
    await server.start_server()
    try:
        reader, writer = await asyncio.open_connection("127.0.0.1", server.port)
        writer.write(request + b"Connection: close\r\n\r\n")
        await writer.drain()
        async with asyncio.timeout(30):
            said = await reader.read(-1)
        writer.close()
        return said
    finally:
        await server.close()


@pytest.mark.parametrize("what", HOSTILE)
async def test_a_request_no_browser_makes_is_answered_and_shown_nothing(what, tmp_path):
    request, status = HOSTILE[what]
    said = await answered("127.0.0.1", request, tmp_path)
    assert said.split(b" ")[1] == status
    assert b"<script>@" not in said and b'font-size="\xc2' not in said


async def test_a_star_for_a_path_knows_no_token(tmp_path):
    said = await answered("0.0.0.0", HOSTILE["a star for a path"][0], tmp_path)
    assert said.split(b" ")[1] == b"404"


def test_hours_of_the_clock_are_logged_once_though_for_another_day(desk, wall):
    start(desk)
    wall.on(hours=1, minutes=10)
    at = log_choices(desk)[0]
    words = DayWords(target=at.target, step=at.step, done="50%", note="swept", hours=" Clock", on="yesterday")
    said = log_clocked(desk, words)
    (entry,) = [one for one in read_diary(desk).entries if one.note == "swept"]
    assert entry.hours_h == pytest.approx(1 + 1 / 6)
    assert not read_clock(desk).running and "cleared" in said.sentence
    with pytest.raises(Refused, match="has not run"):
        log_clocked(desk, words)
    wall.on(minutes=5)
    start(desk)
    wall.on(minutes=5)
    log_clocked(desk, replace(words, hours="0:30"))
    assert read_clock(desk).running, "hours that were typed for another day are not the clock's"
