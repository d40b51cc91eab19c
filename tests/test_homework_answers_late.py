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
    return max(code for code in range(1024) if (code + Fraction(1, 2)) * 5 / 8 - 75 < q(f.low_c))


def states(f):
    """The highest reading since the last return decides: told with sets of places, not with a state."""
    tenths = list(f[1:])
    found = []
    for place in range(8):
        raised = [k for k in range(place + 1) if tenths[k] > 0]
        back = [k for k in range(place + 1) if tenths[k] < -5]
        found.append(int(max(raised, default=-inf) > max(back, default=-1)))
    return found


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


def read_off(f):
    """From the points of the picture, straight between them."""
    (curve,) = problems("09-correction-curve")["09-correction-curve"].picture(f).curves
    return f.t_c + np.interp(f.t_c, *zip(*curve.points, strict=True))


def budget_after(f):
    """Half a step, its standard deviation, that of the drift, the whole, twice the whole: scipy's uniform variances."""
    step, drift = (stats.uniform(0, width).var() for width in (0.61, 2 * f.drift_c))
    whole = sqrt(f.u_points_c**2 + step + drift)
    return [0.61 / 2, sqrt(step), sqrt(drift), whole, 2 * whole]


def drift_of_dots(f):
    """From the first and the last point of the picture, two hours apart."""
    (curve,) = problems("10-drift")["10-drift"].picture(f).curves
    (begin_min, early_c), *_, (end_min, late_c) = curve.points
    return (q(late_c) - q(early_c)) / Fraction(end_min - begin_min, 60)


def half_worked_offset(f):
    """The divisors and uncertainties that are asked for; the limits as scipy's uniform distribution."""
    mean, air = f.s_c / sqrt(f.count), stats.uniform(0, 2 * f.apart_c).std()
    return [sqrt(f.count), mean, sqrt(3), air, sqrt(mean**2 + (f.certificate_c / 2) ** 2 + air**2)]


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


def tau_of_the_graph(f):
    """From the points of the picture: the slope of the logarithm of what is left, by least squares."""
    (curve,) = problems("08-read-tau")["08-read-tau"].picture(f).curves
    times, shown = np.array(curve.points).T
    return -1 / np.polyfit(times, np.log((shown - f.end_c) / (f.start_c - f.end_c)), 1)[0]


def held_by_the_log(f):
    """Ten bits a character."""
    return Fraction(10 * f.each * 1000, f.baud)


def half_worked_delays(f):
    """A sample falls on any moment of a period: scipy's uniform distribution, and its end."""
    waits = stats.uniform(0, f.period_s)
    row = sum([f.period_s] * (f.count - 1))
    parts = [[waits.mean(), waits.ppf(1)], [row, row]]
    return [*parts[0], *parts[1], *(f.tau_s + a + b for a, b in zip(*parts, strict=True))]


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
    "07-of-a-thousand": lambda f: 100 / (1 + Fraction((1000 - f.trouble) * f.false, f.trouble * f.caught)),
    "07-false-calls": lambda f: Fraction(365 * len(range(0, f.hours * 3600, f.period_s)), 12_000),
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
    "08-read-tau": tau_of_the_graph,
    "08-five-lines": held_by_the_log,
    "08-half-worked": half_worked_delays,
    "08-send-a-night": lambda f: q(len(range(0, f.hours * 3600, f.period_s))) * f.each * 10 / f.baud,
    "08-loop-period": lambda f: Fraction(f.lines * f.each * 10, f.baud) * 1000 + f.wait_ms,
    "08-own-heat": lambda f: q(f.r_ohm) * q(f.current_ma) ** 2 / 1000 / q(f.dissipation),
    "09-one-point": lambda f: q(f.t_c) - q(f.ice_c),
    "09-two-points": lambda f: (q(f.t_c) - q(f.ice_c)) * q(f.warm_true_c) / (q(f.warm_reads_c) - q(f.ice_c)),
    "09-correction-curve": read_off,
    "09-budget-after": budget_after,
    "09-scatter": residual_s,
    "09-covariance": line_u,
    "09-agreement": lambda f: (
        Decimal(str(f.ours_c)) - Decimal(str(f.theirs_c))
    ) / root(q(f.u_ours_c) ** 2 + q(f.u_theirs_c) ** 2),
    "10-account": lambda f: len(range(f.lines)) - len(range(f.comments)) - 1 - f.blank - f.skipped,
    "10-lost-in-a-gap": lambda f: len(range(f.before_s + f.period_s, f.after_s, f.period_s)),
    "10-garbage-in-a-mean": lambda f: ((f.count - 1) * q(f.mean_c) + q(f.garbage_c)) / f.count,
    "10-alike": lambda f: root(q(f.s_c) ** 2 * (1 + q(f.r)) / (f.count * (1 - q(f.r)))),
    "10-wrap": lambda f: Fraction(int(np.uint32(f.after_ms) + np.uint32(2**32 - f.before_ms)), 1000),
    "10-time-constant": lambda f: (
        -Decimal(f.t_s) / (Decimal(f.end_c - f.seen_c) / Decimal(f.end_c - f.start_c)).ln()
    ),
    "11-two-causes": lambda f: 100 * Fraction(f.fits) / (f.fits + f.common),
    "10-drift": drift_of_dots,
    "10-half-worked": half_worked_offset,
    "11-lead-lift": lambda f: q(f.length_m) * q(f.ohm_per_m) * q(f.current_ma) / 8,
    "11-constant": lambda f: (600 + 8 * q(f.reads_c)) * 1024 / (f.code + Fraction(1, 2)) / 1000,
    "11-two-points": lambda f: [
        1000 * (5 / q(f.true_v) - 1) / 8,
        Fraction(f.less_mv, 8),
        600 * (5 / q(f.true_v) - 1) / 8 + Fraction(f.less_mv, 8),
        1000 * (5 / q(f.true_v) - 1) / 8 + Fraction(f.less_mv, 8),
    ],
    "11-meter": lambda f: (600 + 8 * (f.room_c + 1 + q(f.limits_c))) * q("1.005") + 2,
    "11-how-fast-hot": lambda f: q(f.current_ma) / 1000 * q(f.volts) / (q(f.mass_mg) / 1000),
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


def test_five_lines_show_one_sign_of_an_invalid_reading_or_none():
    """Told from the lines alone: their times, the sensor's own codes, whether a code moves, and the reading's line."""
    (problem,) = problems("07-five-lines").values()
    found = set()
    for f in usable_sets(problem):
        parts = [re.fullmatch(r"t=(\d+)\.0 code=(\d+) read=(-?\d+\.\d)", line) for line in problem.listed(f)]
        times, codes = ([int(part[k]) for part in parts] for k in (1, 2))
        for part, code in zip(parts, codes, strict=True):
            assert float(part[3]) == pytest.approx(((code + 0.5) * 5000 / 1024 - 600) / 8, abs=0.06)
        if max(np.diff(times)) > 5:
            told = "stale"
        elif max(codes) < 81 or min(codes) > 303:
            told = "short" if max(codes) < 81 else "open"
        else:
            told = "warm" if len(set(codes)) > 1 else "stuck"
        assert told != "warm" or all(float(part[3]) > 27 for part in parts)
        assert told != "stale" or all(18 < float(part[3]) < 27 for part in parts)
        assert problem.answer.keys(f) == {told}
        found.add(told)
    assert len(found) == len(problem.answer.options)


def test_one_step_of_a_setting_is_wrong_and_the_others_go_on_from_it():
    """Each line redone from what the line above prints: just the one that is asked for differs from a sound one."""
    (problem,) = problems("07-wrong-setting").values()
    for f in usable_sets(problem):
        printed = [float(re.search(r"= (\S+) °C$", line)[1]) for line in problem.listed(f)]
        stays, whole, guard, _, _ = printed
        sound = (
            stats.uniform(-f.limit_c, 2 * f.limit_c).std(), sqrt(stays**2 + f.noise_c**2),
            stats.norm(0, whole).ppf(0.95), 27 - guard, f.noise_c + 3 * f.noise_c,
        )
        wrong = [k for k, (a, b) in enumerate(zip(printed, sound, strict=True), 1) if abs(a - b) > 0.006]
        assert problem.answer.keys(f) == {f"step-{k}" for k in wrong} and len(wrong) == 1


def test_the_cheapest_sounder_is_the_first_that_fits_of_those_by_price():
    """Read off the list as it is printed."""
    (problem,) = problems("07-cheapest-sounder").values()
    for f in usable_sets(problem):
        offers = [list(map(float, re.findall(r"[\d.]+", line))) for line in problem.listed(f)[1:]]
        fits = [
            (price, "abcde"[k])
            for k, (loud, current, low, high, price) in enumerate(offers)
            if loud >= f.loud and current <= f.pin_ma and low <= f.supply_v <= high
        ]
        assert problem.answer.keys(f) == {min(fits)[1]} and len(fits) == len({price for price, _ in fits}) >= 2


def test_five_lines_of_passes_say_how_long_a_pass_is():
    """Read off the lines as they are printed: seconds over passes, less the wait, to what hundredths allow."""
    (problem,) = problems("08-five-lines").values()
    for f in usable_sets(problem):
        rows = [re.fullmatch(r"(\d+\.\d\d) s  pass=(\d+) code=\d+", line).groups() for line in problem.listed(f)]
        seconds, passes = (float(rows[-1][k]) - float(rows[0][k]) for k in (0, 1))
        assert 1000 * seconds / passes - f.wait_ms == pytest.approx(problem.answer.value(f), abs=0.03)


def test_one_step_of_a_delay_budget_is_wrong_and_the_others_go_on_from_it():
    """Each line redone from what the line above prints: just the one that is asked for differs from a sound one."""
    (problem,) = problems("08-wrong-budget").values()
    for f in usable_sets(problem):
        printed = [float(re.search(r"= (\S+) m?s$", line)[1]) for line in problem.listed(f)]
        line_ms, pass_ms, first_s, row_s, _ = printed
        sound = (
            f.characters * 10 / 9.6, line_ms + f.wait_ms, pass_ms / 1000, pass_ms / 1000 * (f.count - 1),
            f.tau_s + first_s + row_s,
        )
        room = (0.051, 0.001, 0.00051, 0.00051, 0.0051)
        rows = enumerate(zip(printed, sound, room, strict=True), 1)
        wrong = [k for k, (a, b, w) in rows if abs(a - b) > w]
        assert problem.answer.keys(f) == {f"step-{k}" for k in wrong} and len(wrong) == 1


def test_the_cheapest_change_is_the_first_in_time_of_those_by_price():
    """Read off the list as it is printed: lag, smoothing, and a period for each sample in the row."""
    (problem,) = problems("08-cheapest-change").values()
    for f in usable_sets(problem):
        rows = [list(map(float, re.findall(r"(?<= )[\d.]+", line))) for line in problem.listed(f)[1:]]
        fits = [
            (price, "abcde"[k])
            for k, (lag, smoothing, count, period, price) in enumerate(rows)
            if lag + smoothing + (count - 1) * period + period <= f.late_s
        ]
        assert problem.answer.keys(f) == {min(fits)[1]} and len(fits) == len({price for price, _ in fits}) >= 2


def test_a_quick_thermometer_and_a_late_bench_agree_only_without_the_lag():
    """The difference against the root of the sum of squares, before and after the lag is taken off."""
    (problem,) = problems("08-quick-thermometer").values()
    for f in usable_sets(problem):
        quick_c = float(re.search(r"beside it ([\d.]+) °C", problem.text(f))[1])
        apart, together = quick_c - f.bench_c, sqrt(0.3**2 + 0.2**2)
        assert apart > together > abs(apart - f.rate_c_per_min / 60 * f.tau_s)


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


def test_five_readings_in_ice_show_what_is_wrong():
    """From the readings alone: do they move, where do they stand, what does going deeper change?"""
    (problem,) = problems("09-five-lines").values()
    found = set()
    for f in usable_sets(problem):
        lines = [line.replace("\N{MINUS SIGN}", "-") for line in problem.listing(f)]
        at_c = [float(re.search(r": (\S+) °C$", line)[1]) for line in lines]
        if at_c[0] - at_c[3] > 1:
            told = "settling"
        elif max(at_c) < -0.5:
            told = "salt"
        elif at_c[4] > at_c[3] + 0.5:
            told = "floating"
        else:
            told = "shallow" if at_c[3] - at_c[4] > 0.5 else "sound"
        assert problem.answer.keys(f) == {told}, (f, lines)
        found.add(told)
    assert len(found) == len(problem.answer.options)


def test_how_much_lower_water_boils_by_an_independent_library():
    """CoolProp's IAPWS-IF97 at the pressure of ISO 2533, worked out by hand, against 101,325 Pa."""
    (problem,) = problems("09-how-much-lower").values()
    for f in usable_sets(problem):
        pressure = 101_325 * (1 - 0.0065 * f.altitude_m / 288.15) ** (9.80665 / 0.0065 / 287.05287)
        low, high = (PropsSI("T", "P", pa, "Q", 0, "IF97::Water") for pa in (pressure, 101_325))
        assert problem.answer.value(f) == pytest.approx(high - low, abs=0.01)


@pytest.mark.parametrize("name", ["09-wrong-step", "10-wrong-step"])
def test_the_wrong_step_is_the_only_one_whose_arithmetic_is_another(name):
    """With right steps alone every line is another from the first wrong one on, and none before it."""
    (problem,) = problems(name).values()
    for f in usable_sets(problem):
        others = [g for g in usable_sets(problem) if g[1:] == f[1:] and g.slip > f.slip]
        for g in others:
            mine, theirs = problem.listing(f), problem.listing(g)
            assert mine[: f.slip - 1] == theirs[: f.slip - 1] and mine[f.slip - 1] != theirs[f.slip - 1], (f, g)


def test_a_decision_by_squares_written_out():
    """Whether two results agree, by the squares of both sides."""
    (tested,) = problems("09-agree-and-act").values()
    for f in usable_sets(tested):
        agree = (q(f.bench_c) - q(f.other_c)) ** 2 <= q(f.u_bench_c) ** 2 + q(f.u_other_c) ** 2
        assert tested.answer.keys(f) == {"use" if agree else "again"}
    (nights,) = problems("10-two-nights").values()
    found = set()
    for f in usable_sets(nights):
        both = 8 * q(f.s_c) ** 2 * (1 + q(f.r)) / (f.count * (1 - q(f.r)))
        told = "warmer" if (q(f.second_c) - q(f.first_c)) ** 2 > both else "nights"
        assert nights.answer.keys(f) == {told}
        found.add(told)
    assert found == {"warmer", "nights"}


def test_five_lines_of_a_log_show_what_happened():
    """From the lines alone: the form of each, and the steps of both clocks, of the codes and of the readings."""
    (problem,) = problems("10-five-lines").values()
    form = re.compile(r"(\d+\.\d{3})  t=(\d+\.\d) code=(\d+\.\d) read=(\d+(?:\.\d)?)")
    found = set()
    for f in usable_sets(problem):
        lines = problem.listing(f)
        parts = [form.fullmatch(line) for line in lines]
        rows = [[float(text) for text in part.groups()] for part in parts if part]
        if any("board started" in line for line in lines):
            told = "restart"
            assert rows[-1][1] < 10 < rows[0][1]
        elif not all(parts):
            told = "noise"
        elif max(b[0] - a[0] for a, b in zip(rows, rows[1:], strict=False)) > 10:
            told = "cable"
            assert all(abs((b[0] - a[0]) - (b[1] - a[1])) < 0.11 for a, b in zip(rows, rows[1:], strict=False))
        elif max(row[3] for row in rows) > 100:
            told = "point"
        else:
            told = "stuck"
            assert len({row[2] for row in rows}) == 1
        if told not in ("stuck", "noise"):
            assert len({row[2] for row in rows}) > 1
        for _, _, code, shown in rows:
            by_code = ((code + 0.5) * 5000 / 1024 - 600) / 8
            assert abs(by_code - shown) < 0.1 or shown > 100
        assert problem.answer.keys(f) == {told}, (f, lines)
        found.add(told)
    assert len(found) == len(problem.answer.options)
