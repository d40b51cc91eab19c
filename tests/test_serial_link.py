"""The serial line: against reference figures, and against lines simulated character by character, bit by bit."""

import itertools

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from references import reference
from tempkit.signal import (
    actual_speed,
    characters_per_second,
    frame_bits,
    largest_mismatch,
    line_time_s,
    loop,
    loop_period_s,
    speed_limits,
)

CLOSED = 1e-9  # relative: sums of a few hundred times in double precision
FRAMES = [f"{data}{parity}{stop}" for data, parity, stop in itertools.product((5, 7, 8, 9), "NE", (1, 2))]


def test_eight_bits_none_one():
    entry = reference("uart-8n1")
    bauds, frame = np.array(entry.inputs["baud"], dtype=float), entry.inputs["frame"]
    assert frame_bits(frame) == entry.expected["bits_per_char"]
    assert characters_per_second(bauds, frame).tolist() == entry.expected["char_per_s"]
    times = [1000 * line_time_s(24, baud, frame) for baud in bauds]
    assert times == pytest.approx(entry.expected["ms_24_chars"], rel=entry.tolerance["rel"])


def test_how_far_two_speeds_may_differ():
    entry = reference("uart-tol")
    limits = [speed_limits("8N1", samples) for samples in entry.inputs["looks_per_bit"]]
    slow, fast = ([100 * getattr(limit, side) for limit in limits] for side in ("slow", "fast"))
    assert slow == pytest.approx(entry.expected["slowest_percent"], abs=entry.tolerance["abs"])
    assert fast == pytest.approx(entry.expected["fastest_percent"], abs=entry.tolerance["abs"])
    each_end = [50 * min(1 - limit.slow, limit.fast - 1) for limit in limits]
    assert each_end == pytest.approx(entry.expected["each_end_percent"], abs=entry.tolerance["abs"])


def test_speeds_that_a_divided_clock_gives():
    entry = reference("uart-div")
    for case, baud, error in zip(
        entry.inputs["baud_and_looks_per_bit"], entry.expected["actual"], entry.expected["err_percent"], strict=True
    ):
        speed = actual_speed(entry.inputs["clock_hz"], *case)
        assert speed.baud == pytest.approx(baud, abs=5e-3)  # the reference is rounded to 8 digits
        assert 100 * speed.error == pytest.approx(error, abs=entry.tolerance["abs"])


def test_half_a_bit():
    entry = reference("uart-halfbit")
    assert 100 * largest_mismatch("8N1") == pytest.approx(
        entry.expected["max_mismatch_percent"], abs=entry.tolerance["abs"]
    )


# ---- a loop, character by character


def simulated(lines, wait_s, each_s, buffer, passes=400):
    """Start of printing, end of printing and end of the last character of each pass, put in one character at a time.

    A character goes in as soon as fewer than `buffer` are on the way; None waits for the last one's end.
    """
    now, left, rows = 0.0, [0.0], []
    for _ in range(passes):
        began = now
        for _ in range(sum(lines)):
            if buffer is not None and len(left) > buffer:
                now = max(now, left[-buffer])
            left.append(max(now, left[-1]) + each_s)
        now = max(now, left[-1]) if buffer is None else now
        rows.append((began, now, left[-1]))
        now += wait_s
    return np.array(rows)


LOOPS = {
    "blocking": ((20, 20, 20), 0.1, 9600, None),
    "buffered": ((20, 20), 0.1, 9600, 48),
    "a small buffer": ((20, 20, 20), 0.1, 9600, 16),
    "one character at a time": ((20, 20, 20), 0.1, 9600, 1),
    "faster than the line": ((20, 20, 20), 0.02, 9600, 48),
    "more than the buffer, short wait": ((40, 40), 0.03, 9600, 48),
    "more than the buffer, long wait": ((40, 40), 0.2, 9600, 48),
    "no wait": ((20,), 0.0, 1200, 48),
    "fast line": ((20, 20, 20), 0.1, 115200, 48),
}


@pytest.mark.parametrize("name", LOOPS)
def test_a_loop_as_simulated(name):
    lines, wait_s, baud, buffer = LOOPS[name]
    ours = loop(lines, wait_s, baud, "8N1", buffer)
    began, printed, gone = simulated(lines, wait_s, 10 / baud, buffer).T
    assert np.diff(began)[-50:] == pytest.approx(ours.period_s, rel=CLOSED)
    assert (printed - began)[-50:] == pytest.approx(ours.held_s, rel=CLOSED, abs=1e-9)
    assert (gone - began)[-50:] == pytest.approx(ours.last_s, rel=CLOSED)
    assert ours.line_s == pytest.approx(sum(lines) * 10 / baud)
    assert ours.full == (name in ("faster than the line", "more than the buffer, short wait", "no wait"))
    assert ours.busy <= 1.0


def test_three_lines_of_twenty_and_a_wait():
    """60 characters of 10 bits at 9600 bit/s are 62.5 ms."""
    assert loop_period_s((20, 20, 20), 0.1) == pytest.approx(0.1625, rel=CLOSED)
    assert loop_period_s((20, 20, 20), 0.1, buffer=48) == pytest.approx(0.1 + 12 / 960, rel=CLOSED)
    assert loop_period_s((20, 20, 20), 0.1, buffer=16) == pytest.approx(0.1 + 44 / 960, rel=CLOSED)


@given(
    st.lists(st.integers(1, 40), min_size=1, max_size=4), st.floats(0.0, 0.3), st.none() | st.integers(1, 100),
    st.sampled_from([1200, 9600, 115200]),
)  # fmt: skip
def test_any_loop(lines, wait_s, buffer, baud):
    ours, line_s = loop(lines, wait_s, baud, "8N1", buffer), sum(lines) * 10 / baud
    assert max(line_s, wait_s) * (1 - CLOSED) <= ours.period_s <= (line_s + wait_s) * (1 + CLOSED)
    assert ours.period_s == pytest.approx(ours.held_s + wait_s)
    assert ours.last_s >= line_s * (1 - CLOSED)
    more = loop_period_s([*lines, 5], wait_s, baud, "8N1", buffer)
    assert more >= ours.period_s * (1 - CLOSED)


# ---- bit by bit


def sent(character, frame):
    """The bits of a character on the line, start bit first; no parity bit."""
    data, stop = int(frame[0]), int(frame[2])
    return [0, *(character >> bit & 1 for bit in range(data)), *[1] * stop]


def received(levels, bit_s, offset_s, samples):
    """What a receiver with its clock at 1 makes of levels that last `bit_s` each; None where no stop bit is seen.

    It looks `samples` times a bit, starts at the first look that finds the line low, and lets the three looks in the
    middle of each bit vote.
    """

    def look(t):
        at = int(t / bit_s)
        return levels[at] if at < len(levels) else 0  # the next character follows at once

    def vote(bit):
        looks = [look(offset_s + (bit * samples + samples // 2 - 1 + k) / samples) for k in range(3)]
        return int(sum(looks) >= 2)

    bits = [vote(bit) for bit in range(10)]
    return sum(bit << k for k, bit in enumerate(bits[1:9])) if bits[9] else None


def all_read(ratio, samples):
    """True where every character arrives from a line `ratio` times as fast, wherever the first look falls."""
    offsets = (np.arange(40) + 0.01) / 40 / samples
    characters = (0x00, 0x55, 0x7F, 0x80, 0xAA, 0xFF, 0x31)
    return all(
        received(sent(character, "8N1"), 1 / ratio, offset, samples) == character
        for character in characters
        for offset in offsets
    )


@pytest.mark.parametrize("samples", [8, 16])
def test_speed_limits_as_simulated_bit_by_bit(samples):
    limits = speed_limits("8N1", samples)
    for ratio in np.linspace(limits.slow + 1e-4, limits.fast - 1e-4, 21):
        assert all_read(ratio, samples), ratio
    assert not all_read(limits.fast + 0.002, samples)
    one_look = 1 / (10 * samples)  # the vote forgives one look more on the slow side
    assert not all_read(limits.slow - one_look - 0.002, samples)


@pytest.mark.parametrize("samples", [8, 16])
def test_no_receiver_beats_half_a_bit_by_more_than_its_looks(samples):
    limits = speed_limits("8N1", samples)
    assert max(1 - limits.slow, limits.fast - 1) < largest_mismatch("8N1")


@pytest.mark.parametrize("frame", FRAMES)
def test_bits_of_a_frame_as_sent(frame):
    if frame[1] == "N":
        assert frame_bits(frame) == len(sent(0x15, frame))
    else:
        assert frame_bits(frame) == len(sent(0x15, frame)) + 1


@given(st.floats(300.0, 250_000.0), st.sampled_from([8, 16]))
def test_the_divisor_is_the_best_whole_number(baud, samples):
    speed = actual_speed(21e6, baud, samples)
    assert speed.baud == pytest.approx(21e6 / samples / speed.divisor)
    for other in (speed.divisor - 1, speed.divisor + 1):
        if other:
            ideal = 21e6 / samples / baud
            assert abs(speed.divisor - ideal) <= abs(other - ideal) + 1e-9


@pytest.mark.parametrize(
    ("call", "told"),
    [
        (lambda: frame_bits("8X1"), r"frame '8X1' .*8N1"),
        (lambda: frame_bits("4N1"), r"data bits 5 to 9"),
        (lambda: frame_bits("8N3"), r"stop bits"),
        (lambda: characters_per_second(0), r"speed 0 bit/s"),
        (lambda: line_time_s(-1), r"characters -1"),
        (lambda: loop((20,), -0.1), r"wait -0.1 s"),
        (lambda: loop((20,), 0.1, buffer=0), r"buffer 0 characters"),
        (lambda: loop((), 0.0), r"no time at all"),
        (lambda: loop((-1,), 0.1), r"line -1 characters"),
        (lambda: actual_speed(21e6, 2e6), r"clock 2.1e\+07 Hz must be 3.2e\+07"),
        (lambda: speed_limits("8N1", 12), r"12 samples"),
    ],
)
def test_bad_input_is_told(call, told):
    with pytest.raises(ValueError, match=told):
        call()
