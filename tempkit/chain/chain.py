"""The chain: temperature -> sensor -> circuit -> reference + converter -> code -> reading, and the way back."""

from dataclasses import dataclass, replace

import numpy as np

from tempkit.chain.converter import NO_CODE, Converter, Reference
from tempkit.chain.parts.bases import TAKES
from tempkit.chain.parts.direct import Direct
from tempkit.chain.parts.linear import LinearSensor
from tempkit.ranges import floats, in_blocks, keep, like, nan_outside, scalar


def in_celsius(t_c):
    """A temperature as text in degC.

    >>> in_celsius(60.0)
    '60.0 degC'
    """
    return f"{t_c:.1f} degC"


@dataclass(frozen=True)
class Chain:
    """A sensor, its circuit, the reference and the converter, as one thing.

    `code` lives in the real world and uses the reference's true value; `reading` is what the program makes of the
    code and uses the nominal value. The gap between the two is the reading error. Without a circuit: direct.

    >>> chain = Chain(sensor=LinearSensor(), reference=Reference(nominal_v=5.0), converter=Converter(bits=10))
    >>> chain.code(25.0), round(chain.reading(163), 2), round(chain.step_c(25.0), 3)
    (163, 24.79, 0.61)
    """

    sensor: object
    reference: Reference
    converter: Converter
    circuit: object = Direct()

    def __post_init__(self):
        if self.circuit is None:
            object.__setattr__(self, "circuit", Direct())
        if getattr(self.sensor, "gives", self.circuit.takes) != self.circuit.takes:
            takes, gives = (TAKES.get(each, each) for each in (self.circuit.takes, self.sensor.gives))
            raise ValueError(
                f"{self.circuit.called} does not go with {self.sensor.called}: it takes "
                f"{takes}, and the sensor gives {gives}; choose another circuit"
            )
        if self.circuit.needs_feed and self._feed_v(self.reference.actual_v) is None:
            raise ValueError(
                "supply_v is missing: with a fixed reference this circuit's output follows a supply of its own; "
                "give the circuit's supply_v in volts"
            )

    # ---- the real world: true values

    def _feed_v(self, reference_v):
        return self.circuit.feed_v(reference_v, self.reference.kind)

    def volts(self, t_c):
        """Temperature [degC] -> voltage at the converter's pin [V]; scalar or array.

        Raises `ValueError` outside the sensor's range (`nan` in an array).

        >>> scenario().volts(25.0)
        0.8
        """
        t_c = keep(t_c, *self.sensor.range_c, name="temperature", unit="degC", advice="the sensor's own range")
        return self.circuit.volts(self.sensor, t_c, self._feed_v(self.reference.actual_v))

    def celsius_at_pin(self, v):
        """Voltage at the converter's pin [V] -> true temperature [degC], by the bare formula; scalar or array.

        >>> round(scenario().celsius_at_pin(0.8), 6)
        25.0
        """
        v = floats(v, "voltage") if np.ndim(v) else scalar(v, "voltage")
        return self.circuit.celsius(self.sensor, v, self._feed_v(self.reference.actual_v))

    def code(self, t_c):
        """Temperature [degC] -> code, with the true reference; scalar or array.

        Raises `ValueError` outside the sensor's range; an array gives -1 there, and where it is masked. The converter
        saturates.

        >>> scenario().code([-25.0, 25.0, 500.0])
        array([ 81, 163,  -1])
        """
        reference_v = self.reference.actual_v
        if not np.ndim(t_c):
            return self.converter.code(self.volts(t_c), reference_v)
        return in_blocks(self._codes_of, t_c, np.int64)

    def _codes_of(self, t_c):
        low, high = self.sensor.range_c
        reference_v = self.reference.actual_v
        beyond = not (t_c.min() >= low and t_c.max() <= high)
        seen_c = np.clip(t_c, low, high) if beyond else t_c
        codes = self.converter.code(self.circuit.volts(self.sensor, seen_c, self._feed_v(reference_v)), reference_v)
        if beyond:
            codes[~((t_c >= low) & (t_c <= high))] = NO_CODE
        return codes

    def step_c(self, t_c):
        """One step of the true converter at a temperature [degC per step], always positive; scalar or array.

        The step in volts divided by the slope there. Raises `ValueError` outside the sensor's range.

        >>> scenario().step_c(25.0)
        0.6103515625
        """
        t_c = keep(t_c, *self.sensor.range_c, name="temperature", unit="degC", advice="the sensor's own range")
        reference_v = self.reference.actual_v
        slope = self.circuit.volts_per_c(self.sensor, t_c, self._feed_v(reference_v))
        return like(t_c, self.converter.step_v(reference_v) / np.abs(slope))

    def headroom_v(self):
        """Room between the signal's two ends and the converter's two ends [V]: (bottom, top); below 0: cut off.

        >>> tuple(round(room, 3) for room in scenario().headroom_v())
        (0.4, 3.52)
        """
        low, high = sorted(self.volts(end) for end in self.sensor.range_c)
        return low, self.reference.actual_v - high

    def span_c(self):
        """Lowest and highest temperature [degC] that the converter can tell apart, within the sensor's range.

        Raises `ValueError` when the signal lies wholly beyond the reference.

        >>> scenario().span_c(), scenario(nominal_v=1.2, kind="fixed").span_c()
        ((-25.0, 110.0), (-25.0, 75.0))
        """
        reference_v = self.reference.actual_v
        ends_v = [self.volts(end) for end in self.sensor.range_c]
        low_v, high_v = sorted(ends_v)
        if low_v >= reference_v or high_v <= 0:
            raise ValueError(
                f"signal {low_v:.4g} to {high_v:.4g} V is outside 0 to {reference_v:.4g} V: "
                "every code is saturated; choose another reference or circuit"
            )
        low, high = (self._seen_end(*end, reference_v) for end in zip(self.sensor.range_c, ends_v, strict=True))
        return low, high

    def _seen_end(self, end_c, v, reference_v):
        """An end of the sensor's range [degC], or where the signal meets an end of the converter before that."""
        if 0 <= v <= reference_v:
            return float(end_c)
        cut_c = self.celsius_at_pin(min(max(v, 0.0), reference_v))
        return float(np.clip(cut_c, *self.sensor.range_c))

    def problems(self, say=in_celsius):
        """What cannot work in this combination, one sentence each; empty where all is well.

        `say(t_c)` writes a temperature given in degC, so that a reader sees the scale of their choice.

        >>> scenario(nominal_v=1.2, kind="fixed").problems()
        ('the signal reaches 1.48 V, above the reference of 1.2 V: above 75.0 degC every code is the top code, 1023',)
        """
        return (*self.supply_problems(), *self._span_problems(say))

    def supply_problems(self):
        """Which supplies do not go with sensor or reference, one sentence each; empty where all is well.

        >>> scenario(nominal_v=2.5).supply_problems()[0][:40]
        "the supply of 2.5 V is below the sensor'"
        """
        feed_v = self._feed_v(self.reference.actual_v)
        found = []
        if feed_v is None:
            return found
        window = self.sensor.supply_v
        if window and not window[0] <= feed_v <= window[1]:
            side = "below" if feed_v < window[0] else "above"
            found.append(
                f"the supply of {feed_v:.4g} V is {side} the sensor's window of {window[0]:g} to {window[1]:g} V: "
                "its specification does not hold"
            )
        if self.reference.kind == "fixed" and self.reference.actual_v > feed_v:
            found.append(
                f"the reference of {self.reference.actual_v:.4g} V is above the supply of {feed_v:.4g} V: "
                "a board cannot give a reference higher than its supply"
            )
        return [*found, *self.circuit.problems(self.sensor, feed_v)]

    def _span_problems(self, say):
        reference_v, top = self.reference.actual_v, self.converter.codes - 1
        first_v, last_v = (self.volts(end) for end in self.sensor.range_c)
        low_v, high_v = sorted((first_v, last_v))
        if low_v >= reference_v:
            return [f"the whole signal lies above the reference of {reference_v:.4g} V: every code is {top}"]
        if high_v <= 0:
            return ["the whole signal lies below 0 V: every code is 0"]
        rising, found = last_v > first_v, []
        if high_v > reference_v:
            found.append(
                f"the signal reaches {high_v:.4g} V, above the reference of {reference_v:.4g} V: "
                f"{self._beyond(say, warm_end=rising)} every code is the top code, {top}"
            )
        if low_v < 0:
            where = self._beyond(say, warm_end=not rising)
            found.append(f"the signal falls to {low_v:.4g} V, below 0 V: {where} every code is 0")
        return found

    def _beyond(self, say, warm_end):
        low, high = self.span_c()
        return f"above {say(high)}" if warm_end else f"below {say(low)}"

    # ---- the program: nominal values

    def reading(self, code, checked=True):
        """Code -> reading [degC] as the program computes it, with the nominal reference; scalar or array.

        The middle of the code's step. The mean of several codes is allowed. A code whose step does not touch the
        sensor's range cannot be true: it raises `ValueError` (`nan` in an array). With `checked=False` the bare
        formula answers, as a program without that check would.

        >>> round(scenario().reading(163), 3), round(scenario().reading(1023, checked=False), 1)
        (24.792, 549.7)
        """
        if np.ndim(code):
            span_c = self._believable_c() if checked else (-np.inf, np.inf)
            return in_blocks(lambda block: nan_outside(self._formula(block), *span_c), code, float)
        t_c = float(self._formula(code))
        if checked:
            low, high = self._believable_c()
            advice = "the code cannot come from this sensor; look for a wiring fault or a wrong reference"
            if not low <= t_c <= high:
                keep(t_c, *self.sensor.range_c, name=f"code {code} as reading", unit="degC", advice=advice)
        return t_c

    def _formula(self, code):
        """Code -> temperature by the bare formula, with what the program believes of reference and feed."""
        return self.celsius_believed(self.converter.volts(code, self.reference.nominal_v))

    def celsius_believed(self, v):
        """Voltage at the converter's pin [V] -> temperature [degC] as the program computes it; scalar or array.

        What the program does not know, the true feed or the leads, is not in it. No look at the range.

        >>> round(scenario(true_v=4.75, ratiometric_at_v=5.0).celsius_believed(0.8), 6)
        25.0
        """
        return self.circuit.assumed.celsius(self.sensor, v, self._assumed_feed_v())

    def _assumed_feed_v(self):
        return self.circuit.assumed_feed_v(self.reference.nominal_v, self.reference.kind)

    def _believable_c(self):
        """The sensor's range [degC], wider by the half step by which the middle of a step may lie outside."""
        half_v = 0.5 * self.converter.step_v(self.reference.nominal_v)
        feed_v = self._assumed_feed_v()
        low, high = (float(end) for end in self.sensor.range_c)
        circuit = self.circuit.assumed
        low_step, high_step = (abs(half_v / circuit.volts_per_c(self.sensor, end, feed_v)) for end in (low, high))
        return low - low_step * (1 + 1e-9), high + high_step * (1 + 1e-9)

    def error_c(self, t_c, checked=False):
        """Reading minus true temperature [degC], steps and reference included; scalar or array.

        >>> round(scenario(true_v=4.75).error_c(25.0), 2)
        5.29
        """
        t_c = keep(t_c, *self.sensor.range_c, name="temperature", unit="degC", advice="the sensor's own range")
        return self.reading(self.code(t_c), checked=checked) - t_c

    def with_true_reference(self, true_v):
        """The same chain with another true reference [V]; the program's assumption stays.

        >>> scenario().with_true_reference(4.75).code(25.0)
        172
        """
        return replace(self, reference=replace(self.reference, true_v=true_v))


def scenario(nominal_v=5.0, true_v=None, kind="supply", bits=10, transfer="floor", **circuit):
    """The chain of the running example: a linear sensor, direct, 5 V supply as reference, 10-bit converter.

    >>> scenario().code(25.0)
    163
    """
    return Chain(
        sensor=LinearSensor(),
        circuit=Direct(**circuit),
        reference=Reference(nominal_v=nominal_v, tolerance=0.05 if kind == "supply" else 0.0, kind=kind, true_v=true_v),
        converter=Converter(bits=bits, transfer=transfer),
    )
