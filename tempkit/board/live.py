"""A live link: a thread that reads a board's lines, outlives unplugging, and hands every line to a file as it comes."""

import threading
from collections import deque
from dataclasses import dataclass
from typing import NamedTuple

from tempkit.board import ports
from tempkit.board.record_file import LogFile, Splitter, after_half, remark, row, steady_s

POLL_S = 0.01  # a system holds some 4000 bytes for us: at 115 200 bit/s that is a third of a second
READ_BYTES = 65_536
LONGEST_LINE = 4096  # longer than any board's line: noise on the wire, or the wrong baud
KEPT_LINES = 20_000
BACKOFF_S = (0.1, 5.0)  # the first wait before the port is tried again, and the longest


class Received(NamedTuple):
    """One line or one gap: its number, host time since the start [s], its bytes without line end; None for a gap."""

    number: int
    at_s: float
    data: bytes | None


@dataclass(frozen=True)
class Status:
    """How a link is doing: "opening", "open", "lost" or "stopped", with counts; `silent_s` since the last byte [s]."""

    state: str
    port: str
    lines: int
    bytes: int
    gaps: int
    at_s: float
    silent_s: float
    problem: str

    def words(self):
        """One sentence.

        >>> Status("open", "PORT", 12, 300, 0, 13.0, 0.4, "").words()
        'PORT: open; 12 lines in 13 s, no gap; silent for 0.4 s.'
        """
        gaps = {0: "no gap", 1: "1 gap"}.get(self.gaps, f"{self.gaps} gaps")
        lines = "1 line" if self.lines == 1 else f"{self.lines} lines"
        trouble = f" ({self.problem})" if self.problem else ""
        silent = f"; silent for {self.silent_s:.1f} s" if self.state == "open" else ""
        return f"{self.port}: {self.state}{trouble}; {lines} in {self.at_s:.0f} s, {gaps}{silent}."


class _RecordError(Exception):
    """The file cannot be written."""


class Link:
    """A link to a board. `start()` returns at once; `stop()` ends it; `with Link(...) as link` does both.

    port, baud, frame : as for `tempkit.board.opened`; out : a file that gets every line at once (None: no file);
    append : go on in that file; kept_lines : how many of the latest lines stay in memory. A line counts once its line
    feed has come. Where the port goes away, the gap is marked, with the half line before it, and the port is tried
    again, at first soon and then more and more seldom. A new file is taken away at the end if nothing came. Raises
    `ValueError` for a file that exists or that another recorder writes, or a frame that is none.

    >>> link = Link("socket://127.0.0.1:9")
    >>> link.status().state, link.since(0)
    ('opening', [])
    """

    def __init__(
        self, port, baud=9600, frame="8N1", out=None, append=False, kept_lines=KEPT_LINES, backoff_s=BACKOFF_S
    ):
        ports.split_frame(frame)
        self.port, self._settings, self._backoff_s = port, (port, baud, frame), backoff_s
        self._file = None if out is None else LogFile(out, f"{port}, {baud} bit/s, {frame}", append)
        self._zero = steady_s()
        self._stop, self._lock = threading.Event(), threading.Lock()
        self._ring, self._number = deque(maxlen=kept_lines), 0
        self._splitter, self._lines, self._bytes, self._gaps = Splitter(), 0, 0, 0
        self._state, self._problem, self._last_s, self._lost_s = "opening", "", self.seconds(), None
        self._thread = threading.Thread(target=self._run, name=f"link to {port}", daemon=True)

    # ---- for the notebook: nothing here waits for the board

    def start(self):
        """Begin to listen, in a thread of its own."""
        self._thread.start()
        return self

    def stop(self, timeout_s=2.0):
        """Stop and close port and file; True once done. A port that is just being opened may take longer than that."""
        self._stop.set()
        if self._thread.ident is None:
            self._finish()
        else:
            self._thread.join(timeout_s)
        return not self._thread.is_alive()

    def __enter__(self):
        return self.start()

    def __exit__(self, *_):
        self.stop()

    def seconds(self):
        """Host time since the start of the link, or of its file [s]."""
        return steady_s() - self._zero if self._file is None else self._file.seconds()

    def status(self):
        """A `Status` of this moment."""
        with self._lock:
            now = self.seconds()
            counts = (self._lines, self._bytes, self._gaps)
            return Status(self._state, self.port, *counts, now, now - self._last_s, self._problem)

    def since(self, number):
        """What came from that number on and is still kept: a list of `Received`, the oldest first."""
        with self._lock:
            first = self._number - len(self._ring)
            skip = max(0, number - first)
            return [self._ring[i] for i in range(skip, len(self._ring))] if skip < len(self._ring) else []

    # ---- the thread

    def _run(self):
        try:
            while not self._stop.is_set():
                port = self._opened()
                if port is not None:
                    self._listen(port)
                    self._stop.wait(self._backoff_s[0])
        except (_RecordError, ValueError) as error:
            self._problem = str(error)
        finally:
            self._finish()

    def _opened(self):
        """An open port, tried again and again; None once we are to stop."""
        wait_s, longest_s = self._backoff_s
        while not self._stop.is_set():
            try:
                port = ports.opened(*self._settings)
            except OSError as error:
                with self._lock:
                    self._problem = ports.reason(error)
                self._stop.wait(wait_s)
                wait_s = min(2 * wait_s, longest_s)
                continue
            self._is_open()
            return port
        return None

    def _is_open(self):
        if self._lost_s is not None:
            now = self.seconds()
            self._record(remark(f"open again at {now:.3f} s, {now - self._lost_s:.3f} s later"))
        with self._lock:
            self._state, self._problem, self._last_s = "open", "", self.seconds()

    def _listen(self, port):
        try:
            while not self._stop.is_set():
                data = port.read(READ_BYTES)
                if data:
                    self._take(data)
                self._stop.wait(POLL_S)
        except OSError as error:
            self._gap(ports.reason(error))
        finally:
            ports.shut(port)

    def _take(self, data):
        """Whole lines go to the file, then to the ring; what is left over waits for its line feed."""
        at_s = self.seconds()
        whole = self._splitter.take(data)
        rows = [row(at_s, each) for each in whole]
        if len(self._splitter.half) > LONGEST_LINE:
            whole.append(self._splitter.cut())
            rows += [row(at_s, whole[-1]), remark(f"no line end in {len(whole[-1])} bytes at {at_s:.3f} s: cut here")]
        self._record(b"".join(rows))
        with self._lock:
            self._bytes, self._last_s = self._bytes + len(data), at_s
            self._lines += len(whole)
            for each in whole:
                self._keep(at_s, each)

    def _keep(self, at_s, data):
        self._ring.append(Received(self._number, at_s, data))
        self._number += 1

    def _gap(self, why):
        at_s = self._lost_s = self.seconds()
        self._record(remark(f"gap at {at_s:.3f} s: {why}{after_half(self._splitter.cut())}"))
        with self._lock:
            self._state, self._problem = "lost", why
            self._gaps += 1
            self._keep(at_s, None)

    def _record(self, data):
        try:
            if self._file is not None:
                self._file.write(data)
        except OSError as error:
            raise _RecordError(f"{self._file.path} cannot be written: {error.strerror}; nothing is recorded") from None

    def _finish(self):
        try:
            self._record(remark(f"end at {self.seconds():.3f} s{after_half(self._splitter.cut())}"))
        except _RecordError as error:
            self._problem = str(error)
        with self._lock:
            self._state = "stopped"
            if self._file is not None and self._bytes:
                self._file.close()
            elif self._file is not None:
                self._file.drop()
