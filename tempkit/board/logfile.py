"""The file that the recorder writes: whole lines, handed to the system as they come.

    # tempkit record 1: seconds since the start, a tab, the line as it was received
    # start 2026-11-25T18:00:00.000+00:00
    # port PORT, 9600 bit/s, 8N1
    0.412<TAB>t=12.0 code=153 read=24.9
    # gap at 3.508 s: the port went away

A line that starts with # is a remark of the recorder; everything else is a received line, up to its line feed.
"""

import os
import re
import time
from datetime import UTC, datetime
from pathlib import Path

HEAD = b"# tempkit record 1: seconds since the start, a tab, the line as it was received\n"
START = re.compile(rb"^# start (\S+)\s*$", re.M)
HEAD_BYTES, TAIL_BYTES = 4096, 65_536
BINARY = getattr(os, "O_BINARY", 0)  # Windows would turn line feeds into two bytes


def row(at_s, data):
    """A received line, without its line feed, as it stands in the file.

    >>> row(0.4123, b"t=12.0 code=153 read=24.9")
    b'0.412\\tt=12.0 code=153 read=24.9\\n'
    """
    return b"%.3f\t%b\n" % (at_s, data)


def remark(text):
    """A remark as it stands in the file; what is not plain text is written as escapes.

    >>> remark("gap at 3.508 s")
    b'# gap at 3.508 s\\n'
    """
    plain = text.encode("ascii", "backslashreplace")
    return b"# " + re.sub(rb"[\x00-\x1f\x7f]", b" ", plain) + b"\n"


def quoted(data):
    """Bytes as one piece of readable text.

    >>> quoted(b"t=12.0 co\\xff")
    "'t=12.0 co\\\\xff'"
    """
    return repr(bytes(data))[1:]


class Splitter:
    """Bytes in, whole lines out: `take` gives the lines that are complete now, and `half` is what waits for its end.

    >>> splitter = Splitter()
    >>> splitter.take(b"read=24.9\\r\\nread=2"), splitter.half
    ([b'read=24.9\\r'], b'read=2')
    """

    def __init__(self):
        self.half = b""

    def take(self, data):
        """The lines, without their line feed, that these bytes complete."""
        *whole, self.half = (self.half + data).split(b"\n")
        return whole

    def cut(self):
        """What waited for its end, which will not come; from now on nothing waits."""
        half, self.half = self.half, b""
        return half


def after_half(half):
    """What a remark says of the half line before it; nothing where there is none.

    >>> after_half(b"read=2"), after_half(b"")
    ("; half a line before it: 'read=2'", '')
    """
    return f"; half a line before it: {quoted(half)}" if half else ""


class LogFile:
    """A file that only grows. `seconds()` is the time since its start; every write goes to the system at once.

    path : the file; port : said in its head; append : go on in a file of this kind. Raises `ValueError` for a file that
    exists (nothing is overwritten), or that is to go on and is no record.

    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     log = LogFile(Path(folder) / "log.txt", "PORT, 9600 bit/s, 8N1")
    ...     log.write(row(0.25, b"read=24.9"))
    ...     log.close()
    ...     (Path(folder) / "log.txt").read_bytes().splitlines()[-1]
    b'0.250\\tread=24.9'
    """

    def __init__(self, path, port, append=False):
        self.path, self._fd = Path(path), None
        goes_on = append and self.path.exists()
        before_s = self._time_so_far() if goes_on else 0.0
        self._zero = time.monotonic() - before_s
        self._fd = self._open(goes_on)
        if goes_on:
            torn = b"\n" if self._last_byte() not in (b"\n", b"") else b""
            self.write(torn + remark(f"gap at {before_s:.3f} s: the recorder was not running") + remark(f"port {port}"))
        else:
            start = datetime.now(UTC).isoformat(timespec="milliseconds")
            self.write(HEAD + remark(f"start {start}") + remark(f"port {port}"))

    def _open(self, goes_on):
        flags = os.O_WRONLY | os.O_APPEND | BINARY | (0 if goes_on else os.O_CREAT | os.O_EXCL)
        try:
            return os.open(self.path, flags, 0o666)
        except FileExistsError:
            message = f"{self.path} exists and is left as it is: name another file, or go on in it with --append"
            raise ValueError(message) from None
        except OSError as error:
            raise ValueError(f"{self.path} cannot be written: {error.strerror}; name another file") from None

    def _time_so_far(self):
        """Seconds from the start of the file to now, by the clock on the wall, but never back behind its last line."""
        try:
            with self.path.open("rb") as file:
                head = file.read(HEAD_BYTES)
                file.seek(max(0, self.path.stat().st_size - TAIL_BYTES))
                tail = file.read()
        except OSError as error:
            raise ValueError(f"{self.path} cannot be read: {error.strerror}; name another file") from None
        start = START.search(head)
        if start is None:
            raise ValueError(f"{self.path} is no record with a start in its head: name another file")
        try:
            so_far = (datetime.now(UTC) - datetime.fromisoformat(start[1].decode())).total_seconds()
        except (ValueError, TypeError):
            raise ValueError(f"{self.path} starts at {quoted(start[1])}, which is no time: name another file") from None
        times = re.findall(rb"^(\d+\.\d{3})\t", tail, re.M)
        return max(so_far, float(times[-1]) if times else 0.0)

    def _last_byte(self):
        with self.path.open("rb") as file:
            file.seek(max(0, self.path.stat().st_size - 1))
            return file.read()

    def seconds(self):
        """Time since the start of the file [s]."""
        return time.monotonic() - self._zero

    def write(self, data):
        """Hand whole lines to the system: they are in the file even if this process is killed right after."""
        while data:
            data = data[os.write(self._fd, data) :]

    def close(self):
        """Close the file; a second time does nothing."""
        if self._fd is not None:
            os.close(self._fd)
            self._fd = None
