"""One temperature's way along a chain, with all that a picture or a sentence needs to tell it."""

from dataclasses import dataclass

import numpy as np

from tempkit.chain.chain import Chain, in_celsius

MARGIN_C = 15.0


@dataclass(frozen=True)
class Walk:
    """The stations of one temperature: true temperature, voltage, code, reading, and the step it fell into.

    `volts`, `code`, `reading_c`, `error_c` are None where the temperature lies outside the sensor's range.
    `place_in_step` is 0 at the lower edge of the code's step and 1 at its upper edge.
    """

    t_c: float
    volts: float | None
    code: int | None
    reading_c: float | None
    error_c: float | None
    place_in_step: float | None
    edges_c: tuple | None
    step_v: float
    step_c: float
    codes: int
    reference_v: float
    assumed_v: float
    saturated: bool
    sensor_c: tuple
    signal_v: tuple
    t_rail_c: tuple
    v_rail: tuple
    chain: Chain

    @property
    def giver(self):
        """What gives the voltage at the pin, with its verb."""
        return self.chain.circuit.giver

    def problems(self, say=in_celsius):
        """What cannot work, one sentence each; `say(t_c)` writes a temperature given in degC."""
        found = self.chain.problems(say)
        if self.volts is None:
            low, high = (say(end) for end in self.sensor_c)
            found = (f"the sensor is specified from {low} to {high} only, nothing is promised beyond", *found)
        return found


def walk(chain, t_c, highest_v=5.5):
    """Walk one temperature [degC] along a chain; outside the sensor's range the walk ends at the temperature.

    `highest_v` is where the voltage rail ends [V]; it grows with a reference or signal beyond it.

    >>> from tempkit.chain.chain import scenario
    >>> way = walk(scenario(true_v=4.75), 25.0)
    >>> way.volts, way.code, round(way.reading_c, 2), round(way.error_c, 2)
    (0.8, 172, 30.29, 5.29)
    """
    low, high = chain.sensor.range_c
    inside = low <= t_c <= high
    reference_v = chain.reference.actual_v
    signal = tuple(sorted(float(chain.volts(end)) for end in (low, high)))
    stations = _stations(chain, t_c) if inside else dict.fromkeys(STATIONS)
    return Walk(
        t_c=float(t_c),
        step_v=chain.converter.step_v(reference_v),
        step_c=float(chain.step_c(float(np.clip(t_c, low, high)))),
        codes=chain.converter.codes,
        reference_v=reference_v,
        assumed_v=chain.reference.nominal_v,
        saturated=bool(inside and chain.converter.saturated(stations["volts"], reference_v)),
        sensor_c=(low, high),
        signal_v=signal,
        t_rail_c=(low - MARGIN_C, high + MARGIN_C),
        v_rail=(0.0, float(max(highest_v, reference_v, signal[1]))),
        chain=chain,
        **stations,
    )


STATIONS = ("volts", "code", "reading_c", "error_c", "place_in_step", "edges_c")


def _stations(chain, t_c):
    volts = float(chain.volts(t_c))
    code = chain.code(t_c)
    step_v = chain.converter.step_v(chain.reference.actual_v)
    lower_v = chain.converter.volts(code, chain.reference.actual_v, edge="lower")
    reading_c = float(chain.reading(code, checked=False))
    edges = (chain.celsius_at_pin(v) for v in (lower_v, lower_v + step_v))
    return {
        "volts": volts,
        "code": code,
        "reading_c": reading_c,
        "error_c": reading_c - t_c,
        "place_in_step": (volts - lower_v) / step_v,
        "edges_c": tuple(float(edge) for edge in edges),
    }
