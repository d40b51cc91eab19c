"""The check that tells two causes apart: where a meter finds the most different voltages, or what to look at."""

from dataclasses import dataclass
from functools import lru_cache
from math import sqrt

import numpy as np

from tempkit.book import tidy
from tempkit.faults.cases import HandTest, points
from tempkit.faults.kinds import fault
from tempkit.faults.wiring import meter_limits_v

BENCHES, SEED = 40, 23
ENOUGH = 2.0  # a difference of two joint tolerances tells two causes apart
NEARLY = 0.8  # of two places that tell nearly as much, the simpler is taken
PLACES = {
    "supply_v": "between the board's supply and ground",
    "pin_v": "between the converter's pin and ground",
    "sensor_output_v": "between the sensor's output leg and the board's ground",
    "sensor_supply_v": "between the sensor's supply leg and the board's ground",
    "sensor_ground_v": "between the sensor's ground leg and the board's ground",
    "reference_v": "between the converter's reference and ground",
    "lamp_v": "across the lamp",
}
STATES = ("rest", "change", "buzzer", "lamp")  # at rest; what changes as the buzzer starts; while it sounds; lamp on


@dataclass(frozen=True)
class Met:
    """What a meter finds at one place in one state, over many benches with one fault: mean and tolerance [V].

    `tolerance_v` is a standard uncertainty: the benches' spread, and the meter's limits as a rectangle.
    """

    mean_v: float
    tolerance_v: float

    def apart(self, other):
        """The difference of two in units of their joint tolerance."""
        return abs(self.mean_v - other.mean_v) / sqrt(self.tolerance_v**2 + other.tolerance_v**2)


@dataclass(frozen=True)
class Check:
    """What to do to tell two causes apart.

    `words` : one or two sentences; `kind` : "meter" or "look"; for a meter `place` and `state` (of `PLACES` and
    `STATES`), the voltages to expect [V] of the first and the second cause, and how far they are `apart` in units of
    their joint tolerance.
    """

    words: str
    kind: str
    place: str = ""
    state: str = ""
    first_v: float = float("nan")
    second_v: float = float("nan")
    apart: float = 0.0


@lru_cache(maxsize=64)
def met(key, design, room_c=21.0, benches=BENCHES, seed=SEED):
    """What a meter finds everywhere on benches with one fault: a dict of (place, state) to `Met`.

    >>> from tempkit.chain import Design, scenario
    >>> round(met("no supply", Design("bench", scenario()))["pin_v", "rest"].mean_v, 3)
    0.0
    """
    rng = np.random.default_rng(seed)
    cases = [fault(key).case(design, rng) for _ in range(benches)]
    rest, buzzer, lamp = (
        [points(case, _inside(case, room_c), **loads) for case in cases]
        for loads in ({}, {"buzzer": True}, {"lamp": True})
    )
    found = {}
    for place in PLACES:
        quiet, loud, lit = (np.array([getattr(each, place) for each in at]) for at in (rest, buzzer, lamp))
        volts = {"rest": quiet, "change": loud - quiet, "buzzer": loud, "lamp": lit}
        found |= {(place, state): _met(values) for state, values in volts.items()}
    return found


def _inside(case, room_c):
    """The room's temperature, kept where the sensor's own error leaves it in its range."""
    low, high = case.design.chain.sensor.range_c
    return float(np.clip(room_c + case.off_c, low, high)) - case.off_c


def _met(volts):
    mean_v = float(volts.mean())
    return Met(mean_v, sqrt(float(volts.var()) + meter_limits_v(mean_v) ** 2 / 3))


def tell_apart(first, second, design, test=None):
    """The `Check` that tells two causes (keys of faults) apart best, on a bench of this design at rest.

    A meter, where the voltages differ by two joint tolerances or more somewhere; else a look at what can be seen of
    the two. A sensor that may be turned round is looked at with the power off, never measured.

    >>> from tempkit.chain import Design, Outputs, scenario
    >>> bench = Design("bench", scenario(true_v=5.0), outputs=Outputs(0.006))
    >>> print(tell_apart("healthy", "lamp", bench).words)
    Measure across the lamp while it is tested. About 2.00 V: nothing is wrong. About 5.00 V: lamp (LED) the wrong way
    round.
    """
    test = test or HandTest()
    if "turned" in (first, second):
        return Check(f"Remove the power at once. {fault('turned').look}", "look")
    if "baud" in (first, second):
        return Check(fault("baud").look, "look")
    one, two = (met(key, design, test.room_c) for key in (first, second))
    apart = {at: one[at].apart(two[at]) for at in sorted(one, key=_simpler)}
    most = max(apart.values())
    best = next(at for at, each in apart.items() if each >= NEARLY * most)
    if apart[best] < ENOUGH:
        return Check(_looks(first, second), "look", apart=most)
    ends = one[best].mean_v, two[best].mean_v
    return Check(_measure(first, second, best, ends), "meter", *best, *ends, apart[best])


def _simpler(at):
    place, state = at
    return STATES.index(state), tuple(PLACES).index(place)


def _measure(first, second, at, ends):
    place, state = at
    how = {"change": " as the buzzer starts", "buzzer": " while the buzzer sounds", "lamp": " while it is tested"}
    if state == "lamp" and place != "lamp_v":
        how["lamp"] = " while the lamp is tested"
    change = state == "change"
    told = [
        f"{'Changes by about' if change else 'About'} {tidy(v, 2, signed=change)} V: {fault(key).name}."
        for key, v in zip((first, second), ends, strict=True)
    ]
    return " ".join([f"Measure {PLACES[place]}{how.get(state, '')}.", *told])


def _looks(first, second):
    """What to look at: of the two the one that is a fault; of two faults both."""
    return " ".join(fault(key).look for key in (first, second) if key != "healthy")
