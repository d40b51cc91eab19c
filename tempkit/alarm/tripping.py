"""Trip codes: the exact codes at which a chain's alarm acts, and at which true temperature that may happen."""

from bisect import bisect_left, bisect_right
from dataclasses import dataclass
from math import sqrt

from tempkit.alarm.rule import Alarm, Stepper
from tempkit.uncertainty import chain_budget


@dataclass(frozen=True)
class TripCodes:
    """The alarm in whole codes: what a board compares, with no degree and no fraction left.

    rising : the codes rise with temperature. Then code >= high_on raises and code <= high_off returns the high alarm,
    code <= low_on raises and code >= low_off returns the low one; where codes fall, every <= is a >= and the other way
    round. None: no such limit. Delays in samples as in `tempkit.alarm.Alarm`, which gives the same state for every
    code. Made by `trip_codes`.

    >>> from tempkit.chain import scenario
    >>> codes = trip_codes(scenario(), Alarm(low_c=18.0, high_c=27.0, deadband_c=0.5))
    >>> codes.low_on, codes.low_off, codes.high_off, codes.high_on
    (151, 153, 165, 167)
    """

    rising: bool
    low_on: int | None
    low_off: int | None
    high_off: int | None
    high_on: int | None
    on_delay: int = 1
    off_delay: int = 1
    invalid_delay: int = 1

    def _at_or_past(self, code, edge, upwards):
        """Whether a code is at an edge or beyond it, on the side that warming (upwards) or cooling leads to."""
        return code >= edge if upwards == self.rising else code <= edge

    def beyond(self, code):
        """Which limit one valid code is beyond: +1, -1, or 0 for none.

        >>> TripCodes(True, 138, 140, 156, 158).beyond(158)
        1
        """
        if self.high_on is not None and self._at_or_past(code, self.high_on, upwards=True):
            return 1
        return -1 if self.low_on is not None and self._at_or_past(code, self.low_on, upwards=False) else 0

    def is_back(self, code, state):
        """Whether one valid code is past the deadband of a `state` of +1 or -1.

        >>> TripCodes(True, 138, 140, 156, 158).is_back(157, 1)
        False
        """
        edge = self.high_off if state > 0 else self.low_off
        return self._at_or_past(code, edge, upwards=state < 0)

    def start(self):
        """The alarm at power-on, to be fed one code at a time: `tempkit.alarm.Stepper`."""
        return Stepper(self)


def trip_codes(chain, alarm):
    """The codes at which an `Alarm` acts on the readings of a `Chain`: `TripCodes`.

    Found from the chain's own `reading`, with the nominal reference, as the program has it: `high_on` is the first
    code, on the way up in temperature, whose reading is above high_c; `high_off` the last one whose reading is below
    high_c - deadband_c; the low ones the same way down. Raises `ValueError` where no code of the sensor's range does
    that: such an alarm could never be raised, or never return.
    """
    nominal = chain.with_true_reference(None)
    first, last = (nominal.code(end) for end in chain.sensor.range_c)
    codes = range(first, last + 1) if first <= last else range(first, last - 1, -1)
    found = {"rising": first <= last}
    for name, edge_c in (("high_on", alarm.high_c), ("low_off", alarm.low_back_c)):
        found[name] = None if edge_c is None else _first_above(chain, codes, edge_c, name)
    for name, edge_c in (("high_off", alarm.high_back_c), ("low_on", alarm.low_c)):
        found[name] = None if edge_c is None else _last_below(chain, codes, edge_c, name)
    return TripCodes(**found, **{name: getattr(alarm, name) for name in ("on_delay", "off_delay", "invalid_delay")})


def _formula(chain):
    return lambda code: chain.reading(code, checked=False)


def _first_above(chain, codes, edge_c, name):
    place = bisect_right(codes, edge_c, key=_formula(chain))
    if place == len(codes):
        raise ValueError(_no_code(chain, codes, edge_c, name, "above"))
    return codes[place]


def _last_below(chain, codes, edge_c, name):
    place = bisect_left(codes, edge_c, key=_formula(chain)) - 1
    if place < 0:
        raise ValueError(_no_code(chain, codes, edge_c, name, "below"))
    return codes[place]


def _no_code(chain, codes, edge_c, name, side):
    ends = (_formula(chain)(code) for code in (codes[0], codes[-1]))
    low, high = ends
    return (
        f"{name}: no reading of this chain is {side} {edge_c:g} degC, they lie from {low:.4g} to {high:.4g} degC: "
        "move the limit, or choose another sensor or reference"
    )


@dataclass(frozen=True)
class TripRange:
    """Where an alarm is raised in true temperature: `kind` "low" or "high", at the limit `limit_c` [degC].

    code : the code that raises it; at_c : the true temperature at which a chain without unknown errors gets there;
    standard_c : standard uncertainty of that temperature; low_c, high_c : at_c -+ k standard_c at `level`;
    worst_c : lowest and highest with every error at its limit together.

    >>> TripRange("high", 27.0, 158, 27.1, 2.4, 22.4, 31.8, (20.0, 34.0), 0.95).code
    158
    """

    kind: str
    limit_c: float
    code: int
    at_c: float
    standard_c: float
    low_c: float
    high_c: float
    worst_c: tuple
    level: float


def trip_ranges(design, alarm=None, level=0.95):
    """The true temperatures at which the alarm of a `Design` may be raised, given its budget: a tuple of `TripRange`.

    `alarm` an `Alarm`; None takes the design's own limits. The step that raises it is known exactly, so quantisation
    plays no part, unless a reading is the mean of several samples; what is known, a measured reference, self-heating, a
    lead drop, is corrected. To first order, with delays and a changing temperature left out. Raises `ValueError` for a
    design without limits, or where a trip code lies beyond the sensor's range or the converter's. Source: JCGM
    100:2008, 5.1.2, by `tempkit.uncertainty.whole_chain`.

    >>> from tempkit.chain import Design, scenario
    >>> low, high = trip_ranges(Design("bench", scenario()), Alarm(low_c=18.0, high_c=27.0))
    >>> round(high.at_c, 2), round(high.low_c, 1), round(high.high_c, 1)
    (26.93, 20.9, 32.9)
    """
    if alarm is None:
        if design.alarm is None:
            raise ValueError("this design has no [alarm]: give it limits, or give an Alarm")
        alarm = Alarm.from_limits(design.alarm)
    codes = trip_codes(design.chain, alarm)
    sides = (("low", alarm.low_c, codes.low_on), ("high", alarm.high_c, codes.high_on))
    return tuple(_trip_range(design, *side, codes.rising, level) for side in sides if side[1] is not None)


def _trip_range(design, kind, limit_c, code, rising, level):
    chain = design.chain
    entered_from_below = rising == (kind == "high")
    edge = code if entered_from_below else code + 1
    reference_v = chain.reference.actual_v
    edge_c = chain.celsius_at_pin(chain.converter.volts(edge, reference_v, edge="lower"))
    budget = chain_budget(design, edge_c, level)
    in_edge = ("reference voltage", chain.circuit.unknown)  # the edge is already that of the true ones
    known_c = sum(each for name, each in budget.corrections if name not in in_edge)
    steps = budget.row("quantisation") if design.noise is None or design.noise.samples == 1 else None
    part = (steps.standard_c, steps.worst_c) if steps else (0.0, 0.0)
    u, at_c = sqrt(max(0.0, budget.standard_c**2 - part[0] ** 2)), edge_c + known_c
    worst_c = (at_c - (budget.worst_c[1] - part[1]), at_c - (budget.worst_c[0] + part[1]))
    return TripRange(kind, limit_c, code, at_c, u, at_c - budget.k * u, at_c + budget.k * u, worst_c, level)
