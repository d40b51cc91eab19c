"""Chapter 01: from the specification of a sensor to its line, and how far the line may be trusted."""

from dataclasses import dataclass, replace

from tempkit.book import tidy
from tempkit.chain import Chain, in_celsius
from tempkit.explorers.controls import ACCURACY, OFFSET, SENSOR_SUPPLY, SLOPE, TEMPERATURE
from tempkit.explorers.spec_picture import SpecPicture
from tempkit.explorers.stage import Explorer, Plan, warning
from tempkit.sensors import LinearSensor


@dataclass(frozen=True)
class SpecLine:
    """A temperature on a sensor's line, and what the specification promises there.

    `volts`, `band_v` (lowest and highest output of a sensor within its limits) and `fits_c` (lowest and
    highest temperature that this output fits) are None where nothing is promised. `held_c` is the part of
    `range_c` where the line stays between 0 V and the supply, None where there is no such part.
    """

    t_c: float
    volts: float | None
    band_v: tuple | None
    fits_c: tuple | None
    ends_v: tuple
    held_c: tuple | None
    range_c: tuple
    supply_v: float
    window_v: tuple
    accuracy_c: float
    at_0c_v: float
    slope_v_per_c: float
    chain: Chain

    @property
    def side(self):
        """Where the supply stands: "below", "inside" or "above" the sensor's window."""
        low, high = self.window_v
        return "inside" if low <= self.supply_v <= high else "below" if self.supply_v < low else "above"

    def problems(self, say=in_celsius):
        """What cannot work, one sentence each; `say(t_c)` writes a temperature given in degC."""
        return (*self._range_problem(say), *self._supply_problem(), *self._output_problems(say))

    def _range_problem(self, say):
        low, high = self.range_c
        if low <= self.t_c <= high:
            return
        yield f"the sensor is specified from {say(low)} to {say(high)}; beyond, its line is no promise"

    def _supply_problem(self):
        low, high = self.window_v
        where = f"the supply of {self.supply_v:.2f} V is {self.side} the window of {low:g} V to {high:g} V"
        if self.side == "below":
            yield f"{where}: the sensor may still give some voltage, but neither line nor limits hold"
        if self.side == "above":
            yield f"{where}: the sensor can be damaged for good, so remove the power"

    def _output_problems(self, say):
        low_v, high_v = sorted(self.ends_v)
        rising, supply = self.slope_v_per_c > 0, f"the supply of {self.supply_v:.2f} V"
        if high_v > self.supply_v:
            where = self._beyond(say, warm_end=rising)
            yield f"{where} the line asks for more than {supply}, which no sensor can give"
        if low_v < 0:
            where = self._beyond(say, warm_end=not rising)
            yield f"{where} the line asks for less than 0 V, which a sensor on one supply cannot give"

    def _beyond(self, say, warm_end):
        if self.held_c is None:
            return "everywhere"
        return f"above {say(self.held_c[1])}" if warm_end else f"below {say(self.held_c[0])}"


def compute(design, t_c):
    """The sensor of a design at one temperature [degC], with its promise at the present supply.

    >>> from tempkit.explorers.stage import north_bench
    >>> at = compute(north_bench(), 25.0)
    >>> at.volts, [round(v, 3) for v in at.band_v], at.fits_c, at.side
    (0.75, [0.73, 0.77], (23.0, 27.0), 'inside')
    """
    chain, sensor = design.chain, design.chain.sensor
    if not isinstance(sensor, LinearSensor):
        raise ValueError(
            f"these pictures are about a sensor with a straight line, and the design has {sensor.called}: "
            "take a design with a linear sensor, or the explorers of chapter 12"
        )
    low, high = sensor.range_c
    at_0c_v, per_c = _line(chain)
    at = SpecLine(
        t_c=float(t_c),
        volts=None,
        band_v=None,
        fits_c=None,
        ends_v=(at_0c_v + per_c * low, at_0c_v + per_c * high),
        held_c=None,
        range_c=(float(low), float(high)),
        supply_v=SENSOR_SUPPLY.read(design),
        window_v=sensor.supply_v,
        accuracy_c=sensor.accuracy_c,
        at_0c_v=at_0c_v,
        slope_v_per_c=per_c,
        chain=chain,
    )
    at = replace(at, held_c=_held(at))
    inside = at.held_c is not None and at.held_c[0] <= t_c <= at.held_c[1]
    return _promise(at) if inside and at.side == "inside" else at


def _line(chain):
    """Output at 0 degC [V] and slope [V/degC] at the pin, as the present supply makes them."""
    feed_v = chain.circuit.feed_v(chain.reference.actual_v, chain.reference.kind)
    at_0c_v = chain.circuit.volts(chain.sensor, 0.0, feed_v)
    return at_0c_v, chain.circuit.volts_per_c(chain.sensor, 0.0, feed_v)


def _held(at):
    low_v, high_v = sorted(at.ends_v)
    if low_v > at.supply_v or high_v < 0:
        return None
    return tuple(_held_end(at, t_c, v) for t_c, v in zip(at.range_c, at.ends_v, strict=True))


def _held_end(at, t_c, v):
    """An end of the range [degC], or where the line meets 0 V or the supply before that end."""
    kept_v = min(max(v, 0.0), at.supply_v)
    return t_c if kept_v == v else (kept_v - at.at_0c_v) / at.slope_v_per_c


def _promise(at):
    """The line's output, and what the limits make of it in volts and in degrees."""
    volts = float(at.chain.volts(at.t_c))
    reach_v = abs(at.slope_v_per_c) * at.accuracy_c
    fits = (max(at.t_c - at.accuracy_c, at.range_c[0]), min(at.t_c + at.accuracy_c, at.range_c[1]))
    band = (max(volts - reach_v, 0.0), min(volts + reach_v, at.supply_v))
    return replace(at, volts=volts, band_v=band, fits_c=fits)


def words(at, book):
    """The line, its limits and the supply in two or three sentences.

    >>> from tempkit.book import Book
    >>> from tempkit.explorers.stage import north_bench
    >>> print(words(compute(north_bench(), 25.0), Book()))
    At 25.0 °C the line gives 0.750 V. With limits of ±2.0 °C a sensor that keeps its specification may give
    0.730 V to 0.770 V, so 0.750 V fits every temperature from 23.0 °C to 27.0 °C. The supply of 5.00 V is
    inside the window of 2.7 V to 5.5 V.
    """
    if at.volts is None:
        return f"At {book.temperature(at.t_c)} nothing is promised." + warning(at.problems(book.temperature))
    low, high = at.window_v
    return (
        f"At {book.temperature(at.t_c)} the line gives {at.volts:.3f} V. {_limits(at, book)} The supply of "
        f"{at.supply_v:.2f} V is inside the window of {low:g} V to {high:g} V."
    ) + warning(at.problems(book.temperature))


def _limits(at, book):
    limits = f"With limits of ±{book.span(at.accuracy_c)}"
    if at.accuracy_c == 0:
        return f"{limits}, which no real sensor has, {at.volts:.3f} V fits {book.temperature(at.t_c)} alone."
    low_v, high_v = at.band_v
    low, high = (book.temperature(end) for end in at.fits_c)
    cut = ", where the range ends" if at.fits_c[1] - at.fits_c[0] < 2 * at.accuracy_c - 1e-9 else ""
    return (
        f"{limits} a sensor that keeps its specification may give {low_v:.3f} V to {high_v:.3f} V, so "
        f"{at.volts:.3f} V fits every temperature from {low} to {high}{cut}."
    )


def facts(at, book):
    """Rows of the number table."""
    promised = at.volts is not None
    none = "nothing promised"
    reach_mv = 1000 * abs(at.slope_v_per_c) * at.accuracy_c
    volts, degrees = (lambda v: f"{tidy(v, 3)} V"), book.temperature
    rows = [
        ("temperature", degrees(at.t_c)),
        ("output on the line", volts(at.volts) if promised else none),
        ("lowest and highest output within the limits", _pair(at.band_v, volts) if promised else none),
        ("temperatures that this output fits", _pair(at.fits_c, degrees) if promised else none),
        ("output at 0 °C", f"{tidy(1000 * at.at_0c_v, 0)} mV"),
        ("slope", f"{tidy(1000 * at.slope_v_per_c, 1)} mV/°C"),
        ("limits", f"±{book.span(at.accuracy_c)}, ±{tidy(reach_mv, 0)} mV"),
        ("range", _pair(at.range_c, degrees)),
        ("line at the ends of the range", _pair(at.ends_v, volts)),
        ("supply", f"{at.supply_v:.2f} V, {at.side} the window"),
        ("supply window", _pair(at.window_v, lambda v: f"{v:g} V")),
    ]
    return rows + [("mind", problem) for problem in at.problems(book.temperature)]


def _pair(ends, say):
    return " to ".join(say(end) for end in ends)


PLAN = Plan(
    title="From the specification to the line",
    controls=(TEMPERATURE, OFFSET, replace(SLOPE, high=20.0), ACCURACY, SENSOR_SUPPLY),
    compute=compute,
    picture=lambda look, book: SpecPicture(look, book),
    words=words,
    facts=facts,
)


def explorer(design=None, **start):
    """The explorer of chapter 01; `design` from a design file, `start` values of controls by name.

    >>> explorer(t_c=18.0).result().volts
    0.6799999999999999
    """
    return Explorer(PLAN, design, **start)
