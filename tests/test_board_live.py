"""The live link: what was fully received is kept, whatever happens to the cable; nothing waits for the board."""

import os
import select
import socket
import threading
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import numpy as np
import pytest

import boards
from tempkit.board import Link, live, ports

LINUX = Path("/proc/self/fd").is_dir()
QUICK = (0.005, 0.02)  # back-off in these tests [s]
HANG_S = 2.0

wires = pytest.mark.parametrize(
    "wire", ["tcp", pytest.param("pty", marks=pytest.mark.skipif(os.name != "posix", reason="no pseudo-terminals"))]
)


class Spy:
    """A port that keeps a copy of every read."""

    def __init__(self, port, reads):
        self._port, self._reads = port, reads

    @property
    def _socket(self):
        return getattr(self._port, "_socket", None)

    def read(self, size):
        data = self._port.read(size)
        self._reads.append(data)
        return data

    def close(self):
        self._port.close()


# ---- unplugging


def cycles(wire, folder, count, seed):
    """Unplug so many times at random points; returns the port, what was sent in each cycle, and the file."""
    rng, board = np.random.default_rng(seed), boards.BOARDS[wire](folder)
    sent, out = [], folder / "log.txt"
    with Link(board.port, out=out, backoff_s=QUICK) as link:
        for cycle in range(count):
            board.plug()
            boards.wait_for(lambda: link.status().state == "open")
            lines, half = boards.some_lines(rng, 100 * cycle)
            total = link.status().bytes + len(b"".join(lines) + half)
            for chunk in boards.in_chunks(rng, b"".join(lines) + half):
                board.send(chunk)
                time.sleep(0.003 * rng.random())
            arrived = rng.random() < 0.5  # in the other half of the cycles bytes are on their way when it is unplugged
            if arrived:
                boards.wait_for(lambda end=total: link.status().bytes == end)
            board.unplug()
            boards.wait_for(lambda number=cycle + 1: link.status().gaps == number)
            sent.append((lines, half, arrived))
    board.close()
    return board.port, sent, out.read_bytes()


def stretches(found):
    """Lists of lines between gaps."""
    parts = [[]]
    for each in found:
        if each is None:
            parts.append([])
        else:
            parts[-1].append(each + b"\n")
    return parts


def check_cycles(wire, sent, data, reads):
    found = boards.rows(data)
    assert found.count(None) == len(sent), "every gap is marked, once"
    parts, words = stretches(found), boards.gap_words(data)
    assert parts.pop() == []
    heard = [b"".join(each) for each in reads]
    assert not any(heard[len(sent) :]), "at the end it may already be in again, but nobody speaks"
    heard = heard[: len(sent)]
    for (lines, half, arrived), part, said, bytes_ in zip(sent, parts, words, heard, strict=True):
        if wire == "tcp" or arrived:  # a terminal that goes away takes with it what the system held
            assert part == lines
            assert (repr(half)[1:].encode() in said) == bool(half)
        assert part == lines[: len(part)], "no line is changed, none is made up"
        assert part == bytes_.splitlines(keepends=True)[: bytes_.count(b"\n")], "every line that was received"


def unplug_many(wire, folder, count, seed, monkeypatch):
    """Several links at once, each with a board of its own."""
    each, reads = -(-count // 4), {}
    real = ports.opened

    def opened(port, *settings):
        made = real(port, *settings)
        reads.setdefault(port, []).append([])
        return Spy(made, reads[port][-1])

    monkeypatch.setattr(ports, "opened", opened)
    folders = [folder / str(i) for i in range(4)]
    for one in folders:
        one.mkdir()
    with ThreadPoolExecutor(4) as pool:
        runs = list(pool.map(lambda i: cycles(wire, folders[i], each, [seed, i]), range(4)))
    for port, sent, data in runs:
        check_cycles(wire, sent, data, reads[port])
    return 4 * each


@wires
def test_unplugging(wire, tmp_path, monkeypatch):
    assert unplug_many(wire, tmp_path, 24, 1, monkeypatch) == 24


@pytest.mark.long
@wires
def test_unplugging_200_times(wire, tmp_path, monkeypatch):
    assert unplug_many(wire, tmp_path, 200, 2, monkeypatch) == 200


# ---- the notebook never waits


def test_nothing_waits_for_a_port_that_takes_its_time(monkeypatch):
    let_go = threading.Event()

    def slow(*_):
        let_go.wait(20)
        raise OSError("too late")

    monkeypatch.setattr(ports, "opened", slow)
    started = time.monotonic()
    link = Link("PORT").start()
    assert link.status().state == "opening" and link.since(0) == []
    assert link.stop(0.05) is False
    assert time.monotonic() - started < HANG_S
    let_go.set()
    assert link.stop(10.0) is True
    assert link.status().state == "stopped"


def test_it_waits_for_a_port_that_is_not_there_yet(tmp_path):
    board = boards.BOARDS["pty" if os.name == "posix" else "tcp"](tmp_path)
    with Link(board.port, backoff_s=QUICK) as link:
        boards.wait_for(lambda: link.status().problem)
        assert "there is no such port" in link.status().words() or os.name != "posix"
        board.plug()
        boards.wait_for(lambda: link.status().state == "open")
        board.send(b"read=24.9\r\n")
        boards.wait_for(lambda: link.status().lines == 1)
        assert "1 line in" in link.status().words() and link.status().problem == ""
        board.unplug()


def test_back_off_grows_to_its_limit(monkeypatch):
    waits = []
    monkeypatch.setattr(ports, "opened", lambda *_: (_ for _ in ()).throw(OSError("not there")))
    link = Link("PORT", backoff_s=(0.1, 1.0))
    monkeypatch.setattr(
        link._stop, "wait", lambda seconds: waits.append(seconds) or len(waits) == 6 and link._stop.set()
    )
    link.start()
    boards.wait_for(lambda: link.status().state == "stopped")
    assert waits == [0.1, 0.2, 0.4, 0.8, 1.0, 1.0]


def test_it_stops_cleanly(tmp_path):
    """Thread gone, port and file closed, a second stop harmless; the port can be opened again at once."""
    threads, files = threading.active_count(), open_files()
    for _ in range(3):
        board = boards.TcpBoard()
        link = Link(board.port).start()
        board.plug()
        boards.wait_for(lambda: link.status().state == "open")  # noqa: B023
        assert link.stop() and link.stop()
        board.unplug()
        board.close()
    assert threading.active_count() == threads
    assert open_files() == files
    unused = Link("PORT", out=tmp_path / "log.txt")
    assert unused.stop() and unused.status().state == "stopped"
    assert open_files() == files


def open_files():
    return len(os.listdir("/proc/self/fd")) if LINUX else 0  # noqa: PTH208


def test_what_makes_no_sense_is_said(tmp_path):
    with pytest.raises(ValueError, match="frame '8X1' is not"):
        Link("PORT", frame="8X1")
    for port, baud, words in (("PORT", 1, "baud 1 bit/s must be"), ("nonsense://x", 9600, "nonsense")):
        link = Link(port, baud=baud).start()
        boards.wait_for(lambda: link.status().state == "stopped")  # noqa: B023
        assert words in link.status().problem


@pytest.mark.skipif(os.name != "posix", reason="no pseudo-terminals")
def test_a_port_is_not_shared(tmp_path):
    """Two readers of one port would each get a part of every line."""
    board = boards.PtyBoard(tmp_path)
    board.plug()
    with Link(board.port, backoff_s=QUICK) as first:
        boards.wait_for(lambda: first.status().state == "open")
        with Link(board.port, backoff_s=QUICK) as second:
            boards.wait_for(lambda: second.status().problem)
            assert "another program has the port open" in second.status().words()
    board.unplug()


def test_what_comes_while_the_port_is_being_opened_is_kept(tmp_path, monkeypatch):
    """The board speaks the moment that somebody is connected, before our own code sees the connection."""
    real, board = socket.create_connection, boards.TcpBoard()

    def slow(*settings, **more):
        made = real(*settings, **more)
        board.plug()
        board.send(b"time_s,code\r\n0.0,163\r\n")
        select.select([made], [], [], 20.0)
        return made

    monkeypatch.setattr(socket, "create_connection", slow)
    with Link(board.port, out=tmp_path / "log.txt") as link:
        boards.wait_for(lambda: link.status().lines == 2)
        assert [each.data for each in link.since(0)] == [b"time_s,code\r", b"0.0,163\r"]
    board.unplug()
    board.close()


def test_a_server_that_hangs_up_at_once_is_not_called_without_a_pause(monkeypatch):
    """Each call waits for the first time of the back-off; else its gaps would fill the file."""
    board, calls = boards.TcpBoard(), []
    real = ports.opened

    def opened(*settings):
        calls.append(time.monotonic())
        made = real(*settings)
        board.plug()
        board.unplug()
        return made

    monkeypatch.setattr(ports, "opened", opened)
    with Link(board.port, backoff_s=(0.1, 1.0)):
        boards.wait_for(lambda: len(calls) >= 4)
    board.close()
    assert min(np.diff(calls)) >= 0.1


def test_a_port_of_a_computer_that_is_none():
    for url in ("socket://", "socket://127.0.0.1", "socket://127.0.0.1:99999", "socket://:5000", "socket://[::1:5"):
        with pytest.raises(ValueError, match="is not socket://HOST:NUMBER, with a number from 1 to 65535"):
            ports.opened(url)


@pytest.mark.slow
@wires
def test_a_fast_line_without_loss(wire, tmp_path):
    """115 200 bit/s for a second, in the bursts of 5 ms in which a system hands bytes over."""
    board, out = boards.BOARDS[wire](tmp_path), tmp_path / "log.txt"
    sent = [b"t=%06d.0 code=163 read=24.8\r\n" % i for i in range(400)]
    with Link(board.port, baud=115_200, out=out) as link:
        board.plug()
        boards.wait_for(lambda: link.status().state == "open")
        for first in range(0, len(sent), 2):
            board.send(b"".join(sent[first : first + 2]))
            time.sleep(0.005)
        boards.wait_for(lambda: link.status().lines == len(sent))
    board.unplug()
    board.close()
    assert [each + b"\n" for each in boards.rows(out.read_bytes())] == sent
    assert live.KEPT_LINES >= len(sent)
