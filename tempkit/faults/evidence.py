"""What can be seen in a log of the hand test: a dozen signs as numbers, each with the doubt that is granted to it."""

import re
from dataclasses import dataclass

import numpy as np

from tempkit.board import readings

FIELD = re.compile(rb"\b(t|code|read)=\s*(-?\d+(?:\.\d+)?)")
BARE = re.compile(rb"\s*(-?\d+(?:\.\d+)?)\s*")
PRINTABLE = frozenset(range(32, 127)) | {9, 10, 13}
PRINTED_C = 0.1  # the board prints tenths


@dataclass(frozen=True)
class Heard:
    """A log as numbers: times [s], codes [LSB] (`nan` where none is printed), readings [degC], one for each line that
    can be read; and the share of all characters that no terminal can print."""

    t_s: np.ndarray
    code: np.ndarray
    reading_c: np.ndarray
    unreadable: float


def read_lines(found, period_s=1.0):
    """Lines (bytes) of labelled fields t=, code=, read=, or of bare readings -> `Heard`.

    A line without a reading is left out. Without a time, lines are taken to be `period_s` [s] apart.

    >>> log = read_lines([b"t=0.0 code=163 read=24.8\\r\\n", b"24.5\\r\\n"])
    >>> log.reading_c, log.code, log.unreadable
    (array([24.8, 24.5]), array([163.,  nan]), 0.0)
    """
    rows = []
    for place, line in enumerate(found):
        fields, bare = dict(FIELD.findall(line)), BARE.fullmatch(line)
        reading = fields.get(b"read", bare[1] if bare else None)
        if reading is not None:
            rows.append([fields.get(b"t", place * period_s), fields.get(b"code", "nan"), reading])
    t_s, code, reading_c = np.array([[float(cell) for cell in row] for row in rows]).reshape(-1, 3).T
    everything = b"".join(found)
    bad = sum(byte not in PRINTABLE for byte in everything)
    return Heard(t_s, code, reading_c, bad / len(everything) if everything else 0.0)


def printed(made, samples):
    """A `tempkit.board.Simulation` as its lines would be read, without writing them.

    >>> from tempkit.board import simulate
    >>> from tempkit.chain import Design, scenario
    >>> printed(simulate(Design("bench", scenario()), 25.0, 2, 1), 1).reading_c.round(1)
    array([24.8, 24.8])
    """
    digits = (1, 0 if samples == 1 else 1, 1)
    columns = zip((made.t_s, made.code, made.reading_c), digits, strict=True)
    return Heard(*(np.array([float(f"{value:.{n}f}") for value in each.tolist()]) for each, n in columns), 0.0)


# The signs


@dataclass(frozen=True)
class Sign:
    """A sign: `key`, how it is squeezed to a scale without end (`scale`: asinh of value / scale; None for as it is),
    the `doubt` granted to it on that scale, and the `reach` of that scale in which anything may lie."""

    key: str
    scale: float | None
    doubt: float
    reach: float

    def squeezed(self, value):
        """The value on the sign's own scale; scalar or array."""
        return value if self.scale is None else np.arcsinh(np.asarray(value) / self.scale)

    def plain(self, squeezed):
        """The way back, to the sign's own unit; scalar or array."""
        return squeezed if self.scale is None else self.scale * np.sinh(squeezed)


SIGNS = (
    Sign("unreadable", None, 0.1, 1.0),  # share of characters
    Sign("level_c", 2.0, 0.15, 12.0),  # median reading at rest minus the room
    Sign("response", 0.3, 0.25, 8.0),  # rise in the hand, as a part of the expected rise
    Sign("spread_c", 0.05, 0.25, 8.0),  # standard deviation at rest
    Sign("tone", None, 0.15, 1.0),  # share of that which one steady sine explains
    Sign("jump_c", 0.3, 0.3, 8.0),  # largest change from one line to the next
    Sign("gap_c", 0.02, 0.15, 16.0),  # printed reading minus what the printed code stands for
    Sign("ratio", 0.05, 0.3, 8.0),  # change of the reading against what the code's change stands for, minus 1
    Sign("saturated", None, 0.1, 1.0),  # share of codes at either end
    Sign("grain_c", 0.05, 0.3, 5.0),  # smallest difference between two different readings
)
KEYS = tuple(sign.key for sign in SIGNS)
DOUBT = np.array([sign.doubt for sign in SIGNS])
REACH = np.array([sign.reach for sign in SIGNS])
NEEDS_CODE = np.array([sign.key in ("gap_c", "ratio", "saturated") for sign in SIGNS])


def signs(log, design, test):
    """All signs of a log of a `HandTest`: a dict in the order of `SIGNS`; `nan` where a log has too little for one.

    log : a `Heard`. The expected rise is that of the design's own lag.

    >>> from tempkit.chain import Design, scenario
    >>> from tempkit.faults.cases import Fault, HandTest, record
    >>> bench, test = Design("bench", scenario()), HandTest(21.0)
    >>> seen = signs(printed(record(Fault("right", "nothing").case(bench), test), 1), bench, test)
    >>> round(seen["response"], 2), seen["saturated"]
    (0.97, 0.0)
    """
    found = dict.fromkeys(KEYS, np.nan) | {"unreadable": log.unreadable}
    rest, held = log.t_s < test.rest_s, _end_of_hold(log.t_s, test)
    if rest.sum() < 5:
        return found
    reading, still = log.reading_c, log.reading_c[rest]
    found["level_c"] = float(np.median(still)) - test.room_c
    found["spread_c"], found["tone"] = _scatter(still)
    found["jump_c"] = float(np.abs(np.diff(reading)).max())
    distinct = np.unique(np.round(reading, 3))
    found["grain_c"] = float(np.diff(distinct).min()) if distinct.size > 1 else np.nan
    if held.sum() >= 3:
        found["response"] = float((reading[held].mean() - still.mean()) / _expected_rise_c(design, test))
    if not np.isnan(log.code).any():
        found |= _of_codes(log, design)
    return found


def vector(found):
    """Signs as an array on their own scales, in the order of `SIGNS`."""
    return np.array([float(sign.squeezed(found[sign.key])) for sign in SIGNS])


def _end_of_hold(t_s, test):
    end = test.rest_s + test.hold_s
    return (t_s >= end - 0.25 * test.hold_s) & (t_s < end)


def _expected_rise_c(design, test):
    """Mean rise [degC] over the last quarter of the hold by the design's first-order lag."""
    tau_s = design.response.tau_s if design.response else 0.0
    whole = test.hand_c - test.room_c
    if not tau_s:
        return whole
    start, end = 0.75 * test.hold_s / tau_s, test.hold_s / tau_s
    return whole * (1 - (np.exp(-start) - np.exp(-end)) / (end - start))


def _scatter(still):
    """Standard deviation at rest [degC], and the share of it that the strongest sine explains."""
    places = np.arange(still.size)
    left = still - np.polyval(np.polyfit(places, still, 1), places)
    spread = float(left.std())
    if spread < 2 * PRINTED_C:
        return spread, 0.0
    power = np.abs(np.fft.rfft(left * np.hanning(still.size), 4 * still.size)) ** 2
    place = int(power.argmax()) / (4 * still.size)
    wave = np.column_stack([np.sin(2 * np.pi * place * places), np.cos(2 * np.pi * place * places)])
    rest = left - wave @ np.linalg.lstsq(wave, left, rcond=None)[0]
    return spread, float(1 - rest.var() / left.var())


def _of_codes(log, design):
    """Signs that need the code beside the reading."""
    believed = readings(design, log.code)
    top = design.chain.converter.codes - 1
    found = {"gap_c": float((log.reading_c - believed).mean())}
    found["saturated"] = float(((log.code <= 0.05) | (log.code >= top - 0.05)).mean())
    if np.ptp(believed) >= 10 * PRINTED_C:
        found["ratio"] = float(np.polyfit(believed, log.reading_c, 1)[0]) - 1
    return found
