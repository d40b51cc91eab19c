"""Figures and parts that several chapters draw from: sensors, temperatures, references, converters."""

import math

from tempkit.chain import Chain, Converter, LinearSensor, Reference
from tempkit.exercises import Draw

SENSORS = Draw(
    "at_0c_mv slope_mv_per_c low_c high_c", ((600, 8, -25, 110), (350, 18, -15, 110), (0, 12, 5, 90))
)
WITH_OFFSET = Draw(SENSORS.names, SENSORS.values[:2])
REFERENCES = Draw("reference_v", (5, 3.3, 2.5, 4.096, 1.8))
BITS = Draw("bits", (10, 8, 12))
BENCH_C = (25, 18, 19.5, 21, 22.4, 23, 26.2, 27, 28.7, 31)
SENSOR_TEXT = "A linear sensor gives {at_0c_mv} mV at 0 °C and {slope_mv_per_c} mV more for each degree"


def sensor(f):
    """The sensor that the figures describe."""
    return LinearSensor(
        at_0c_v=f.at_0c_mv / 1000,
        slope_v_per_c=f.slope_mv_per_c / 1000,
        range_c=(float(f.low_c), float(f.high_c)),
    )


def chain(f, reference_v, true_v=None, transfer="floor", kind="supply"):
    """The figures' sensor, straight on a converter of `f.bits` with this reference."""
    return Chain(
        sensor=sensor(f),
        reference=Reference(nominal_v=float(reference_v), true_v=true_v, kind=kind),
        converter=Converter(bits=f.bits, transfer=transfer),
    )


def millivolts(f, t_c):
    """The output at a temperature by bare arithmetic [mV]: the second route, for solutions and wrong ways."""
    return f.at_0c_mv + f.slope_mv_per_c * t_c


def step_mv(f):
    """One step of the figures' converter by bare arithmetic [mV]."""
    return f.reference_v * 1000 / 2**f.bits


def steps_at(f, t_c):
    """The output at a temperature, counted in steps, with the remainder."""
    return millivolts(f, t_c) / step_mv(f)


def inside(f, t_c):
    """True where the temperature lies in the sensor's range."""
    return f.low_c <= t_c <= f.high_c


def clear_of_edges(steps, gap=0.02):
    """True where a voltage, counted in steps, lies clear of the edge and of the middle of a step."""
    part = 2 * steps - math.floor(2 * steps)
    return gap < part < 1 - gap
