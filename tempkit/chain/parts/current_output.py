"""A sensor whose output is a current, so much for each kelvin, and the resistor that turns it into a voltage."""

from dataclasses import dataclass
from typing import ClassVar

from tempkit import constants
from tempkit.chain.deviations import EXACT, check_above, check_from, check_tolerance, factor, percent
from tempkit.chain.parts.bases import Circuit, Sensor
from tempkit.chain.quantities import Current, Ohms, Range, Relative, SomeOhms, Span, Volts
from tempkit.ranges import as_written, check_span
from tempkit.text import DECOUPLING, digits, ohms, within

ZERO_C_K = float(constants.ZERO_CELSIUS_K)


@dataclass(frozen=True)
class CurrentOutput(Sensor):
    """A sensor of two legs that lets a current through in proportion to the temperature in kelvin.

    a_per_k : current for each kelvin [A], 0.8 uA unless given; current_tolerance : relative, +-; range_c [degC];
    supply_v : lowest and highest supply [V]; accuracy_c : limits, +- [degC]. The ranges are invented.

    >>> sensor = CurrentOutput()
    >>> round(1e6 * sensor.line(25.0), 2), round(sensor.inverse(240e-6), 2)
    (238.52, 26.85)
    """

    a_per_k: Current = 0.8e-6
    current_tolerance: Relative = 0.0
    range_c: Range = (-25.0, 110.0)
    supply_v: tuple[Volts, Volts] = (4.0, 30.0)
    accuracy_c: Span = 0.0

    kind: ClassVar[str] = "current-output"
    called: ClassVar[str] = "a sensor with a current as its output"
    gives: ClassVar[str] = "a current"

    def __post_init__(self):
        check_above(self, 0, a_per_k="A")
        check_from(self, 0, accuracy_c="degC")
        check_tolerance(self, "current_tolerance")
        check_span(*self.range_c, "range_c", "degC")
        check_span(*self.supply_v, "supply_v", "V")
        if not self.range_c[0] > -ZERO_C_K:
            raise ValueError(f"range_c {self.range_c} degC begins below {-ZERO_C_K} degC, where no current is left")

    def line(self, t_c, off=EXACT):
        """Temperature [degC] -> current [A]; `off` may hold "output" [%].

        >>> round(1e6 * CurrentOutput().line(0.0, {"output": 1.0}), 4)
        220.7052
        """
        return self.a_per_k * factor(off, "output") * (t_c + ZERO_C_K)

    def inverse(self, current_a):
        """Current [A] -> temperature [degC].

        >>> round(CurrentOutput().inverse(218.52e-6), 6)
        0.0
        """
        return current_a / self.a_per_k - ZERO_C_K

    def limits_c(self, t_c):
        """Limits that are stated in degrees, +- [degC]: the same at every temperature."""
        return self.accuracy_c + 0.0 * t_c

    def doubts(self, t_c):
        """The tolerance of the current, in percent."""
        return {"output": percent(self, "current_tolerance", "current per K")}

    def words(self):
        """The sensor in a few words.

        >>> CurrentOutput().words()
        'current output, 0.800 µA/K'
        """
        return f"current output, {digits(1e6 * self.a_per_k)} µA/K"

    @classmethod
    def examples(cls):
        yield cls(current_tolerance=0.005, accuracy_c=0.5), LoadResistor(load_ohm=2700.0, load_tolerance=0.001)
        yield cls(2e-6, range_c=(0.0, 90.0)), LoadResistor(load_ohm=1000.0, source_ohm=100.0, supply_v=5.0)


@dataclass(frozen=True, kw_only=True)
class LoadResistor(Circuit):
    """The sensor's current through a resistor to ground; the pin sees the voltage across it.

    load_ohm [ohm], load_tolerance (relative, +-); supply_v : what feeds the sensor beside a fixed reference [V];
    source_ohm : between resistor and pin [ohm]. What the supply has above the pin is left for the sensor.

    >>> round(LoadResistor(load_ohm=2700.0).volts(CurrentOutput(), 25.0, feed_v=5.0), 4)
    0.644
    """

    load_ohm: SomeOhms
    load_tolerance: Relative = 0.0
    supply_v: Volts | None = None
    source_ohm: Ohms = 0.0

    kind: ClassVar[str] = "load-resistor"
    called: ClassVar[str] = "a load resistor"
    takes: ClassVar[str] = "a current"
    tapped: ClassVar[str] = "The resistor's upper end"

    def __post_init__(self):
        check_above(self, 0, load_ohm="ohm")
        check_from(self, 0, source_ohm="ohm")
        check_tolerance(self, "load_tolerance")
        if self.supply_v is not None:
            check_above(self, 0, supply_v="V")

    def volts(self, sensor, t_c, feed_v, off=EXACT):
        """Temperature [degC] -> voltage at the converter's pin [V]: current times resistance."""
        self.check_off(sensor, t_c, off)
        return self.load_ohm * factor(off, "load") * sensor.line(t_c, off)

    def celsius(self, sensor, v, feed_v):
        """Voltage at the converter's pin [V] -> temperature [degC].

        >>> round(LoadResistor(load_ohm=2700.0).celsius(CurrentOutput(), 0.644004, feed_v=5.0), 6)
        25.0
        """
        return sensor.inverse(v / self.load_ohm)

    def volts_per_c(self, sensor, t_c, feed_v):
        """Slope at the converter's pin [V/degC]."""
        return self.load_ohm * sensor.a_per_k + 0.0 * t_c

    def problems(self, sensor, feed_v):
        """The sensor needs its lowest supply across its own legs, where it is hottest too.

        >>> LoadResistor(load_ohm=5600.0).problems(CurrentOutput(), feed_v=5.0)[0][:62]
        'of the supply of 5 V only 3.283 V are left for the sensor at 1'
        """
        hottest_c, needed_v = sensor.range_c[1], sensor.supply_v[0]
        left_v = feed_v - self.volts(sensor, hottest_c, feed_v)
        if not left_v < needed_v <= feed_v:
            return ()
        return (
            f"of the supply of {feed_v:.4g} V only {left_v:.4g} V are left for the sensor at {hottest_c:.1f} degC, "
            f"and it needs {needed_v:g} V: choose a smaller load resistor or a higher supply",
        )

    def doubts(self, kind):
        """The resistor, in percent."""
        return {"load": percent(self, "load_tolerance", "load resistor")}

    def exact_line(self, sensor, feed_v):
        """The pin's voltage as a straight line of temperature, in fractions.

        >>> LoadResistor(load_ohm=2700.0).exact_line(CurrentOutput(), feed_v=5.0)
        (Fraction(147501, 250000), Fraction(27, 12500))
        """
        slope = as_written(self.load_ohm) * as_written(sensor.a_per_k)
        return slope * as_written(ZERO_C_K), slope

    def rows(self, chain):
        rows = [("kind", "a current into a load resistor"), ("load resistor", self._load_words())]
        return rows + [("source resistance", ohms(self.source_ohm))] * bool(self.source_ohm)

    def _load_words(self):
        return within(ohms(self.load_ohm), self.load_tolerance)

    def needs(self, chain):
        return f"1 resistor, a {'fixed' if chain.reference.kind == 'fixed' else 'good'} reference"

    def resistors(self):
        """The load."""
        return (("load resistor", self.load_ohm, self.load_tolerance),)

    def wiring(self, through=""):
        """What to connect, up to the supply."""
        return (
            "Ground: from the board to the lower end of the load resistor, a wire that nothing else uses.",
            f"Capacitor of {DECOUPLING} between the sensor's supply leg and ground, legs kept short.",
            "Sensor: its other leg to the upper end of the load resistor.",
            f"Output: from there{through} to the converter's pin.",
        )

    def drawn(self, chain, sheet):
        """A column of the two, tapped where they meet."""
        sensor = ("current", chain.sensor.words().split(", "))
        return sheet.tapped_column([sensor], [("resistor", [self._load_words()])])

    @classmethod
    def examples(cls):
        yield cls(load_ohm=2700.0, load_tolerance=0.001, source_ohm=470.0), CurrentOutput(accuracy_c=0.5)
        yield cls(load_ohm=2700.0, supply_v=5.0), CurrentOutput(current_tolerance=0.01)
