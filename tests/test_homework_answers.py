"""Answers worked out a second time: fractions, decimal logarithms and machine integers, without tempkit."""

import ctypes
import re
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

import pytest

from tempkit.exercises import cells, problems, usable_sets


def q(value):
    """A figure as the exact fraction of what is printed."""
    return Fraction(str(value))


def line_mv(f, t_c):
    return q(f.at_0c_mv) + q(f.slope_mv_per_c) * q(t_c)


def back_c(f, mv):
    return (mv - q(f.at_0c_mv)) / q(f.slope_mv_per_c)


def step_mv(f):
    return q(f.reference_v) * 1000 / 2**f.bits


def middle_c(f, code, reference_v, bits):
    return back_c(f, (code + Fraction(1, 2)) * q(reference_v) * 1000 / 2**bits)


def bits_needed(f):
    bits = 1
    while q(f.reference_v) * 1000 > q(f.slope_mv_per_c) * q(f.wanted_c) * 2**bits:
        bits += 1
    return bits


def settling_left(f):
    times = Decimal(str(f.sample_us)) * 1000 / (Decimal(str(f.source_kohm)) * Decimal(str(f.hold_pf)))
    return 100 * (-times).exp()


def largest_source(f):
    return Decimal(str(f.sample_us)) * 1000 / (Decimal(str(f.hold_pf)) * Decimal(2 ** (f.bits + 1)).ln())


def rounded(hundredths):
    """Tenths by the decimal module's own rounding: to the nearest, halves away from zero."""
    return (Decimal(hundredths) / 10).quantize(Decimal(1), rounding=ROUND_HALF_UP)


def four_rows(f):
    for code in (f.first + k * f.apart for k in range(4)):
        yield (code + Fraction(1, 2)) * q(f.reference_v) * 1000 / 2**f.bits
        yield middle_c(f, code, f.reference_v, f.bits)


def integer_walk(code, supply_mv):
    """Product, sum, millivolts, tenths, by the decimal module's own rounding."""
    product = Decimal(code) * supply_mv
    mv = rounded((product + supply_mv // 2) * 10 / 1024)
    return [product, product + supply_mv // 2, mv, rounded((mv - 600) * 100 / 8)]


FAN, BOX = "where a fan moves the air at 2 m/s", "in a louvred box, in still air"
SLOWEST = {  # the column "highest" of two pages of data/catalogue, read by eye [s]
    ("air sensor", FAN): 12,
    ("air sensor", "in still air"): 50,
    ("air sensor", BOX): 75,
    ("thermistor", "in still air"): 15,
    ("thermistor", FAN): 6,
}

SECOND_ROUTE = {
    "01-volts-from-temperature": lambda f: line_mv(f, f.t_c),
    "01-temperature-from-volts": lambda f: back_c(f, q(f.v_mv)),
    "01-slope-from-points": lambda f: q(f.slope_mv_per_c),
    "01-range-in-volts": lambda f: [line_mv(f, t_c) / 1000 for t_c in (f.from_c, f.to_c)],
    "01-accuracy-in-mv": lambda f: q(f.accuracy_c) * q(f.slope_mv_per_c),
    "01-warmest-true": lambda f: back_c(f, q(f.v_mv)) + q(f.accuracy_c),
    "01-read-the-curve": lambda f: back_c(f, q(f.v_mv)),
    "01-safe-reading": lambda f: q(f.t_c) + {"P": q(1.5), "Q": q(1.0), "R": q(0.5)}[f.grade],
    "01-small-type": lambda f: {"B": Fraction(3, 10) + abs(q(f.t_c)) / 200, "A": (75 + abs(q(f.t_c))) / 500}[f.letter],
    "01-slow-place": lambda f: 3 * SLOWEST[f.part, f.place],
    "01-side-by-side": lambda f: max(q(t_c) - q(f.limit_c) for t_c in (f.low_c, f.high_c)),
    "02-step-in-mv": step_mv,
    "02-step-in-degrees": lambda f: step_mv(f) / q(f.slope_mv_per_c),
    "02-code-for-temperature": lambda f: line_mv(f, f.t_c) // step_mv(f),
    "02-floor-and-round": lambda f: [q(f.v_mv) // step_mv(f), (q(f.v_mv) / step_mv(f) + Fraction(1, 2)) // 1],
    "02-highest-code-error": lambda f: (
        f.code
        * q(f.reference_v)
        * 1000
        * (Fraction(1, 2**f.bits - 1) - Fraction(1, 2**f.bits))
        / q(f.slope_mv_per_c)
    ),
    "02-codes-of-range": lambda f: len(
        range(int(line_mv(f, f.low_c) // step_mv(f)), int(line_mv(f, f.high_c) // step_mv(f)) + 1)
    ),
    "02-bits-needed": bits_needed,
    "02-read-the-stairs": lambda f: step_mv(f) / q(f.slope_mv_per_c),
    "02-step-by-head": lambda f: step_mv(f) / q(f.slope_mv_per_c),
    "03-supply-error": lambda f: back_c(f, line_mv(f, f.t_c) * 5 / q(f.true_v)) - q(f.t_c),
    "03-corrected-reading": lambda f: middle_c(f, f.code, f.true_v, 10),
    "03-low-reference-step": lambda f: step_mv(f) / q(f.slope_mv_per_c),
    "03-highest-temperature": lambda f: back_c(f, q(f.reference_v) * 1000),
    "03-ratiometric-code": lambda f: line_mv(f, f.t_c) * q(f.true_v) / 5 // (q(f.true_v) * 1000 / 1024),
    "03-settling-left": settling_left,
    "03-largest-source": largest_source,
    "03-error-graph": lambda f: q(f.true_v),
    "03-per-cent-by-head": lambda f: (600 + 8 * q(f.t_c)) * (Fraction(100, 100 - f.percent) - 1) / 8,
    "03-headroom": lambda f: q(f.true_v) - line_mv(f, f.high_c) / 1000,
    "04-code-to-degrees": lambda f: middle_c(f, f.code * 2 ** (f.bits - 10), f.reference_v, f.bits),
    "04-overflow": lambda f: ctypes.c_int16(f.code * f.factor).value,
    "04-divide-first": lambda f: int(Fraction(f.supply_mv, f.count)) * f.code,
    "04-half-a-divisor": lambda f: [int(rounded(f.warm)), int(rounded(f.cold))],
    "04-half-worked": lambda f: integer_walk(f.second, f.supply_mv),
    "04-step-of-a-program": lambda f: q(f.wrong_mv),
    "04-kelvin": lambda f: q(f.t_k) - q(273.15),
    "04-reading-in-fahrenheit": lambda f: q(f.t_c) * 9 / 5 + 32,
    "04-span-in-fahrenheit": lambda f: (q(f.span_c) + 20) * 9 / 5 + 32 - (Fraction(20) * 9 / 5 + 32),
    "04-swapped-constants": lambda f: (q(f.v_mv) / 1000 - q(0.008)) / q(0.6),
    "04-four-codes": lambda f: list(four_rows(f)),
}


def numeric(chapters):
    return [
        problem for number in chapters for problem in problems(number).values() if hasattr(problem.answer, "wrong")
    ]


def test_every_computed_answer_of_chapters_1_to_4_has_a_second_route():
    assert {problem.id for problem in numeric((1, 2, 3, 4))} == set(SECOND_ROUTE)


@pytest.mark.parametrize("name", SECOND_ROUTE)
def test_the_second_route_gives_the_same(name):
    (problem,) = problems(name).values()
    for figures in usable_sets(problem):
        expected = SECOND_ROUTE[name](figures)
        expected = expected if isinstance(expected, list) else [expected]
        computed = cells(problem.answer, problem.answer.value(figures))
        assert list(map(float, computed)) == pytest.approx(list(map(float, expected)), rel=1e-9, abs=1e-9)


@pytest.mark.parametrize("name", ["02-code-for-temperature", "03-ratiometric-code", "02-codes-of-range"])
def test_codes_are_whole_numbers_of_python(name):
    (problem,) = problems(name).values()
    assert {type(problem.answer.value(figures)) for figures in usable_sets(problem)} == {int}


def test_one_step_of_the_walk_is_wrong_and_the_others_go_on_from_it():
    """Each line redone from what the line above prints: just the one that is asked for differs from a sound one."""
    (problem,) = problems("04-wrong-walk").values()
    for f in usable_sets(problem):
        printed = [float(re.search(r"= (\S+) \S+$", line)[1].replace("−", "-")) for line in problem.listed(f)]
        step, middle, above, t_c, t_f = printed
        sound = (
            Fraction(5000, 1024),
            (f.code + Fraction(1, 2)) * q(step),
            q(middle) - q(f.at_0c_mv),
            q(above) / q(f.slope_mv_per_c),
            q(t_c) * 9 / 5 + 32,
        )
        room = (0.00006, 0.06, 0.01, 0.006, 0.006)
        rows = enumerate(zip(printed, sound, room, strict=True), 1)  # six digits are printed
        wrong = [k for k, (a, b, w) in rows if abs(a - b) > max(w, 1e-5 * abs(b))]
        assert problem.answer.keys(f) == {f"step-{k}" for k in wrong} and len(wrong) == 1


def test_one_step_from_the_meter_to_the_air_is_wrong():
    """Each line redone from what the line above prints: just the one that is asked for differs from a sound one."""
    (problem,) = problems("01-wrong-walk").values()
    for f in usable_sets(problem):
        told = [Fraction(re.search(r" (\S+) \S+$", line)[1]) for line in problem.listed(f)]
        above, on_line, limit, coldest, warmest = told
        sound = f.v_mv - 600, above / 8, Fraction(3, 2), on_line - limit, on_line + limit
        wrong = [number for number, (one, other) in enumerate(zip(told, sound, strict=True), 1) if one != other]
        assert wrong == [f.slip] and problem.answer.keys(f) == {f"step-{f.slip}"}


def test_the_steepest_line_has_the_widest_rise_in_the_picture():
    (problem,) = problems("01-steepest").values()
    for f in usable_sets(problem):
        points = {curve.name[-1].lower(): curve.points for curve in problem.picture(f).curves}
        rise = {letter: found[-1][1] - found[0][1] for letter, found in points.items()}
        height = {letter: found[0][1] + f.t_c / 50 * rise[letter] for letter, found in points.items()}
        assert problem.answer.keys(f) == {max(rise, key=rise.get)} != {max(height, key=height.get)}


def test_a_lamp_on_a_pin():
    """The board's page, read by eye: meant for 15 mA, absolute limit 28 mA."""
    (problem,) = problems("01-pin-current").values()
    found = {f.drawn_ma: problem.answer.keys(f) for f in usable_sets(problem)}
    assert found == {
        ma: {"meant" if ma <= 15 else "survives" if ma <= 28 else "fails"} for ma in (9, 12, 14, 18, 20, 24, 26, 33, 40)
    }


def test_the_cheapest_of_five_pages():
    """What the listing prints, read again line by line."""
    (problem,) = problems("01-cheapest-page").values()
    for f in usable_sets(problem):
        prices = {}
        for line in problem.listed(f)[1:]:
            letter, _, limit, held, supply, price = re.split(r"  +", line.replace("−", "-"))
            low, high = (re.findall(r"-?\d+", held) * 2)[:2]
            wide = int(low) <= f.low_c and f.high_c <= int(high)
            if wide and float(limit[1:-3]) <= f.limit_c and float(supply[:-2]) <= f.supply_v:
                prices[letter.lower()] = float(price)
        assert problem.answer.keys(f) == {min(prices, key=prices.get)}


def test_supplies_inside_a_window():
    """Cells in a row add up; 4.75 V is the least of a high-power port, USB 2.0 specification, section 7.2."""
    tenths = {
        "two-fresh": 2 * 16,
        "two-flat": 2 * 11,
        "three-flat": 3 * 11,
        "four-fresh": 4 * 16,
        "four-flat": 4 * 11,
    }
    supplies = {key: Fraction(v, 10) for key, v in tenths.items()} | {"usb-low": Fraction(19, 4)}
    (problem,) = problems("01-supply-window").values()
    for f in usable_sets(problem):
        inside = {key for key, volts in supplies.items() if q(f.lowest_v) <= volts <= q(f.highest_v)}
        assert problem.answer.keys(f) == inside
        told = problem.solution(f).splitlines()
        assert [", inside " in line for line in told] == [o.key in inside for o in problem.answer.options]
