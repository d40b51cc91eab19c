"""What a pretend board sends, and when: lines of `tempkit.board.model`, with faults on request. Nothing here waits."""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import count, pairwise

import numpy as np

from tempkit.board.model import RIGHT, air_at, lines, loop_period_s, simulate
from tempkit.chain import Link
from tempkit.signal import line_time_s

STRETCH_LINES = 4000  # simulated at a time
BOOT_S = 1.5
BANNER = b"board started, measuring\r\n"
LASTING = ("stuck", "reference", "drift")


@dataclass(frozen=True)
class Piece:
    """Bytes that the board begins to send at a time [s]. None: the cable comes out then, for `pause_s` [s]."""

    at_s: float
    data: bytes | None
    pause_s: float = 0.0


@dataclass(frozen=True)
class Style:
    """How a line looks: a header that is sent when the board starts, and what becomes of the model's line."""

    header: bytes
    change: Callable


def _values(data):
    return [field.partition(b"=")[2] for field in data.split()]


STYLES = {
    "fields": Style(b"", lambda data: data),
    "comma": Style(b"", lambda data: data.replace(b".", b",")),
    "csv": Style(b"time_s,code,read_c\r\n", lambda data: b",".join(_values(data)) + b"\r\n"),
    "number": Style(b"", lambda data: _values(data)[-1] + b"\r\n"),
}


@dataclass(frozen=True)
class Board:
    """A pretend board: its design, the air around it (as for `tempkit.board.air_at`, in time since its start), a
    seed, its faults (of `tempkit.board.Fault`), a name from `STYLES`, and `wait_s`, `buffer` as for
    `tempkit.board.loop_period_s`.
    """

    design: object
    air_c: object
    seed: int
    faults: tuple = ()
    style: str = "fields"
    wait_s: float | None = None
    buffer: int | None = None

    def pieces(self):
        """What the board sends, without an end: a `Piece` for every line, in order.

        While the cable is out the board goes on, and nobody hears it.

        >>> from tempkit.board.requests import fault
        >>> from tempkit.chain import Design, scenario
        >>> board = Board(Design("bench", scenario()), 25.0, seed=1, faults=(fault("point@1"),))
        >>> sent = board.pieces()
        >>> next(sent), next(sent).data
        (Piece(at_s=0.0, data=b't=0.0 code=163 read=24.8\\r\\n', pause_s=0.0), b't=1.0 code=163 read=248\\r\\n')
        """
        rng = np.random.default_rng([self.seed, 2])
        points, plugs = self._of("point"), self._of("unplug")
        silent_until_s = -math.inf
        for piece in self._spoken(rng):
            if points and points[0].start_s <= piece.at_s:
                points.pop(0)
                piece = replace(piece, data=_without_point(piece.data))
            if any(each.start_s <= piece.at_s < each.end_s for each in self._of("garbage")):
                piece = replace(piece, data=garbled(piece.data, rng))
            if plugs and plugs[0].start_s <= piece.at_s:
                half, gone = self._cut(piece, rng), plugs.pop(0)
                out_s = half.at_s + self.line_s(half.data)
                silent_until_s = out_s + gone.length_s
                yield half
                yield Piece(out_s, None, gone.length_s)
            elif piece.at_s >= silent_until_s:
                yield piece

    def line_s(self, data):
        """How long these bytes take on the serial line [s]."""
        link = self.design.link or Link()
        return line_time_s(len(data), link.baud, link.frame)

    def _of(self, *kinds):
        return sorted((each for each in self.faults if each.kind in kinds), key=lambda each: each.start_s)

    def _cut(self, piece, rng):
        """The beginning of a piece, at least one byte, never its end."""
        return replace(piece, data=piece.data[: int(rng.integers(1, max(2, len(piece.data) - 2)))])

    def _spoken(self, rng):
        """Pieces as if the cable were never out: stretches between the moments at which something changes."""
        style, resets = STYLES[self.style], {each.start_s for each in self._of("reset")}
        lasting = self._of(*LASTING)
        changes = {0.0, *resets, *(each.start_s for each in lasting), *(each.end_s for each in lasting)}
        state = _State()
        if style.header:
            yield Piece(0.0, style.header)
        for start_s, end_s in pairwise([*sorted(changes - {math.inf}), math.inf]):
            if start_s in resets:
                half = self._cut(Piece(state.next_s, style.change(state.waiting)), rng)
                state.boot_s = state.next_s = half.at_s + self.line_s(half.data) + BOOT_S
                yield half
                yield Piece(state.boot_s, BANNER + style.header)
            for at_s, data in self._stretches(state, start_s, end_s):
                yield Piece(at_s, style.change(data))

    def _stretches(self, state, start_s, end_s):
        """Times and lines up to `end_s`; the first line from there on is left in `state` for what follows."""
        design, program = self._changed(start_s, state.boot_s)
        stretch_s = STRETCH_LINES * loop_period_s(design, self.wait_s, self.buffer)
        while state.next_s < end_s:
            to_s = min(end_s, state.next_s + stretch_s)
            made = self._simulated(design, program, state, to_s)
            times = made.t_s + state.boot_s
            sent = max(1, int(np.searchsorted(times, to_s)))
            yield from zip(times[:sent].tolist(), lines(made, last=sent), strict=True)
            state.next_s, state.sensor_c = float(times[sent]), float(made.sensor_c[sent])
            state.waiting = lines(made, sent, sent + 1)[0]

    def _simulated(self, design, program, state, to_s):
        """From the next line to two lines beyond `to_s`."""
        boot_s = state.boot_s
        timing = {"wait_s": self.wait_s, "buffer": self.buffer}
        seconds = to_s - state.next_s + 2 * loop_period_s(design, **timing)
        begin = {"start_s": state.next_s - boot_s, "sensor_c": state.sensor_c}
        return simulate(
            design,
            lambda t_s: air_at(self.air_c, t_s + boot_s),
            seconds,
            [self.seed, next(state.seeds)],
            program,
            **begin,
            **timing,
        )

    def _changed(self, now_s, boot_s):
        """Design and program with the lasting faults of a moment."""
        design, program = self.design, RIGHT
        for each in self._of(*LASTING):
            if each.start_s <= now_s < each.end_s:
                design, program = _with_fault(design, program, each, boot_s)
        return design, program


class _State:
    """Where the simulation stands: board start and next line [s], the sensor then [degC], the line not sent yet."""

    def __init__(self):
        self.boot_s = self.next_s = 0.0
        self.sensor_c, self.waiting, self.seeds = None, b"", count(1)


def _with_fault(design, program, fault, boot_s):
    if fault.kind == "stuck":
        return design, replace(program, stuck_code=fault.value)
    if fault.kind == "reference":
        return replace(design, chain=design.chain.with_true_reference(fault.value)), program
    chain = design.chain
    middle_c = sum(chain.span_c()) / 2
    slope = chain.volts(middle_c + 0.5) - chain.volts(middle_c - 0.5)
    per_s, since_s = fault.value * slope / 3600.0, fault.start_s - boot_s
    return design, replace(program, pin_v=lambda t_s, signal_v: signal_v + per_s * (t_s - since_s))


def garbled(data, rng):
    """The same number of bytes, about a third of them replaced by any byte; a line end as easily as a digit.

    >>> len(garbled(b"t=12.0 code=163", np.random.default_rng(1)))
    15
    """
    found = np.frombuffer(data, dtype=np.uint8).copy()
    hit = rng.random(found.size) < 1 / 3
    found[hit] = rng.integers(0, 256, int(hit.sum()))
    return found.tobytes()


def _without_point(data):
    """A line whose last decimal sign got lost on the way: 24.8 becomes 248."""
    place = max(data.rfind(b"."), data.rfind(b","))
    return data if place < 0 else data[:place] + data[place + 1 :]
