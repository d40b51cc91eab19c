"""The controls of chapter 12, and the benches that stand in where a design has another kind of sensor."""

from dataclasses import replace

from tempkit.chain import Chain
from tempkit.circuit import CurrentDrive, Divider
from tempkit.converter import Converter, Reference
from tempkit.design import Design
from tempkit.explorers.controls import TEMPERATURE, Control
from tempkit.outputs import nearest_preferred
from tempkit.sensors import PlatinumSensor, Thermistor, Thermocouple

RANGE_C = (-40.0, 125.0)


def thermistor_bench():
    """The bench with a thermistor in a divider, as `data/chains/north-bench-thermistor.toml` has it; invented.

    >>> thermistor_bench().chain.code(25.0)
    512
    """
    sensor = Thermistor.from_beta(10_000.0, 3950.0, RANGE_C, accuracy_c=0.2, r25_tolerance=0.01, beta_tolerance=0.01)
    converter = Converter(10, offset_lsb=2.0, gain_lsb=2.0, inl_lsb=1.0)
    circuit = Divider(fixed_ohm=10_000.0, fixed_tolerance=0.01)
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
    10000.0
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
FROM = Control("low_c", "range from", low=-40.0, high=100.0, step=1.0, digits=0, start=10.0, scale="temperature")
TO = Control("high_c", "range to", low=-20.0, high=125.0, step=1.0, digits=0, start=40.0, scale="temperature")

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
