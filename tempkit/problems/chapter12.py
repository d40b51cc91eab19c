"""Practice for chapter 12: thermistors, platinum, thermocouples and their circuits, and which sensor for which job."""

import math

import numpy as np

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
from tempkit.exercises import (
    Amount,
    Choice,
    Column,
    Curve,
    Draw,
    Graph,
    Idea,
    Line,
    Number,
    Option,
    Prediction,
    Problem,
    Scale,
    Sketch,
    Table,
    Wrong,
    cheapest,
    code,
    listed,
    sketch,
    wrong_step,
)
from tempkit.exercises import plain as n
from tempkit.signal import wire_ohms_per_m
from tempkit.uncertainty import Input, propagate

# A thermistor and its divider; which sensor

ZERO_K, T25_K = 273.15, 298.15
KINDS = Draw("r25_ohm beta_k", ((9100, 3610), (12000, 3820), (6200, 3540), (75000, 4130), (2700, 3730)))


def _sensor(f):
    return Thermistor.from_beta(f.r25_ohm, f.beta_k)


def _kelvin(f, rise=1.0, base_k=T25_K):
    """Temperature [K] from a resistance by Beta, with a factor on the logarithm and another base."""
    return 1 / (1 / base_k + rise * math.log(f.r_ohm / f.r25_ohm) / f.beta_k)


beta_back = Problem(
    "12-beta-back", 2, "A thermistor's temperature",
    "Turn a thermistor's resistance into a temperature.",
    asks="A thermistor has {r25_ohm} Ω at 25 °C and a β of {beta_k} K. A meter says {r_ohm} Ω. How warm is it?",
    figures=(
        Draw(
            "r25_ohm beta_k r_ohm",
            ((9100, 3610, 6300), (12000, 3820, 19500), (6200, 3540, 4100), (75000, 4130, 52000), (2700, 3730, 1850),
             (9100, 3610, 12600)),
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
    "12-beta-ohms", 3, "A thermistor's resistance",
    "Turn a temperature into a thermistor's resistance.",
    asks="A thermistor has {r25_ohm} Ω at 25 °C and a β of {beta_k} K. What is its resistance at {t_c} °C?",
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
    "12-flat-resistor", 2, "A resistor for a straight line",
    "Choose a divider's resistor so that its curve does not bend in the middle of a range.",
    asks="A thermistor with a β of {beta_k} K has {rt_ohm} Ω at {t_c} °C, the middle of the range that matters. The"
         " divider does not bend there if R_fixed = R × (beta − 2 T) ÷ (beta + 2 T). Which resistance is that?",
    figures=(Draw("beta_k t_c rt_ohm", ((3610, 22.5, 10081), (3820, 30, 9714), (3730, 40, 1483), (4130, 15, 121300))),),
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
    "12-sensitivity", 2, "Millivolts for a degree",
    "Work out how far a divider's voltage moves for one degree.",
    asks="At {t_c} °C a thermistor with a β of {beta_k} K has {r_ohm} Ω. It stands in a divider with {fixed_ohm} Ω,"
         " fed with 5 V. For one degree its own resistance changes by the part beta ÷ T². By how many millivolts does"
         " the pin move for one degree, without a sign?",
    figures=(
        Draw("t_c r_ohm beta_k", ((18, 12175, 3610), (40, 6496, 3820), (10, 11630, 3540), (30, 2197, 3730))),
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
    "12-which-sensor", 2, "Which sensor for which job",
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
                   "Its range ends at 110 °C. What would be left of it?"),
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


# A slope off a curve, a kiln's voltage, a walk with a wrong step, a budget half worked, a part from a list, a curve



def _bead(f):
    return Thermistor.from_beta(f.r25_ohm, f.beta_k)


SEEN_C = tuple(range(0, 51, 5))


def _kohm(f):
    return tuple((t_c, _bead(f).ohms(float(t_c)) / 1000) for t_c in range(51))


def _fall(f):
    return -_bead(f).ohms_per_c(float(f.t_c))


def _unless_near(f, value):
    """A slip's value, or None where it lies so near that an eye cannot tell it from the slope."""
    return value if abs(value / _fall(f) - 1) > 0.3 else None


read_the_slope = Problem(
    "12-read-the-slope", 1, "The slope of a curve",
    "Read the slope of a curve, not its height.",
    asks="The graph shows a thermistor's resistance. By how many ohms does it fall for one degree near {t_c} °C?",
    figures=(Draw("r25_ohm beta_k", ((9100, 3610), (12000, 3820), (6200, 3540))), Draw("t_c", (15, 10, 35, 40))),
    picture=lambda f: Graph(
        "A thermistor", Scale("temperature", "°C", (0, 50), 1, SEEN_C[::2]), Scale("resistance", "kΩ", (0, 40), 0.1),
        (Curve("resistance", _kohm(f), told_at=SEEN_C),),
    ),
    answer=Number(
        _fall, "resistance", "Ω", lambda f: 0.12 * _fall(f),
        "A slope read off a curve is good to a tenth of itself.",
        digits=2, wrong=(
            Wrong("height", lambda f: _unless_near(f, _bead(f).ohms(float(f.t_c)) / f.t_c),
                  "The height was divided by the temperature. A slope is a rise over the way along which it rises."),
            Wrong("end-to-end", lambda f: _unless_near(f, (_kohm(f)[0][1] - _kohm(f)[-1][1]) * 1000 / 50),
                  "This is the mean slope of all of the curve. Asked is the slope near one place."),
            Wrong("kilohms", lambda f: _fall(f) / 1000,
                  "The scale is in kilohms, the answer in ohms."),
        )),
    hints=("Lay a ruler along the curve at that temperature. Where does it leave the graph?",
           "Or take the curve 5 °C before and 5 °C after, and divide the fall by 10 °C."),
    solution=lambda f: (
        f"At {f.t_c - 5} °C: {n(_bead(f).ohms(f.t_c - 5.0), 3)} Ω, at {f.t_c + 5} °C:"
        f" {n(_bead(f).ohms(f.t_c + 5.0), 3)} Ω\n"
        f"({n(_bead(f).ohms(f.t_c - 5.0), 3)} Ω − {n(_bead(f).ohms(f.t_c + 5.0), 3)} Ω) ÷ 10, by the formula"
        f" = {n(_fall(f), 2)} Ω"
    ),
)

kiln_volts = Problem(
    "12-kiln-volts", 1, "How much does a kiln give?",
    "Estimate a thermocouple's voltage.",
    asks="A thermocouple K sits in a kiln at {t_c} °C, its terminals in a room. About how many millivolts does it"
         " give?",
    figures=(Draw("t_c", (1100, 900, 1000, 750)),),
    answer=Number(
        lambda f: 1000 * COUPLE.volts(float(f.t_c), 25.0), "voltage", "mV", 0.0,
        "An estimate says which range of the meter to choose; a factor of three does not matter for that.",
        within_factor=3, wrong=(
            Wrong("one-degree", lambda f: 0.041, "That is one degree. How many does the kiln have above the room?"),
            Wrong("room", lambda f: 1.0, "That is what the room gives. The kiln is far above it."),
            Wrong("thousand", lambda f: 41 * (f.t_c - 25), "Those are microvolts. How many make a millivolt?"),
        )),
    hints=("Some 0.04 mV for each degree.", "Round both to one digit, and mind the zeros."),
    solution=lambda f: (
        f"About {n(f.t_c)} °C × 0.04 mV/°C = {n(0.04 * f.t_c)} mV\n"
        f"The table has {n(1000 * COUPLE.volts(float(f.t_c), 25.0), 3)} mV with terminals at 25 °C."
    ),
)

SLIPS = ("turned", "log-ten", "rounded", "zero")


def _walk(f):
    """From ohms to degrees in four steps; each goes on from the one above, right or wrong."""
    slip = SLIPS[f.slip - 1]
    over, under = (f.r25_ohm, f.r_ohm) if slip == "turned" else (f.r_ohm, f.r25_ohm)
    ratio = round(over / under, 4)
    name = "log10" if slip == "log-ten" else "ln"
    log = round((math.log10 if slip == "log-ten" else math.log)(ratio), 4)
    base_k, zero_k = ("298" if slip == "rounded" else "298.15"), ("273" if slip == "zero" else "273.15")
    t_k = round(1 / (1 / float(base_k) + log / f.beta_k), 2)
    return (
        f"Step 1. {n(over)} Ω ÷ {n(under)} Ω = {n(ratio)}",
        f"Step 2. {name} {n(ratio)} = {n(log)}",
        f"Step 3. T = 1 ÷ (1 ÷ {base_k} + ({n(log)}) ÷ {n(f.beta_k)}) K = {n(t_k)} K",
        f"Step 4. t = {n(t_k)} − {zero_k} = {n(round(t_k - float(zero_k), 2))} °C",
    )


wrong_walk = Problem(
    "12-wrong-walk", 1, "From ohms to degrees, with a slip",
    "Find the wrong step between a thermistor's ohms and its degrees.",
    asks="A thermistor has {r25_ohm} Ω at 25 °C, and β = {beta_k} K. It shows {r_ohm} Ω. Somebody works out the"
         " temperature. One step is wrong; the others follow from what stands above them. Which one?",
    figures=(
        Draw("slip", (3, 2, 4, 1)),
        Draw("r25_ohm beta_k r_ohm", ((12000, 3820, 8300), (9100, 3610, 7700), (6200, 3540, 9400), (2700, 3730, 3900))),
    ),
    listing=_walk,
    answer=wrong_step(lambda f: f.slip, (
        ("Which resistance stands above? A warmer bead has less.", "The measured one over the one at 25 °C: right."),
        ("The equation has a power of e. Which logarithm undoes it?", "The natural logarithm of the line above."),
        ("How many kelvin are 25 °C, with all digits?", "In kelvin, with both terms: that follows."),
        ("How many kelvin are 0 °C, with all digits?", "Kelvin less those of 0 °C: that follows."),
    )),
    asks_how_sure=True,
    hints=("Compare each step with 1/T = 1/298.15 K + ln(R ÷ R25) ÷ β.",
           "Two of the usual slips are worth 0.15 °C only. They look right."),
    solution=lambda f: f"Step {f.slip}. " + (
        "The ratio is upside down.", "The logarithm to base ten was taken.", "25 °C are 298.15 K, not 298 K.",
        "0 °C are 273.15 K, not 273 K.",
    )[f.slip - 1],
)

PART_FOR_C = 0.0406  # of itself the book's bead changes for 1 degC near 25 degC


def _halves(f, percent=1.0):
    return tuple(percent * part / (100 * PART_FOR_C) for part in (f.bead_percent, f.fixed_percent)) + (f.beta_c,)


ROOT_3 = math.sqrt(3)


def _budget(f, halves=None, divisor=ROOT_3, add=lambda us: math.hypot(*us)):
    halves = halves or _halves(f)
    us = [half / divisor for half in halves]
    return (*zip(halves, us, strict=True), (None, add(us)))


def _lines(f):
    return [Input(0.0, half_width=half, shape="rectangular") for half in _halves(f)]


half_budget = Problem(
    "12-half-budget", 1, "A thermistor's budget, half worked",
    "Complete the error budget of a thermistor in its divider.",
    asks="At 25 °C a thermistor has as many ohms as the resistor of its divider, and changes by 4.06 % for 1 °C. It is"
         " right within ±{bead_percent} %, the resistor within ±{fixed_percent} %, and each counts alike; the Beta"
         " equation may be off by ±{beta_c} °C. Every line is a rectangle. Complete the table.",
    figures=(
        Draw("bead_percent", (1, 2, 3)), Draw("fixed_percent", (2, 0.5, 1)), Draw("beta_c", (0.2, 0.3, 0.1)),
    ),
    answer=Table(
        rows=lambda f: ("Thermistor", "Resistor", "Beta equation", "All together"),
        columns=(
            Column("half-width", "temperature span", "°C", 0.006),
            Column("standard uncertainty", "temperature span", "°C", 0.006),
        ),
        value=lambda f: (
            *((line.half_width, line.standard) for line in _lines(f)),
            (None, propagate(lambda *errors: sum(errors), _lines(f)).standard),
        ),
        shown=((0, 0), (2, 0), (3, 0)),
        reason="Hundredths of a degree are told; a little more than half of one is room for rounding.",
        wrong=(
            Wrong("multiplied", lambda f: _budget(f, (_halves(f)[0], f.fixed_percent * 4.06, f.beta_c)),
                  "Per cent were multiplied by per cent a degree. To degrees it goes the other way."),
            Wrong("added", lambda f: _budget(f, add=sum),
                  "The uncertainties were added as they stand. Independent ones add as squares."),
            Wrong("limits", lambda f: _budget(f, divisor=1.0),
                  "The limits were taken for standard uncertainties. Each line is a rectangle."),
            Wrong("no-root", lambda f: _budget(f, divisor=3.0),
                  "The half-width was divided by three. A rectangle has the root of it."),
        ),
    ),
    hints=("Per cent, divided by per cent for one degree, are degrees.",
           "Across: divide by the root of three. Down: square, add, take the root."),
    solution=lambda f: (
        f"Thermistor: {n(_halves(f)[0], 4)} °C ÷ 1.732 = {n(_budget(f)[0][1], 4)} °C\n"
        f"Resistor: {n(f.fixed_percent)} % ÷ 4.06 %/°C = {n(_halves(f)[1], 4)} °C,\n"
        f"and {n(_halves(f)[1], 4)} °C ÷ 1.732 = {n(_budget(f)[1][1], 4)} °C\n"
        f"Beta equation: {n(f.beta_c)} °C ÷ 1.732 = {n(_budget(f)[2][1], 4)} °C\n"
        f"All together: the root of the sum of squares = {n(_budget(f)[3][1], 4)} °C"
    ),
)

KINDS_FOR_SALE = {  # invented: name, coldest and warmest [degC], limits [degC], cores of its cable
    "bead": ("thermistor", -20, 80, 0.5, 2), "two": ("platinum, 2 wires", -50, 200, 3.0, 2),
    "four": ("platinum, 4 wires", -50, 200, 0.6, 4), "linear": ("linear sensor", -25, 110, 1.5, 3),
    "couple": ("thermocouple K", -40, 1100, 3.2, 2),
}


def _price(f, key):
    return getattr(f, f"of_{key}")


def _lacks(f, key):
    """What an offer lacks, in a sentence without its figures; "" where it meets all three wishes."""
    _, low_c, high_c, limit_c, cores = KINDS_FOR_SALE[key]
    if low_c > f.low_c or high_c < f.high_c:
        return "Its range does not hold all the temperatures that are wanted. Compare both ends."
    if limit_c > f.limit_c:
        return "Its limits, leads and all, are wider than wanted."
    return "" if cores <= f.cores else "It needs more cores than the cable has."


def _meets(f):
    return [key for key in KINDS_FOR_SALE if not _lacks(f, key)]


cheapest_sensor = Problem(
    "12-cheapest-sensor", 1, "A kind of sensor, and its price",
    "Choose the cheapest kind of sensor that does a job.",
    asks="Wanted: {low_c} °C to {high_c} °C, right within ±{limit_c} °C, on a cable of {cores} cores that is there. The"
         " list is invented; limits hold with the cable. Which is the cheapest that does it?",
    figures=(
        Draw("low_c high_c limit_c cores", ((10, 60, 2, 4), (-20, 70, 1, 4), (-30, 150, 4, 4), (0, 100, 2, 4),
                                            (15, 75, 5, 2))),
        Draw("of_bead of_two of_four of_linear of_couple", (
            (4, 9, 15, 3, 12), (5, 8, 14, 6, 11), (3, 10, 16, 7, 9), (6, 7, 5, 4, 13),
        )),
    ),
    sensible=lambda f: len(_meets(f)) >= 2,
    listing=lambda f: listed(
        ("sensor", "range", "limits", "cores", "price"),
        tuple(
            (name, f"{n(low)} to {n(high)} °C", f"±{n(limit)} °C", n(cores), n(_price(f, key)))
            for key, (name, low, high, limit, cores) in KINDS_FOR_SALE.items()
        ),
    ),
    answer=cheapest(
        tuple((key, name[0].upper() + name[1:]) for key, (name, *_) in KINDS_FOR_SALE.items()), _price, _lacks
    ),
    hints=("Strike out what misses the range at either end. Then the limits, then the cores.",
           "Of what is left take the cheapest. More than what is wanted earns nothing."),
    solution=lambda f: (
        f"These do it: {'; '.join(KINDS_FOR_SALE[key][0] for key in _meets(f))}. The cheapest of them is"
        f" {KINDS_FOR_SALE[min(_meets(f), key=lambda key: _price(f, key))][0]}, at"
        f" {n(min(_price(f, key) for key in _meets(f)))}."
    ),
)

which_curve = Problem(
    "12-which-curve", 1, "A replacement that reads too much",
    "Ask a platinum sensor for its curve before you call it broken.",
    asks="A new platinum sensor of class B, on four wires, replaces an old one. The program holds the curve of IEC"
         " 60751. In steam of 100.0 °C ± 0.2 °C the new one reads {reads_c} °C; class B allows ±0.8 °C there. In"
         " ice it reads right. What is the first thing to do?",
    figures=(Draw("reads_c", (101.4, 101.7, 97.4, 102.0)),),
    answer=Choice(
        options=(
            Option("leads", "Look for a lead whose ohms the program does not count",
                   "Four wires do not count their leads, and in ice it would be off as well."),
            Option("paper", "Read on its paper which curve it has, and whether the program uses it",
                   "Right in ice and off in steam is another slope: other platinum has another curve."),
            Option("broken", "Send it back as broken, since it misses its class by more than the steam's doubt",
                   "It may keep its class, on its own curve. What would its paper say?"),
            Option("shift", "Take the difference off in the program, since the steam is known better",
                   "Then ice would be wrong. An offset does not mend a slope."),
        ),
        right="paper",
    ),
    asks_how_sure=True,
    hints=("Right at 0 °C, off at 100 °C: what kind of error is that?",
           "Does every platinum sensor follow the same curve?"),
    solution=lambda f: "Its paper. Platinum is sold with mean slopes from 0.003750 to 0.003926 for 1 °C; IEC 60751 has"
                       " 0.003851. With the sensor's own formula it may read right.",
)

# Lines to complete: a kiln's thermocouple, platinum on its leads, the bench's thermistor

BEAD_R, BEAD_B, FIXED = 9100, 3610, 9100
BENCH_BEAD = Thermistor.from_beta(BEAD_R, BEAD_B)
METER_OHM = 6700.0


def _table_mv(t_c):
    """The printed table of type K [mV]: three digits behind the point."""
    return round(1000 * COUPLE.volts(float(t_c)), 3)


hot_mv = Line(
    "12-hot-mv",
    "Add a cold junction as a voltage.",
    "The tip of a thermocouple K lies on a warm plate. Its terminals are at 20 °C, for which the table has 0.798 mV;"
    " the meter shows 2.469 mV. Which voltage, in mV, do you look up in the table?",
    Number(
        lambda f: 2.469 + _table_mv(20), "voltage", "mV", 0.002, "The meter shows thousandths.", wrong=(
            Wrong("measured", lambda f: 2.469, "That counts from the terminals. The table counts from 0 °C."),
            Wrong("subtracted", lambda f: 2.469 - 0.798, "From ice to the terminals, and on to the tip: both go up."),
            Wrong("degrees", lambda f: 22.469, "Degrees were added to millivolts."),
        )),
    rail=("table", 0, 6),
    then="The table has 80 °C for it.",
)

kiln_off = Line(
    "12-kiln-off",
    "Say what the adding of temperatures costs.",
    "A kiln is at 1,200 °C, the terminals at 25 °C. The meter shows 47.838 mV; for that alone the table has 1,172.7 °C."
    " A program adds the 25 °C. By how many °C does it read too high? Write a minus where it reads too low.",
    Number(
        lambda f: round(COUPLE.celsius(0.047838, 0.0), 1) + 25 - 1200, "temperature span", "°C", 0.1,
        "The table has tenths.", wrong=(
            Wrong("forgotten", lambda f: -27.3, "That is without the terminals at all. The program adds their 25 °C."),
            Wrong("none", lambda f: 0.0, "Add it up: what does the program print?"),
            Wrong("printed", lambda f: 1197.7, "So the program prints. How far is that from 1,200 °C?"),
            Wrong("other-sign", lambda f: 2.3, "Does it print more than 1,200 °C, or less?"),
        )),
    rail=("too high by", -35, 10),
    then="Less than its class, ±9 °C up there. But this one costs nothing to mend: add voltages.",
)

kiln_slope = Line(
    "12-kiln-slope",
    "Read a slope off a table.",
    "For 1,190 °C the table has 48.473 mV, for 1,210 °C 49.202 mV. By how many microvolts does the voltage rise for one"
    " degree up there?",
    Number(
        lambda f: 1000 * (_table_mv(1210) - _table_mv(1190)) / 20, "number", "", 0, "Two digits.", digits=2, wrong=(
            Wrong("height", lambda f: 49202 / 1210, "That is the height over the temperature. A slope is a rise."),
            Wrong("rise", lambda f: 729.0, "That is the rise over 20 °C."),
            Wrong("millivolts", lambda f: 0.03645, "Those are millivolts. Asked are microvolts."),
        )),
    rail=("µV a degree", 0, 60),
    then="In a room it is 40.5: where the curve is highest it is not steepest.",
)

agree_steam = Line(
    "12-agree-steam",
    "Compare two results, and act.",
    "A new platinum sensor of class B replaces an old one. In ice it reads right. In steam it reads 101.7 °C,"
    " ± 0.9 °C by its class; the steam has 100.0 °C, ± 0.2 °C by the barometer. What do you do?",
    Choice(
        options=(
            Option("paper", "differ: read its paper",
                   "1.7 °C apart, 0.9 °C allowed. Another slope: platinum of 0.003916 reads just so here."),
            Option("broken", "differ: send it back",
                   "They differ. But right in ice and off in steam is a slope. Which one stands on its paper?"),
            Option("use", "agree: put it to work",
                   "They are 1.7 °C apart. Both uncertainties together allow the root of 0.9² + 0.2²."),
        ),
        right="paper",
    ),
)

agree_class = Line(
    "12-agree-class",
    "Compare two sensors of two classes, and act.",
    "In one stirred tank a class A sensor reads 26.6 °C and a class B sensor of the same curve 27.1 °C. Their classes"
    " make that ± 0.23 °C and ± 0.50 °C. What do you do?",
    Choice(
        options=(
            Option("trust", "agree: go on with A",
                   "0.50 °C apart, 0.55 °C allowed. Nothing to mend; the narrower one knows more."),
            Option("mend", "agree: shift B by 0.5",
                   "They agree. What agrees needs no mending, and one point is no calibration."),
            Option("swap", "differ: throw B away",
                   "They are 0.50 °C apart. Both together allow the root of 0.23² + 0.50²."),
        ),
        right="trust",
    ),
)

sketch_bead = sketch(
    "12-sketch-bead",
    "Draw a thermistor's curve.",
    "A thermistor has 27.6 kΩ at 0 °C and 9.1 kΩ at 25 °C. About how many kΩ has it at 10, 40 and"
    " 60 °C?",
    "kΩ", 1.2, "As good as the eye.",
    Sketch((10, 40, 60), lambda at: BENCH_BEAD.ohms(at * 1.0) / 1000, ("temperature", "°C", 0, 60),
           ("resistance", 0, 30)),
    wrong=(
        Wrong("straight-line", lambda f, at: 27.56 - 0.7385 * at,
              "A straight line would cross zero below 40 °C. No resistance does."),
        Wrong("down-to-zero", lambda f, at: np.interp(at, (0, 25, 60), (27.56, 9.1, 0)),
              "It never comes to zero: each degree takes some 4 % of what is left."),
        Wrong("rises", lambda f, at: np.interp(at, (0, 25, 60), (27.56, 9.1, 20)),
              "It goes on falling, each degree by some 4 % of what is left."),
    ),
    quantity="resistance",
)

same_everywhere = Line(
    "12-same-everywhere",
    "Find a slip by the shape of its error.",
    "A program for this thermistor reads 0.15 °C too high at every temperature. Why?",
    Choice(
        options=(
            Option("zero", "it has 273 for 273.15", "The last step is off by 0.15, whatever the temperature."),
            Option("log", "it has log10 in place of ln", "Then it would be right at 25 °C and far off elsewhere."),
            Option("beta", "its β is too small by 1 %", "Then it would be right at 25 °C, and off on both sides."),
        ),
        right="zero",
    ),
)

sagging_divider = Line(
    "12-sagging-divider",
    "See what a divider does when its supply sags.",
    "At 27 °C the thermistor has 8,395 Ω, between pin and ground; 9,100 Ω go from the supply to the pin. The supply,"
    " which is the reference too, sags to 4.75 V. Which code does the 10-bit converter give? It floors.",
    code(
        lambda f: Converter(10).code(4.75 * 8395 / (8395 + FIXED), 4.75), wrong=(
            Wrong("divider-only", lambda f: math.floor(4.75 * 8395 / 17495 / (5 / 1024)),
                  "The divider sagged here, and the reference did not."),
            Wrong("reference-only", lambda f: math.floor(5 * 8395 / 17495 / (4.75 / 1024)),
                  "The reference sagged here, and the divider did not."),
            Wrong("upside-down", lambda f: math.floor(1024 * 9100 / 17495),
                  "The pin has the thermistor's part of the supply."),
        )),
    rail=("code", 400, 600),
    then="As with 5 V. What divides the supply and is compared with the supply does not see it.",
)

half_kelvin = Line(
    "12-half-kelvin",
    "Find a thermistor's temperature in kelvin.",
    "ln(6,700 Ω / 9,100 Ω) is −0.3062, and β is 3610 K. What is T = 1 / (1/298.15 K + ln(R/R25)/β), in K?",
    Number(
        lambda f: BENCH_BEAD.celsius(METER_OHM) + ZERO_K, "temperature", "K", 0.05,
        "Half a tenth is room for a rounded logarithm.", wrong=(
            Wrong("sign", lambda f: 1 / (1 / T25_K + 0.3062 / BEAD_B), "The logarithm is negative: mind its sign."),
            Wrong("celsius", lambda f: 1 / (1 / 25 - 0.3062 / BEAD_B), "25 °C went in as 25. It counts in kelvin."),
            Wrong("rounded-kelvin", lambda f: 1 / (1 / 298 - 0.3062 / BEAD_B), "25 °C are 298.15 K, with all digits."),
        )),
    rail=("kelvin", 280, 320),
)

half_celsius = Line(
    "12-half-celsius",
    "Turn kelvin into degrees.",
    "Take the T you just found. What is that in °C?",
    Number(
        lambda f: BENCH_BEAD.celsius(METER_OHM), "temperature", "°C", 0.05, "As good as T.", own_unit=True, wrong=(
            Wrong("rounded-kelvin", lambda f: BENCH_BEAD.celsius(METER_OHM) + 0.15, "0 °C are 273.15 K."),
            Wrong("added", lambda f: BENCH_BEAD.celsius(METER_OHM) + 2 * ZERO_K, "0 °C is in it already: take it off."),
            Wrong("from-25", lambda f: BENCH_BEAD.celsius(METER_OHM) - 25, "That is how far above 25 °C it is."),
        )),
    rail=("air", 0, 50),
)

which_job = Line(
    "12-which-job",
    "Choose a sensor for a job.",
    "A freezer at −20 °C, right within 1 °C. Whoever replaces the sensor has no bath to compare it in. Which one?",
    Choice(
        options=(
            Option("bead", "a thermistor",
                   "A printed β seldom holds so far from 25 °C, and there are many curves."),
            Option("platinum", "platinum, 4 wires",
                   "Its curve and its class hold there, and the next one of that curve exchanges."),
            Option("couple", "a thermocouple",
                   "Type K's class is ±1.5 °C at best, and a second sensor must measure the terminals."),
        ),
        right="platinum",
    ),
)

LINES = (
    hot_mv, kiln_off, kiln_slope, agree_steam, agree_class, sketch_bead, same_everywhere, sagging_divider,
    half_kelvin, half_celsius, which_job,
)  # fmt: skip

PROBLEMS = (
    beta_back, wrong_walk, cold_junction, cheapest_sensor, wires, half_budget, ratiometric, read_the_slope, kiln_volts,
    which_curve, class_limit, below_zero, flat_resistor, divider, beta_there, sensitivity, bridge, step_of_couple,
    steinhart, which_sensor,
)  # fmt: skip

PREDICTIONS = (
    Prediction(
        "12-dead-couple",
        "They come back. The helper takes the tip of one between two fingers, at 33 °C. Its terminals stay at 25 °C."
        " The table of type K has 1.00 mV for 25 °C, 1.33 mV for 33 °C. What does the meter show?",
        "Now set the picture to 33 °C and 25 °C, and read above it what the wires give.",
        "The wires give the difference of both ends. Tip beside terminals, that is nothing. The table has its other end"
        " at 0 °C.",
        options=(
            Idea("0.33 mV, what the tip is warmer", right=True),
            Idea("1.33 mV, what the table says",
                 refuted="The table holds for terminals in ice. These are as warm as the room.", source="ours"),
            Idea("0.00 mV still, for it is dead",
                 refuted="A whole one gives 0 mV, too, while both its ends are alike.", source="ours"),
        ),
        explorer="junction", settings={"t_c": 33.0, "cold_c": 25.0, "letter": "K"},
    ),
    Prediction(
        "12-leads",
        "A platinum sensor with 100 Ω at 0 °C is in air of 25 °C, at the end of 10 m of thin two-core cable, gauge 28"
        " (the larger the gauge, the thinner the wire). Each core has 0.213 Ω a metre. The program knows nothing of the"
        " cable. By how much does the bench read too much?",
        "Now set two wires, 10 m, gauge 28 and alike leads in the picture, and look how far off it reads.",
        "4.3 Ω of copper look like 11 degrees: the sensor gains only 0.39 Ω a degree.",
        number=Amount(
            lambda: PT100.celsius(PT100.ohms(25.0) + 20 * wire_ohms_per_m(28)) - 25, "°C", 1, "temperature span",
            near=0.5, wrong=(
                Wrong("one-lead", lambda: PT100.celsius(PT100.ohms(25.0) + 10 * wire_ohms_per_m(28)) - 25,
                      "The current goes there and comes back: both cores count."),
                Wrong("ohms", lambda: 20 * wire_ohms_per_m(28), "These are the ohms. How many make one degree?"),
        )),
        explorer="lead_error",
        settings={"wires": 2, "length_m": 10.0, "gauge": 28.0, "t_c": 25.0, "unlike_percent": 0.0},
        saw=lambda found: found.errors_c[2][0],
    ),
)
