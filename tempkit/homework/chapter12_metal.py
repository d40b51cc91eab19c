"""Practice for chapter 12, second part: platinum, its leads and its bridge; a thermocouple and its cold junction."""

from tempkit.circuit import Bridge
from tempkit.homework.problem import Draw, Number, Problem, Wrong
from tempkit.homework.problem import plain as n
from tempkit.platinum import TOLERANCE, A, B, C
from tempkit.sensors import PlatinumSensor, Thermocouple

ALPHA = 0.003851
PT100 = PlatinumSensor()


def _pt(t, a=A, b=B, c=0.0):
    return 100 * (1 + a * t + b * t * t + c * (t - 100) * t**3)


platinum_ohms = Problem(
    "12-platinum-ohms", 1, "A platinum sensor's resistance",
    "Work out a platinum sensor's resistance above 0 °C.",
    text="A platinum sensor has 100 Ω at 0 °C. By IEC 60751 R = R0 × (1 + A t + B t²), with A = 0.0039083 and"
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
    text="IEC 60751 gives the limits of platinum sensors as ±(a + b × |t|): class A 0.15 °C and 0.002, class B 0.3 °C"
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
    text="A platinum sensor of 100 Ω hangs on two copper wires, each {length_m} m long and of {ohm_per_m} Ω per metre."
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
    text="With three wires and two equal currents the drops in two leads are subtracted. Each lead should have"
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
    text="A bridge has four arms of 100 Ω and is fed with {feed_v} V; one arm is the sensor. It warms, and its"
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
    text=lambda f: (
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
    text="A thermocouple gives 41 µV for 1 °C. An amplifier makes {gain} times as much of it, for a converter of {bits}"
         " bits with a reference of {reference_v} V. How many degrees is one code worth?",
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

METAL = (platinum_ohms, class_limit, two_wires, third_wire, bridge, cold_junction, step_of_couple)
