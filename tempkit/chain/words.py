"""A design as a plain-text table: what a chain sees, what a step is worth, what a wrong reference costs."""

import re

import numpy as np

from tempkit.book import Book
from tempkit.text import digits, millivolts, volts


def limits_words(sensor, book):
    """The sensor's limits: one figure where they are the same everywhere, else at the ends and at 25 degC.

    >>> from tempkit.chain.parts.platinum import PlatinumSensor
    >>> limits_words(PlatinumSensor(range_c=(-25.0, 110.0)), Book())
    '±0.42 °C at −25.0 °C, ±0.42 °C at 25.0 °C, ±0.85 °C at 110.0 °C'
    """
    if hasattr(sensor, "accuracy_c"):
        return f"±{book.span(sensor.accuracy_c)}"
    low, high = sensor.range_c
    places = np.array(sorted({low, min(max(25.0, low), high), high}))
    told = zip(places.tolist(), sensor.limits_c(places).tolist(), strict=True)
    return ", ".join(_limit(t_c, limit_c, book) for t_c, limit_c in told)


def _limit(t_c, limit_c, book):
    size = "no promise" if np.isnan(limit_c) else f"±{book.span(limit_c, 2)}"
    return f"{size} at {book.temperature(t_c)}"


LABEL = 18
CELL = 16


def describe(design, book=None):
    """Design -> plain text, in the scale of `book` (degC without one); ends with a line feed.

    >>> from tempkit.chain.chain import scenario
    >>> from tempkit.chain.design import Design
    >>> print(describe(Design("North bench", scenario())).splitlines()[0])
    North bench
    """
    book = book or Book()
    chain = design.chain
    parts = [
        [design.title, "=" * len(design.title)],
        _sensor(chain, book),
        _circuit(chain),
        _reference(chain),
        _converter(chain, book),
        _rest(design, book),
        _faults(design, book),
        _errors(chain, points_c(design), book),
    ]
    return "\n\n".join("\n".join(lines) for lines in parts if lines) + "\n"


def _row(label, text):
    return f"  {label:<{LABEL}}{text}"


# ---- sensor and supply


def _sensor(chain, book):
    sensor = chain.sensor
    low, high = (book.temperature(end) for end in sensor.range_c)
    return [
        "SENSOR",
        _row("kind", sensor.words()),
        _row("range", f"{low} to {high}"),
        *[_row("curve", sensor.curve)] * bool(sensor.curve),
        _row("limits", limits_words(sensor, book)),
        *[_row("tolerances", sensor.tolerances())] * bool(sensor.tolerances()),
        *_supply(chain),
    ]


def _supply(chain):
    if not chain.sensor.supply_v:
        return []
    low_v, high_v = chain.sensor.supply_v
    lines = [_row("supply window", f"{volts(low_v)} to {volts(high_v)}")]
    reference = chain.reference
    feed_v = chain.circuit.feed_v(reference.actual_v, reference.kind)
    if feed_v is None:
        return [*lines, _row("supply", "not stated: give circuit.supply_v to have it checked")]
    room = f"{_room(feed_v - low_v, 'above the bottom')}, {_room(high_v - feed_v, 'below the top')}"
    lines += [_row("supply", volts(feed_v)), _row("supply headroom", f"{room} of the window")]
    if reference.kind == "supply" and reference.true_v is None and reference.tolerance:
        least_v, most_v = tolerance_ends(reference)
        room = f"{_room(least_v - low_v, 'above the bottom')}, {_room(high_v - most_v, 'below the top')}"
        lines.append(_row("at its tolerance", room))
    return lines


def _circuit(chain):
    low, high = (volts(chain.volts(end)) for end in chain.sensor.range_c)
    rows = [_row(label, text) for label, text in chain.circuit.rows(chain)]
    return ["CIRCUIT", *rows, _row("at the pin", f"{low} to {high}")]


def _room(room_v, side):
    """Headroom in words: a negative one is a shortfall."""
    opposite = {"above": "below", "below": "above"}
    first, rest = side.split(" ", 1)
    return f"{volts(abs(room_v))} {first if room_v >= 0 else opposite[first]} {rest}"


# ---- reference and converter


def _reference(chain):
    reference = chain.reference
    ends = " to ".join(volts(end) for end in tolerance_ends(reference))
    assumed = volts(reference.nominal_v)
    if reference.tolerance:
        assumed += f" ±{reference.tolerance * 100:.3g} % ({ends})"
    return [
        "REFERENCE",
        _row("kind", "the supply itself" if reference.kind == "supply" else "fixed"),
        _row("assumed", assumed),
        _row("measured", "not yet" if reference.true_v is None else volts(reference.true_v)),
    ]


def tolerance_ends(reference):
    """Lowest and highest voltage [V] that the tolerance allows.

    >>> from tempkit.chain.converter import Reference
    >>> tolerance_ends(Reference(nominal_v=5.0, tolerance=0.05))
    (4.75, 5.25)
    """
    return tuple(reference.nominal_v * (1 + sign * reference.tolerance) for sign in (-1, 1))


def _converter(chain, book):
    converter, sensor = chain.converter, chain.sensor
    low, high = (book.temperature(end) for end in sensor.range_c)
    low_code, high_code = (chain.code(end) for end in sensor.range_c)
    bottom_v, top_v = chain.headroom_v()
    step = millivolts(converter.step_v(chain.reference.actual_v))
    middle_c = sum(sensor.range_c) / 2
    return [
        "CONVERTER",
        _row("bits", f"{converter.bits}: {converter.codes} codes, transfer {converter.transfer}"),
        _row("one step", f"{step}, worth {_step(chain, middle_c, book)} at {book.temperature(middle_c)}"),
        _row("codes", f"{low_code} at {low}, {high_code} at {high}"),
        _row("sees", _sees(chain, book)),
        _row("signal headroom", f"{_room(bottom_v, 'above 0 V')}, {_room(top_v, 'below the reference')}"),
    ]


def _step(chain, t_c, book):
    return f"{digits(book.span_from_celsius(chain.step_c(t_c)))} {book.sign}"


def _sees(chain, book):
    try:
        low, high = (book.temperature(end) for end in chain.span_c())
    except ValueError:
        return "nothing: the whole signal lies beyond the converter's ends"
    return f"{low} to {high}"


# ---- the rest of the design


def _rest(design, book):
    found = []
    if design.noise:
        noise = f"{millivolts(design.noise.input_v)} at the pin, {_mean(design.noise.samples)}"
        found.append(_row("noise", noise))
    if design.response:
        found.append(_row("sensor's lag", f"time constant {digits(design.response.tau_s)} s"))
    if design.smoothing:
        found.append(_row("smoothing", f"time constant {digits(design.smoothing.tau_s)} s"))
    if design.alarm:
        found += _alarm(design.alarm, book)
    if design.outputs:
        found.append(_row("lamp", f"{digits(design.outputs.lamp_current_a * 1000)} mA"))
    if design.link:
        found.append(_row("serial line", f"{design.link.baud} bit/s, {design.link.frame}"))
    if design.calibration:
        found.append(_row("calibration", _calibration(design.calibration, book)))
    if design.budget:
        found.append(_row("for the budget", _extras(design.budget, book)))
    return ["AROUND THE CHAIN", *found] if found else []


def _calibration(calibration, book):
    points = " and ".join(map(book.temperature, calibration.points_c))
    return f"at {points}, by a thermometer with u = {book.span(calibration.thermometer_u_c, 2)}"


def _extras(extras, book):
    """What only the error budget asks for; what is 0 is not said."""
    said = {
        f"drift ±{digits(extras.reference_drift_ppm_per_c)} ppm/°C": extras.reference_drift_ppm_per_c,
        f"the meter's u = {millivolts(extras.meter_u_v)}": extras.meter_u_v,
        f"self-heating up to {book.span(extras.self_heating_c, 2)}": extras.self_heating_c,
        f"lead drop up to {millivolts(extras.lead_drop_v)}": extras.lead_drop_v,
    }
    return ", ".join(words for words, size in said.items() if size) or "nothing more"


def _mean(samples):
    return f"{samples} samples averaged" if samples > 1 else "one sample for a reading"


def _alarm(alarm, book):
    sides = (("below", alarm.low_c), ("above", alarm.high_c))
    limits = " and ".join(f"{side} {book.temperature(t_c)}" for side, t_c in sides if t_c is not None)
    delays = f"on after {alarm.on_delay_samples}, off after {alarm.off_delay_samples}"
    return [
        _row("alarm", f"calls {limits}; deadband {book.span(alarm.deadband_c)}"),
        _row("alarm delays", f"{delays}, a sample every {digits(alarm.sample_period_s)} s"),
    ]


def problems(design):
    """What cannot work, one sentence each: in the chain as it is, else at an end of its tolerance.

    Also an alarm limit that the sensor cannot reach. Temperatures are written in degC.

    >>> from tempkit.chain.chain import scenario
    >>> from tempkit.chain.design import Design
    >>> from tempkit.chain.design import Limits
    >>> print(*problems(Design("North bench", scenario(), alarm=Limits(high_c=150.0))))
    the alarm limit of 150.0 degC is outside the sensor's range of -25.0 degC to 110.0 degC
    """
    chain, alarm = design.chain, design.alarm
    found = list(chain.problems())
    if not found and chain.reference.true_v is None:
        for end_v in tolerance_ends(chain.reference):
            at_end = chain.with_true_reference(end_v).problems()
            found += [f"should the reference be {end_v:.4g} V: {each}" for each in at_end]
    low, high = chain.sensor.range_c
    limits = [] if alarm is None else [t_c for t_c in (alarm.low_c, alarm.high_c) if t_c is not None]
    where = f"is outside the sensor's range of {low:.1f} degC to {high:.1f} degC"
    return found + [f"the alarm limit of {t_c:.1f} degC {where}" for t_c in limits if not low <= t_c <= high]


def _faults(design, book):
    found = problems(design)
    lines = [f"  - {in_scale(each, book)}" for each in found]
    return ["WHAT CANNOT WORK", *(lines or ["  nothing found"])]


def in_scale(sentence, book):
    """The same sentence, such as one of `problems`, with its temperatures in the reader's scale.

    >>> in_scale("above 60.0 degC every code is the top code", Book("degF"))
    'above 140.0 °F every code is the top code'
    """
    return re.sub(r"(-?\d+(?:\.\d+)?) degC", lambda found: book.temperature(float(found[1])), sentence)


# ---- what a wrong reference costs


def points_c(design):
    """Three temperatures [degC] to look at: the alarm window's ends and middle, else quarters of the range.

    Beside a single limit: 5 degC on either side, as far as the sensor's range goes.

    >>> from tempkit.chain.chain import scenario
    >>> from tempkit.chain.design import Design
    >>> from tempkit.chain.design import Limits
    >>> points_c(Design("North bench", scenario(), alarm=Limits(low_c=18.0, high_c=27.0)))
    [18.0, 22.5, 27.0]
    >>> points_c(Design("North bench", scenario()))
    [8.75, 42.5, 76.25]
    """
    low, high = (float(end) for end in design.chain.sensor.range_c)
    alarm = design.alarm
    limits = [] if alarm is None else [t_c for t_c in (alarm.low_c, alarm.high_c) if t_c is not None]
    if not limits or not all(low <= t_c <= high for t_c in limits):
        return [low + part * (high - low) for part in (0.25, 0.5, 0.75)]
    if len(limits) == 1:
        return sorted({max(low, limits[0] - 5), limits[0], min(high, limits[0] + 5)})
    return [limits[0], sum(limits) / 2, limits[1]]


def _errors(chain, at_c, book):
    """Table of the error at each temperature: with the reference as assumed, and where it may truly be."""
    reference = chain.reference
    ends = tolerance_ends(reference) if reference.true_v is None else (reference.true_v,)
    truths = [reference.nominal_v, *(end for end in ends if end != reference.nominal_v)]
    lines = [
        "READING MINUS TRUE TEMPERATURE, steps included",
        _cells("true temperature", [book.temperature(t_c) for t_c in at_c]),
    ]
    for true_v in truths:
        note = " assumed" if true_v == reference.nominal_v else " measured" if reference.true_v else ""
        actual = chain.with_true_reference(true_v)
        lines.append(_cells(f"at {volts(true_v)}{note}", [_error(actual, t_c, book) for t_c in at_c]))
    return lines


def _cells(label, cells):
    return f"  {label:<{LABEL + 4}}" + "".join(f"{cell:>{CELL}}" for cell in cells)


def _error(chain, t_c, book):
    if chain.converter.saturated(chain.volts(t_c), chain.reference.actual_v):
        return "saturated"
    return book.span(chain.error_c(t_c), 2, signed=True)
