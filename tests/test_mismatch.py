"""Characters heard at the wrong speed: bits by hand, a waveform sampled by another route, the limit of half a bit."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from references import reference
from tempkit.faults import heard
from tempkit.faults.mismatch import frame_parts, sent_bits, wrong_stops
from tempkit.signal import frame_bits, largest_mismatch

FRAMES = ("8N1", "7E1", "7O2", "8E1", "5N2", "8M1", "8S1", "9N1")
BAUDS = (2400, 4800, 9600, 19200, 38400, 57600, 115200)


def by_waveform(data, sent_baud, heard_baud, fine=64):
    """The other route: the line as a long array of instants, and a receiver that steps through it, for 8N1."""
    line = np.repeat(np.frombuffer(b"\1" * 12 + sent_bits(data) + b"\1" * 12, dtype=np.uint8), fine)
    falls = np.flatnonzero((line[:-1] == 1) & (line[1:] == 0)) + 1
    bit = fine * sent_baud / heard_baud
    at, found = 0.0, []
    for fall in falls:
        if fall < at:
            continue
        at = fall + bit / 2
        if line[min(line.size - 1, int(at))]:
            continue
        where = np.minimum(fall + (np.arange(8) + 1.5) * bit, line.size - 1).astype(int)
        found.append(int(np.packbits(line[where], bitorder="little")[0]))
        at = fall + 9.5 * bit
    return bytes(found)


def test_a_character_by_hand():
    """'U' is 0x55: 1 0 1 0 1 0 1 0 from the lowest bit, between a start bit 0 and a stop bit 1.

    Heard twice as fast every bit counts twice. After the start bit's second half: 0 11 00 11 0, which is 0x66, and a 0
    where the stop bit is awaited; from the next fall 0 11 00 111, which is 0xe6.
    """
    assert list(sent_bits(b"U")) == [0, 1, 0, 1, 0, 1, 0, 1, 0, 1]
    assert heard(b"U", 9600, 19200) == bytes([0b01100110, 0b11100110])
    assert wrong_stops(b"U", 9600, 19200) == 1


def test_a_slow_listener_by_hand():
    """0x55 at half the speed: start bit from 0 to 2 bits of the sender, its middle at 1.0, where the line is at 1.

    So the start is dropped, at every fall alike, and nothing is heard.
    """
    assert heard(b"U", 9600, 4800) == b""


@settings(max_examples=150, deadline=None)
@given(st.binary(max_size=12), st.sampled_from(FRAMES))
def test_at_the_same_speed_every_byte_arrives(data, frame):
    size = frame_parts(frame)[0]
    kept = bytes(byte & (2**size - 1) for byte in data)
    assert heard(data, 9600, 9600, frame) == kept
    assert wrong_stops(data, 9600, 9600, frame) == 0


@settings(max_examples=150, deadline=None)
@given(st.binary(min_size=1, max_size=12), st.sampled_from(BAUDS), st.sampled_from(BAUDS))
def test_another_route_hears_the_same(data, sent, listened):
    assert heard(data, sent, listened) == by_waveform(data, sent, listened)


@pytest.mark.parametrize("sign", [-1, 1])
def test_half_a_bit_at_the_stop_bit_is_the_limit(sign):
    """0.5 bit in 9.5: 5.263 %, as stored in references/serial.json; both ways round."""
    entry = reference("uart-halfbit")
    limit = entry.expected["max_mismatch_percent"] / 100
    text = b"t=12.0 code=152.9 read=24.9\r\n"
    for part, errors in ((0.995, False), (1.005, True)):
        listened = 9600 / (1 + sign * part * limit)
        spoiled = heard(text, 9600, listened) != text or wrong_stops(text, 9600, listened) > 0
        assert spoiled == errors
    assert largest_mismatch("8N1") == pytest.approx(limit, abs=1e-5)


@pytest.mark.parametrize("frame", FRAMES)
def test_bits_of_a_frame(frame):
    assert len(sent_bits(b"\x00\x37", frame)) == 2 * frame_bits(frame)


def test_parity_makes_the_count_of_ones_even_or_odd():
    for byte in range(256):
        even, odd = (sent_bits(bytes([byte]), frame)[1:10] for frame in ("8E1", "8O1"))
        assert sum(even) % 2 == 0 and sum(odd) % 2 == 1


def test_a_rate_without_sense_is_refused():
    with pytest.raises(ValueError, match="heard_baud 0 bit/s is outside 1 to 1e"):
        heard(b"U", 9600, 0)
    with pytest.raises(ValueError, match="frame '8X1'"):
        heard(b"U", 9600, 9600, "8X1")
