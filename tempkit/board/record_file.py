"""The file that the recorder writes: whole lines, handed to the system as they come.

    # tempkit record 1: seconds since the start, a tab, the line as it was received
    # start 2026-11-25T18:00:00.000+00:00
    # port PORT, 9600 bit/s, 8N1
    0.412<TAB>t=12.0 code=163 read=24.8
    # gap at 3.508 s: the port went away

A line that starts with # is a remark of the recorder; everything else is a received line, up to its line feed. More
remarks: "open again", "no line end" and "end"; "torn", where a killed recorder left the line before it without an end;
"clock", where the computer's clock was set: the seconds do not follow it.
"""

import mmap
import os
import re
import time
from datetime import UTC, datetime
from pathlib import Path

HEAD = b"# tempkit record 1: seconds since the start, a tab, the line as it was received\n"
START = re.compile(rb"^# start (\S+)\s*$", re.M)
STEP = re.compile(rb"^# clock at \d+\.\d{3} s: the computer's clock was set by ([+-]\d+\.\d{3}) s$", re.M)
STEP_S = 1.0  # a clock that is off by less is being steered, not set
LOCK_AT = 2**31 - 2  # the byte that is locked where a system locks bytes, beyond what a log has
HEAD_BYTES, TAIL_BYTES = 4096, 65_536
BINARY = getattr(os, "O_BINARY", 0)  # Windows would turn line feeds into two bytes


def row(at_s, data):
    """A received line, without its line feed, as it stands in the file.

    >>> row(0.4123, b"t=12.0 code=163 read=24.8")
    b'0.412\\tt=12.0 code=163 read=24.8\\n'
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
    >>> splitter.take(b"read=24.8\\r\\nread=2"), splitter.half
    ([b'read=24.8\\r'], b'read=2')
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


def steady_s():
    """Seconds of a clock that nobody sets, and that goes on while the computer sleeps where the system has such a one.

    >>> steady_s() <= steady_s()
    True
    """
    kind = getattr(time, "CLOCK_BOOTTIME", getattr(time, "CLOCK_MONOTONIC", None))
    return time.monotonic() if kind is None else time.clock_gettime(kind)


def _lock(fd):
    """Take the lock of an open file, which goes with it; False where another has it."""
    try:
        try:
            import fcntl
        except ImportError:
            import msvcrt

            os.lseek(fd, LOCK_AT, os.SEEK_SET)  # what is written goes to the end all the same
            msvcrt.locking(fd, msvcrt.LK_NBLCK, 1)
        else:
            fcntl.flock(fd, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except (BlockingIOError, PermissionError):
        return False
    except OSError:  # a file system without locks
        pass
    return True


class LogFile:
    """A file that only grows. `seconds()` is the time since its start; every write goes to the system at once.

    path : the file; port : said in its head; append : go on in a file of this kind. Raises `ValueError` for a file that
    exists (nothing is overwritten), that is to go on and is no record, or that another recorder writes.

    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     log = LogFile(Path(folder) / "log.txt", "PORT, 9600 bit/s, 8N1")
    ...     log.write(row(0.25, b"read=24.8"))
    ...     log.close()
    ...     (Path(folder) / "log.txt").read_bytes().splitlines()[-1]
    b'0.250\\tread=24.8'
    """

    def __init__(self, path, port, append=False):
        self.path, self._fd = Path(path), None
        self.new = not (append and self.path.exists())
        self._fd = self._open()
        self._zero, self._ahead_s = steady_s(), time.time() - steady_s()
        try:
            self.write(self._begun(port) if self.new else self._gone_on(port))
        except ValueError:
            self.close()
            raise
        except OSError as error:
            self.drop()
            raise self._cannot(error, "written") from None

    def _open(self):
        flags = os.O_WRONLY | os.O_APPEND | BINARY | (os.O_CREAT | os.O_EXCL if self.new else 0)
        try:
            fd = os.open(self.path, flags, 0o666)
        except FileExistsError:
            message = f"{self.path} exists and is left as it is: name another file, or go on in it with --append"
            raise ValueError(message) from None
        except OSError as error:
            raise self._cannot(error, "written") from None
        if not _lock(fd):
            os.close(fd)
            raise ValueError(f"another recorder writes {self.path}: stop it, or name another file") from None
        return fd

    def _cannot(self, error, what):
        return ValueError(f"{self.path} cannot be {what}: {error.strerror}; name another file")

    def _begun(self, port):
        start = datetime.now(UTC).isoformat(timespec="milliseconds")
        return HEAD + remark(f"start {start}") + remark(f"port {port}")

    def _gone_on(self, port):
        """The remarks with which a file goes on: by the clock on the wall, but never back behind its last line."""
        by_clock_s, last_s, torn = self._so_far()
        at_s = max(by_clock_s, last_s)
        self._zero -= at_s
        told = b"\n" + remark("torn: the line before has no end") if torn else b""
        told += remark(f"gap at {at_s:.3f} s: the recorder was not running")
        if by_clock_s < last_s:
            told += self._step(by_clock_s - last_s, at_s)
        return told + remark(f"port {port}")

    def _so_far(self):
        """Seconds from the file's start to now by the clock on the wall, those of its last line, and if it is torn."""
        try:
            with self.path.open("rb") as file, mmap.mmap(file.fileno(), 0, access=mmap.ACCESS_READ) as data:
                start = START.search(data[:HEAD_BYTES])
                steps_s = sum(float(found[1]) for found in STEP.finditer(data))
                tail = data[-TAIL_BYTES:]
        except OSError as error:
            raise self._cannot(error, "read") from None
        except ValueError:  # an empty file cannot be mapped
            start = None
        if start is None:
            raise ValueError(f"{self.path} is no record with a start in its head: name another file")
        try:
            so_far = (datetime.now(UTC) - datetime.fromisoformat(start[1].decode())).total_seconds()
        except (ValueError, TypeError):
            raise ValueError(f"{self.path} starts at {quoted(start[1])}, which is no time: name another file") from None
        times = re.findall(rb"^(\d+\.\d{3})\t|^# \w[\w ]* at (\d+\.\d{3}) s", tail, re.M)
        return so_far - steps_s, max((float(a or b) for a, b in times), default=0.0), not tail.endswith(b"\n")

    def _step(self, step_s, at_s):
        return remark(f"clock at {at_s:.3f} s: the computer's clock was set by {step_s:+.3f} s")

    def seconds(self):
        """Time since the start of the file [s]."""
        return steady_s() - self._zero

    def write(self, data):
        """Hand whole lines to the system: they are in the file even if this process is killed right after."""
        step_s = time.time() - steady_s() - self._ahead_s
        if abs(step_s) >= STEP_S:
            self._ahead_s += step_s
            data = self._step(step_s, self.seconds()) + data
        while data:
            data = data[os.write(self._fd, data) :]

    def close(self):
        """Close the file; a second time does nothing."""
        if self._fd is not None:
            os.close(self._fd)
            self._fd = None

    def drop(self):
        """Close the file and, if it is one that was begun here, take it away."""
        if self._fd is not None:
            self.close()
            if self.new:
                self.path.unlink(missing_ok=True)
