"""Every control of the explorers, said once: what it is called, its unit and range, and where in a design it lives."""

import math
from collections.abc import Callable
from dataclasses import dataclass, fields, replace

from tempkit import constants
from tempkit.chain import (
    Chain,
    Converter,
    CurrentDrive,
    Design,
    Divider,
    Limits,
    Link,
    Noise,
    PlatinumSensor,
    Reference,
    Response,
    Smoothing,
    Thermistor,
    Thermocouple,
)
from tempkit.signal import nearest_preferred


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


TEMPERATURE = Control("t_c", "temperature", low=-40.0, high=125.0, step=0.1, start=25.0, scale="temperature")
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


# ---- The controls of chapter 08: how a temperature changes, and all that makes a reading and an alarm late.

# Taken where a design states none; invented, as the bench is.
BENCH_ALARM = Limits(
    low_c=18.0, high_c=27.0, deadband_c=0.5, on_delay_samples=5, off_delay_samples=5, sample_period_s=1.0
)
STATED = {
    "response": Response(tau_s=40.0),
    "smoothing": Smoothing(tau_s=5.0),
    "alarm": BENCH_ALARM,
    "link": Link(baud=9600),
}


def completed(design):
    """The design with the bench's lag, smoothing, alarm and link where it states none.

    >>> from tempkit.explorers.stage import north_bench
    >>> completed(north_bench()).alarm.high_c
    27.0
    """
    return replace(design, **{name: part for name, part in STATED.items() if getattr(design, name) is None})


def setting(part, field, kind=float):
    """Reader and writer of a field of a part that a design may leave out.

    >>> from tempkit.explorers.stage import north_bench
    >>> setting("alarm", "high_c")["get"](north_bench())
    27.0
    """

    def get(design):
        return getattr(getattr(completed(design), part), field)

    def put(design, value):
        return replace(design, **{part: replace(getattr(completed(design), part), **{field: kind(value)})})

    return {"get": get, "put": put}


GOES_TO = replace(TEMPERATURE, label="goes to", low=10.0, high=40.0, start=34.0)
SHAPE = Control(
    "shape",
    "change",
    start="ramp",
    options=(("step", "at once"), ("ramp", "steady"), ("swing", "to and fro")),
)
STEP_OR_RAMP = replace(SHAPE, options=SHAPE.options[:2])
RATE = Control("rate_c", "in a minute", "", 0.2, 10.0, 0.1, 1, 2.0, "span", only_if=("shape", "ramp"))
SWING = Control("swing_min", "there and back", "min", 0.5, 20.0, 0.5, 1, 8.0, only_if=("shape", "swing"))
LAG = Control("tau_s", "lag of the sensor", "s", 0.0, 180.0, 1.0, 0, **setting("response", "tau_s"))
SMOOTHING = Control("smoothing_s", "smoothing", "s", 0.0, 120.0, 1.0, 0, **setting("smoothing", "tau_s"))
PERIOD = Control("period_s", "sample every", "s", 0.2, 60.0, 0.2, 1, **setting("alarm", "sample_period_s"))
WAIT = Control("wait_s", "loop waits", "s", 0.05, 10.0, 0.05, 2, **setting("alarm", "sample_period_s"))
ON_DELAY = Control("on_delay", "on-delay", "samples", 1, 20, 1, 0, **setting("alarm", "on_delay_samples", round))
SPEED = Control("kbit_s", "line", "kbit/s", 0.3, 38.4, 0.3, 1, factor=0.001, **setting("link", "baud", round))
CHARACTERS = Control("characters", "prints", "characters", 0, 300, 5, 0, 40)
PRINTING = Control(
    "printing",
    "printing",
    start="waits",
    options=(("waits", "waits"), ("buffered", "buffer 48")),
)
SECONDS = Control(
    "shown_s",
    "shows",
    start=120,
    options=((30, "30 s"), (120, "2 min"), (600, "10 min")),
)


# ---- The controls of chapter 07: the bench's temperature, its readings, and what the alarm is set to.

def _limit(field, start):
    """Reader and writer of one limit; where a design has none the slider stands at the bench's."""

    def get(design):
        value = getattr(completed(design).alarm, field)
        return start if value is None else value

    return {"get": get, "put": setting("alarm", field)["put"]}


BENCH_AT = replace(TEMPERATURE, label="bench at", low=16.0, high=30.0, start=26.0)
AIR_SWING = Control("swing_c", "swings by, ±", low=0.0, high=5.0, start=1.5, scale="span")
NOISE_C = Control("noise_c", "noise of a reading", low=0.0, high=1.5, step=0.05, digits=2, start=0.3, scale="span")
LOW = Control("low_c", "low limit", low=15.0, high=22.0, scale="temperature", **_limit("low_c", 18.0))
HIGH = Control("high_c", "high limit", low=22.5, high=31.0, scale="temperature", **_limit("high_c", 27.0))
DEADBAND = Control("deadband_c", "deadband", low=0.0, high=3.0, scale="span", **setting("alarm", "deadband_c"))
OFF_DELAY = Control("off_delay", "off-delay", "samples", 1, 20, 1, 0, **setting("alarm", "off_delay_samples", round))
LEAD = Control(
    "lead",
    "the lead",
    start="whole",
    options=(("whole", "is whole"), ("open", "is open, 4 to 5 min"), ("loose", "is loose, 4 to 5 min")),
)
TRUE_AT = replace(TEMPERATURE, label="true temperature", low=14.0, high=32.0, start=26.5)
DOUBT = Control("standard_c", "standard uncertainty", low=0.05, high=3.0, step=0.05, digits=2, start=0.8, scale="span")
GUARD = Control(
    "level",
    "guard band for",
    start=0.95,
    options=((None, "none"), (0.9, "90 %, one side"), (0.95, "95 %, one side"), (0.99, "99 %, one side")),
)
USUAL = Control("usual_c", "bench is usually at", low=18.0, high=27.0, start=24.0, scale="temperature")
SPREAD = Control("spread_c", "give or take", low=0.5, high=4.0, start=2.0, scale="span")


# ---- The controls of chapter 12, and the benches that stand in where a design has another kind of sensor.

RANGE_C = tuple(float(end) for end in constants.SENSOR_RANGE_C)


def thermistor_bench():
    """The bench with a thermistor in a divider, as `data/chains/north-bench-thermistor.toml` has it; invented.

    >>> thermistor_bench().chain.code(25.0)
    512
    """
    sensor = Thermistor.from_beta(9100.0, 3610.0, RANGE_C, accuracy_c=0.2, r25_tolerance=0.01, beta_tolerance=0.01)
    converter = Converter(10, offset_lsb=2.0, gain_lsb=2.0, inl_lsb=1.0)
    circuit = Divider(fixed_ohm=9100.0, fixed_tolerance=0.01)
    chain = Chain(sensor, Reference(5.0, tolerance=0.05), converter, circuit)
    return Design("North bench, thermistor in a divider (invented)", chain)


def in_divider(design):
    """True where a design has a thermistor in a divider of two wires.

    >>> in_divider(thermistor_bench())
    True
    """
    return isinstance(design.chain.circuit, Divider) and isinstance(design.chain.sensor, Thermistor)


def with_divider(design):
    """The design, or the bench's thermistor in its place where it has none.

    >>> from tempkit.explorers.stage import north_bench
    >>> with_divider(north_bench()).chain.circuit.fixed_ohm
    9100.0
    """
    return design if in_divider(design) else thermistor_bench()


def platinum_bench():
    """The bench with a platinum sensor, as `data/chains/north-bench-platinum-4-wire.toml` has it; invented.

    >>> platinum_bench().chain.circuit.wires
    4
    """
    circuit = CurrentDrive(
        wires=4,
        set_ohm=3300.0,
        current_tolerance=0.001,
        lead_ohm=0.5,
        lead_tolerance=0.1,
        gain=20.0,
        gain_tolerance=0.002,
        offset_v=1e-5,
    )
    converter = Converter(12, offset_lsb=3.0, gain_lsb=3.0, inl_lsb=3.0)
    chain = Chain(PlatinumSensor(range_c=RANGE_C), Reference(3.3, tolerance=0.03), converter, circuit)
    return Design("North bench, platinum with 4 wires (invented)", chain)


def platinum_of(design):
    """The design's platinum sensor, or that of the bench where it has none.

    >>> from tempkit.explorers.stage import north_bench
    >>> platinum_of(north_bench()).r0_ohm
    100.0
    """
    sensor = design.chain.sensor
    return sensor if isinstance(sensor, PlatinumSensor) else platinum_bench().chain.sensor


def _divider(field):
    """Reader and writer of a field of the divider; a design without one becomes the bench's thermistor."""

    def get(design):
        return getattr(with_divider(design).chain.circuit, field)

    def put(design, value):
        whole = with_divider(design)
        circuit = replace(whole.chain.circuit, **{field: value})
        return replace(whole, chain=replace(whole.chain, circuit=circuit))

    return {"get": get, "put": put}


def _put_preferred(design, fixed_ohm):
    return _divider("fixed_ohm")["put"](design, nearest_preferred(fixed_ohm))


SEEN_AT = replace(TEMPERATURE, low=RANGE_C[0], high=RANGE_C[1])
FIXED = Control(
    "fixed_kohm",
    "resistor near",
    "kΩ",
    1.0,
    65.0,
    0.1,
    1,
    factor=0.001,
    get=_divider("fixed_ohm")["get"],
    put=_put_preferred,
)
SENSOR_AT = Control(
    "sensor_at",
    "thermistor is at",
    options=(("bottom", "the bottom"), ("top", "the top")),
    **_divider("sensor_at"),
)
FROM = Control("low_c", "range from", low=-25.0, high=90.0, step=1.0, digits=0, start=10.0, scale="temperature")
TO = Control("high_c", "range to", low=-10.0, high=110.0, step=1.0, digits=0, start=40.0, scale="temperature")

WIRES = Control("wires", "wires", start=2, options=((2, "two"), (3, "three"), (4, "four")))
LENGTH = Control("length_m", "length of the lead", "m", 0.5, 100.0, 0.5, 1, 10.0)
GAUGE = Control("gauge", "wire gauge", "AWG", 14, 32, 1, 0, 24)
ALLOWED = Control("allowed_ohm", "program allows", "Ω a lead", 0.0, 10.0, 0.01, 2, 0.0)
UNLIKE = Control("unlike_percent", "each lead off by, ±", "%", 0.0, 20.0, 0.5, 1, 5.0)
WIRES_AT = Control("wire_c", "leads are at", low=-40.0, high=80.0, step=1.0, digits=0, start=20.0, scale="temperature")
RESISTANCE = Control(
    "r0_ohm",
    "sensor at 0 °C",
    start=0.0,
    options=((0.0, "as designed"), (100.0, "100 Ω"), (1000.0, "1000 Ω")),
)

LETTER = Control("letter", "thermocouple", start="K", options=(("K", "type K"), ("J", "type J"), ("T", "type T")))
HOT = replace(TEMPERATURE, label="hot junction", low=-100.0, high=400.0, step=1.0, digits=0, start=100.0)
COLD = Control("cold_c", "cold junction", low=-20.0, high=60.0, step=0.5, start=25.0, scale="temperature")
MISREAD = Control("misread_c", "its sensor is off by", low=-5.0, high=5.0, step=0.1, start=0.0, scale="span")


def measuring(wires, lead_ohm, allowed_ohm, unlike):
    """A current of 1 mA through a platinum sensor at the end of its leads, and what the program allows for them.

    >>> measuring(2, 0.5, 0.0, 0.1).unknown
    'leads other than assumed'
    """
    return CurrentDrive(
        current_a=0.001, wires=wires, lead_ohm=lead_ohm, assumed_lead_ohm=allowed_ohm, lead_tolerance=unlike
    )


def couple(letter):
    """A thermocouple over all of its reference function.

    >>> couple("T").range_c
    (-270.0, 400.0)
    """
    return Thermocouple(letter)


# ---- The controls of chapter 11: the fault, the bench that has it, the log to be judged, and the reader's guess.

SHORT = {
    "healthy": "nothing wrong",
    "turned": "sensor turned",
    "no signal": "signal lead open",
    "no ground": "ground lead open",
    "no supply": "supply lead open",
    "constant": "wrong constant",
    "count": "2^N − 1 for 2^N",
    "integer": "integer division",
    "other supply": "3.3 V for 5 V",
    "offset": "wrong offset",
    "leads": "long thin leads",
    "lamp": "lamp turned",
    "sag": "buzzer sags supply",
    "noisy": "noisy supply",
    "baud": "wrong line speed",
}
UNDECIDED = "none"

ROOM = replace(TEMPERATURE, label="room", low=10.0, high=28.0, start=21.0)
RULER = replace(TEMPERATURE, label="ruler", low=-90.0, high=140.0, start=25.0)
FAULT = Control("fault", "the fault", start="no signal", options=tuple(SHORT.items()))
BENCH = Control("bench", "bench", "number", 1, 20, 1, 0, start=1)
LOG = Control("log", "log", "number", 1, 60, 1, 0, start=1)
PRINTS = Control(
    "prints", "the board prints", start="both", options=(("both", "code and reading"), ("reading", "reading"))
)
GUESS = Control("guess", "my cause", start=UNDECIDED, options=((UNDECIDED, "not yet"), *SHORT.items()))
