"""Every number that is not ours, with its unit and its source. A constant without a source cannot exist."""

from dataclasses import dataclass

NO_SOURCE = "common practice, no source"
CATALOGUE = "invented, the book's catalogue: data/catalogue"


@dataclass(frozen=True)
class Constant:
    """A number with a unit and where it comes from.

    `value` in `unit`; `source` names a publication and place, or says "common practice, no source", or says
    that it is from memory. Raises `ValueError` when the source is empty.

    >>> float(ZERO_CELSIUS_K)
    273.15
    >>> Constant(42.0, "V", "")
    Traceback (most recent call last):
        ...
    ValueError: a constant needs a source: 42.0 V has none; name the publication, or say "common practice, no source"
    """

    value: float
    unit: str
    source: str

    def __post_init__(self):
        if not self.source.strip():
            raise ValueError(
                f"a constant needs a source: {self.value} {self.unit} has none; "
                f'name the publication, or say "{NO_SOURCE}"'
            )

    def __float__(self):
        return float(self.value)


ZERO_CELSIUS_K = Constant(273.15, "K", "ITS-90, Metrologia 27 (1990) 3-10, definition of the Celsius temperature")
ZERO_CELSIUS_F = Constant(32.0, "degF", "NIST SP 811 (2008), Appendix B.8")
FAHRENHEIT_PER_CELSIUS = Constant(1.8, "degF/degC", "NIST SP 811 (2008), Appendix B.8")

USB_SOURCE_MIN_V = Constant(
    4.75, "V", "USB 2.0 specification, section 7.2: high-power port, at the host or powered hub"
)
USB_SOURCE_MAX_V = Constant(
    5.50,
    "V",
    "change notice to USB 2.0 of 2014 on the highest VBUS, listed among the USB-IF's compliance updates; value from "
    "memory; 5.25 V before that, section 7.2",
)
USB_BEHIND_HUB_MIN_V = Constant(4.40, "V", "USB 2.0 specification, section 7.2: downstream port of a bus-powered hub")

SENSOR_AT_0C_V = Constant(0.6, "V", CATALOGUE)
SENSOR_SLOPE_V_PER_C = Constant(0.008, "V/degC", CATALOGUE)
SENSOR_RANGE_C = (Constant(-25.0, "degC", CATALOGUE), Constant(110.0, "degC", CATALOGUE))
SENSOR_SUPPLY_V = (Constant(3.0, "V", CATALOGUE), Constant(5.6, "V", CATALOGUE))
SENSOR_ACCURACY_C = Constant(1.5, "degC", CATALOGUE)
SUPPLY_V = Constant(5.0, "V", NO_SOURCE)

COPPER_OHM_MM2_PER_M = Constant(1 / 58, "ohm mm^2/m", "IEC 60028:1925, annealed copper at 20 degC")
COPPER_PER_K = Constant(0.00393, "1/K", "IEC 60028:1925, annealed copper, from 20 degC")
COPPER_T_C = Constant(20.0, "degC", "IEC 60028:1925, temperature of the standard resistivity")
