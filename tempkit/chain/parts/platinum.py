"""The platinum resistance thermometer of IEC 60751: resistance of a temperature, and the way back."""

from dataclasses import dataclass
from typing import ClassVar, Literal

import numpy as np

from tempkit.chain.deviations import EXACT, check_above, check_choice
from tempkit.chain.parts.bases import ResistiveSensor
from tempkit.chain.quantities import Range, SomeOhms
from tempkit.ranges import check_within, floats, in_blocks, keep, like
from tempkit.text import ohms

# IEC 60751:2008 and 2022, 4.2 (read in a secondary copy): R = R0 (1 + A t + B t^2), and + C (t - 100) t^3 below 0 degC
A, B, C = 3.9083e-3, -5.775e-7, -4.183e-12
TOP_RISE = -A * A / (4 * B)  # of R / R0 - 1, at the top of the parabola
STANDARD_RANGE_C = (-200.0, 850.0)
# Limits +- (a + b |t|) [degC]: the same clause and source.
TOLERANCE = {"AA": (0.1, 0.0017), "A": (0.15, 0.002), "B": (0.3, 0.005), "C": (0.6, 0.01)}
# Mean slope of R / R0 from 0 to 100 degC [1/degC], by which the curve is known: ratio(100) less 1, over 100.
ALPHA_PER_C = A + 100 * B
# Where a class of thermometer holds, wound wire and film; a bare wire element of the same limits goes on to 660 degC.
# IEC 60751:2008, read in a secondary copy; class C and the bare element from memory.
CLASS_RANGE_C = {
    "wire": {"AA": (-50.0, 250.0), "A": (-100.0, 450.0), "B": (-196.0, 600.0), "C": (-196.0, 600.0)},
    "film": {"AA": (0.0, 150.0), "A": (-30.0, 300.0), "B": (-50.0, 500.0), "C": (-50.0, 600.0)},
}


def ratio(t_c):
    """R / R0 at a temperature [degC], scalar or array, without a look at the range.

    >>> round(ratio(100.0), 6), round(ratio(-100.0), 6)
    (1.385055, 0.602558)
    """
    t = floats(t_c, "t_c")
    w = B * t
    w += A
    w *= t
    w += 1.0
    cold = np.minimum(t, 0.0)
    if cold.any():
        w += C * (cold - 100.0) * (cold * cold * cold)
    return like(t_c, w)


def ratio_per_c(t_c):
    """Slope of `ratio` [1/degC], scalar or array.

    >>> round(ratio_per_c(0.0), 7)
    0.0039083
    """
    t = floats(t_c, "t_c")
    cold = np.minimum(t, 0.0)
    return like(t_c, A + 2 * B * t + C * (4.0 * cold - 300.0) * (cold * cold))


def celsius_of_ratio(w):
    """R / R0 -> temperature [degC], scalar or array, without a look at the range.

    Above 0 degC the quadratic's own root, written so that nothing cancels; below it the same as a start, then Newton
    steps until they no longer move the temperature. Beyond the parabola's top at 3384 degC: that temperature.

    >>> round(celsius_of_ratio(1.385055), 9), round(celsius_of_ratio(0.602558), 3)
    (100.0, -100.0)
    """
    if np.ndim(w):
        return in_blocks(_celsius_of, w, float)
    return float(_celsius_of(np.array([w], dtype=float))[0])


def _celsius_of(w):
    rise = np.minimum(w - 1.0, TOP_RISE)
    t = 2 * rise / (A + np.sqrt(np.maximum(A * A + 4 * B * rise, 0.0)))
    cold = np.flatnonzero(rise < 0)
    if cold.size:
        t[cold] = _newton(t[cold], w[cold])
    return t


def _newton(t, w):
    """The curve below 0 degC rises and bends down, so Newton steps settle from any start; 3 are usual."""
    for _ in range(60):
        step = (ratio(t) - w) / ratio_per_c(t)
        t = t - step
        if np.abs(step).max() <= 1e-7:  # the next step would be of the order of its square
            break
    return np.minimum(t, 0.0)


@dataclass(frozen=True)
class PlatinumSensor(ResistiveSensor):
    """A platinum resistance thermometer as IEC 60751 describes it: Pt100 with the default `r0_ohm`, Pt1000 with 1000.

    r0_ohm : resistance at 0 degC [ohm]; tolerance_class : "AA", "A", "B" or "C"; element : "wire" or "film", which
    decides over which range the class holds; range_c : where it is used [degC], within -200 to 850 degC.
    Platinum of another purity has another curve (0.00375, 0.003911, 0.003916, 0.003926 per degC and more are made): it
    is not this sensor, whatever its class. Two of this curve agree within the limits of both classes, no closer.
    Raises `ValueError` for anything else. Source: IEC 60751:2008 and 2022, 4.2.

    >>> sensor = PlatinumSensor()
    >>> round(sensor.ohms(100.0), 4), round(sensor.celsius(138.5055), 4), sensor.tolerance_c(100.0)
    (138.5055, 100.0, 0.8)
    """

    r0_ohm: SomeOhms = 100.0
    tolerance_class: Literal["AA", "A", "B", "C"] = "B"
    element: Literal["wire", "film"] = "wire"
    range_c: Range = STANDARD_RANGE_C

    kind: ClassVar[str] = "platinum"
    article: ClassVar[str] = ""
    called: ClassVar[str] = "a platinum sensor"
    curve: ClassVar[str] = f"IEC 60751, mean slope {ALPHA_PER_C:.6f} for 1 °C up to 100 °C; look for it on the paper"

    def __post_init__(self):
        check_above(self, 0, r0_ohm="ohm")
        check_choice(self, tolerance_class=tuple(TOLERANCE), element=tuple(CLASS_RANGE_C))
        check_within(*self.range_c, STANDARD_RANGE_C, "range_c", "degC", "the standard's equation holds there only")

    def line(self, t_c, off=EXACT):
        """The bare formula [degC] -> [ohm], without a look at the range; scalar or array.

        >>> PlatinumSensor().line(0.0)
        100.0
        """
        return self.r0_ohm * ratio(t_c)

    def inverse(self, r_ohm):
        """The bare formula backwards [ohm] -> [degC], without a look at the range; scalar or array.

        >>> PlatinumSensor().inverse(100.0)
        0.0
        """
        return celsius_of_ratio(np.divide(r_ohm, self.r0_ohm))

    def slope(self, t_c):
        """The bare slope [ohm/degC], without a look at the range; scalar or array.

        >>> round(PlatinumSensor().slope(100.0), 5)
        0.37928
        """
        return self.r0_ohm * ratio_per_c(t_c)

    def tolerance_c(self, t_c):
        """Limits of the class, +- [degC], at a temperature [degC]; scalar or array: a + b |t|.

        Raises `ValueError` where the class does not hold; an array gives `nan` there.

        >>> PlatinumSensor(tolerance_class="AA").tolerance_c([0.0, -40.0, 300.0])
        array([0.1  , 0.168,   nan])
        """
        constant, part = TOLERANCE[self.tolerance_class]
        held = CLASS_RANGE_C[self.element][self.tolerance_class]
        advice = f"class {self.tolerance_class} ({self.element}) promises nothing there; take another class"
        t_c = keep(t_c, *held, name="temperature", unit="degC", advice=advice)
        return like(t_c, constant + part * np.abs(t_c))

    limits_c = tolerance_c  # what a chain asks of every sensor

    def words(self):
        """The sensor in a few words.

        >>> PlatinumSensor(r0_ohm=1000.0, tolerance_class="A").words()
        'platinum, 1.00 kΩ at 0 °C, class A (wire)'
        """
        return f"platinum, {ohms(self.r0_ohm)} at 0 °C, class {self.tolerance_class} ({self.element})"

    @classmethod
    def examples(cls):
        from tempkit.chain.parts.current_drive import CurrentDrive
        from tempkit.chain.parts.divider import Divider

        yield cls(range_c=(-40.0, 125.0)), CurrentDrive(set_ohm=3300.0, gain=20.0)
        yield cls(1000.0, "A", "film", (-30.0, 200.0)), Divider(fixed_ohm=1000.0)
