"""Answers from chapter 05 on worked out a second time, 12 apart: fractions, decimals, loops, scipy; no tempkit."""

import re
import statistics
from decimal import Decimal
from fractions import Fraction
from math import inf, sqrt

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from scipy import signal, stats
from scipy.optimize import brentq

from tempkit.exercises import SHEETS, cells, problems, usable_sets
from tempkit.exercises.catalogue import chapters
from test_homework_answers_sensors import SECOND_ROUTE as SENSORS


def q(value):
    """A figure as the exact fraction of what is printed."""
    return Fraction(str(value))


def root(value):
    """The square root of a fraction to 40 digits."""
    return (Decimal(value.numerator) / Decimal(value.denominator)).sqrt()


def smoothed(f):
    """First-order smoothing as a digital filter of scipy, at rest at the start value."""
    rest, _ = signal.lfilter([f.factor], [1, f.factor - 1], [f.end_c] * 8, zi=[(1 - f.factor) * f.start_c])
    return list(rest)


def first_code(f):
    return next(code for code in range(1024) if (code + Fraction(1, 2)) / 2 - 50 > q(f.high_c))


def states(f):
    """The highest reading since the last return decides: told with sets of places, not with a state."""
    tenths = list(f[1:])
    found = []
    for place in range(8):
        raised = [k for k in range(place + 1) if tenths[k] > 0]
        back = [k for k in range(place + 1) if tenths[k] < -5]
        found.append(int(max(raised, default=-inf) > max(back, default=-1)))
    return found


def mean_of_gaussian(f):
    """The standard deviation of a mean from scipy's normal distribution: half the 68.27 % interval."""
    low, high = stats.norm(0, f.s_c / sqrt(f.count)).interval(stats.norm.cdf(1) - stats.norm.cdf(-1))
    return (high - low) / 2


def weights_noise(f):
    """First-order smoothing as a sum: each older reading counts by a smaller weight; 2000 of them."""
    weights = f.factor * (1 - f.factor) ** np.arange(2000)
    return f.noise_c * sqrt(weights @ weights)


def swing(f):
    """Gain and delay from the frequency response of a lag, by scipy."""
    at = 2 * np.pi / f.period_s
    (found,) = signal.freqresp(signal.TransferFunction([1.0], [f.tau_s, 1.0]), [at])[1]
    return [100 * abs(found), -np.angle(found) / at]


def residual_s(f):
    """The residual standard deviation by least squares of numpy."""
    baths = np.vander([0.0, 20.0, 40.0, 60.0], 2)
    (_, (square,), *_) = np.linalg.lstsq(baths, np.array(f), rcond=None)
    return sqrt(square / 2)


def line_u(f):
    """The law of propagation in matrix form."""
    cross = f.r * f.u_level_c * f.u_slope
    away = np.array([1.0, f.t_c - 20.0])
    return sqrt(away @ np.array([[f.u_level_c**2, cross], [cross, f.u_slope**2]]) @ away)


def _three(reference_c, f):
    return root(q(reference_c) ** 2 + q(f.sensor_c) ** 2 + q(f.converter_c) ** 2)


def half_worked(f):
    """Limits, half a step and the whole, as rectangles: the variances of scipy's uniform distribution."""
    wide = (2 * f.limit_c, 2 * f.reference_c, f.step_c)
    variances = [stats.uniform(0, width).var() for width in wide]
    return [sqrt(variances[0]), f.step_c / 2, sqrt(variances[2]), sqrt(sum(variances))]


def calls(f):
    """From the points of the picture: runs above the limit of two or more, each counted once until one falls below."""
    (curve,) = problems("07-trace")["07-trace"].picture(f).curves
    told = "".join("A" if c > 27 else "B" if c < 26.5 else "-" for _, c in curve.points)
    return sum("AA" in part for part in told.split("B"))


def guard_27(sensor_c, percent, converter_c=0.4):
    """A one-sided guard band of 95 % at 27 degC for the bench's line, by variances of a reference library."""
    limits = sensor_c, percent / 100 * (600 + 8 * 27) / 8, converter_c
    return stats.norm.ppf(0.95) * sqrt(sum(stats.uniform(-limit, 2 * limit).var() for limit in limits))


def half_budget(f):
    reference_c = q(f.percent) * 816 / 100 / 8
    us = [sqrt(half**2 / 3) for half in (f.sensor_c, float(reference_c), f.converter_c)]
    return [reference_c, us[1], us[2], sqrt(sum(u**2 for u in us)), guard_27(f.sensor_c, f.percent, f.converter_c)]


def drawn(name, f):
    """The points of the first curve that a problem shows."""
    return problems(name)[name].picture(f).curves[0].points


def u_of_tolerance(percent, accuracy_c):
    """U of limits between which all is alike: the reference is worth a per cent of 800 mV, steps are 5000 / 1024 mV."""
    limits = [q(accuracy_c), q(percent) * 8 / 18, Fraction(10000, 1024) / 18, Fraction(5000, 1024) / 18]
    return Decimal("1.96") * root(sum(limit**2 for limit in limits) / 3)


def left_of_a_mean(sigma, samples):
    """Rms error of a mean in steps, over 2,000 places in a step: the codes of each by the normal distribution."""
    places, codes = (np.arange(2000) + 0.5) / 2000, np.arange(-8, 9)
    below = stats.norm.cdf((codes[:, None] - places) / sigma)
    parts, off = np.diff(below, axis=0), codes[:-1, None] + 0.5 - places
    bias = (parts * off).sum(axis=0)
    return sqrt((bias**2 + ((parts * off**2).sum(axis=0) - bias**2) / samples).mean())


SECOND_ROUTE = {
    "05-half-worked": half_worked,
    "07-trace": calls,
    "10-lines-of-a-winter": lambda f: len(range(0, f.days * 24 * 3600, f.period_s)),
    "05-reference-share": lambda f: stats.uniform(0, 2 * f.percent / 100).std() * (600 + 8 * f.t_c) / 8,
    "05-tolerance-slope": lambda f: (
        (u_of_tolerance(8, f.accuracy_c) - u_of_tolerance(f.low_percent, f.accuracy_c)) / (8 - f.low_percent)
    ),
    "05-expanded": lambda f: 2 * root((q(f.certificate_c) / 2) ** 2 + q(f.noise_c) ** 2),
    "05-lower-edge": lambda f: [q(f.step_c) / 2, stats.uniform(0, f.step_c).std()],
    "05-worst-case": lambda f: q(f.sensor_c) + q(f.reference_c) + f.offset_lsb * q("0.61"),
    "05-improve": lambda f: 2 * (_three(f.reference_c, f) - _three(q(f.reference_c) / 2, f)),
    "05-difference": lambda f: root(2 * q(f.own_c) ** 2),
    "05-mean-of-two": lambda f: root(q(f.own_c) ** 2 / 2 + q(f.shared_c) ** 2),
    "06-trace-noise": lambda f: statistics.stdev(y for _, y in drawn("06-trace-noise", f)),
    "06-what-is-left": lambda f: left_of_a_mean(f.noise_mv / f.step_mv, 2**20) * 0.61,
    "06-few-readings": lambda f: stats.t(f.readings - 1).ppf(0.975) * f.s_c / sqrt(f.readings),
    "06-mains-samples": lambda f: next(n for n in range(1, 10_000) if n * f.mains_hz % f.rate_hz == 0),
    "06-two-noises": lambda f: root(q(f.sensor_mv) ** 2 + q(f.board_mv) ** 2),
    "06-mean-noise": lambda f: root(q(f.noise_mv) ** 2 / f.samples) / Decimal(str(f.slope_mv_per_c)),
    "06-smoothed-noise": weights_noise,
    "06-eight-readings": smoothed,
    "07-deadband-low": lambda f: q(f.low_c) + q(f.band_c),
    "07-first-code": first_code,
    "07-guard-band": lambda f: stats.norm(f.high_c, f.u_c).ppf(0.05),
    "07-on-delay": lambda f: sum([q(f.period_s)] * (f.count - 1)),
    "07-in-a-row": lambda f: 100 * q(f.percent / 100) ** f.count,
    "07-deadband-size": lambda f: sum([q(f.noise_mv) / q(f.slope_mv)] * 4),
    "07-eight-states": states,
    "08-after-a-step": lambda f: (
        Decimal(str(f.end_c))
        + Decimal(str(f.start_c - f.end_c)) * (-Decimal(str(f.t_s)) / Decimal(str(f.tau_s))).exp()
    ),
    "08-trailing-a-ramp": lambda f: q(f.rate_c_per_min) / 60 * q(f.tau_s),
    "08-swing": swing,
    "08-line-time": lambda f: Fraction(f.lines * f.each * 10, f.baud) * 1000,
    "08-loop-period": lambda f: Fraction(f.lines * f.each * 10, f.baud) * 1000 + f.wait_ms,
    "08-own-heat": lambda f: q(f.r_ohm) * q(f.current_ma) ** 2 / 1000 / q(f.dissipation),
    "09-one-point": lambda f: q(f.t_c) - q(f.ice_c),
    "09-two-points": lambda f: (q(f.t_c) - q(f.ice_c)) * q(f.warm_true_c) / (q(f.warm_reads_c) - q(f.ice_c)),
    "09-scatter": residual_s,
    "09-covariance": line_u,
    "09-agreement": lambda f: (
        Decimal(str(f.ours_c)) - Decimal(str(f.theirs_c))
    ) / root(q(f.u_ours_c) ** 2 + q(f.u_theirs_c) ** 2),
    "10-account": lambda f: len(range(f.lines)) - len(range(f.comments)) - 1 - f.blank - f.skipped,
    "10-garbage-in-a-mean": lambda f: ((f.count - 1) * q(f.mean_c) + q(f.garbage_c)) / f.count,
    "10-mean": mean_of_gaussian,
    "10-alike": lambda f: root(q(f.s_c) ** 2 * (1 + q(f.r)) / (f.count * (1 - q(f.r)))),
    "10-wrap": lambda f: Fraction(int(np.uint32(f.after_ms) + np.uint32(2**32 - f.before_ms)), 1000),
    "10-time-constant": lambda f: (
        -Decimal(f.t_s) / (Decimal(f.end_c - f.seen_c) / Decimal(f.end_c - f.start_c)).ln()
    ),
    "11-two-causes": lambda f: 100 * Fraction(f.fits) / (f.fits + f.common),
    "10-drift": lambda f: (q(f.late_c) - q(f.early_c)) / Fraction(f.late_min - f.early_min, 60),
    "11-lead-lift": lambda f: q(f.length_m) * q(f.ohm_per_m) * q(f.current_ma) / 10,
    "11-sag": lambda f: ((500 + 10 * q(f.t_c)) * 5 / q(f.true_v) - 500) / 10,
    "11-constant": lambda f: (500 + 10 * q(f.reads_c)) * 1024 / (f.code + Fraction(1, 2)) / 1000,
    "11-no-supply": lambda f: (q(f.step_mv) / 2 - f.at_0c_mv) / q(f.slope_mv),
    "13-where-the-limit-goes": lambda f: (q(f.silent_c) + q(f.called_c)) / 2,
    "13-margins": lambda f: [
        abs(a - b) / 2 - stats.norm.ppf(0.95) * u
        for a, b, u in (
            (f.silent_low_c, f.called_low_c, f.u_low_c), (f.silent_high_c, f.called_high_c, f.u_high_c),
        )
    ],
    "13-half-budget": half_budget,
    "13-read-tolerance": lambda f: brentq(lambda p: guard_27(f.sensor_c, p) - f.room_c, 0.01, 5, xtol=1e-12),
    "13-cheapest-pair": lambda f: min(
        getattr(f, "price_" + sensor) + getattr(f, "price_" + reference)
        for sensor, limit in (("a", 1.5), ("b", 1), ("c", 0.5)) for reference, percent in (("p", 1), ("q", 0.2))
        if guard_27(limit, percent) <= f.room_c
    ),
    "13-winters": lambda f: 1 / (q(f.missed) / 1000 * f.nights),
    "13-bias": lambda f: (
        stats.uniform(0, f.warmed_c).mean()
        + 1.645 * sqrt(stats.uniform(-f.sensor_c, 2 * f.sensor_c).var() + stats.uniform(0, f.warmed_c).var())
    ),
    "13-late": lambda f: q(f.late_s) - q(f.lag_s) - q(f.smoothing_s) - q(f.period_s) * f.on_delay,
}  # fmt: skip


APART = {"08-whole-delay", "09-boiling-point", "12-cold-junction"}  # in tests of their own, below


def test_every_chapter_and_every_computed_answer_of_a_sheet_has_a_second_route():
    computed = {p.id for plan in SHEETS for p in plan.problems if p.chapter >= 5 and hasattr(p.answer, "wrong")}
    assert computed <= {*SECOND_ROUTE, *SENSORS, *APART}
    late = {f"{number:02d}" for number in chapters() if number >= 5}
    assert {name[:2] for name in {*SECOND_ROUTE, *SENSORS}} == late


@pytest.mark.parametrize("name", SECOND_ROUTE)
def test_the_second_route_gives_the_same(name):
    (problem,) = problems(name).values()
    for figures in usable_sets(problem):
        expected = SECOND_ROUTE[name](figures)
        expected = expected if isinstance(expected, list) else [expected]
        computed = cells(problem.answer, problem.answer.value(figures))
        assert list(map(float, computed)) == pytest.approx(list(map(float, expected)), rel=1e-7, abs=1e-9)


def test_five_lines_show_what_their_cause_does():
    """Told from the lines alone: their form, whether the code follows the fingers, whether the reading goes with it."""
    (problem,) = problems("11-five-lines").values()
    form = re.compile(r"t=\d+\.\d code=(\d+) read=(-?\d+\.\d)")
    found = set()
    for f in usable_sets(problem):
        parts = [form.fullmatch(line) for line in problem.listed(f)]
        if not all(parts):
            told = "baud"
        else:
            codes, readings = ([float(part[k]) for part in parts] for k in (1, 2))
            line_c = [((code + 0.5) * 5 / 1024 - 0.6) / 0.008 for code in codes]
            if max(codes) <= 1:
                told = "no supply"
            elif abs(codes[0] - codes[1]) > 4 or abs(codes[3] - codes[4]) > 4 or codes[4] - codes[0] < 10:
                told = "no signal"
            else:
                told = "healthy" if abs(line_c[0] - readings[0]) < 1 else "integer"
        assert problem.answer.keys(f) == {told}, (f, problem.listed(f))
        found.add(told)
    assert len(found) == len(problem.answer.options)


def numbers_of(line):
    return [float(text.replace("\N{MINUS SIGN}", "-")) for text in re.findall(r"\N{MINUS SIGN}?\d+(?:\.\d+)?", line)]


def first_that_does_not_follow(steps):
    """The number of the only step, of pairs (printed, expected from what is printed before), that does not agree."""
    (odd,) = [place for place, (told, meant) in enumerate(steps, 1) if told != pytest.approx(meant, rel=0.03)]
    return f"step-{odd}"


def test_the_wrong_step_of_a_budget_is_the_one_that_does_not_follow():
    (problem,) = problems("05-find-the-slip").values()
    for f in usable_sets(problem):
        signal_mv, limit_c, both, combined, expanded = (numbers_of(line) for line in problem.listed(f))
        steps = (
            (signal_mv[-1:], [600 + 8 * f.t_c]),
            (limit_c[-1:], [f.percent / 100 * signal_mv[-1] / 8]),
            (both[-2:], [f.accuracy_c / sqrt(3), limit_c[-1] / sqrt(3)]),
            (combined[-1:], [sqrt(both[-2] ** 2 + both[-1] ** 2)]),
            (expanded[-1:], [1.96 * combined[-1]]),
        )
        assert problem.answer.keys(f) == {first_that_does_not_follow(steps)}, f


def test_the_wrong_step_of_a_plan_is_the_one_that_does_not_follow():
    (problem,) = problems("06-find-the-slip").values()
    for f in usable_sets(problem):
        sigma, one_c, samples, window_ms = (numbers_of(line) for line in problem.listed(f))
        steps = (
            (sigma[-1], f.noise_mv / f.step_mv),
            (one_c[-1], sqrt(sigma[-1] ** 2 + 1 / 12) * 0.61),
            (samples[-1], np.ceil((one_c[-1] / f.wanted_c) ** 2)),
            (window_ms[1], 100),
        )
        assert problem.answer.keys(f) == {first_that_does_not_follow(steps)}, f


def test_five_lines_of_still_air_tell_whether_a_mean_helps():
    (problem,) = problems("06-five-lines").values()
    for f in usable_sets(problem):
        codes = [numbers_of(line)[1] for line in problem.listed(f)]
        steps = np.abs(np.diff(codes))
        told = "nothing" if not steps.any() else "burst" if len(set(steps)) == 1 else "average"
        assert problem.answer.keys(f) == {told} and steps.max() in (0, 1, 6)


def test_the_cheapest_part_is_the_first_by_price_that_reaches_the_wanted_u():
    (problem,) = problems("05-which-part").values()
    now = {"sensor": q("1.5"), "reference": q(5), "offset": 2 * Fraction(5000, 8192), "inl": Fraction(5000, 8192)}
    bought = (
        {"sensor": q("0.5")},
        {"offset": now["offset"] / 4, "inl": now["inl"] / 4},
        {"reference": q(1)},
        {"reference": q("0.2")},
    )
    for f in usable_sets(problem):
        prices = [numbers_of(line)[-1] for line in problem.listed(f)[1:]]
        u = [1.96 * float(root(sum(limit**2 for limit in {**now, **part}.values()) / 3)) for part in bought]
        fits = [(price, key) for price, key, each in zip(prices, ("sensor", "bits", "one", "fine"), u, strict=True)
                if each <= f.wanted_c]  # fmt: skip
        assert problem.answer.keys(f) == {min(fits)[1]} and len({price for price, _ in fits}) == len(fits)
        assert all(abs(each - f.wanted_c) > 0.05 for each in u)


def test_the_cheapest_sensor_is_the_first_that_fits_of_those_by_price():
    """Read off the list as it is printed."""
    (problem,) = problems("13-cheapest-sensor").values()
    for f in usable_sets(problem):
        offers = [re.findall(r"[\d.−]+", line.replace("±", " ")) for line in problem.listed(f)[1:]]
        rows = [[float(text.replace("−", "-")) for text in offer] for offer in offers]
        fits = [
            (price, "abcde"[k])
            for k, (low, high, limit, supply, price) in enumerate(rows)
            if low <= f.low_c and high >= f.high_c and limit <= f.limit_c and supply <= f.supply_v
        ]
        assert problem.answer.keys(f) == {min(fits)[1]} and len(fits) == len({price for price, _ in fits}) >= 2


def test_the_whole_delay_is_the_sum_of_its_parts():
    (problem,) = problems("08-whole-delay").values()
    for f in usable_sets(problem):
        assert problem.answer.value(f) == pytest.approx(f.tau_s + f.period_s * f.count, abs=1e-3)


def test_the_boiling_point_by_an_independent_library():
    """CoolProp's IAPWS-IF97; the rule in the text keeps within the tolerance of the answer."""
    (problem,) = problems("09-boiling-point").values()
    for f in usable_sets(problem):
        boils_c = PropsSI("T", "P", 100 * f.station_hpa, "Q", 0, "IF97::Water") - 273.15
        assert problem.answer.value(f) == pytest.approx(boils_c, abs=0.01)


def test_how_many_digits_the_formula_is_good_for():
    """JCGM 101, 7.9.2 and 8.1: u as a whole number times a power of ten; the room is half of that power."""
    (problem,) = problems("05-clause-8").values()
    found = set()
    for f in usable_sets(problem):
        ends = max(abs(q(f.low_c) + q("1.96") * q(f.u_c)), abs(q(f.high_c) - q("1.96") * q(f.u_c)))
        assert 1 <= f.u_c < 10
        room = {"two": Fraction(1, 20), "one": Fraction(1, 2), "none": 10**6}
        (right,) = problem.answer.keys(f)
        assert right == next(key for key, wide in room.items() if ends <= wide)
        found.add(right)
    assert found == {"two", "one", "none"}


def test_the_cold_junction_by_the_printed_table():
    """Interpolated by hand in the table that the problem prints (IEC 60584-1, type K)."""
    (problem,) = problems("12-cold-junction").values()
    table = {40: 1.612, 50: 2.023, 60: 2.436, 70: 2.851, 80: 3.267, 90: 3.682, 100: 4.096, 110: 4.509, 120: 4.920}
    for f in usable_sets(problem):
        hot = np.interp(f.measured_mv + f.cold_mv, list(table.values()), list(table))
        assert problem.answer.value(f) == pytest.approx(hot, abs=0.05)


def test_the_longer_of_text_and_wait_is_the_period_of_a_board_that_prints_meanwhile():
    """As the remark says: its buffer takes one text, so a pass begins after the wait, once the last text has left."""
    (problem,) = problems("08-loop-period").values()
    (way,) = (way for way in problem.answer.wrong if way.key == "buffered")
    for f in usable_sets(problem):
        begins = [Fraction(0)]
        for _ in range(20):
            has_left = begins[-1] + Fraction(10_000 * f.lines * f.each, f.baud)
            begins.append(max(begins[-1] + f.wait_ms, has_left))
        assert way.value(f) == pytest.approx(float(begins[-1] - begins[-2]))
