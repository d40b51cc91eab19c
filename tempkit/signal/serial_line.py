"""The serial line: bits in a character, characters in a second, what a loop that prints really takes, wrong speeds."""

import math
import re
from dataclasses import dataclass

from tempkit.ranges import keep, scalar, whole_number

_MOST = 1e12
_FRAME = re.compile(r"([5-9])([NEOMS])(1\.5|[12])")


def _parts(frame):
    found = _FRAME.fullmatch(str(frame).strip().upper())
    if not found:
        raise ValueError(f'frame {frame!r} is not data bits 5 to 9, parity N E O M S, stop bits 1 1.5 2: such as "8N1"')
    return int(found[1]), found[2] != "N", float(found[3])


def frame_bits(frame="8N1"):
    """Bits on the line for one character: a start bit, data bits, perhaps a parity bit, stop bits.

    `frame` such as "8N1": 5 to 9 data bits; N no parity, E O M S one bit of it; 1, 1.5 or 2 stop bits. Raises
    `ValueError` otherwise. Common practice, no source.

    >>> frame_bits("8N1"), frame_bits("7E2"), frame_bits("5N1.5")
    (10, 11, 7.5)
    """
    data, parity, stop = _parts(frame)
    bits = 1 + data + parity + stop
    return int(bits) if bits == int(bits) else bits


def _baud(baud):
    return keep(baud, 1.0, _MOST, name="speed", unit="bit/s", advice="give the bits a second, such as 9600")


def characters_per_second(baud, frame="8N1"):
    """Characters a second [1/s] of a line that never rests: baud / bits of a frame.

    `baud` [bit/s] 1 or more, scalar or array; raises `ValueError` otherwise (`nan` in an array).

    >>> characters_per_second(9600), characters_per_second(115200, "8N1")
    (960.0, 11520.0)
    """
    return _baud(baud) / frame_bits(frame)


def line_time_s(characters, baud=9600, frame="8N1"):
    """Time [s] that so many characters need on the line, one after the other.

    `characters` 0 or more, line ends counted; scalar or array; `baud` [bit/s]. Raises `ValueError` otherwise.

    >>> line_time_s(60, 9600), round(line_time_s(24, 115200), 6)
    (0.0625, 0.002083)
    """
    number = keep(characters, 0.0, _MOST, name="characters", unit="characters", advice="count them, line ends too")
    return number / characters_per_second(baud, frame)


@dataclass(frozen=True)
class Loop:
    """What a loop that prints and then waits takes, once it has settled.

    `period_s` : from one pass to the next [s]. `line_s` : the characters of a pass on the line [s]. `held_s` : how long
    printing holds the program up in each pass [s]. `last_s` : from the start of printing until the last character
    has left [s]. `full` : the line never rests, so the buffer stands full and the log is late by it.
    """

    period_s: float
    line_s: float
    held_s: float
    last_s: float
    full: bool

    @property
    def busy(self):
        """Part of the time in which the line is sending [1]."""
        return self.line_s / self.period_s


def loop(lines, wait_s, baud=9600, frame="8N1", buffer=None):
    """The `Loop` of a program that prints `lines`, waits `wait_s` [s], and begins again.

    `lines` : characters of each line, line end counted, such as (20, 20, 20). `buffer` : characters that the board
    takes without holding the program up, the one on the line included; None for printing that waits until the last
    character has left. Raises `ValueError` for a wait below 0 s, a buffer below 1 character, no time at all.
    All else that the program does is taken to need no time. Source: arithmetic; checked by a simulation bit by bit.

    >>> slow = loop((20, 20, 20), 0.1, 9600)
    >>> slow.period_s, loop((20, 20, 20), 0.1, 9600, buffer=48).period_s
    (0.1625, 0.1125)
    """
    wait = keep(scalar(wait_s, "wait"), 0.0, _MOST, name="wait", unit="s", advice="give a size, without a sign")
    total = sum(whole_number(n, 0, 10**9, name="line", unit="characters", advice="count them") for n in lines)
    line_s = line_time_s(total, baud, frame)
    if line_s + wait <= 0:
        raise ValueError("a loop of no characters and a wait of 0 s takes no time at all: give it one of them")
    if buffer is None:
        return Loop(line_s + wait, line_s, line_s, line_s, full=False)
    room = whole_number(buffer, 1, 10**9, name="buffer", unit="characters", advice="a board takes at least one")
    each_s = 1 / characters_per_second(baud, frame)
    unhurried = max(total - room, 0) * each_s + wait
    if line_s > unhurried:
        return Loop(line_s, line_s, line_s - wait, line_s - wait + room * each_s, full=True)
    return Loop(unhurried, line_s, unhurried - wait, line_s, full=False)


def loop_period_s(lines, wait_s, baud=9600, frame="8N1", buffer=None):
    """Time [s] from one pass to the next of a loop that prints `lines`, then waits `wait_s` [s]; see `loop`.

    Printing held up until all has left: line time + wait. With a buffer: the larger of the line time, and the wait
    with the time for what the buffer does not take.

    >>> loop_period_s((20, 20, 20), 0.1), loop_period_s((20, 20, 20), 0.1, buffer=48)
    (0.1625, 0.1125)
    >>> loop_period_s((20, 20, 20), 0.02, buffer=48)
    0.0625
    """
    return loop(lines, wait_s, baud, frame, buffer).period_s


@dataclass(frozen=True)
class Speed:
    """The speed a board can really make: `divisor`, `baud` [bit/s], and `error` from the one wanted [1]."""

    divisor: int
    baud: float
    error: float


def actual_speed(clock_hz, baud, samples_per_bit=16):
    """The nearest `Speed` that dividing the board's clock by a whole number gives: clock / (samples n).

    `clock_hz` [Hz] and `baud` [bit/s], the clock at least samples times as fast; `samples_per_bit` 1 or more, 8 or 16
    as a rule. Raises `ValueError` otherwise. Common practice, no source.

    >>> speed = actual_speed(21e6, 115200)
    >>> speed.divisor, round(speed.baud), round(100 * speed.error, 2)
    (11, 119318, 3.57)
    """
    samples = whole_number(samples_per_bit, 1, 1024, name="samples", unit="a bit", advice="8 or 16 as a rule")
    wanted = _baud(scalar(baud, "speed"))
    clock = keep(scalar(clock_hz, "clock"), 1.0, _MOST, name="clock", unit="Hz", advice="in hertz")
    if clock < samples * wanted:
        raise ValueError(f"clock {clock:g} Hz must be {samples * wanted:g} Hz or more: choose a slower line")
    divisor = math.floor(clock / (samples * wanted) + 0.5)
    real = clock / (samples * divisor)
    return Speed(divisor, real, real / wanted - 1)


@dataclass(frozen=True)
class SpeedLimits:
    """How slow and how fast an incoming line may be, against the receiver's own speed [1]."""

    slow: float
    fast: float


def speed_limits(frame="8N1", samples_per_bit=16):
    """`SpeedLimits` within which a receiver that takes 8 or 16 samples a bit still reads every bit of a frame.

    With n bits before the stop bit and S samples a bit: slow n S / (n S + S/2 - 1), fast (n + 1) S / (n S + S/2 + 1).
    The three middle samples of the stop bit must fall inside it, though the start is seen up to one sample late. Raises
    `ValueError` for another number of samples. Both ends share the room: about 2 % for each. Source: bit timing, as
    here; checked by a simulation bit by bit.

    >>> limits = speed_limits("8N1", 16)
    >>> round(100 * limits.slow, 2), round(100 * limits.fast, 2)
    (95.36, 104.58)
    """
    if samples_per_bit not in (8, 16):
        raise ValueError(f"{samples_per_bit} samples a bit: the rule holds for 8 or 16, choose one of these")
    data, parity, _ = _parts(frame)
    before, s = 1 + data + parity, samples_per_bit
    stop = before * s + s // 2  # the middle of the stop bit, in samples
    return SpeedLimits(before * s / (stop - 1), (before + 1) * s / (stop + 1))


def largest_mismatch(frame="8N1"):
    """The largest difference of speeds [1] that even an ideal receiver can bear: half a bit at the first stop bit.

    0.5 / (bits up to the middle of the first stop bit). Source: arithmetic.

    >>> round(100 * largest_mismatch("8N1"), 3)
    5.263
    """
    data, parity, _ = _parts(frame)
    return 0.5 / (1 + data + parity + 0.5)
