"""Practice for chapter 12: thermistors, platinum, thermocouples and their circuits, and which sensor for which job."""

import math

from tempkit.chain import (
    TOLERANCE,
    A,
    B,
    Bridge,
    C,
    Converter,
    CurrentDrive,
    Divider,
    PlatinumSensor,
    Thermistor,
    Thermocouple,
)
from tempkit.exercises import Amount, Choice, Column, Draw, Number, Option, Prediction, Problem, Table, Wrong, code
from tempkit.exercises import plain as n
from tempkit.signal import wire_ohms_per_m

# A thermistor and its divider; which sensor

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
    asks="A thermistor has {r25_ohm} Ω at 25 °C and a beta of {beta_k} K. A meter says {r_ohm} Ω. How warm is it?",
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
    asks="A thermistor has {r25_ohm} Ω at 25 °C and a beta of {beta_k} K. What is its resistance at {t_c} °C?",
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
    asks="A fixed resistor of {fixed_ohm} Ω goes from the supply of {feed_v} V to the converter's pin, a thermistor"
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
    asks="A thermistor of {r_ohm} Ω stands between the pin and ground, {fixed_ohm} Ω between the supply and the pin."
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
    asks="A thermistor with a beta of {beta_k} K has {rt_ohm} Ω at {t_c} °C, the middle of the range that matters. The"
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
    asks="At {t_c} °C a thermistor with a beta of {beta_k} K has {r_ohm} Ω. It stands in a divider with {fixed_ohm} Ω,"
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
    asks="A kiln for pots goes to 1100 °C, and a reading within 10 °C will do. Which sensor is the one for it?",
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


# Platinum below 0 °C, two to four wires, Steinhart-Hart

PT100 = PlatinumSensor()
OHM_PER_C = 0.388


def _pt_cold(t, c=0.0, b=B):
    return 100 * (1 + A * t + b * t * t + c * (t - 100) * t**3)


def _two(warm, cold):
    return ((warm,), (cold,))


below_zero = Problem(
    "12-below-zero", 1, "Platinum on both sides of 0 °C",
    "Use the term with C below 0 °C, and only there.",
    asks="A platinum sensor has 100 Ω at 0 °C. By IEC 60751 R = R0 × (1 + A t + B t²), with A = 0.0039083 and"
         " B = −0.0000005775; below 0 °C the term C (t − 100) t³ is added in the bracket, C = −4.183 × 10⁻¹². What is"
         " its resistance at {warm_c} °C and at {cold_c} °C?",
    figures=(Draw("warm_c", (150, 175, 200, 240)), Draw("cold_c", (-100, -120, -150, -180))),
    answer=Table(
        rows=lambda f: (f"At {n(f.warm_c)} °C", f"At {n(f.cold_c)} °C"),
        columns=(Column("resistance", "resistance", "Ω", 0.02),),
        value=lambda f: _two(PT100.ohms(float(f.warm_c)), PT100.ohms(float(f.cold_c))),
        reason="The printed tables have two digits after the point, and the formula reaches them easily.",
        wrong=(
            Wrong("no-c", lambda f: _two(_pt_cold(f.warm_c), _pt_cold(f.cold_c)),
                  "The term with C is nowhere. Does one of the two need it?"),
            Wrong("c-both", lambda f: _two(_pt_cold(f.warm_c, C), _pt_cold(f.cold_c, C)),
                  "The term with C was added both times. On which side of 0 °C does it belong?"),
            Wrong("c-swapped", lambda f: _two(_pt_cold(f.warm_c, C), _pt_cold(f.cold_c)),
                  "The term with C was added on the wrong side of 0 °C."),
            Wrong("c-sign", lambda f: _two(_pt_cold(f.warm_c), _pt_cold(f.cold_c, -C)),
                  "C went in without its sign, or the cube of a number below zero was taken for one above."),
            Wrong("no-bend", lambda f: _two(_pt_cold(f.warm_c, b=0.0), _pt_cold(f.cold_c, b=0.0)),
                  "The bend is missing: B times the square of the temperature."),
        ),
    ),
    hints=("Work out A t and B t² for both. Which one of them needs a third term?",
           "Mind the signs: t − 100 is below zero, t³ is below zero, and so is C."),
    solution=lambda f: (
        f"100 Ω × (1 + {n(A * f.warm_c)} − {n(-B * f.warm_c**2)}) = {n(_pt_cold(f.warm_c), 6)} Ω\n"
        f"C (t − 100) t³: {n(C * (f.cold_c - 100) * f.cold_c**3, 4)}\n"
        f"100 Ω × (1 − {n(-A * f.cold_c)} − {n(-B * f.cold_c**2)} −"
        f" {n(-C * (f.cold_c - 100) * f.cold_c**3, 4)}) = {n(_pt_cold(f.cold_c, C), 6)} Ω"
    ),
)


def _read(f, wires):
    """Ohms of the leads that a drive with these wires takes for the sensor's, from the package, in degrees."""
    drive = CurrentDrive(current_a=0.001, wires=wires, lead_ohm=float(f.lead_ohm))
    seen_v = drive.volts(PT100, 25.0, None, {"leads": f.joint_ohm})
    return (seen_v / 0.001 - PT100.ohms(25.0)) / OHM_PER_C


def _each(*ohms):
    return tuple((ohm / OHM_PER_C,) for ohm in ohms)


wires = Problem(
    "12-two-to-four-wires", 1, "Two, three and four wires",
    "Say what two, three and four wires leave of the lead error.",
    asks="A platinum sensor of 100 Ω hangs on a cable. Each lead has {lead_ohm} Ω, and a poor joint adds {joint_ohm} Ω"
         " to one of those that carry the current. The program knows nothing of it; the sensor gains 0.388 Ω for 1 °C."
         " By how much does it read too much with two wires, with three (a second, equal current takes the drop of a"
         " good lead off that of the poor one), and with four?",
    figures=(Draw("lead_ohm", (0.8, 1.5, 2.4, 0.5)), Draw("joint_ohm", (0.1, 0.2, 0.3))),
    answer=Table(
        rows=lambda f: ("Two wires", "Three wires", "Four wires"),
        columns=(Column("too much", "temperature span", "°C", 0.02),),
        value=lambda f: tuple((_read(f, count),) for count in (2, 3, 4)),
        reason="Two hundredths of a degree are room for rounding; the slope itself has no more digits.",
        wrong=(
            Wrong("one-lead", lambda f: _each(f.lead_ohm + f.joint_ohm, f.joint_ohm, 0),
                  "With two wires one lead was counted. Which way does the current come back?"),
            Wrong("three-cancel", lambda f: _each(2 * f.lead_ohm + f.joint_ohm, 0, 0),
                  "With three wires all was taken to cancel. Leads that are alike do; are these?"),
            Wrong("four-count", lambda f: _each(2 * f.lead_ohm + f.joint_ohm, f.joint_ohm, f.joint_ohm),
                  "With four wires the joint was counted still. Which current flows in the wires that measure?"),
            Wrong("joint-twice", lambda f: _each(2 * (f.lead_ohm + f.joint_ohm), 2 * f.joint_ohm, 0),
                  "The joint was counted in both leads. It is in one of them."),
            Wrong("ohms", lambda f: ((2 * f.lead_ohm + f.joint_ohm,), (f.joint_ohm,), (0.0,)),
                  "These are ohms. How many degrees do they look like?"),
        ),
    ),
    hints=("Two wires: the current goes through both. Three: what one lead has more than the other is left.",
           "Four wires: two of them carry no current. What drops along such a wire?"),
    solution=lambda f: (
        f"Two: (2 × {n(f.lead_ohm)} + {n(f.joint_ohm)}) Ω ÷ 0.388 Ω/°C ="
        f" {n((2 * f.lead_ohm + f.joint_ohm) / 0.388, 4)} °C\n"
        f"Three: {n(f.joint_ohm)} Ω ÷ 0.388 Ω/°C = {n(f.joint_ohm / 0.388, 4)} °C\n"
        "Four: no current in the wires that measure, so no drop = 0 °C"
    ),
)

SH_A, SH_B, SH_C = 0.0010046, 0.00025, 6e-8  # invented: a bead of about 10 kohm at 25 degC
BEAD = Thermistor.from_steinhart_hart(SH_A, SH_B, SH_C)


def _sh_c(log, power=3, zero_k=273.15):
    return 1 / (SH_A + SH_B * log + SH_C * log**power) - zero_k


steinhart = Problem(
    "12-steinhart-hart", 1, "One term more than Beta",
    "Turn a thermistor's resistance into a temperature by Steinhart-Hart.",
    asks="A thermistor is described by 1/T = a + b ln R + c (ln R)³, T in kelvin and R in Ω, with a = 0.0010046,"
         " b = 0.00025 and c = 0.00000006 (invented). It has {r_ohm} Ω. How warm is it?",
    figures=(Draw("r_ohm", (27000, 18000, 14000, 6800, 4700, 3300)),),
    answer=Number(
        lambda f: BEAD.celsius(float(f.r_ohm)), "temperature", "°C", 0.05,
        "1/T has to be carried to six digits for that, and no bead is known better.",
        wrong=(
            Wrong("no-cube", lambda f: _sh_c(math.log(f.r_ohm), power=-99),
                  "The last term is missing. It is small, and worth some degrees."),
            Wrong("log-ten", lambda f: _sh_c(math.log10(f.r_ohm)),
                  "The logarithm to the base of ten was taken. The formula is written with the natural one."),
            Wrong("square", lambda f: _sh_c(math.log(f.r_ohm), power=2),
                  "The logarithm was squared in the last term. Which power stands there?"),
            Wrong("kelvin", lambda f: _sh_c(math.log(f.r_ohm), zero_k=0.0),
                  "This is the temperature in kelvin, given as °C."),
            Wrong("273", lambda f: _sh_c(math.log(f.r_ohm), zero_k=273.0),
                  "0 °C was taken for 273 K. It is 273.15 K, so this is 0.15 °C too warm."),
    )),
    hints=("Take ln R once, and its cube.", "Add the three terms, turn the sum over, and take kelvin to °C."),
    solution=lambda f: (
        f"ln R: {n(math.log(f.r_ohm), 6)}; its cube {n(math.log(f.r_ohm) ** 3, 6)}\n"
        f"1/T: {n(SH_A + SH_B * math.log(f.r_ohm) + SH_C * math.log(f.r_ohm) ** 3, 7)} per kelvin\n"
        f"T in °C: {n(_sh_c(math.log(f.r_ohm), zero_k=0.0), 6)} K − 273.15 K ="
        f" {n(_sh_c(math.log(f.r_ohm)), 4)} °C"
    ),
)


# Platinum, its leads and its bridge; a thermocouple and its cold junction

ALPHA = 0.003851


def _pt(t, a=A, b=B, c=0.0):
    return 100 * (1 + a * t + b * t * t + c * (t - 100) * t**3)


platinum_ohms = Problem(
    "12-platinum-ohms", 1, "A platinum sensor's resistance",
    "Work out a platinum sensor's resistance above 0 °C.",
    asks="A platinum sensor has 100 Ω at 0 °C. By IEC 60751 R = R0 × (1 + A t + B t²), with A = 0.0039083 and"
         " B = −0.0000005775; below 0 °C the term C (t − 100) t³ is added, C = −4.183 × 10⁻¹². What is its resistance"
         " at {t_c} °C?",
    figures=(Draw("t_c", (150, 175, 200, 240, 260, 300)),),
    answer=Number(
        lambda f: PT100.ohms(float(f.t_c)), "resistance", "Ω", 0.02,
        "The printed tables have two digits after the point, and the formula reaches them easily.",
        wrong=(
            Wrong("c-above", lambda f: _pt(f.t_c, c=C),
                  "The term with C was added. On which side of 0 °C does it belong?"),
            Wrong("no-b", lambda f: _pt(f.t_c, b=0.0),
                  "The bend is missing: B times the square of the temperature."),
            Wrong("alpha", lambda f: 100 * (1 + ALPHA * f.t_c),
                  "0.003851 is the mean slope from 0 to 100 °C, not A; and a straight line does not bend."),
            Wrong("alpha-and-b", lambda f: _pt(f.t_c, a=ALPHA),
                  "0.003851 was taken for A. That is the mean slope from 0 to 100 °C, with the bend already in it."),
            Wrong("b-sign", lambda f: _pt(f.t_c, b=-B), "B went in without its sign. Which way does the curve bend?"),
    )),
    hints=("Above 0 °C two terms are enough.", "A t first; then B t², which takes a little away."),
    solution=lambda f: (
        f"A t = {n(A * f.t_c, 6)}; B t² = {n(B * f.t_c**2, 6)}\n"
        f"100 Ω × (1 + {n(A * f.t_c, 6)} − {n(-B * f.t_c**2, 6)}) = {n(_pt(f.t_c), 6)} Ω"
    ),
)

CLASSES = Draw("letter", ("A", "B", "C"))

class_limit = Problem(
    "12-class-limit", 1, "The limits of a class",
    "Take the limits of a platinum class at the temperature where it is used.",
    asks="IEC 60751 gives the limits of platinum sensors as ±(a + b × |t|): class A 0.15 °C and 0.002, class B 0.3 °C"
         " and 0.005, class C 0.6 °C and 0.01. What are the limits of class {letter} at {t_c} °C? Give the number"
         " without its sign.",
    figures=(CLASSES, Draw("t_c", (-40, 60, 85, 120, 200))),
    answer=Number(
        lambda f: float(PlatinumSensor(tolerance_class=f.letter).tolerance_c(float(f.t_c))),
        "temperature span", "°C", 0.005,
        "The sum is exact, and half of the last digit is room enough.",
        wrong=(
            Wrong("at-zero", lambda f: TOLERANCE[f.letter][0],
                  "These are the limits at 0 °C. The sensor is not used there."),
            Wrong("part-only", lambda f: TOLERANCE[f.letter][1] * abs(f.t_c),
                  "The first number is missing. It holds at every temperature."),
            Wrong("signed", lambda f: (TOLERANCE[f.letter][0] + TOLERANCE[f.letter][1] * f.t_c) if f.t_c < 0 else None,
                  "The temperature went in with its sign. Limits do not shrink in the cold."),
            Wrong("percent", lambda f: TOLERANCE[f.letter][0] + TOLERANCE[f.letter][1] * abs(f.t_c) / 100,
                  "The second number was taken for per cent. It is a plain factor."),
    )),
    hints=("Two parts: one that is always there, and one that grows with the distance from 0 °C.",
           "The second number times the temperature without its sign."),
    solution=lambda f: (
        f"{n(TOLERANCE[f.letter][0])} °C + {n(TOLERANCE[f.letter][1])} × {n(abs(f.t_c))} °C"
        f" = {n(TOLERANCE[f.letter][0] + TOLERANCE[f.letter][1] * abs(f.t_c), 4)} °C"
    ),
)


def _loop(f):
    return 2 * f.length_m * f.ohm_per_m


two_wires = Problem(
    "12-two-wires", 1, "Leads that nobody counted",
    "Turn the resistance of two leads into an error in degrees.",
    asks="A platinum sensor of 100 Ω hangs on two copper wires, each {length_m} m long and of {ohm_per_m} Ω per metre."
         " The program knows nothing of them. Near room temperature the sensor gains 0.388 Ω for 1 °C. By how much does"
         " the bench read too much?",
    figures=(Draw("length_m", (5, 8, 12, 20)), Draw("ohm_per_m", (0.084, 0.134, 0.213, 0.053))),
    answer=Number(
        lambda f: _loop(f) / 0.388, "temperature span", "°C", 0,
        "Three digits are enough; the slope itself has no more.",
        digits=3, wrong=(
            Wrong("once", lambda f: _loop(f) / 2 / 0.388,
                  "The lead was counted once. Which way does the current come back?"),
            Wrong("multiplied", lambda f: _loop(f) * 0.388,
                  "Ohms were multiplied by ohms per degree. To degrees it goes the other way."),
            Wrong("ohms", _loop, "These are the ohms of the leads. How many degrees do they look like?"),
            Wrong("one-for-one", lambda f: _loop(f) / 1.00 / 0.0388,
                  "The slope is ten times too small, as if the sensor had 10 Ω."),
    )),
    hints=("There and back: the current runs through both wires.",
           "All the ohms of the leads, divided by the ohms that one degree makes."),
    solution=lambda f: (
        f"Leads: 2 × {n(f.length_m)} m × {n(f.ohm_per_m)} Ω/m, that is {n(_loop(f), 5)} Ω\n"
        f"{n(_loop(f), 5)} Ω ÷ 0.388 Ω/°C = {n(_loop(f) / 0.388, 4)} °C"
    ),
)


def _unlike(f):
    return f.lead_ohm * f.more_percent / 100


third_wire = Problem(
    "12-third-wire", 2, "Three wires, not quite alike",
    "See what three wires leave of the lead error.",
    asks="With three wires and two equal currents the drops in two leads are subtracted. Each lead should have"
         " {lead_ohm} Ω, but a poor joint gives one of them {more_percent} % more. The sensor gains 0.388 Ω for 1 °C."
         " How large is the error that is left, without its sign?",
    figures=(Draw("lead_ohm", (0.8, 1.5, 2.4, 4.2)), Draw("more_percent", (2, 5, 8, 12))),
    answer=Number(
        lambda f: _unlike(f) / 0.388, "temperature span", "°C", 0.005,
        "A hundredth of a degree is told: half of it is the room for rounding.",
        wrong=(
            Wrong("both", lambda f: 2 * f.lead_ohm / 0.388,
                  "This is the error of two wires. Three wires take the like part of both leads out."),
            Wrong("whole-lead", lambda f: (f.lead_ohm + _unlike(f)) / 0.388,
                  "All of the poor lead was counted. The other one is subtracted from it."),
            Wrong("twice", lambda f: 2 * _unlike(f) / 0.388,
                  "The difference was counted twice. Only one of the leads is off."),
            Wrong("none", lambda f: 0.0, "Three wires cancel leads that are alike. Are these?"),
    )),
    hints=("What is left is the difference of two leads.", "That many per cent of one lead, in ohms; then in degrees."),
    solution=lambda f: (
        f"Difference: {n(f.lead_ohm)} Ω × {n(f.more_percent)} ÷ 100, that is {n(_unlike(f), 4)} Ω\n"
        f"{n(_unlike(f), 4)} Ω ÷ 0.388 Ω/°C = {n(_unlike(f) / 0.388, 4)} °C"
    ),
)


class _Arm:
    """A sensor of a fixed resistance, for a bridge."""

    def __init__(self, r_ohm):
        self.r_ohm = r_ohm

    def line(self, t_c, off=None):
        return self.r_ohm


def _bridge_mv(f):
    arm = _Arm(100.0 * (1 + f.more_percent / 100))
    return 1000 * Bridge(top_ohm=100.0, balance_ohm=100.0).volts(arm, 0.0, f.feed_v)


bridge = Problem(
    "12-bridge", 2, "What a bridge makes of a small change",
    "Work out the output of a bridge near balance.",
    asks="A bridge has four arms of 100 Ω and is fed with {feed_v} V; one arm is the sensor. It warms, and its"
         " resistance rises by {more_percent} %. How many millivolts does the bridge give?",
    figures=(Draw("feed_v", (2.5, 5, 3.3)), Draw("more_percent", (0.5, 1, 1.5, 2))),
    answer=Number(
        _bridge_mv, "voltage", "mV", lambda f: 0.02 * _bridge_mv(f),
        "The short formula leaves the bend out, 1 % at most here; two parts in a hundred hold both.",
        digits=2, wrong=(
            Wrong("half", lambda f: 2 * _quarter(f),
                  "Half of the change was taken. That is a bridge with two sensors; here one arm changes."),
            Wrong("whole", lambda f: 4 * _quarter(f),
                  "The whole change was taken of the feed. Four arms share it."),
            Wrong("hundred", lambda f: 100 * _quarter(f),
                  "The per cent went in as a number. 1 % is 0.01."),
            Wrong("half-feed", lambda f: 1000 * f.feed_v / 2 + _quarter(f),
                  "This is the sensor's side alone. The bridge gives the difference of both sides."),
    )),
    hints=("Each side is a divider; at balance both stand at half of the feed.",
           "With one arm of four that changes, a quarter of the relative change reaches the output."),
    solution=lambda f: (
        f"Sensor's side: {n(f.feed_v)} V × {n(100 + f.more_percent)} ÷ {n(200 + f.more_percent)}, that is"
        f" {n(1000 * f.feed_v * (100 + f.more_percent) / (200 + f.more_percent), 6)} mV; the other"
        f" {n(500 * f.feed_v)} mV\n"
        f"Difference = {n(1000 * f.feed_v * f.more_percent / 2 / (200 + f.more_percent), 4)} mV"
    ),
)


def _quarter(f):
    return 1000 * f.feed_v * f.more_percent / 100 / 4


COUPLE = Thermocouple("K")
TABLE_C = range(40, 121, 10)


def _table():
    return ", ".join(f"{t_c} °C {1000 * COUPLE.volts(float(t_c)):.3f}" for t_c in TABLE_C)


def _of_mv(mv):
    return float(COUPLE.celsius(mv / 1000))


def _sum(f):
    return f.measured_mv + f.cold_mv


cold_junction = Problem(
    "12-cold-junction", 2, "Adding the cold junction",
    "Find a hot junction from a thermocouple's voltage and its cold junction.",
    asks=lambda f: (
        f"A thermocouple K gives {n(f.measured_mv)} mV. Its terminals are at {n(f.cold_c)} °C, for which the table has"
        f" {n(f.cold_mv)} mV. Some more of the table (mV, other junction at 0 °C): {_table()}. How warm is the hot"
        " junction?"
    ),
    figures=(
        Draw(
            "measured_mv cold_c cold_mv",
            ((3.096, 25, 1.0), (2.6, 20, 0.798), (2.9, 30, 1.203), (2.35, 22, 0.879), (3.4, 18, 0.718)),
        ),
    ),
    answer=Number(
        lambda f: _of_mv(_sum(f)), "temperature", "°C", 0.15,
        "Between rows of the table a straight line is right to some hundredths; a tenth and a half hold the rounding.",
        wrong=(
            Wrong("temperatures", lambda f: _of_mv(f.measured_mv) + f.cold_c,
                  "Temperatures were added. The curve bends, so only voltages may be added."),
            Wrong("forgotten", lambda f: _of_mv(f.measured_mv),
                  "The cold junction was left out: the table holds for terminals at 0 °C."),
            Wrong("subtracted", lambda f: _of_mv(f.measured_mv - f.cold_mv),
                  "The cold junction's voltage was taken off. The wires give the difference of both junctions; which"
                  " one is missing in it?"),
            Wrong("slope", lambda f: _sum(f) / 0.0405 if abs(_sum(f) / 0.0405 - _of_mv(_sum(f))) > 0.4 else None,
                  "One slope was used for all of the way. The table knows better."),
    )),
    hints=("The table has the other junction at 0 °C. What would your thermocouple give with it there?",
           "Add the two voltages, find the two rows around the sum, and go straight between them."),
    solution=lambda f: (
        f"{n(f.measured_mv)} mV + {n(f.cold_mv)} mV, that is {n(_sum(f), 5)} mV\n" + _between(_sum(f))
    ),
)


def _between(mv):
    rows = [(t_c, round(1000 * COUPLE.volts(float(t_c)), 3)) for t_c in TABLE_C]
    (low_c, low_mv), (high_c, high_mv) = next(
        (a, b) for a, b in zip(rows, rows[1:], strict=False) if a[1] <= mv <= b[1]
    )
    return (
        f"Between {low_c} °C and {high_c} °C: {low_c} °C + {high_c - low_c} °C × ({n(mv, 5)} − {n(low_mv)})"
        f" ÷ ({n(high_mv)} − {n(low_mv)}) = {n(low_c + 10 * (mv - low_mv) / (high_mv - low_mv), 4)} °C"
    )


def _step_c(f):
    return 1e6 * f.reference_v / 2**f.bits / (41 * f.gain)


step_of_couple = Problem(
    "12-step-of-a-couple", 1, "Microvolts behind an amplifier",
    "Work out what one code is worth behind an amplifier.",
    asks="Up to some 400 °C a thermocouple K gives about 41 µV for 1 °C; take that figure. An amplifier makes {gain}"
         " times as much of it, for a converter of {bits} bits with a reference of {reference_v} V. How many degrees is"
         " one code worth?",
    figures=(Draw("gain", (50, 100, 200)), Draw("bits", (10, 12)), Draw("reference_v", (2.5, 3.3, 5))),
    answer=Number(
        _step_c, "temperature span", "°C", 0,
        "Three digits are enough for a step.",
        digits=3, wrong=(
            Wrong("millivolts", lambda f: _step_c(f) / 1000,
                  "41 mV went in for 41 µV. A factor of a thousand lies between them."),
            Wrong("no-gain", lambda f: _step_c(f) * f.gain,
                  "The amplifier was left out. What reaches the pin for one degree?"),
            Wrong("gain-twice", lambda f: _step_c(f) / f.gain,
                  "The amplifier was counted twice."),
            Wrong("codes-for-degrees", lambda f: 1 / _step_c(f),
                  "These are the codes for one degree. Asked are the degrees for one code."),
    )),
    hints=("The step of the converter in microvolts; and what reaches the pin for one degree.",
           "Divide the first by the second."),
    solution=lambda f: (
        f"Step: {n(1e6 * f.reference_v)} µV ÷ {2**f.bits}, that is {n(1e6 * f.reference_v / 2**f.bits, 5)} µV\n"
        f"{n(1e6 * f.reference_v / 2**f.bits, 5)} µV ÷ ({n(f.gain)} × 41 µV/°C) = {n(_step_c(f), 4)} °C"
    ),
)


PROBLEMS = (
    beta_there, beta_back, divider, ratiometric, flat_resistor, sensitivity, platinum_ohms, class_limit, two_wires,
    third_wire, bridge, cold_junction, step_of_couple, below_zero, wires, steinhart, which_sensor,
)  # fmt: skip

_PLATINUM, _COUPLE = PlatinumSensor(), Thermocouple("K")

PREDICTIONS = (
    Prediction(
        "12-leads",
        "A platinum sensor with 100 Ω at 0 °C is in air of 25 °C, at the end of 10 m of thin two-core cable, gauge 28"
        " (the larger the gauge, the thinner the wire). Each core has 0.213 Ω a metre. The program knows nothing of the"
        " cable. By how much does"
        " the bench read too much?",
        "Now set two wires, 10 m, gauge 28 and alike leads in the picture, and look how far off it reads.",
        "4.3 Ω of copper look like 11 degrees: the sensor gains only 0.39 Ω a degree.",
        number=Amount(
            lambda: _PLATINUM.celsius(_PLATINUM.ohms(25.0) + 20 * wire_ohms_per_m(28)) - 25, "°C", 1,
            "temperature span", near=0.5,
            wrong=(
                Wrong("one-lead", lambda: _PLATINUM.celsius(_PLATINUM.ohms(25.0) + 10 * wire_ohms_per_m(28)) - 25,
                      "The current goes there and comes back: both cores count."),
                Wrong("ohms", lambda: 20 * wire_ohms_per_m(28), "These are the ohms. How many make one degree?"),
        )),
        explorer="lead_error",
        settings={"wires": 2, "length_m": 10.0, "gauge": 28.0, "t_c": 25.0, "unlike_percent": 0.0},
        saw=lambda found: found.errors_c[2][0],
    ),
    Prediction(
        "12-couple",
        "A thermocouple K has its hot junction at 400 °C and its terminals at 25 °C. A program turns the measured"
        " voltage into degrees with the table, and then adds the 25 °C of the terminals. What does it show?",
        "Now set 400 °C, terminals at 25 °C and type K in the picture, and look at what adding degrees gives.",
        "The curve is steeper up there than at the terminals: only voltages may be added.",
        number=Amount(
            lambda: _COUPLE.celsius(_COUPLE.volts(400.0, 25.0), 0.0) + 25, "°C", 1, "temperature", near=0.2,
            wrong=(
                Wrong("straight", lambda: 400.0, "That holds for a straight line, and this curve is none."),
                Wrong("forgotten", lambda: _COUPLE.celsius(_COUPLE.volts(400.0, 25.0), 0.0),
                      "That is what it shows before it adds the terminals."),
        )),
        explorer="junction", settings={"t_c": 400.0, "cold_c": 25.0, "letter": "K"}, saw=lambda found: found.added_c,
    ),
)
