"""Practice for chapter 08: a sensor that follows late, by step, ramp and sine; its own heat; how often to sample."""

import math

from tempkit.homework.chapter08_line import LINE
from tempkit.homework.chapter08_place import PLACE
from tempkit.homework.problem import Choice, Draw, Number, Option, Problem, Wrong
from tempkit.homework.problem import plain as n
from tempkit.response import period_for_change, ramp_lag, self_heating, sine_response, step, time_to_reach

TAUS = Draw("tau_s", (40, 25, 60, 90))

one_time_constant = Problem(
    "08-one-time-constant", 2, "After one time constant",
    "Say what a time constant promises and what it does not.",
    text="A sensor with a time constant of {tau_s} s is carried from {cold_c} °C into air of {warm_c} °C. After"
         " {tau_s} s a pupil writes its reading down as the temperature of the air. What is true?",
    figures=(TAUS, Draw("cold_c warm_c", ((8, 28), (5, 30), (12, 24)))),
    answer=Choice(
        options=(
            Option("done", "The sensor has arrived: a time constant is the time that it needs",
                   "A time constant is not the time to arrive. How much of the way is done by then?"),
            Option("part", "The sensor has done about 63 % of the way; the note is too low",
                   "After one time constant 1 − 1/e of the way is done; the rest takes much longer."),
            Option("half", "The sensor has done half of the way",
                   "Half of the way is done earlier, after 0.69 time constants."),
            Option("left", "About 63 % of the way are still to come",
                   "It is the other way about: what is left is 1/e. Which of the two is 63 %?"),
        ),
        right="part",
    ),
    hints=("The way that is left shrinks by the factor e in each time constant.",
           "What is left after one time constant is 1 ÷ 2.718 of the way."),
    solution=lambda f: (
        f"Left after one time constant: 1/e, 37 %. Done: 63 % of {n(f.warm_c - f.cold_c)} °C. The sensor shows"
        f" {n(step(f.tau_s, f.tau_s, f.cold_c, f.warm_c), 3)} °C, not {n(f.warm_c)} °C."
    ),
)

JUMP = Draw("start_c end_c", ((22, 34), (20, 32), (24, 40), (19, 30)))


def _left(f):
    return math.exp(-f.t_s / f.tau_s)


after_a_step = Problem(
    "08-after-a-step", 1, "What the sensor shows after a jump",
    "Work out a reading some time after a jump of the temperature.",
    text="A lamp is switched on, and the air jumps from {start_c} °C to {end_c} °C. The sensor has a time constant of"
         " {tau_s} s. What does it show after {t_s} s?",
    figures=(JUMP, TAUS, Draw("t_s", (20, 30, 50, 80))),
    sensible=lambda f: 0.3 <= f.t_s / f.tau_s <= 2.5,
    answer=Number(
        lambda f: step(f.t_s, f.tau_s, f.start_c, f.end_c), "temperature", "°C", 0.06,
        "A reading is told to a tenth of a degree; half of that and a little is room for rounding.",
        wrong=(
            Wrong("straight", lambda f: f.start_c + (f.end_c - f.start_c) * min(1.0, f.t_s / f.tau_s),
                  "The way was taken as time over time constant, a straight line. The sensor slows down on its way."),
            Wrong("left-for-done", lambda f: f.start_c + (f.end_c - f.start_c) * _left(f),
                  "This is the part that is still to come, added to the start. Which part is done?"),
            Wrong("ten-for-e", lambda f: f.end_c + (f.start_c - f.end_c) * 10 ** (-f.t_s / f.tau_s),
                  "A power of ten was used. A first-order lag shrinks the rest by powers of e."),
            Wrong("from-zero", lambda f: f.end_c * (1 - _left(f)),
                  "The part done was taken of the end temperature. It is a part of the jump, counted from the start."),
            Wrong("arrived", lambda f: float(f.end_c),
                  "This is the temperature of the air. Has the sensor arrived by then?"),
    )),
    hints=("Still to come is exp(−time ÷ time constant) of the jump.",
           "End minus that part of the jump."),
    solution=lambda f: (
        f"Still to come: exp(−{n(f.t_s)} ÷ {n(f.tau_s)}) = {n(_left(f), 4)} of the jump\n"
        f"{n(f.end_c)} °C − {n(_left(f), 4)} × {n(f.end_c - f.start_c)} °C"
        f" = {n(f.end_c - _left(f) * (f.end_c - f.start_c), 5)} °C"
    ),
)


def _ratio(f):
    return (f.end_c - f.start_c) / (f.end_c - f.limit_c)


time_to_limit = Problem(
    "08-time-to-limit", 2, "When the reading passes the limit",
    "Find when a lagging reading passes a limit.",
    text="The air jumps from {start_c} °C to {end_c} °C. The buzzer's limit is {limit_c} °C, and the sensor's time"
         " constant {tau_s} s. How long after the jump does the reading pass the limit?",
    figures=(JUMP, TAUS, Draw("limit_c", (27, 28, 29, 26))),
    sensible=lambda f: f.end_c - f.limit_c >= 2 and f.limit_c - f.start_c >= 3,
    answer=Number(
        lambda f: time_to_reach(f.limit_c, f.tau_s, f.start_c, f.end_c), "time", "s", 0.5,
        "Half a second is room for rounding the logarithm to three digits.",
        wrong=(
            Wrong("time-constant", lambda f: float(f.tau_s),
                  "This is the time constant: the time for 63 % of the way, whatever the limit."),
            Wrong("percent", lambda f: f.tau_s * (f.limit_c - f.start_c) / (f.end_c - f.start_c),
                  "The time constant was multiplied by the part of the way. That would be a straight line."),
            Wrong("log-ten", lambda f: f.tau_s * math.log10(_ratio(f)),
                  "The logarithm to base ten was used. The rest shrinks by powers of e."),
            Wrong("done-for-left",
                  lambda f: f.tau_s * math.log((f.end_c - f.start_c) / (f.limit_c - f.start_c)),
                  "The logarithm was taken of the part done. The time follows from the part still to come."),
            Wrong("at-once", lambda f: 0.0, "The air passes the limit at once. The sensor does not."),
    )),
    hints=("How much of the jump is still to come when the reading stands at the limit?",
           "Time constant × ln(whole jump ÷ what is still to come)."),
    solution=lambda f: (
        f"Whole jump {n(f.end_c - f.start_c)} °C, still to come {n(f.end_c - f.limit_c)} °C\n"
        f"{n(f.tau_s)} s × ln({n(_ratio(f), 5)}) = {n(f.tau_s * math.log(_ratio(f)), 4)} s"
    ),
)


def _trails(f):
    return f.rate_c_per_min / 60 * f.tau_s


trailing = Problem(
    "08-trailing-a-ramp", 2, "Behind a steady rise",
    "Work out how far a reading trails a steady rise.",
    text="The sun warms the bench by {rate_c_per_min} °C a minute, for a quarter of an hour already. The sensor's time"
         " constant is {tau_s} s. How far below the truth is its reading?",
    figures=(Draw("rate_c_per_min", (1.5, 2, 0.8, 3)), TAUS),
    answer=Number(
        lambda f: ramp_lag(f.rate_c_per_min / 60, f.tau_s), "temperature span", "°C",
        0.05, "The reading is told to a tenth of a degree: half of a tenth is room for rounding.",
        wrong=(
            Wrong("minutes", lambda f: f.rate_c_per_min * f.tau_s,
                  "Degrees a minute were multiplied by seconds. Bring both to one unit of time."),
            Wrong("part", lambda f: 0.632 * _trails(f),
                  "63 % belong to a step. Behind a settled ramp the whole time constant counts."),
            Wrong("whole-way", lambda f: 15 * f.rate_c_per_min,
                  "This is what the bench has warmed in a quarter of an hour. The sensor followed, only later."),
            Wrong("one-minute", lambda f: float(f.rate_c_per_min),
                  "This is what the bench warms in one minute. Is the time constant a minute?"),
    )),
    hints=("Once settled, the sensor shows what was true one time constant ago.",
           "How much does the bench warm in one time constant?"),
    solution=lambda f: (
        f"{n(f.rate_c_per_min)} °C/min ÷ 60 s/min = {n(f.rate_c_per_min / 60, 5)} °C/s\n"
        f"{n(f.rate_c_per_min / 60, 5)} °C/s × {n(f.tau_s)} s = {n(_trails(f), 5)} °C"
    ),
)


def _x(f):
    return 2 * math.pi * f.tau_s / (60 * f.period_min)


phase = Problem(
    "08-phase", 1, "The phase of a slow swing",
    "Give the phase of a reading behind a slow swing, with its sign.",
    text="A thermostat makes the air swing to and fro like a sine, once in {period_min} minutes. The sensor's time"
         " constant is {tau_s} s. What is the phase of its reading, in degrees of a turn and with the sign that a"
         " lag has? Write the number alone.",
    figures=(Draw("period_min", (10, 8, 5, 15)), TAUS),
    answer=Number(
        lambda f: sine_response(60.0 * f.period_min, f.tau_s).phase_deg, "number", "", 0.12,
        "A tenth of a degree is room for rounding.",
        wrong=(
            Wrong("sign", lambda f: math.degrees(math.atan(_x(f))),
                  "A reading that comes later has a phase below zero."),
            Wrong("turns", lambda f: -math.degrees(math.atan(_x(f) / (2 * math.pi))),
                  "Time constant over period has to be multiplied by 2π, the length of a turn."),
            Wrong("radian", lambda f: -math.atan(_x(f)), "This is the angle in radians."),
            Wrong("whole-lag", lambda f: -360 * f.tau_s / (60 * f.period_min),
                  "The reading was taken to be one time constant late. That holds for very slow swings only."),
            Wrong("minutes", lambda f: -math.degrees(math.atan(60 * _x(f))),
                  "Seconds were divided by minutes. Bring both to one unit of time."),
    )),
    hints=("Take 2π times the time constant over the period, both in seconds.",
           "The phase is minus the angle whose tangent that is."),
    solution=lambda f: (
        f"2π × {n(f.tau_s)} s ÷ {n(60 * f.period_min)} s = {n(_x(f), 5)}\n"
        f"Phase: −atan({n(_x(f), 5)}) = {n(-math.degrees(math.atan(_x(f))), 5)}"
    ),
)


def _power_mw(f):
    return f.current_ma**2 * f.r_ohm / 1000


own_heat = Problem(
    "08-own-heat", 1, "A sensor that warms itself",
    "Work out the self-heating of a sensor.",
    text="A platinum sensor of {r_ohm} Ω carries {current_ma} mA. In still air it gives off {dissipation} mW for each"
         " degree that it is warmer. By how much does it read too high?",
    figures=(Draw("r_ohm", (100, 1000)), Draw("current_ma", (1, 2, 0.5)), Draw("dissipation", (2.5, 4, 1.25))),
    sensible=lambda f: 0.02 <= _power_mw(f) / f.dissipation <= 3,
    answer=Number(
        lambda f: self_heating(_power_mw(f) / 1000, f.dissipation / 1000), "temperature span", "°C",
        0,
        "Half a unit of the last digit asked for is the room for rounding.",
        digits=3, wrong=(
            Wrong("other-way", lambda f: f.dissipation / _power_mw(f),
                  "It is divided the wrong way. More power must make it warmer."),
            Wrong("multiplied", lambda f: _power_mw(f) * f.dissipation,
                  "The power was multiplied. A sensor that gives off much for each degree stays cooler."),
            Wrong("no-square", lambda f: f.current_ma * f.r_ohm / 1000 / f.dissipation,
                  "The current has to be squared: power is current squared times resistance."),
            Wrong("power", _power_mw, "This is the power in mW. How many degrees does it take to give that off?"),
    )),
    hints=("Power first: current squared times resistance.",
           "Each degree gives off so many milliwatts. How many degrees does it take?"),
    solution=lambda f: (
        f"Power: ({n(f.current_ma)} mA)² × {n(f.r_ohm)} Ω = {n(_power_mw(f))} mW\n"
        f"{n(_power_mw(f))} mW ÷ {n(f.dissipation)} mW/°C = {n(_power_mw(f) / f.dissipation, 5)} °C"
    ),
)

sample_often_enough = Problem(
    "08-sample-period", 2, "How often to look",
    "Find the sample period that loses no more than so much between two samples.",
    text="After a jump of {jump_c} °C the sensor, with a time constant of {tau_s} s, shall move by no more than"
         " {change_c} °C from one sample to the next. What is the longest period between samples?",
    figures=(Draw("jump_c", (10, 12, 8)), TAUS, Draw("change_c", (2, 3, 4))),
    answer=Number(
        lambda f: period_for_change(f.change_c, f.jump_c, f.tau_s), "time", "s",
        0.05,
        "A twentieth of a second is room for rounding the logarithm.",
        digits=3, wrong=(
            Wrong("straight", lambda f: f.tau_s * f.change_c / f.jump_c,
                  "The time constant was multiplied by change over jump: a straight line along the first slope. The"
                  " sensor slows down a little within the period."),
            Wrong("log-ten", lambda f: -f.tau_s * math.log10(1 - f.change_c / f.jump_c),
                  "The logarithm to base ten was used."),
            Wrong("done-for-left", lambda f: -f.tau_s * math.log(f.change_c / f.jump_c),
                  "The logarithm was taken of the part that is done in the period. Which part is left?"),
            Wrong("time-constant", lambda f: float(f.tau_s),
                  "One sample in a time constant: 63 % of the jump may happen in between."),
    )),
    hints=("It is fastest at the beginning: in the first period after the jump.",
           "After which time is all of the jump but this change still to come?"),
    solution=lambda f: (
        f"Still to come: ({n(f.jump_c)} − {n(f.change_c)}) ÷ {n(f.jump_c)} = {n(1 - f.change_c / f.jump_c, 5)}\n"
        f"−{n(f.tau_s)} s × ln({n(1 - f.change_c / f.jump_c, 5)}) = {n(_often_s(f), 5)} s"
    ),
)


def _often_s(f):
    return -f.tau_s * math.log(1 - f.change_c / f.jump_c)


PROBLEMS = (
    one_time_constant,
    after_a_step,
    time_to_limit,
    trailing,
    phase,
    own_heat,
    sample_often_enough,
    *LINE,
    *PLACE,
)
