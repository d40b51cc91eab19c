"""Practice for chapter 12: a thermistor by Beta, its divider, and which sensor for which job."""

import math

from tempkit.circuit import Divider
from tempkit.converter import Converter
from tempkit.homework.chapter12_cold import COLD
from tempkit.homework.chapter12_metal import METAL
from tempkit.homework.problem import Choice, Draw, Number, Option, Problem, Wrong, code
from tempkit.homework.problem import plain as n
from tempkit.sensors import Thermistor

ZERO_K, T25_K = 273.15, 298.15
KINDS = Draw("r25_ohm beta_k", ((10000, 3950), (10000, 3435), (5000, 3950), (100000, 4250), (2200, 3977)))


def _sensor(f):
    return Thermistor.from_beta(f.r25_ohm, f.beta_k)


def _kelvin(f, rise=1.0, base_k=T25_K):
    """Temperature [K] from a resistance by Beta, with a factor on the logarithm and another base."""
    return 1 / (1 / base_k + rise * math.log(f.r_ohm / f.r25_ohm) / f.beta_k)


beta_back = Problem(
    "12-beta-back", 1, "A thermistor's temperature",
    "Turn a thermistor's resistance into a temperature.",
    text="A thermistor has {r25_ohm} Ω at 25 °C and a beta of {beta_k} K. A meter says {r_ohm} Ω. How warm is it?",
    figures=(
        Draw(
            "r25_ohm beta_k r_ohm",
            ((10000, 3950, 7000), (10000, 3435, 16500), (5000, 3950, 3200), (100000, 4250, 68000), (2200, 3977, 1470),
             (10000, 3950, 13900)),
        ),
    ),
    answer=Number(
        lambda f: _sensor(f).celsius(f.r_ohm),
        "temperature", "°C", 0.05,
        "A tenth is asked for, and half of it is room for rounding the logarithm to four digits.",
        wrong=(
            Wrong("kelvin-forgotten", lambda f: _kelvin(f, base_k=25.0),
                  "25 went into the equation as it stands. Beta's temperatures are counted from absolute zero."),
            Wrong("rounded-kelvin", lambda f: _kelvin(f, base_k=298.0) - ZERO_K,
                  "298 was taken for the base. The missing 0.15 K shows in the answer."),
            Wrong("log-ten", lambda f: _kelvin(f, rise=math.log10(math.e)) - ZERO_K,
                  "The logarithm to base ten was used. Beta goes with the natural one, ln."),
            Wrong("turned", lambda f: _kelvin(f, rise=-1.0) - ZERO_K,
                  "The quotient in the logarithm is upside down. Is a smaller resistance warmer or colder?"),
            Wrong("left-in-kelvin", lambda f: _kelvin(f),
                  "This is the temperature in kelvin, written as degrees Celsius."),
    )),
    hints=("1/T = 1/298.15 K + ln(R ÷ R25) ÷ beta, with T in kelvin.",
           "Turn the sum over, then go from kelvin to degrees Celsius."),
    solution=lambda f: (
        f"ln({n(f.r_ohm)} ÷ {n(f.r25_ohm)}) = {n(math.log(f.r_ohm / f.r25_ohm), 5)}\n"
        f"1/T = 0.00335402 + ({n(math.log(f.r_ohm / f.r25_ohm), 5)}) ÷ {n(f.beta_k)},"
        f" that is {n(1 / _kelvin(f), 6)} per kelvin\n"
        f"T = {n(_kelvin(f), 6)} K, and less 273.15 that\n= {n(_kelvin(f) - ZERO_K, 5)} °C"
    ),
)


def _beta_ohm(f, turn=1.0, base_k=T25_K):
    return f.r25_ohm * math.exp(turn * f.beta_k * (1 / (f.t_c + ZERO_K) - 1 / base_k))


beta_there = Problem(
    "12-beta-ohms", 2, "A thermistor's resistance",
    "Turn a temperature into a thermistor's resistance.",
    text="A thermistor has {r25_ohm} Ω at 25 °C and a beta of {beta_k} K. What is its resistance at {t_c} °C?",
    figures=(KINDS, Draw("t_c", (10, 18, 37, 50, 60))),
    answer=Number(
        lambda f: _sensor(f).ohms(float(f.t_c)),
        "resistance", "Ω", 0,
        "Three digits leave room for rounding the exponent, and still tell 298 from 298.15 in most cases.",
        digits=3, wrong=(
            Wrong("rounded-kelvin", lambda f: _beta_ohm(f, base_k=298.0),
                  "298 was taken for one temperature and not for the other. An exponent forgives nothing."),
            Wrong("turned", lambda f: _beta_ohm(f, turn=-1.0),
                  "The difference in the exponent is turned round. Warmer, this resistance is smaller."),
            Wrong("ten-for-e", lambda f: _beta_ohm(f, turn=math.log(10)),
                  "A power of ten was used. The equation has a power of e."),
            Wrong("straight",
                  lambda f: f.r25_ohm * (1 - f.beta_k / T25_K**2 * (f.t_c - 25)),
                  "The slope at 25 °C was taken for all of the way. A thermistor is curved."),
    )),
    hints=("R = R25 × exp(beta × (1/T − 1/298.15 K)), with T in kelvin.",
           "Both temperatures with their 0.15; work out the bracket first, with six digits."),
    solution=lambda f: (
        f"T = {n(f.t_c + ZERO_K)} K; exponent {n(f.beta_k)} × (1/{n(f.t_c + ZERO_K)} − 1/298.15)"
        f" = {n(f.beta_k * (1 / (f.t_c + ZERO_K) - 1 / T25_K), 5)}\n"
        f"{n(f.r25_ohm)} Ω × {n(_beta_ohm(f) / f.r25_ohm, 5)} = {n(_beta_ohm(f), 5)} Ω"
    ),
)

DIVIDED = Draw(
    "r_ohm fixed_ohm", ((12500, 10000), (7000, 10000), (17200, 7500), (3600, 8200), (6100, 4700), (27300, 10000))
)
FEED = Draw("feed_v", (5, 3.3, 2.5))

divider = Problem(
    "12-divider", 2, "Volts in the middle",
    "Work out the voltage at the middle of a divider.",
    text="A fixed resistor of {fixed_ohm} Ω goes from the supply of {feed_v} V to the converter's pin, a thermistor"
         " from the pin to ground. The thermistor has {r_ohm} Ω now. What is the voltage at the pin?",
    figures=(DIVIDED, FEED),
    answer=Number(
        lambda f: f.feed_v * f.r_ohm / (f.r_ohm + f.fixed_ohm),
        "voltage", "V", 0.005,
        "Five millivolts are room for rounding the quotient to three digits.",
        wrong=(
            Wrong("upside-down", lambda f: f.feed_v * f.fixed_ohm / (f.r_ohm + f.fixed_ohm),
                  "The divider is upside down. Between which two points does the pin's voltage lie?"),
            Wrong("not-all", lambda f: f.feed_v * f.r_ohm / f.fixed_ohm,
                  "One resistor was divided by the other. The current flows through both, one after the other."),
            Wrong("half", lambda f: f.feed_v / 2,
                  "Half of the supply is there only where both resistors are alike."),
    )),
    hints=("The same current flows through both resistors.",
           "The pin has that part of the supply that the resistor to ground has of the whole resistance."),
    solution=lambda f: (
        f"All: {n(f.r_ohm)} + {n(f.fixed_ohm)} = {n(f.r_ohm + f.fixed_ohm)} Ω\n"
        f"{n(f.feed_v)} V × {n(f.r_ohm)} ÷ {n(f.r_ohm + f.fixed_ohm)}"
        f" = {n(f.feed_v * f.r_ohm / (f.r_ohm + f.fixed_ohm), 4)} V"
    ),
)


def _ratio_code(f, feed_v, reference_v):
    r_ohm, all_ohm = f.r_ohm, f.r_ohm + f.fixed_ohm
    return min(math.floor(feed_v * r_ohm / all_ohm / (reference_v / 1024)), 1023)


def _true_code(f):
    part = f.r_ohm / (f.r_ohm + f.fixed_ohm)
    return Converter(10).code(part * f.sag_v, f.sag_v)


ratiometric = Problem(
    "12-ratiometric", 1, "When the supply sags",
    "See what a divider fed by the reference does when that sags.",
    text="A thermistor of {r_ohm} Ω stands between the pin and ground, {fixed_ohm} Ω between the supply and the pin."
         " The supply is also the reference of the 10-bit converter, which cuts off. Under load the supply sags"
         " from 5 V to {sag_v} V. Which code comes out then?",
    figures=(DIVIDED, Draw("sag_v", (4.75, 4.6, 4.83))),
    answer=code(
        _true_code,
        (
            Wrong("divider-only", lambda f: _ratio_code(f, f.sag_v, 5.0),
                  "The divider sagged here, and the reference did not. Both hang on the same supply."),
            Wrong("reference-only", lambda f: _ratio_code(f, 5.0, f.sag_v),
                  "The reference sagged here, and the divider did not. Both hang on the same supply."),
            Wrong("upside-down", lambda f: 1023 - _true_code(f),
                  "The divider is upside down: the pin is across the thermistor."),
        ),
    ),
    hints=("What part of the supply is at the pin, before and after?",
           "The converter counts in parts of its reference, 1024 of them."),
    solution=lambda f: (
        f"Part of the supply: {n(f.r_ohm)} ÷ {n(f.r_ohm + f.fixed_ohm)} = {n(f.r_ohm / (f.r_ohm + f.fixed_ohm), 6)},"
        " whatever the supply\n"
        f"1024 × {n(f.r_ohm / (f.r_ohm + f.fixed_ohm), 6)}, cut off = {n(_ratio_code(f, 1.0, 1.0))} code"
    ),
)


def _flat(f, away_k=ZERO_K):
    t = f.t_c + away_k
    return f.rt_ohm * (f.beta_k - 2 * t) / (f.beta_k + 2 * t)


flat_resistor = Problem(
    "12-flat-resistor", 1, "A resistor for a straight line",
    "Choose a divider's resistor so that its curve does not bend in the middle of a range.",
    text="A thermistor with a beta of {beta_k} K has {rt_ohm} Ω at {t_c} °C, the middle of the range that matters. The"
         " divider does not bend there if R_fixed = R × (beta − 2 T) ÷ (beta + 2 T). Which resistance is that?",
    figures=(Draw("beta_k t_c rt_ohm", ((3950, 22.5, 11186), (3435, 30, 8269), (3977, 40, 5261), (4250, 15, 16400))),),
    answer=Number(
        _flat, "resistance", "Ω", lambda f: 0.006 * _flat(f),
        "Three digits are asked for; six parts in a thousand leave room for a T without its 0.15.",
        digits=3, wrong=(
            Wrong("celsius", lambda f: _flat(f, 0.0),
                  "T went in as degrees Celsius. Beta is in kelvin, and so is T beside it."),
            Wrong("turned", lambda f: f.rt_ohm**2 / _flat(f),
                  "Plus and minus are exchanged. Is the resistor larger or smaller than the thermistor?"),
            Wrong("equal", lambda f: float(f.rt_ohm),
                  "This is the thermistor itself. It gives the most millivolts in the middle, but not the"
                  " straightest line."),
            Wrong("one-t", lambda f: f.rt_ohm * (f.beta_k - f.t_c - ZERO_K) / (f.beta_k + f.t_c + ZERO_K),
                  "T was taken once. Above and below it stands twice."),
    )),
    hints=("T is the temperature in kelvin.", "Above: beta less 2 T. Below: beta and 2 T."),
    solution=lambda f: (
        f"2 T = 2 × {n(f.t_c + ZERO_K)} K = {n(2 * (f.t_c + ZERO_K))} K\n"
        f"{n(f.rt_ohm)} Ω × ({n(f.beta_k)} − {n(2 * (f.t_c + ZERO_K))}) ÷ ({n(f.beta_k)} + {n(2 * (f.t_c + ZERO_K))})"
        f" = {n(_flat(f), 4)} Ω"
    ),
)


def _alpha(f, away_k=ZERO_K):
    return f.beta_k / (f.t_c + away_k) ** 2


def _part(f):
    return f.r_ohm * f.fixed_ohm / (f.r_ohm + f.fixed_ohm) ** 2


def _slope_mv(f):
    sensor = Thermistor.from_beta(f.r_ohm * math.exp(-f.beta_k * (1 / (f.t_c + ZERO_K) - 1 / T25_K)), f.beta_k)
    return -1000 * Divider(fixed_ohm=f.fixed_ohm).volts_per_c(sensor, f.t_c, 5.0)


sensitivity = Problem(
    "12-sensitivity", 1, "Millivolts for a degree",
    "Work out how far a divider's voltage moves for one degree.",
    text="At {t_c} °C a thermistor with a beta of {beta_k} K has {r_ohm} Ω. It stands in a divider with {fixed_ohm} Ω,"
         " fed with 5 V. For one degree its own resistance changes by the part beta ÷ T². By how many millivolts does"
         " the pin move for one degree, without a sign?",
    figures=(
        Draw("t_c r_ohm beta_k", ((25, 10000, 3950), (18, 13760, 3950), (40, 5301, 3950), (10, 18390, 3435))),
        Draw("fixed_ohm", (10000, 7500, 4700, 22000)),
    ),
    answer=Number(
        _slope_mv, "sensor slope", "mV/°C", 0,
        "Three digits are enough for a slope.",
        digits=3, wrong=(
            Wrong("celsius", lambda f: 5000 * _alpha(f, 0.0) * _part(f),
                  "T went in as degrees Celsius. Squared, that is a large difference."),
            Wrong("no-divider", lambda f: 5000 * _alpha(f),
                  "The part was taken of the whole supply. The divider passes at most a quarter of it on."),
            Wrong("volts-at-pin", lambda f: 5000 * _alpha(f) * f.r_ohm / (f.r_ohm + f.fixed_ohm),
                  "The part was taken of the pin's voltage. But the other resistor shares in the change."),
            Wrong("not-squared", lambda f: 5000 * f.beta_k / (f.t_c + ZERO_K) * _part(f),
                  "Beta was divided by T once. It is divided by its square."),
    )),
    hints=("The divider passes on R × R_fixed ÷ (R + R_fixed)² of a relative change.",
           "Three factors: the supply, that quotient, and beta ÷ T² with T in kelvin."),
    solution=lambda f: (
        f"beta ÷ T² = {n(f.beta_k)} ÷ {n(f.t_c + ZERO_K)}² = {n(_alpha(f), 5)} for 1 °C\n"
        f"Passed on: {n(_part(f), 5)}\n"
        f"5000 mV × {n(_part(f), 5)} × {n(_alpha(f), 5)} = {n(5000 * _part(f) * _alpha(f), 4)} mV/°C"
    ),
)

which_sensor = Problem(
    "12-which-sensor", 1, "Which sensor for which job",
    "Choose a kind of sensor for a job.",
    text="A kiln for pots goes to 1100 °C, and a reading within 10 °C will do. Which sensor is the one for it?",
    figures=(),
    answer=Choice(
        options=(
            Option("thermistor", "A thermistor: it is the most sensitive",
                   "It is, and near room temperature. What does its data sheet say about 1100 °C?"),
            Option("platinum", "Platinum with four wires: it is the most accurate",
                   "Its equation ends at 850 °C, and its common classes well before that."),
            Option("linear", "The linear sensor: its line needs no curve",
                   "Its range ends at 125 °C. What would be left of it?"),
            Option("thermocouple", "A thermocouple K, with its cold junction measured",
                   "Its class holds to 1200 °C at 0.75 % of the temperature: 8 °C there."),
        ),
        right="thermocouple",
    ),
    hints=("Look at the ranges first, and only then at how exact each is.",
           "Which of them is still a solid wire at the temperature of glowing clay?"),
    solution=lambda f: (
        "The range decides: of the four only a thermocouple reaches it. Class 2 of type K promises 0.0075 × 1100 °C,"
        " a little over 8 °C."
    ),
)

PROBLEMS = (
    beta_there,
    beta_back,
    divider,
    ratiometric,
    flat_resistor,
    sensitivity,
    *METAL,
    *COLD,
    which_sensor,
)
