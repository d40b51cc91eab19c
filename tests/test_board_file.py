"""The file of the recorder: every line in it before it is shown, nothing overwritten, gone on with in order of time."""

import os
import time

import numpy as np
import pytest

import boards
from tempkit.board import Link, logfile


def test_every_line_is_in_the_file_before_it_is_shown(tmp_path):
    board, out = boards.TcpBoard(), tmp_path / "log.txt"
    with Link(board.port, out=out) as link:
        board.plug()
        boards.wait_for(lambda: link.status().state == "open")
        for i in range(30):
            board.send(b"line %d\r\n" % i)
            boards.wait_for(lambda n=i: link.status().lines == n + 1)
            assert boards.rows(out.read_bytes())[-1] == b"line %d\r" % i
        board.unplug()
    board.close()


def test_half_lines_wait_and_bytes_are_kept_as_they_came(tmp_path):
    board, out = boards.TcpBoard(), tmp_path / "log.txt"
    raw = bytes(range(256)).replace(b"\n", b"") + b"\n"
    with Link(board.port, out=out) as link:
        board.plug()
        boards.wait_for(lambda: link.status().state == "open")
        for first in range(0, len(raw), 50):
            assert link.since(0) == [] and boards.rows(out.read_bytes()) == []
            board.send(raw[first : first + 50])
            boards.wait_for(lambda n=first: link.status().bytes == min(n + 50, len(raw)))
        board.send(b"half")
        boards.wait_for(lambda: link.status().bytes == len(raw) + 4)
    board.unplug()
    board.close()
    assert boards.rows(out.read_bytes()) == [raw[:-1]]
    assert b"# end at " in out.read_bytes() and out.read_bytes().endswith(b"half a line before it: 'half'\n")


def test_noise_without_line_ends_is_cut_and_memory_stays_small(tmp_path):
    board, out = boards.TcpBoard(), tmp_path / "log.txt"
    with Link(board.port, out=out, kept_lines=10) as link:
        board.plug()
        boards.wait_for(lambda: link.status().state == "open")
        board.send(b"x" * 50_000)
        boards.wait_for(lambda: link.status().bytes == 50_000)
        board.send(b"\n" * 100)
        boards.wait_for(lambda: link.status().bytes == 50_100)
        assert [each.number for each in link.since(0)] == list(range(link.status().lines))[-10:]
        number = link.since(0)[-1].number
        assert len(link.since(number)) == 1 and link.since(number + 1) == []
    board.unplug()
    board.close()
    assert b"".join(boards.rows(out.read_bytes())) == b"x" * 50_000
    assert b"# no line end in " in out.read_bytes()


def test_times_are_those_of_the_line_ends(tmp_path):
    board, out = boards.TcpBoard(), tmp_path / "log.txt"
    with Link(board.port, out=out) as link:
        board.plug()
        boards.wait_for(lambda: link.status().state == "open")
        sent = []
        for _ in range(3):
            time.sleep(0.1)
            board.send(b"a\n")
            sent.append(link.seconds())
            boards.wait_for(lambda: link.status().lines == len(sent))
    board.unplug()
    board.close()
    late = np.array(boards.times(out.read_bytes())) - sent
    assert (late > -0.001).all() and (late < 1.0).all()


def full_disk(monkeypatch, after):
    """The system takes so many writes to the file, then none."""
    real, count = os.write, iter(range(10**6))

    def write(end, data):
        if data[:2] != b"# " and next(count) >= after:
            raise OSError(28, "No space left on device")
        return real(end, data)

    monkeypatch.setattr(logfile.os, "write", write)


def test_a_file_that_cannot_be_written_stops_it_and_says_so(tmp_path, monkeypatch):
    board = boards.TcpBoard()
    full_disk(monkeypatch, after=2)
    with Link(board.port, out=tmp_path / "log.txt") as link:
        board.plug()
        boards.wait_for(lambda: link.status().state == "open")
        for i in range(3):
            board.send(b"%d\n" % i)
            boards.wait_for(lambda n=i: link.status().lines > n or link.status().state == "stopped")
        assert link.status().state == "stopped"
        assert "log.txt cannot be written: No space left on device" in link.status().words()
    board.unplug()
    board.close()


def test_a_write_that_takes_a_part_only_is_finished(tmp_path, monkeypatch):
    real = os.write
    monkeypatch.setattr(logfile.os, "write", lambda end, data: real(end, data[:3]))
    log = logfile.LogFile(tmp_path / "log.txt", "PORT")
    log.write(logfile.row(1.0, b"read=24.9"))
    log.close()
    assert boards.rows((tmp_path / "log.txt").read_bytes()) == [b"read=24.9"]


def test_nothing_is_overwritten(tmp_path):
    out = tmp_path / "log.txt"
    out.write_bytes(b"precious\n")
    for append, words in ((False, "exists and is left as it is"), (True, "no record with a start")):
        with pytest.raises(ValueError, match=words):
            Link("PORT", out=out, append=append)
    assert out.read_bytes() == b"precious\n"
    with pytest.raises(ValueError, match="cannot be written: No such file or directory"):
        Link("PORT", out=tmp_path / "no" / "log.txt")
    out.write_bytes(b"# start yesterday\n")
    with pytest.raises(ValueError, match="'yesterday', which is no time"):
        Link("PORT", out=out, append=True)


def test_going_on_in_a_file(tmp_path):
    """The time goes on by the clock on the wall, never back; a torn last line is ended; the gap is marked."""
    out = tmp_path / "log.txt"
    log = logfile.LogFile(out, "PORT")
    log.write(logfile.row(5000.0, b"a") + b"5001.000\ttor")
    log.close()
    again = logfile.LogFile(out, "OTHER", append=True)
    assert again.seconds() >= 5000.0
    again.write(logfile.row(again.seconds(), b"b"))
    again.close()
    data = out.read_bytes()
    assert boards.rows(data) == [b"a", b"tor", None, b"b"]
    assert boards.times(data) == sorted(boards.times(data))
    assert data.count(b"# start") == 1 and b"# port OTHER" in data
    new = logfile.LogFile(tmp_path / "new.txt", "PORT", append=True)
    new.close()
    assert (tmp_path / "new.txt").read_bytes().startswith(b"# tempkit record 1")
