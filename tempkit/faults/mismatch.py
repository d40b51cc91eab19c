"""Two ends of a serial line at different speeds: the bits of real characters, sampled at the wrong rate."""

from math import ceil

from tempkit.ranges import keep
from tempkit.signal import frame_bits

FASTEST = 1e9  # bit/s
IDLE_BITS = 12  # the line rests so long before and after what is sent


def frame_parts(frame):
    """A frame such as "8N1" as (data bits, parity letter, stop bits); one and a half stop bits are sent as two.

    Raises `ValueError` for another form, as `tempkit.signal.frame_bits` does.

    >>> frame_parts("8N1"), frame_parts("7E2")
    ((8, 'N', 1), (7, 'E', 2))
    """
    frame_bits(frame)
    text = str(frame).strip().upper()
    return int(text[0]), text[1], ceil(float(text[2:]))


def _parity(bits, letter):
    """The parity bit of some data bits, in a list; empty for none."""
    odd = sum(bits) % 2
    return {"N": [], "E": [odd], "O": [1 - odd], "M": [1], "S": [0]}[letter]


def sent_bits(data, frame="8N1"):
    """The levels on the line for some bytes, one entry (0 or 1) for each bit's time, as `bytes`.

    A start bit 0, the data from the lowest bit up, the parity where there is one, then the stop bits 1.

    >>> list(sent_bits(b"U"))
    [0, 1, 0, 1, 0, 1, 0, 1, 0, 1]
    """
    size, parity, stops = frame_parts(frame)
    levels = bytearray()
    for byte in data:
        bits = [byte >> place & 1 for place in range(size)]
        levels += bytes([0, *bits, *_parity(bits, parity), *[1] * stops])
    return bytes(levels)


def heard(data, sent_baud, heard_baud, frame="8N1", idle_bits=IDLE_BITS):
    r"""The bytes that a receiver at `heard_baud` [bit/s] makes of `data` sent at `sent_baud` [bit/s].

    The receiver waits for a falling edge, looks at the middle of each bit by its own clock, and takes up the wait
    again at the middle of the stop bit. A start bit that is gone at its middle is dropped; a wrong stop bit or parity
    is let pass, as a plain terminal does it. `idle_bits` of rest before and after. Raises `ValueError` for a
    rate below 1 bit/s. Common practice, no source.

    >>> heard(b"25.0", 9600, 9600), heard(b"U", 9600, 19200)
    (b'25.0', b'f\xe6')
    """
    return bytes(byte for byte, _ in _received(data, sent_baud, heard_baud, frame, idle_bits))


def wrong_stops(data, sent_baud, heard_baud, frame="8N1", idle_bits=IDLE_BITS):
    """How many characters of `heard` had no stop bit where the receiver looked for it: framing errors.

    Half a bit in 9.5 from the start edge to the middle of the stop bit is what the two clocks may differ: 5.3 %.

    >>> wrong_stops(b"25.0", 9600, 9600), wrong_stops(b"25.0", 9600, 10200)
    (0, 4)
    """
    return sum(not stop for _, stop in _received(data, sent_baud, heard_baud, frame, idle_bits))


def _received(data, sent_baud, heard_baud, frame, idle_bits):
    """Pairs (byte, whether the stop bit was there), in order; times counted in bits of the sender."""
    for name, rate in (("sent_baud", sent_baud), ("heard_baud", heard_baud)):
        keep(rate, 1, FASTEST, name=name, unit="bit/s", advice="give the line's speed")
    size, parity, _ = frame_parts(frame)
    levels = b"\1" * idle_bits + sent_bits(data, frame) + b"\1" * idle_bits
    ratio, stop_place, last, start = sent_baud / heard_baud, size + 1.5 + (parity != "N"), len(levels) - 1, 0.0
    while start <= last and (edge := levels.find(b"\1\0", max(0, ceil(start) - 1))) >= 0:
        start = edge + 1 + 0.5 * ratio
        if start > last or levels[int(start)]:
            continue
        places = (min(last, int(edge + 1 + (place + 1.5) * ratio)) for place in range(size))
        byte = sum(levels[at] << place for place, at in enumerate(places)) & 255
        start = edge + 1 + stop_place * ratio
        yield byte, levels[min(last, int(start))] == 1
