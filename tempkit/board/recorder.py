"""`python -m tempkit board record`: every line of a board into a file, with a line of progress."""

import signal
import sys
import threading
import time
from contextlib import contextmanager, suppress

from tempkit.board import ports
from tempkit.board.live import Link

PROGRESS_S = 0.5
PLAIN_PROGRESS_S = 10.0  # where the progress goes to a file


def record(port, out, baud=9600, frame="8N1", append=False, seconds=None, progress=sys.stderr):
    """Record until interrupted, or for so many seconds; returns a sentence on what there is now.

    port, baud, frame, out, append : as for `Link`; seconds : how long [s], None without an end; progress : a stream.
    Raises `ValueError` for a file that exists and is not to go on, for a port that makes no sense, where the file can
    no longer be written, and where no line came.
    """
    with interrupts() as stop, Link(port, baud, frame, out, append) as link:
        shown = _Progress(progress)
        end_s = time.monotonic() + (float("inf") if seconds is None else seconds)
        while not stop.is_set() and time.monotonic() < end_s and link.status().state != "stopped":
            shown.show(link)
            stop.wait(min(shown.period_s, max(0.0, end_s - time.monotonic())))
        early = link.status()
        link.stop()
        status = link.status()
        shown.end(link)
    if early.state == "stopped":
        raise ValueError(early.problem)
    if not status.lines:
        raise ValueError(_nothing(status, out))
    lines = "1 line" if status.lines == 1 else f"{status.lines} lines"
    gaps = {0: "no gap", 1: "1 gap"}.get(status.gaps, f"{status.gaps} gaps")
    trouble = f"\nthe port: {early.problem}" if early.problem else ""
    return f"{out}: {lines} recorded, {gaps}{trouble}\n"


def _nothing(status, out):
    """Why there is no line."""
    trouble = f" ({status.problem})" if status.problem else ""
    if not status.bytes:
        return f"nothing came over {status.port} in {status.at_s:.0f} s{trouble}: {out} has no new line"
    return (
        f"no whole line came over {status.port} in {status.at_s:.0f} s{trouble}, but {status.bytes} bytes did, which "
        f"{out} keeps in its remarks: is the baud right, does the board end its lines?"
    )


@contextmanager
def interrupts():
    """An event that is set by Ctrl+C, a request to end, or the end of the terminal; nobody can interrupt a thread."""
    stop = threading.Event()
    if threading.current_thread() is not threading.main_thread():
        yield stop
        return
    kinds = [getattr(signal, name) for name in ("SIGINT", "SIGTERM", "SIGHUP", "SIGBREAK") if hasattr(signal, name)]
    kinds = [kind for kind in kinds if signal.getsignal(kind) is not signal.SIG_IGN]  # as nohup wants it
    before = [signal.signal(kind, lambda *_: stop.set()) for kind in kinds]
    try:
        yield stop
    finally:
        for kind, handler in zip(kinds, before, strict=True):
            signal.signal(kind, handler)


class _Progress:
    """One line that is written over again on a terminal, and a line now and then elsewhere; lost where that is gone."""

    def __init__(self, stream):
        self._stream, self._width = stream, 0
        self._rewrites = bool(getattr(stream, "isatty", lambda: False)())
        self.period_s = PROGRESS_S if self._rewrites else PLAIN_PROGRESS_S

    def show(self, link):
        latest = [each.data for each in link.since(0)[-1:] if each.data is not None]
        last = f" last: {printable(latest[0])}" if latest else ""
        text = f"{link.status().words()}{last}"[:150]
        self._say("\r" + text.ljust(self._width) if self._rewrites else text + "\n")
        self._width = len(text)

    def end(self, link):
        self.show(link)
        if self._rewrites:
            self._say("\n")

    def _say(self, text):
        with suppress(OSError):
            self._stream.write(text)
            self._stream.flush()


def printable(data):
    """Received bytes as text for a terminal: what is not plain text becomes a dot.

    >>> printable(b"read=24.8\\x07\\xff\\r")
    'read=24.8..'
    """
    return "".join(chr(each) if 32 <= each < 127 else "." for each in data.rstrip(b"\r"))


def ports_here():
    """The serial ports of this computer as text.

    >>> ports_here().startswith("serial ports")
    True
    """
    rows = [f"  {name}: {what}\n" for name, what in ports.found().items()]
    return "serial ports of this computer:\n" + "".join(rows or ["  none: is the board plugged in?\n"])
