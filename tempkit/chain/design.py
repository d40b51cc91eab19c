"""Design: a chain with all that turns its readings into an alarm. What a design file holds, as one thing."""

import math
from dataclasses import dataclass, field

from tempkit.chain.chain import Chain
from tempkit.chain.quantities import (
    Amperes,
    Baud,
    Drift,
    Frame,
    NoiseVolts,
    Period,
    Samples,
    Seconds,
    Span,
    Temperature,
)
from tempkit.ranges import scalar, whole_number


def _check(thing, low, **limits):
    """Raise `ValueError` unless every named field of `thing` is at least `low`; the limits name their units."""
    for name, unit in limits.items():
        value = getattr(thing, name)
        if unit in ("samples", "bit/s"):
            whole_number(value, low, name=name, unit=unit, advice="correct it, or leave it out")
        elif not scalar(value, name) >= low:
            raise ValueError(f"{name} {value:g} {unit} must be {low:g} or more: correct it, or leave it out")


@dataclass(frozen=True)
class Noise:
    """Noise at the converter's pin: standard deviation `input_v` [V], and how many `samples` make one reading.

    >>> Noise(input_v=0.002, samples=16).samples
    16
    """

    input_v: NoiseVolts = 0.0
    samples: Samples = 1

    def __post_init__(self):
        _check(self, 0, input_v="V")
        _check(self, 1, samples="samples")


@dataclass(frozen=True)
class Response:
    """First-order lag of the sensor in its place: time constant `tau_s` [s].

    >>> Response(tau_s=40.0).tau_s
    40.0
    """

    tau_s: Seconds = 0.0

    def __post_init__(self):
        _check(self, 0, tau_s="s")


@dataclass(frozen=True)
class Smoothing:
    """First-order smoothing in the program: time constant `tau_s` [s], 0 for none.

    >>> Smoothing().tau_s
    0.0
    """

    tau_s: Seconds = 0.0

    def __post_init__(self):
        _check(self, 0, tau_s="s")


@dataclass(frozen=True)
class Limits:
    """What the alarm is set to: limits [degC], deadband [degC], delays [samples, 1 = at once], sample period [s].

    A limit of None means that there is no such limit; one of the two must be there.

    >>> Limits(low_c=18.0, high_c=27.0).deadband_c
    0.0
    """

    low_c: Temperature | None = None
    high_c: Temperature | None = None
    deadband_c: Span = 0.0
    on_delay_samples: Samples = 1
    off_delay_samples: Samples = 1
    sample_period_s: Period = 1.0

    def __post_init__(self):
        _check(self, 0, deadband_c="degC")
        _check(self, 1, on_delay_samples="samples", off_delay_samples="samples")
        if not scalar(self.sample_period_s, "sample_period_s") > 0:
            raise ValueError(f"sample_period_s {self.sample_period_s:g} s must be above 0 s: time between two samples")
        for name in ("low_c", "high_c"):
            value = getattr(self, name)
            if value is not None and not math.isfinite(scalar(value, name)):
                raise ValueError(f"{name} {value:g} degC is no finite number: give a limit, or leave it out")
        if self.low_c is None and self.high_c is None:
            raise ValueError("an alarm needs low_c or high_c [degC]: give at least one limit")
        if None not in (self.low_c, self.high_c) and not self.low_c < self.high_c:
            raise ValueError(
                f"low_c {self.low_c:g} degC must be below high_c {self.high_c:g} degC: swap or correct them"
            )


@dataclass(frozen=True)
class Outputs:
    """What the board drives: current of the lamp [A].

    >>> Outputs(lamp_current_a=0.006).lamp_current_a
    0.006
    """

    lamp_current_a: Amperes = 0.0

    def __post_init__(self):
        _check(self, 0, lamp_current_a="A")


@dataclass(frozen=True)
class Link:
    """The serial line: bits a second and frame, such as "8N1".

    >>> Link().baud
    9600
    """

    baud: Baud = 9600
    frame: Frame = "8N1"

    def __post_init__(self):
        _check(self, 1, baud="bit/s")


@dataclass(frozen=True)
class Extras:
    """What only the error budget asks for; 0 says that it plays no part.

    reference_drift_ppm_per_c : limits, +- [ppm/degC]; board_swing_c : how far the board may be from the temperature
    at which its reference was specified or measured, +- [degC]; meter_u_v : standard uncertainty of the meter that
    gave the reference's true value [V]; self_heating_c, lead_drop_v : at most so much, at least nothing [degC], [V].
    The lead drop lifts the sensor's return lead, so the pin sees that much more.

    >>> Extras(self_heating_c=0.2).lead_drop_v
    0.0
    """

    reference_drift_ppm_per_c: Drift = 0.0
    board_swing_c: Span = 0.0
    meter_u_v: NoiseVolts = 0.0
    self_heating_c: Span = 0.0
    lead_drop_v: NoiseVolts = 0.0

    def __post_init__(self):
        _check(self, 0, reference_drift_ppm_per_c="ppm/degC", board_swing_c="degC", meter_u_v="V")
        _check(self, 0, self_heating_c="degC", lead_drop_v="V")
        if self.reference_drift_ppm_per_c and not self.board_swing_c:
            raise ValueError("board_swing_c 0 degC leaves the drift without effect: say how far the board may warm")


@dataclass(frozen=True)
class Calibration:
    """A comparison with a better thermometer at one temperature [degC] or two.

    thermometer_u_c : its standard uncertainty, the same error at both points [degC]; left_c : limits, +-, of the
    sensor's own error that stay away from the points [degC]: 0 only where the sensor is off by the same everywhere.

    >>> Calibration(first_c=0.0, thermometer_u_c=0.05).points_c
    (0.0,)
    """

    first_c: Temperature
    thermometer_u_c: Span
    second_c: Temperature | None = None
    left_c: Span = 0.0

    def __post_init__(self):
        _check(self, 0, thermometer_u_c="degC", left_c="degC")
        if self.first_c == self.second_c:
            raise ValueError(f"second_c {self.second_c:g} degC is the first point again: take two well apart")

    @property
    def points_c(self):
        """The calibration temperatures [degC], one or two."""
        return (self.first_c,) if self.second_c is None else (self.first_c, self.second_c)


@dataclass(frozen=True)
class Design:
    """A title, a chain, and the optional parts; a part that is None was not stated in the file.

    >>> from tempkit.chain.chain import scenario
    >>> Design("North bench", scenario()).alarm is None
    True
    """

    title: str
    chain: Chain
    noise: Noise | None = None
    response: Response | None = None
    smoothing: Smoothing | None = None
    alarm: Limits | None = None
    outputs: Outputs | None = None
    link: Link | None = None
    budget: Extras | None = None
    calibration: Calibration | None = None
    format: int = field(default=1)
