"""The real program in a pseudo-terminal: started, used, killed and started again."""

from __future__ import annotations

import fcntl
import os
import pty
import re
import select
import signal
import sqlite3
import struct
import sys
import termios
import time
from contextlib import closing

import pytest

ESCAPES = re.compile(rb"\x1b(?:\[[0-9;?<>=]*[ -/]*[@-~]|[P\]_^][^\x1b\x07]*(?:\x1b\\|\x07)|[()][A-Z0-9]|[=>])")
PATIENCE_S = 60


class Terminal:
    """A terminal of 80x24 with the program in it."""

    def __init__(self, store, **settings: str) -> None:
        self.pid, self.fd = pty.fork()
        if self.pid == 0:
            os.environ.update(TERM="xterm-256color", COLUMNS="80", LINES="24", **settings)
            os.execv(sys.executable, [sys.executable, "-m", "tracker", "--store", str(store)])
        fcntl.ioctl(self.fd, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
        self.sent = b""

    def press(self, keys: str) -> None:
        os.write(self.fd, keys.encode())

    def read_until(self, text: str) -> str:
        """Reads what is drawn until the text has come; forgets what came before it."""
        until = time.monotonic() + PATIENCE_S
        while text.encode() not in (seen := ESCAPES.sub(b"", self.sent)):
            ready, _, _ = select.select([self.fd], [], [], 0.2)
            assert time.monotonic() < until, f"{text!r} never came; the last was {seen[-800:]!r}"
            if ready:
                self.sent += self._read()
        self.sent = b""
        return seen.decode(errors="replace")

    def _read(self) -> bytes:
        try:
            return os.read(self.fd, 65536)
        except OSError:
            return b""

    def kill(self) -> None:
        os.kill(self.pid, signal.SIGKILL)
        os.waitpid(self.pid, 0)
        os.close(self.fd)

    def ended(self) -> int:
        """The exit status, once the program has ended; it may still have something to draw."""
        until = time.monotonic() + PATIENCE_S
        while (found := os.waitpid(self.pid, os.WNOHANG))[0] == 0:
            assert time.monotonic() < until, "it never ended"
            if select.select([self.fd], [], [], 0.05)[0]:
                self._read()
        os.close(self.fd)
        return os.waitstatus_to_exitcode(found[1])


def rows(store, what: str) -> list[tuple]:
    with closing(sqlite3.connect(store)) as connection:
        return connection.execute(what).fetchall()


def wait_for(store, what: str) -> None:
    until = time.monotonic() + PATIENCE_S
    while not rows(store, what):
        assert time.monotonic() < until, what
        select.select([], [], [], 0.02)


@pytest.mark.skipif(sys.platform == "win32", reason="no pseudo-terminals there")
def test_killed_in_the_middle_of_an_entry_it_goes_on_where_it_was(store):
    program = Terminal(store)
    try:
        program.read_until("Absorption area")
        program.press("w")
        program.read_until("clock runs for")
        program.press("l")
        program.read_until("what to know next time")
        program.press("2:15")
        wait_for(store, "SELECT 1 FROM draft WHERE fields LIKE '%2:15%'")
    finally:
        program.kill()
    (started,) = rows(store, "SELECT started FROM clock")
    program = Terminal(store)
    program.read_until("Absorption area")
    program.press("l")
    assert "typed before" in program.read_until("2:15")
    wait_for(store, "SELECT 1 FROM clock WHERE started IS NOT NULL")
    assert rows(store, "SELECT started FROM clock") == [started], "the clock ran on"
    program.press("\r")
    program.read_until("Logged high wall/left")
    assert rows(store, "SELECT hours_h FROM entry ORDER BY id DESC LIMIT 1") == [(2.25,)]
    wait_for(store, "SELECT 1 WHERE NOT EXISTS (SELECT 1 FROM draft)")
    program.press("q")
    assert program.ended() == 0
