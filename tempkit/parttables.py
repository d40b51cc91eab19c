"""What the tables [sensor] and [circuit] of a chain file may hold, a struct for each kind."""

from typing import Literal

from tempkit.chainunits import (
    AnyVolts,
    ClassNumber,
    Current,
    Gain,
    Kelvin,
    NoiseVolts,
    Ohms,
    Part,
    PerKelvin,
    Relative,
    Slope,
    SomeOhms,
    Span,
    Table,
    Temperature,
    Volts,
    Wires,
)
from tempkit.circuit import Bridge, ColdJunction, CurrentDrive, Direct, Divider
from tempkit.platinum import STANDARD_RANGE_C
from tempkit.sensors import BetaThermistor, LinearSensor, PlatinumSensor, Thermistor, Thermocouple
from tempkit.thermistor import RANGE_C


class LinearTable(Table):
    """A linear sensor."""

    kind: Literal["linear"]
    at_0c_v: AnyVolts
    slope_v_per_c: Slope
    range_c: tuple[Temperature, Temperature]
    supply_v: tuple[Volts, Volts]
    accuracy_c: Span


class DirectTable(Table):
    """A sensor straight at the pin."""

    kind: Literal["direct"]
    source_ohm: Ohms = 0.0
    supply_v: Volts | None = None
    ratiometric_at_v: Volts | None = None


class BetaTable(Table):
    """A thermistor by its Beta."""

    kind: Literal["thermistor-beta"]
    r25_ohm: SomeOhms
    beta_k: Kelvin
    range_c: tuple[Temperature, Temperature] = RANGE_C
    accuracy_c: Span = 0.0
    r25_tolerance: Relative = 0.0
    beta_tolerance: Relative = 0.0


class SteinhartHartTable(Table):
    """A thermistor by three coefficients."""

    kind: Literal["thermistor-steinhart-hart"]
    a: PerKelvin
    b: PerKelvin
    c: PerKelvin
    range_c: tuple[Temperature, Temperature] = RANGE_C
    accuracy_c: Span = 0.0


class PlatinumTable(Table):
    """A platinum sensor."""

    kind: Literal["platinum"]
    r0_ohm: SomeOhms = 100.0
    tolerance_class: Literal["AA", "A", "B", "C"] = "B"
    element: Literal["wire", "film"] = "wire"
    range_c: tuple[Temperature, Temperature] = STANDARD_RANGE_C


class ThermocoupleTable(Table):
    """A thermocouple."""

    kind: Literal["thermocouple"]
    letter: Literal["K", "J", "T"]
    range_c: tuple[Temperature, Temperature] | None = None
    tolerance_class: ClassNumber = 2


class FedTable(Table, kw_only=True):
    """What every fed circuit may hold."""

    supply_v: Volts | None = None
    supply_tolerance: Relative = 0.0
    gain: Gain = 1.0
    gain_tolerance: Relative = 0.0
    offset_v: NoiseVolts = 0.0
    bias_v: AnyVolts = 0.0
    source_ohm: Ohms = 0.0


class WiredTable(FedTable, kw_only=True):
    """What each circuit with leads may hold."""

    lead_ohm: Ohms = 0.0
    assumed_lead_ohm: Ohms = 0.0
    lead_tolerance: Relative = 0.0


class DividerTable(WiredTable, kw_only=True):
    """A divider."""

    kind: Literal["divider"]
    fixed_ohm: SomeOhms
    fixed_tolerance: Relative = 0.0
    sensor_at: Literal["bottom", "top"] = "bottom"
    wires: Wires = 2


class CurrentTable(WiredTable, kw_only=True):
    """A current through the sensor."""

    kind: Literal["current"]
    current_a: Current | None = None
    set_ohm: SomeOhms | None = None
    current_tolerance: Relative = 0.0
    wires: Wires = 4


class BridgeTable(WiredTable, kw_only=True):
    """A bridge."""

    kind: Literal["bridge"]
    top_ohm: SomeOhms
    balance_ohm: SomeOhms
    arm_tolerance: Relative = 0.0
    wires: Wires = 3


class ColdJunctionTable(FedTable, kw_only=True):
    """An amplifier for a thermocouple."""

    kind: Literal["thermocouple-amplifier"]
    cold_c: Temperature = 25.0
    measured_cold_c: Temperature | None = None
    cold_accuracy_c: Span = 0.0
    cold_at_0c_v: AnyVolts | None = None
    cold_slope_v_per_c: Slope | None = None


SENSORS = {
    "linear": Part(LinearTable, LinearSensor),
    "thermistor-beta": Part(BetaTable, BetaThermistor, BetaThermistor.of),
    "thermistor-steinhart-hart": Part(SteinhartHartTable, Thermistor),
    "platinum": Part(PlatinumTable, PlatinumSensor),
    "thermocouple": Part(ThermocoupleTable, Thermocouple),
}
CIRCUITS = {
    "direct": Part(DirectTable, Direct),
    "divider": Part(DividerTable, Divider),
    "current": Part(CurrentTable, CurrentDrive),
    "bridge": Part(BridgeTable, Bridge),
    "thermocouple-amplifier": Part(ColdJunctionTable, ColdJunction),
}
