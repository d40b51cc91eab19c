"""Boards for the tests of the live link: plain sockets and pseudo-terminals, written apart from the pretend board."""

import os
import re
import socket
import time
from pathlib import Path

GAP = re.compile(rb"# gap at (\d+\.\d{3}) s: (.*)")
ROW = re.compile(rb"(\d+\.\d{3})\t(.*)", re.S)


def wait_for(condition, seconds=20.0):
    """Wait until a condition holds; fails after so many seconds."""
    end = time.monotonic() + seconds
    while not condition():
        assert time.monotonic() < end, "waited too long"
        time.sleep(0.002)


class TcpBoard:
    """A TCP server with one listener."""

    def __init__(self, _folder=None):
        self._server = socket.create_server(("127.0.0.1", 0))
        self._server.settimeout(20.0)
        self.port = f"socket://127.0.0.1:{self._server.getsockname()[1]}"
        self._end = None

    def plug(self):
        self._end = self._server.accept()[0]

    def send(self, data):
        self._end.sendall(data)

    def unplug(self):
        self._end.close()

    def close(self):
        self._server.close()


class PtyBoard:
    """A pseudo-terminal under a name that stays."""

    def __init__(self, folder):
        self.port = str(Path(folder) / "board")
        self._ends = ()

    def plug(self):
        import tty

        self._ends = os.openpty()
        tty.setraw(self._ends[1])
        Path(self.port).symlink_to(os.ttyname(self._ends[1]))

    def send(self, data):
        os.write(self._ends[0], data)

    def unplug(self):
        Path(self.port).unlink()
        for end in self._ends:
            os.close(end)

    def close(self):
        pass


BOARDS = {"tcp": TcpBoard, "pty": PtyBoard}


def some_lines(rng, first, most=20):
    """Numbered lines, up to so many, and a half line after them, perhaps empty."""
    count = int(rng.integers(0, most + 1))
    lines = [b"t=%d.0 code=%d read=24.9\r\n" % (first + i, rng.integers(0, 1024)) for i in range(count)]
    half = b"t=%d.0 code=163" % (first + count)
    return lines, half[: int(rng.integers(0, len(half) + 1))]


def in_chunks(rng, data):
    """The same bytes in a few pieces, cut anywhere."""
    cuts = sorted(rng.integers(0, len(data) + 1, 3).tolist())
    edges = [0, *cuts, len(data)]
    return [data[a:b] for a, b in zip(edges, edges[1:], strict=False) if a < b]


def rows(data):
    """Received lines of a record file, gaps as None, in order; everything must have the form of the format."""
    *whole, rest = data.split(b"\n")
    assert rest == b"", f"the file ends in the middle of a line: {rest!r}"
    found = []
    for each in whole:
        if each.startswith(b"# gap"):
            assert GAP.fullmatch(each), each
            found.append(None)
        elif not each.startswith(b"#"):
            found.append(ROW.fullmatch(each)[2])
    return found


def gap_words(data):
    """What the gap remarks say."""
    return [match[2] for match in (GAP.fullmatch(each) for each in data.split(b"\n")) if match]


def times(data):
    """Host times of the received lines [s]."""
    return [float(each.partition(b"\t")[0]) for each in data.split(b"\n") if each and not each.startswith(b"#")]
