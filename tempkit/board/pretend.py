"""A pretend board at the end of a wire: a TCP port or a pseudo-terminal, paced as a serial line is."""

import os
import re
import select
import socket
import subprocess
import sys
import tempfile
import threading
import time
from contextlib import suppress
from pathlib import Path

from tempkit.board.ports import has_pseudo_terminals
from tempkit.chain import Link
from tempkit.signal import characters_per_second

SLICE_S = 0.005  # bytes of so much line time are handed over at once
LATE_S = 0.05  # a machine that slept does not make the line faster than its baud
HOST = "127.0.0.1"


class TcpWire:
    """A TCP port of this computer that serves one listener at a time; `port` is the URL for the link.

    number : of the port, 0 for any free one. Raises `ValueError` for one that cannot be had.
    """

    def __init__(self, number=0, host=HOST):
        self._address, self._server, self._client = (host, number), None, None
        self.plug()
        self._address = self._server.getsockname()[:2]
        self.port = f"socket://{self._address[0]}:{self._address[1]}"

    def plug(self):
        """Let a listener in."""
        self._server = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        if os.name == "posix":
            self._server.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            self._server.bind(self._address)
        except (OSError, OverflowError) as error:
            self._server.close()
            raise ValueError(f"TCP port {self._address[1]} on {self._address[0]} cannot be had: {error}") from None
        self._server.listen(1)
        self._server.setblocking(False)

    def unplug(self):
        """Let the listener go, once it has all that was sent, and let nobody in."""
        for each in (self._client, self._server):
            if each is not None:
                each.close()
        self._client = self._server = None

    def send(self, data):
        """Hand bytes over; without a listener, or with one that does not keep up, they are gone."""
        if self._client is not None:
            try:
                self._client.send(data)
            except BlockingIOError:
                pass
            except OSError:
                self._leave()

    def wait(self, seconds):
        """Wait, and meanwhile let a listener in or notice that it left."""
        if self._server is None:
            time.sleep(seconds)
            return
        end_s = time.monotonic() + seconds
        while True:
            ends = [each for each in (self._server, self._client) if each is not None]
            ready = select.select(ends, [], [], max(0.0, end_s - time.monotonic()))[0]
            if self._client in ready:
                self._hear()
            if self._server in ready:
                self._welcome()
            if not ready or time.monotonic() >= end_s:
                return

    def _hear(self):
        try:
            if not self._client.recv(4096):
                self._leave()
        except OSError:
            self._leave()

    def _leave(self):
        self._client.close()
        self._client = None

    def _welcome(self):
        with suppress(OSError):
            caller = self._server.accept()[0]
            if self._client is None:
                caller.setblocking(False)
                caller.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
                self._client = caller
            else:
                caller.close()

    def close(self):
        """Hang up."""
        self.unplug()


class PtyWire:
    """A pseudo-terminal; `port` is a name that stays the same while the cable goes out and in again.

    Raises `ValueError` on a system without pseudo-terminals.
    """

    def __init__(self):
        if not has_pseudo_terminals():
            raise ValueError("this system has no pseudo-terminals: use --tcp 0, and the URL that it prints")
        self._folder = tempfile.TemporaryDirectory(prefix="tempkit-board-")
        self.port = str(Path(self._folder.name) / "board")
        self._ends = None
        self.plug()

    def plug(self):
        """Make a terminal and point the name at it."""
        import pty
        import tty

        self._ends = pty.openpty()
        tty.setraw(self._ends[1])
        os.set_blocking(self._ends[0], False)
        beside = Path(self.port + ".new")
        beside.symlink_to(os.ttyname(self._ends[1]))
        beside.replace(self.port)

    def unplug(self):
        """Take the terminal away, as a board does that is pulled out."""
        Path(self.port).unlink(missing_ok=True)
        for end in self._ends or ():
            os.close(end)
        self._ends = None

    def send(self, data):
        """Hand bytes over; what a full terminal does not take is gone."""
        if self._ends:
            with suppress(BlockingIOError):
                os.write(self._ends[0], data)

    def wait(self, seconds):
        """Wait."""
        time.sleep(seconds)

    def close(self):
        """Take the terminal and its name away."""
        self.unplug()
        self._folder.cleanup()


class Pacer:
    """Sends what a board says over a wire, not faster than its baud, until `stop` is set.

    board : a `tempkit.board.Board`; wire : a `TcpWire` or `PtyWire`.
    """

    def __init__(self, board, wire, stop=None):
        link = board.design.link or Link()
        self._each_s = 1 / characters_per_second(link.baud, link.frame)
        self._board, self._wire, self._stop = board, wire, stop or threading.Event()
        self._zero = time.monotonic()

    def run(self, seconds=float("inf")):
        """Send for so many seconds of the board's time [s], or until told to stop."""
        free_s = 0.0
        for piece in self._board.pieces():
            begin_s = max(piece.at_s, free_s)
            if begin_s >= seconds or not self._until(begin_s):
                return
            if piece.data is None:
                self._wire.unplug()
                if not self._until(begin_s + piece.pause_s):
                    return
                self._wire.plug()
            else:
                free_s = self._send(piece.data, begin_s)

    def _send(self, data, begin_s):
        size = max(1, int(SLICE_S / self._each_s))
        for first in range(0, len(data), size):
            part = data[first : first + size]
            if not self._until(begin_s + (first + len(part)) * self._each_s):
                break
            self._wire.send(part)
        return begin_s + len(data) * self._each_s

    def _until(self, due_s):
        """Wait for a moment of the board's time; False once we are to stop."""
        while not self._stop.is_set():
            left_s = self._zero + due_s - time.monotonic()
            if left_s <= 0:
                if left_s < -LATE_S:
                    self._zero -= left_s
                return True
            self._wire.wait(min(left_s, 0.1))
        return False


def end_with_parent(close):
    """Watch the standard input from a thread; when its other end is gone, call `close()` and end this process."""

    def watch():
        while sys.stdin.buffer.read(1):
            pass
        close()
        os._exit(0)

    threading.Thread(target=watch, name="watch the parent", daemon=True).start()


# In a process of its own, for a notebook or a test


class Partner:
    """A running pretend board; `port` is what a link opens. It ends with `stop()`, or when this process ends.

    file : a chain file; words : further words of `python -m tempkit board pretend`. Raises `ValueError` where the
    board cannot start, with what it said.
    """

    def __init__(self, file, *words):
        command = [sys.executable, "-m", "tempkit", "board", "pretend", str(file), "--end-with-input", *words]
        pipes = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE, "stderr": subprocess.PIPE}
        self._process = subprocess.Popen(command, **pipes, text=True)
        found = re.match(r"pretend board at (\S+) ", self._process.stdout.readline())
        if found is None:
            said = self._process.stderr.read().strip()
            self.stop()
            raise ValueError(f"the pretend board did not start: {said}")
        self.port = found[1]

    def stop(self):
        """End it; a second time does nothing."""
        for pipe in (self._process.stdin, self._process.stdout, self._process.stderr):
            pipe.close()
        try:
            self._process.wait(5.0)
        except subprocess.TimeoutExpired:
            self._process.kill()
            self._process.wait()

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.stop()
