"""Every control of the explorers, said once: what it is called, its unit and range, and where in a design it lives."""

import math
from collections.abc import Callable
from dataclasses import dataclass, fields, replace

from tempkit import constants
from tempkit.design import Noise


@dataclass(frozen=True)
class Control:
    """One control: a slider over `low`..`high` in steps of `step`, or a choice among `options` (value -> words).

    `scale` is "temperature" or "span" where the slider follows the reader's scale; `low`, `high` and `start` are in
    degC then. `get` and `put` read it from a design and write it to a design; without them it is the explorer's own
    and starts at `start`. `factor` turns the design's unit into the control's, 1000 for V into mV.
    `only_if` is (name, value or tuple of values) of another control without which this one has no effect and rests.
    `place` is (part, field) of the chain that it sets; in a design whose part has no such field it rests too.

    >>> from tempkit.explorers.stage import north_bench
    >>> TRUE_SUPPLY.read(north_bench())
    5.0
    """

    name: str
    label: str
    unit: str = ""
    low: float = 0.0
    high: float = 1.0
    step: float = 0.1
    digits: int = 1
    start: object = None
    scale: str | None = None
    options: tuple = ()
    factor: float = 1.0
    get: Callable | None = None
    put: Callable | None = None
    only_if: tuple = ()
    place: tuple = ()

    def applies(self, design):
        """False where the design's part has no field for this control, as a thermistor has no slope in V/degC."""
        return not self.place or self.place[1] in {each.name for each in fields(getattr(design.chain, self.place[0]))}

    def read(self, design):
        """The control's value in a design, or its own start value."""
        if not self.applies(design):
            return self.options[0][0] if self.options else self.low
        value = self.start if self.get is None else self.get(design)
        return value if self.options or self.factor == 1.0 else value * self.factor

    def write(self, design, value):
        """The design with the control's value in it."""
        if self.put is None or not self.applies(design):
            return design
        return self.put(design, value if self.options or self.factor == 1.0 else value / self.factor)


def _part(part, field):
    """Reader and writer of a field of a part of the chain, such as ("reference", "true_v")."""

    def get(design):
        return getattr(getattr(design.chain, part), field)

    def put(design, value):
        return replace(
            design, chain=replace(design.chain, **{part: replace(getattr(design.chain, part), **{field: value})})
        )

    return {"get": get, "put": put, "place": (part, field)}


def _true_v(design):
    return design.chain.reference.actual_v


TEMPERATURE = Control("t_c", "temperature", low=-55.0, high=140.0, step=0.1, start=25.0, scale="temperature")
OFFSET = Control("at_0c_mv", "output at 0 °C", "mV", 0.0, 1000.0, 10.0, 0, factor=1000.0, **_part("sensor", "at_0c_v"))
SLOPE = Control("slope_mv", "slope", "mV/°C", 1.0, 30.0, 0.5, 1, factor=1000.0, **_part("sensor", "slope_v_per_c"))
ACCURACY = Control(
    "accuracy_c", "accuracy limits, ±", "", 0.0, 5.0, 0.1, 1, scale="span", **_part("sensor", "accuracy_c")
)
TRUE_SUPPLY = Control(
    "true_v", "true reference", "V", 1.0, 5.5, 0.01, 2, get=_true_v, put=_part("reference", "true_v")["put"]
)
ASSUMED_SUPPLY = Control("assumed_v", "assumed reference", "V", 1.0, 5.5, 0.01, 2, **_part("reference", "nominal_v"))
KIND = Control(
    "kind",
    "the reference is",
    options=(("supply", "the supply"), ("fixed", "fixed, on its own")),
    **_part("reference", "kind"),
)
SUPPLY = Control(
    "supply_v",
    "supply of the sensor",
    "V",
    2.0,
    6.0,
    0.05,
    2,
    get=lambda design: design.chain.circuit.supply_v or float(constants.SUPPLY_V),
    put=_part("circuit", "supply_v")["put"],
    only_if=("kind", "fixed"),
)


def _feed_v(design):
    chain = design.chain
    return chain.circuit.feed_v(chain.reference.actual_v, chain.reference.kind) or float(constants.SUPPLY_V)


def _put_feed_v(design, value):
    """Where the supply is the reference, its true value is the sensor's supply, else the circuit's own."""
    place = ("reference", "true_v") if design.chain.reference.kind == "supply" else ("circuit", "supply_v")
    return _part(*place)["put"](design, value)


SENSOR_SUPPLY = Control("sensor_supply_v", "supply of the sensor", "V", 2.0, 6.0, 0.05, 2, get=_feed_v, put=_put_feed_v)
BITS = Control(
    "bits",
    "bits",
    "bits",
    3,
    16,
    1,
    0,
    get=lambda design: design.chain.converter.bits,
    put=lambda design, value: _part("converter", "bits")["put"](design, int(value)),
)
TRANSFER = Control(
    "transfer",
    "transfer",
    options=(("floor", "floor: cuts off"), ("round", "round: to the nearest")),
    **_part("converter", "transfer"),
)


def _put_reference(design, value):
    """One value for both: the program knows the reference as it is."""
    reference = replace(design.chain.reference, nominal_v=value, true_v=None)
    return replace(design, chain=replace(design.chain, reference=reference))


REFERENCE = Control(
    "reference_v", "reference", "V", 1.0, 5.5, 0.01, 2, get=_part("reference", "nominal_v")["get"], put=_put_reference
)
DIVISOR = Control(
    "divisor", "divides by", start="count", options=(("count", "2^N"), ("top", "2^N − 1"))
)
EDGE = Control("edge", "program takes", start="middle", options=(("middle", "the middle"), ("lower", "the lower edge")))
VIEW = Control(
    "view",
    "view for",
    start="near",
    options=(
        ("closest", "13 bits and up"),
        ("close", "11 and 12 bits"),
        ("near", "9 and 10 bits"),
        ("wide", "7 and 8 bits"),
        ("whole", "the whole range"),
    ),
)
OUTPUT = Control(
    "output",
    "the sensor's output",
    options=((None, "in volts, whatever the supply"), (5.0, "in proportion to its supply")),
    **_part("circuit", "ratiometric_at_v"),
)
LANGUAGE = Control("language", "language", start="c", options=(("c", "C"), ("python", "Python")))
ARITHMETIC = Control(
    "arithmetic", "arithmetic", start="float", options=(("float", "floating point"), ("integers", "integers"))
)
CHANGE = Control(
    "change",
    "changed line",
    start="none",
    options=(
        ("none", "none"),
        ("divide_first", "integer division"),
        ("count", "2^N − 1 for 2^N"),
        ("supply", "wrong supply"),
        ("product16", "16-bit product"),
        ("span", "°F without the 32"),
        ("offset", "offset forgotten"),
        ("millivolt", "V and mV mixed"),
    ),
)
POINTS = Control(
    "points",
    "calibrated at",
    start="line",
    options=(
        ("one", "ice alone"),
        ("near", "ice and warm"),
        ("far", "ice and boiling"),
        ("line", "all, by u"),
        ("scatter", "all, by scatter"),
    ),
)
ICE_OFF = Control("ice_off_c", "off in ice by", low=-3.0, high=3.0, start=0.7, scale="span")
WARM_OFF = Control("warm_off_c", "off in warm by", low=-3.0, high=3.0, start=1.3, scale="span")
HOT_OFF = Control("hot_off_c", "off at boiling by", low=-3.0, high=3.0, start=2.1, scale="span")
WARM = Control("warm_c", "warm water", low=15.0, high=70.0, step=1.0, digits=0, start=40.0, scale="temperature")
BETTER = Control("better_c", "thermometer's U, ±", low=0.02, high=1.0, step=0.02, digits=2, start=0.2, scale="span")
ALTITUDE = Control("altitude_m", "altitude", "m", 0.0, 5000.0, 50.0, 0, start=300.0)
PRESSURE = Control(
    "pressure",
    "air pressure",
    start="altitude",
    options=(
        ("altitude", "from altitude"),
        ("barometer", "by barometer"),
    ),
)


BENCH_NOISE = Noise(input_v=0.002, samples=16)  # taken where a design states none; invented, as the bench is


def noise_of(design):
    """The noise that a design states, or the bench's.

    >>> from tempkit.explorers.stage import north_bench
    >>> noise_of(north_bench()).samples
    16
    """
    return design.noise or BENCH_NOISE


NOISE = Control(
    "noise_mv",
    "noise",
    "mV",
    0.0,
    8.0,
    0.1,
    1,
    factor=1000.0,
    get=lambda design: noise_of(design).input_v,
    put=lambda design, value: replace(design, noise=replace(noise_of(design), input_v=value)),
)
SAMPLES = Control(
    "samples_2n",
    "samples",
    "power of 2",
    0,
    10,
    1,
    0,
    get=lambda design: math.log2(noise_of(design).samples),
    put=lambda design, value: replace(design, noise=replace(noise_of(design), samples=round(2**value))),
)
SOME_BITS = replace(BITS, low=8, high=12)
