"""Sensors: the way back from a million resistances or voltages, beside the way there and an independent package."""

import numpy as np

from .measure import Comparison, timed

COUNT = 1_000_000
FEW = 10_000  # of an independent package that takes one value at a time; counted up to a million
AIM = 15.0


def comparisons():
    """Rows for platinum and thermocouples: the inversion against the forward function, then against the package."""
    from tempkit.chain import PlatinumSensor, Thermistor, Thermocouple

    random = np.random.default_rng(1)
    pt100, ntc = PlatinumSensor(), Thermistor.from_points([(0.0, 27000.0), (25.0, 10000.0), (50.0, 4220.0)])
    for what, sensor, ends in (
        ("platinum, -200 to 850 degC", pt100, (-200.0, 850.0)),
        ("platinum, 0 to 850 degC", pt100, (0.0, 850.0)),
        ("Steinhart-Hart, -40 to 125 degC", ntc, (-40.0, 125.0)),
    ):
        yield _pair(what, random.uniform(*ends, COUNT), sensor.ohms, sensor.celsius)
    for letter in "KJT":
        sensor = Thermocouple(letter)
        yield _pair(f"thermocouple {letter}", random.uniform(*sensor.range_c, COUNT), sensor.volts, sensor.celsius)
    for letter in "KJT":
        yield _beside_the_package(letter, Thermocouple(letter), random)


def _pair(what, t_c, there, back):
    given = there(t_c)
    back(given[:10])
    name = f"{what}: 10^6 back"
    return Comparison(name, timed(lambda: back(given)), timed(lambda: there(t_c)), "its forward function", AIM, 5)


def _beside_the_package(letter, sensor, random):
    import thermocouple_its90

    other = thermocouple_its90.get(letter)
    v = sensor.volts(random.uniform(*sensor.range_c, COUNT))
    few_mv = (1000 * v[:FEW]).tolist()
    other.temperature(few_mv[0])
    theirs = timed(lambda: [other.temperature(mv) for mv in few_mv])
    against = f"thermocouple-its90, {FEW} counted up"
    name = f"thermocouple {letter}: 10^6 back"
    return Comparison(name, timed(lambda: sensor.celsius(v)), lambda: theirs() * COUNT / FEW, against, 1.0, 3)
