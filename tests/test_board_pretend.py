"""The pretend board: its stream against the model, its pace against the clock, its faults one by one."""

import os
import re
import subprocess
import sys
import time
from dataclasses import replace
from itertools import islice, takewhile
from pathlib import Path

import numpy as np
import pytest

import boards
from tempkit.__main__ import main
from tempkit.board import Board, Link, Misbehaviour, Partner, lines, requests, simulate, write_log
from tempkit.board.pretend import Pacer, TcpWire
from tempkit.board.requests import fault
from tempkit.board.stream import BANNER, STYLES
from tempkit.chain import file

CHAIN = Path(__file__).resolve().parent.parent / "data" / "chains" / "north-bench.toml"
NORTH = file.read(CHAIN)
QUIET = replace(NORTH, noise=None)
ENDS = pytest.mark.parametrize(
    "wire",
    ["--tcp=0", pytest.param("--pty", marks=pytest.mark.skipif(os.name != "posix", reason="no pseudo-terminals"))],
)


NUMBERS = re.compile(rb"t=(\d+\.\d) code=(\d+) read=(-?\d+\.\d)\r\n")


def said(board, seconds):
    """Pieces up to a time."""
    return list(takewhile(lambda piece: piece.at_s < seconds, board.pieces()))


def board(*faults, design=QUIET, air_c=25.0, **more):
    return Board(design, air_c, 1, tuple(fault(each) for each in faults), **more)


# ---- the stream


@pytest.mark.parametrize("more", [{}, {"wait_s": 0.0}, {"wait_s": 10.0}])
def test_without_a_fault_it_is_the_model(more):
    """Over several stretches of simulation, with air that moves: the lag goes on from one to the next."""
    seconds = 9000 * (more.get("wait_s", 1.0) + 0.05)
    pieces = said(board(air_c=requests.morning, **more), seconds)
    made = simulate(QUIET, requests.morning, seconds, seed=1, **more)
    assert len(pieces) > 8000
    pieces = pieces[: len(made.t_s)]
    shown = np.array([NUMBERS.match(each.data).groups() for each in pieces], dtype=float)
    exact = np.transpose([made.t_s, made.code, made.reading_c])
    np.testing.assert_allclose(shown, exact, rtol=0, atol=0.05 + 1e-6)  # one decimal is shown
    np.testing.assert_allclose([each.at_s for each in pieces], made.t_s, rtol=0, atol=1e-6)


def test_the_seed_decides():
    first, again = (said(Board(NORTH, 25.0, 5), 60) for _ in range(2))
    assert first == again != said(Board(NORTH, 25.0, 6), 60)


def readings_of(pieces):
    return np.array([float(re.search(rb"read=(-?[\d.]+)", each.data)[1]) for each in pieces if b"read=" in each.data])


def test_lasting_faults():
    """Code 0 is -74.7 degC; with 4.75 V 0.8 V is code 172, read as 30.3 degC; 36 degC/h is 0.01 degC a second."""
    stuck = readings_of(said(board("stuck=0@10+5"), 20))
    np.testing.assert_array_equal(stuck[[9, 10, 14, 15]], [24.8, -74.7, -74.7, 24.8])
    assert readings_of(said(board("reference=4.75@10"), 20))[-1] == 30.3
    drift = readings_of(said(board("drift=36@100", "reset@300"), 1000))
    assert abs(drift[:90] - 24.8).max() < 0.1
    assert abs(drift[-1] - 34.0) < 0.6, "9 degC in 900 s, also across a reset"


def test_a_reset_cuts_a_line_and_starts_the_clock_again():
    pieces = said(board("reset@10"), 14)
    half, banner, first = (each.data for each in pieces[10:13])
    whole = lines(simulate(QUIET, 25.0, 20, seed=1))[10]
    assert whole.startswith(half) and 0 < len(half) < len(whole) - 1
    assert banner == BANNER and first.startswith(b"t=0.0 ")


@pytest.mark.parametrize("air", [lambda t_s: np.where(t_s < 30, 25.0, 20.0), ([0.0, 30.0, 30.1], [25.0, 25.0, 20.0])])
def test_the_air_knows_nothing_of_a_reset(air):
    right, begun_again = (readings_of(said(board(*faults, air_c=air), 400)) for faults in ((), ("reset@60",)))
    assert abs(right[-1] - 20.0) < 0.3 and right[-1] == begun_again[-1]


def test_unplugged_it_goes_on_unheard():
    pieces = said(board("unplug@10+5"), 20)
    gone = next(i for i, each in enumerate(pieces) if each.data is None)
    assert pieces[gone].pause_s == 5.0 and 10 <= pieces[gone].at_s < 11.1
    assert not pieces[gone - 1].data.endswith(b"\n")
    assert pieces[gone + 1].at_s >= pieces[gone].at_s + 5
    clock = float(re.match(rb"t=([\d.]+)", pieces[gone + 1].data)[1])
    assert abs(clock - pieces[gone + 1].at_s) < 0.06


def test_garbage_and_a_lost_point():
    right, wrong = said(board(), 20), said(board("garbage@5+3", "point@12"), 20)
    changed = [i for i, (a, b) in enumerate(zip(right, wrong, strict=True)) if a != b]
    assert changed == [5, 6, 7, 12]  # lines are 1.03 s apart
    share = np.mean([a != b for i in (5, 6, 7) for a, b in zip(right[i].data, wrong[i].data, strict=True)])
    assert 0.2 < share < 0.5
    assert wrong[12].data == right[12].data.replace(b"24.8", b"248")


def test_styles():
    assert set(STYLES) == set(requests.STYLES) and set(requests.SCENES) == set(requests.SCENE_NAMES)
    line = b"t=12.0 code=163 read=24.8\r\n"
    shown = {name: style.change(line) for name, style in STYLES.items()}
    assert shown == {
        "fields": line,
        "comma": b"t=12,0 code=163 read=24,8\r\n",
        "csv": b"12.0,163,24.8\r\n",
        "number": b"24.8\r\n",
    }
    assert [each.data for each in islice(board(style="csv").pieces(), 2)][0] == b"time_s,code,read_c\r\n"
    assert sum(each.data.endswith(b"time_s,code,read_c\r\n") for each in said(board("reset@5", style="csv"), 12)) == 2


def test_faults_as_written():
    assert fault(" drift=-0.5@60+10 ") == requests.Fault("drift", 60.0, 10.0, -0.5)
    for text in ("", "fire", "unplug@-1", "unplug@", "stuck=@3", "unplug=3", "stuck=x"):
        with pytest.raises(ValueError, match="fault '.*'( is not KIND|: .* takes no value)"):
            fault(text)
    for wrong in ({"stuck_code": 1024}, {"stuck_code": -1}):
        with pytest.raises(ValueError, match="stuck_code .* is outside 0 to 1023"):
            simulate(NORTH, 25.0, 1, seed=1, program=Misbehaviour(**wrong))


# ---- the pace


class Tape:
    """A wire that keeps what it gets, and when."""

    def __init__(self):
        self.sent, self.unplugged = [], []

    def send(self, data):
        self.sent.append((time.monotonic(), len(data)))

    def wait(self, seconds):
        time.sleep(seconds)

    def plug(self):
        self.unplugged.append(time.monotonic())

    unplug = plug


@pytest.mark.slow
@pytest.mark.parametrize("baud", [1200, 9600, 115_200])
def test_pace_is_that_of_the_baud_rate(baud):
    """10 bits a character for 8N1: never more than baud / 10 a second, and not much less where the loop never waits."""
    tape = Tape()
    fast_line = replace(QUIET, link=replace(QUIET.link, baud=baud))
    started = time.monotonic()
    Pacer(Board(fast_line, 25.0, 1, wait_s=0.0), tape).run(1.5)
    at = np.array([each for each, _ in tape.sent]) - started
    characters = np.cumsum([size for _, size in tape.sent])
    assert (characters <= baud / 10 * at + 1).all()
    assert characters[-1] > 0.7 * baud / 10 * 1.5


def test_a_machine_that_slept_does_not_make_the_line_faster(monkeypatch):
    clock = iter([0.0, *np.arange(0.0, 0.03, 0.001), *(100 + np.arange(0, 5, 0.001))])
    now = [0.0]

    def monotonic():
        now[0] = next(clock)
        return now[0]

    tape = Tape()
    tape.send = lambda data: tape.sent.append((now[0], len(data)))
    tape.wait = lambda seconds: None
    monkeypatch.setattr("tempkit.board.pretend.time.monotonic", monotonic)
    Pacer(Board(QUIET, 25.0, 1, wait_s=0.0), tape).run(0.5)
    after = [size for at, size in tape.sent if at > 50]
    seconds = tape.sent[-1][0] - 100
    assert sum(after) <= 960 * seconds + 6 * len(set(after)) + 6


def test_it_unplugs_in_time(monkeypatch):
    tape = Tape()
    Pacer(board("unplug@0.2+0.3", wait_s=0.05), tape).run(0.8)
    out, back = tape.unplugged
    assert 0.25 < back - out < 0.6


# ---- as a process of its own


@pytest.mark.slow
@ENDS
def test_a_partner_speaks_and_ends(wire):
    with Partner(CHAIN, wire, "--wait", "0.02", "--scene", "steady", "--fault", "unplug@0.6+0.3") as partner:
        with Link(partner.port, backoff_s=(0.02, 0.1)) as link:
            boards.wait_for(lambda: link.status().gaps == 1)
            boards.wait_for(lambda: link.status().lines >= 20)
            heard = [each.data for each in link.since(0) if each.data is not None]
    good = re.compile(rb"t=\d+\.\d code=1\d\d\.\d read=2\d\.\d\r")
    assert sum(bool(good.fullmatch(each)) for each in heard) >= len(heard) - 2, "but for the one it joined in"
    assert partner._process.returncode == 0


@pytest.mark.slow
def test_a_partner_does_not_outlive_the_one_who_started_it():
    code = (
        "import sys, time; from tempkit.board.pretend import Partner; p = Partner(sys.argv[1]);"
        "print(p._process.pid, flush=True); time.sleep(60)"
    )
    parent = subprocess.Popen([sys.executable, "-c", code, str(CHAIN)], stdout=subprocess.PIPE, text=True)
    child = int(parent.stdout.readline())
    parent.kill()
    parent.communicate()
    boards.wait_for(lambda: not alive(child))


def alive(pid):
    try:
        os.kill(pid, 0)
    except OSError:
        return False
    status = Path(f"/proc/{pid}/stat")
    return not status.exists() or status.read_text().rpartition(")")[2].split()[0] != "Z"


def test_one_listener_at_a_time_and_only_from_here():
    wire = TcpWire()
    assert wire.port.startswith("socket://127.0.0.1:")
    with pytest.raises(ValueError, match="TCP port .* on 127.0.0.1 cannot be had"):
        TcpWire(int(wire.port.rpartition(":")[2]))
    with Link(wire.port) as first, Link(wire.port, backoff_s=(5.0, 5.0)) as second:
        for _ in range(200):
            wire.wait(0.005)
            wire.send(b"read=24.9\r\n")
            if first.status().lines and second.status().gaps or second.status().lines and first.status().gaps:
                break
        assert {first.status().lines > 0, second.status().lines > 0} == {True, False}
    wire.close()


def test_a_partner_that_cannot_start_says_why():
    with pytest.raises(ValueError, match="did not start: .*no-such.toml: no such file"):
        Partner("no-such.toml")


# ---- without waiting


def test_fast_and_recorded_agree(tmp_path):
    """The same board, once through wire, pace, link and file, once without: the same lines."""
    wire, out = TcpWire(), tmp_path / "log.txt"
    made = board("garbage@0.3+0.1", design=NORTH, wait_s=0.01)
    expected = boards.rows(write_log.log(made, 1.0))
    with Link(wire.port, out=out) as link:
        while link.status().state != "open" or wire._client is None:
            wire.wait(0.01)
        Pacer(made, wire).run(1.0)
        boards.wait_for(lambda: link.status().lines >= len(expected))
    wire.close()
    assert boards.rows(out.read_bytes()) == expected


def test_the_commands(tmp_path, capsys):
    run = ["board", "pretend", str(CHAIN), "--fast", "--seconds", "60", "--fault", "unplug@20", "--out"]
    assert main([*run, str(tmp_path / "a.txt")]) == main([*run, str(tmp_path / "b.txt")]) == 0
    made = (tmp_path / "a.txt").read_bytes()
    assert made == (tmp_path / "b.txt").read_bytes()
    assert made.startswith(b"# invented: ") and boards.rows(made).count(None) == 1
    assert boards.times(made) == sorted(boards.times(made))
    for words, told in (
        ([*run, str(tmp_path / "a.txt")], "exists and is left as it is"),
        (run[:-1], "--fast needs --out"),
        (["board", "pretend", str(CHAIN), "--out", "x.txt"], "--out is for --fast"),
        ([*run[:-3], "--fault", "fire", "--out", "x"], "fault 'fire' is not KIND"),
        (["board", "pretend", "no-such.toml"], "no such file"),
    ):
        capsys.readouterr()
        assert main(words) == 2
        assert told in capsys.readouterr().err


def test_where_there_is_no_pseudo_terminal(monkeypatch, capsys):
    monkeypatch.setattr("tempkit.board.pretend.has_pseudo_terminals", lambda: False)
    assert main(["board", "pretend", str(CHAIN), "--pty"]) == 2
    assert "this system has no pseudo-terminals: use --tcp 0" in capsys.readouterr().err
