"""The file of the recorder: every line in it before it is shown, nothing overwritten, gone on with in order of time."""

import os
import subprocess
import sys
import time

import numpy as np
import pytest

import boards
from tempkit.board import Link, record_file
from tempkit.logs import log as logs


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

    monkeypatch.setattr(record_file.os, "write", write)


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
    monkeypatch.setattr(record_file.os, "write", lambda end, data: real(end, data[:3]))
    log = record_file.LogFile(tmp_path / "log.txt", "PORT")
    log.write(record_file.row(1.0, b"read=24.9"))
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
    log = record_file.LogFile(out, "PORT")
    log.write(record_file.row(5000.0, b"a") + b"5001.000\ttor")
    log.close()
    again = record_file.LogFile(out, "OTHER", append=True)
    assert again.seconds() >= 5000.0
    again.write(record_file.row(again.seconds(), b"b"))
    again.close()
    data = out.read_bytes()
    assert boards.rows(data) == [b"a", b"tor", None, b"b"] and b"tor\n# torn: " in data
    assert boards.times(data) == sorted(boards.times(data))
    assert data.count(b"# start") == 1 and b"# port OTHER" in data
    new = record_file.LogFile(tmp_path / "new.txt", "PORT", append=True)
    new.close()
    assert (tmp_path / "new.txt").read_bytes().startswith(b"# tempkit record 1")


# ---- torn, twice at once, and beside a clock that is set


@pytest.mark.parametrize("cut", range(1, 21))
def test_a_torn_line_is_no_data_wherever_it_is_torn(cut, tmp_path):
    """A recorder was killed in the middle of a line; the next goes on in its file; the reader leaves the line out."""
    out = tmp_path / "log.txt"
    log = record_file.LogFile(out, "COM3")
    log.write(b"".join(record_file.row(nth + 0.1, b"n=%d read=24.9" % nth) for nth in range(3)))
    log.write(record_file.row(3.1, b"n=3 read=24.9")[:cut])
    log.close()
    again = record_file.LogFile(out, "COM3", append=True)
    again.write(record_file.row(again.seconds(), b"n=5 read=24.9"))
    again.close()
    record = logs.read(out)
    whole = cut == len(record_file.row(3.1, b"n=3 read=24.9"))
    assert record.column("n").tolist() == [0, 1, 2, *[3] * whole, 5]
    assert (np.diff(record.times_s) >= 0).all() and record.gaps().marked.tolist()[-1:] == [True]
    assert sum(record.account().values()) == record.lines


def test_a_second_recorder_on_a_file_is_refused(tmp_path):
    """In this process and in another; once the first is closed, or killed, the file is free."""
    out = tmp_path / "log.txt"
    first = record_file.LogFile(out, "COM3")
    first.write(record_file.row(0.1, b"a"))
    before = out.read_bytes()
    with pytest.raises(ValueError, match="another recorder writes .*log.txt: stop it, or name another file"):
        record_file.LogFile(out, "COM4", append=True)
    words = ["board", "record", "--port", "socket://127.0.0.1:9", "--out", str(out), "--append", "--seconds", "1"]
    done = subprocess.run([sys.executable, "-m", "tempkit", *words], capture_output=True, text=True)
    assert done.returncode == 2 and "another recorder writes" in done.stderr
    assert out.read_bytes() == before
    first.close()
    record_file.LogFile(out, "COM4", append=True).close()
    assert out.read_bytes().startswith(before) and b"# port COM4" in out.read_bytes()


def test_a_killed_recorder_leaves_no_lock(tmp_path):
    out = tmp_path / "log.txt"
    code = (
        "import sys, time; from tempkit.board.record_file import LogFile;"
        "log = LogFile(sys.argv[1], 'COM3'); print('on', flush=True); time.sleep(60)"
    )
    other = subprocess.Popen([sys.executable, "-c", code, str(out)], stdout=subprocess.PIPE, text=True)
    assert other.stdout.readline() == "on\n"
    with pytest.raises(ValueError, match="another recorder writes"):
        record_file.LogFile(out, "COM3", append=True)
    other.kill()
    other.communicate()
    record_file.LogFile(out, "COM3", append=True).close()


class Clock:
    """A wall clock that can be set, and a steady one; both go on together."""

    def __init__(self, patch):
        self.now_s, self.set_s = 1000.0, 1.79e9
        patch.setattr(record_file, "steady_s", lambda: self.now_s)
        patch.setattr(record_file.time, "time", lambda: self.now_s + self.set_s)
        patch.setattr(record_file, "datetime", self)

    def now(self, zone):
        return logfile_datetime.fromtimestamp(self.now_s + self.set_s, zone)

    def fromisoformat(self, text):
        return logfile_datetime.fromisoformat(text)


logfile_datetime = record_file.datetime


@pytest.mark.parametrize("steps", [(3600.0,), (-3600.0,), (7200.0, -3600.5), (-3.0, -4.0, 5.0)])
def test_a_clock_that_is_set_is_written_down_and_reckoned_with(steps, tmp_path, monkeypatch):
    """The seconds of the file go on as they truly went; each step stands in it; a pause is as long as it truly was."""
    clock, out = Clock(monkeypatch), tmp_path / "log.txt"
    log = record_file.LogFile(out, "COM3")
    for step in (0.0, *steps):
        clock.set_s += step
        clock.now_s += 1.0
        log.write(record_file.row(log.seconds(), b"read=24.9"))
    log.close()
    clock.now_s += 100.0
    again = record_file.LogFile(out, "COM3", append=True)
    assert again.seconds() == pytest.approx(len(steps) + 101.0, abs=0.01)
    again.write(record_file.row(again.seconds(), b"read=24.9"))
    again.close()
    data, record = out.read_bytes(), logs.read(out)
    assert [float(each) for each in record_file.STEP.findall(data)] == pytest.approx(steps)
    assert np.diff(record.times_s).tolist() == pytest.approx([1.0] * len(steps) + [100.0], abs=0.01)
    assert f"{len(steps)} times the computer's clock was set" in record.told[-1]


def test_a_clock_that_was_set_back_while_nobody_recorded(tmp_path, monkeypatch):
    """How long the pause was cannot be known: the file goes on at its last line and says so; later pauses are right."""
    clock, out = Clock(monkeypatch), tmp_path / "log.txt"
    log = record_file.LogFile(out, "COM3")
    clock.now_s += 50.0
    log.write(record_file.row(log.seconds(), b"a"))
    log.close()
    clock.set_s -= 5000.0
    again = record_file.LogFile(out, "COM3", append=True)
    assert again.seconds() == pytest.approx(50.0, abs=0.01)
    assert b"# clock at 50.000 s: the computer's clock was set by -5000.000 s\n" in out.read_bytes()
    again.close()
    clock.now_s += 10.0
    third = record_file.LogFile(out, "COM3", append=True)
    assert third.seconds() == pytest.approx(60.0, abs=0.02)
    third.close()


def test_a_disk_that_is_full_at_once_leaves_no_empty_file(tmp_path, monkeypatch):
    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(record_file.os, "write", full)
    with pytest.raises(ValueError, match="log.txt cannot be written: No space left on device"):
        record_file.LogFile(tmp_path / "log.txt", "COM3")
    assert not (tmp_path / "log.txt").exists()
