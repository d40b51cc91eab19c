"""Practice for chapter 12, third part: platinum below 0 °C, two to four wires, Steinhart-Hart."""

import math

from tempkit.circuit import CurrentDrive
from tempkit.homework.problem import Column, Draw, Number, Problem, Table, Wrong
from tempkit.homework.problem import plain as n
from tempkit.platinum import A, B, C
from tempkit.sensors import PlatinumSensor, Thermistor

PT100 = PlatinumSensor()
OHM_PER_C = 0.388


def _pt(t, c=0.0, b=B):
    return 100 * (1 + A * t + b * t * t + c * (t - 100) * t**3)


def _two(warm, cold):
    return ((warm,), (cold,))


below_zero = Problem(
    "12-below-zero", 1, "Platinum on both sides of 0 °C",
    "Use the term with C below 0 °C, and only there.",
    text="A platinum sensor has 100 Ω at 0 °C. By IEC 60751 R = R0 × (1 + A t + B t²), with A = 0.0039083 and"
         " B = −0.0000005775; below 0 °C the term C (t − 100) t³ is added in the bracket, C = −4.183 × 10⁻¹². What is"
         " its resistance at {warm_c} °C and at {cold_c} °C?",
    figures=(Draw("warm_c", (150, 175, 200, 240)), Draw("cold_c", (-100, -120, -150, -180))),
    answer=Table(
        rows=lambda f: (f"At {n(f.warm_c)} °C", f"At {n(f.cold_c)} °C"),
        columns=(Column("resistance", "resistance", "Ω", 0.02),),
        value=lambda f: _two(PT100.ohms(float(f.warm_c)), PT100.ohms(float(f.cold_c))),
        reason="The printed tables have two digits after the point, and the formula reaches them easily.",
        wrong=(
            Wrong("no-c", lambda f: _two(_pt(f.warm_c), _pt(f.cold_c)),
                  "The term with C is nowhere. Does one of the two need it?"),
            Wrong("c-both", lambda f: _two(_pt(f.warm_c, C), _pt(f.cold_c, C)),
                  "The term with C was added both times. On which side of 0 °C does it belong?"),
            Wrong("c-swapped", lambda f: _two(_pt(f.warm_c, C), _pt(f.cold_c)),
                  "The term with C was added on the wrong side of 0 °C."),
            Wrong("c-sign", lambda f: _two(_pt(f.warm_c), _pt(f.cold_c, -C)),
                  "C went in without its sign, or the cube of a number below zero was taken for one above."),
            Wrong("no-bend", lambda f: _two(_pt(f.warm_c, b=0.0), _pt(f.cold_c, b=0.0)),
                  "The bend is missing: B times the square of the temperature."),
        ),
    ),
    hints=("Work out A t and B t² for both. Which one of them needs a third term?",
           "Mind the signs: t − 100 is below zero, t³ is below zero, and so is C."),
    solution=lambda f: (
        f"100 Ω × (1 + {n(A * f.warm_c)} − {n(-B * f.warm_c**2)}) = {n(_pt(f.warm_c), 6)} Ω\n"
        f"C (t − 100) t³: {n(C * (f.cold_c - 100) * f.cold_c**3, 4)}\n"
        f"100 Ω × (1 − {n(-A * f.cold_c)} − {n(-B * f.cold_c**2)} −"
        f" {n(-C * (f.cold_c - 100) * f.cold_c**3, 4)}) = {n(_pt(f.cold_c, C), 6)} Ω"
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
    text="A platinum sensor of 100 Ω hangs on a cable. Each lead has {lead_ohm} Ω, and a poor joint adds {joint_ohm} Ω"
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
    text="A thermistor is described by 1/T = a + b ln R + c (ln R)³, T in kelvin and R in Ω, with a = 0.0010046,"
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
                  "0 °C was taken for 273 K. Some hundredths are missing."),
    )),
    hints=("Take ln R once, and its cube.", "Add the three terms, turn the sum over, and take kelvin to °C."),
    solution=lambda f: (
        f"ln R: {n(math.log(f.r_ohm), 6)}; its cube {n(math.log(f.r_ohm) ** 3, 6)}\n"
        f"1/T: {n(SH_A + SH_B * math.log(f.r_ohm) + SH_C * math.log(f.r_ohm) ** 3, 7)} per kelvin\n"
        f"T in °C: {n(_sh_c(math.log(f.r_ohm), zero_k=0.0), 6)} K − 273.15 K ="
        f" {n(_sh_c(math.log(f.r_ohm)), 4)} °C"
    ),
)

COLD = (below_zero, wires, steinhart)
