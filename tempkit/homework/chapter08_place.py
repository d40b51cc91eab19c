"""Practice for chapter 08, third part: swings, the place where a sensor hangs, and delays behind a jump."""

import math

from tempkit.homework.problem import Choice, Column, Draw, Option, Problem, Table, Wrong
from tempkit.homework.problem import plain as n
from tempkit.response import sine_response


def _x(f, turn=2 * math.pi):
    return turn * f.tau_s / f.period_s


def _row(part, late_s):
    return ((100 * part, late_s),)


def _late_s(f, x):
    return math.atan(x) / (2 * math.pi) * f.period_s


def _by_package(f):
    wave = sine_response(float(f.period_s), float(f.tau_s))
    return _row(wave.gain, wave.delay_s)


swing = Problem(
    "08-swing", 2, "Smaller and later",
    "Say how much of a swing a lagging sensor shows, and how late.",
    text="A thermostat makes the air swing to and fro like a sine, once in {period_s} s. The sensor is of first order,"
         " with a time constant of {tau_s} s. How much of the swing does it show, in per cent, and how many seconds"
         " later?",
    figures=(Draw("period_s", (480, 120, 300, 60, 200)), Draw("tau_s", (40, 25, 60))),
    answer=Table(
        rows=lambda f: ("The swing in the log",),
        columns=(Column("shown", "percent", "%", 0.5), Column("later", "time", "s", 0.15)),
        value=_by_package,
        reason="Half a per cent and some tenths of a second are room for rounding.",
        wrong=(
            Wrong("whole-lag", lambda f: _row(1.0, float(f.tau_s)),
                  "It was shown whole and one time constant late. That holds for a very slow swing, and for a climb."),
            Wrong("turns", lambda f: _row(1 / math.hypot(1, _x(f, 1.0)), _late_s(f, _x(f, 1.0))),
                  "Time constant over period has to be multiplied by 2π, the length of a turn."),
            Wrong("no-root", lambda f: _row(1 / (1 + _x(f) ** 2), _late_s(f, _x(f))),
                  "The root is missing in what is shown."),
            Wrong("jump", lambda f: _row(1 - math.exp(-f.period_s / f.tau_s), _late_s(f, _x(f))),
                  "What is shown was taken from a jump. A swing turns back before the sensor arrives."),
            Wrong("degrees", lambda f: _row(1 / math.hypot(1, _x(f)), math.degrees(math.atan(_x(f)))),
                  "The second number is in degrees of a turn. How many seconds does a whole turn last?"),
        ),
    ),
    hints=("x is 2π times the time constant over the period. Shown is 1 over the root of 1 + x².",
           "Late by the angle whose tangent is x, as a part of a turn; a turn lasts one period."),
    solution=lambda f: (
        f"x: 2π × {n(f.tau_s)} s ÷ {n(f.period_s)} s, that is {n(_x(f), 5)}\n"
        f"Shown: 100 % ÷ √(1 + {n(_x(f), 5)}²) = {n(100 / math.hypot(1, _x(f)), 5)} %\n"
        f"Later: {n(math.degrees(math.atan(_x(f))), 5)}° ÷ 360° × {n(f.period_s)} s = {n(_late_s(f, _x(f)), 5)} s"
    ),
)

in_place = Problem(
    "08-in-place", 2, "Whose time constant is it?",
    "Measure a time constant where the sensor will hang.",
    text="A specification gives a sensor a time constant of {water_s} s in stirred water. It will hang in a thin tube"
         " in the still air above seedlings. The program needs the time constant there. How is it found?",
    figures=(Draw("water_s", (4, 2, 6, 9)),),
    answer=Choice(
        options=(
            Option("water", lambda f: f"It stands in the specification: {n(f.water_s)} s",
                   "It does, for another place. Is heat brought by still air as well as by stirred water?"),
            Option("bare", "Take the sensor out of its tube, warm it, wave it about in the air, and record",
                   "Neither the tube nor still air is in that. What will it hang in?"),
            Option("hang", "Warm it in its tube, hang it in its place, and record how it comes back",
                   "The time constant belongs to the sensor in its place, tube and air included."),
            Option("double", "Double the specification's value, to be on the safe side",
                   "From stirred water to still air it is many times as much. Who knows how many, with this tube?"),
        ),
        right="hang",
    ),
    hints=("What carries the heat to the sensor, there and in the specification?",
           "What is measured has to be what will be used."),
    solution=lambda f: "Warm it, hang it in its place, and record: the time for 63 % of the way back is the time"
                       " constant there. In still air and in a tube it is many times that of stirred water.",
)

jump = Problem(
    "08-jump", 2, "Two delays behind a jump",
    "Know when delays may be added.",
    text="The air jumps over the alarm's limit. Behind this jump the sensor's lag alone would make the reading pass the"
         " limit {lag_s} s late, and the program's smoothing alone {smoothing_s} s late. The bench has both, one behind"
         " the other. How late does it pass the limit?",
    figures=(Draw("lag_s smoothing_s", ((21.6, 5.3), (71.7, 18.1), (9.8, 2.1))),),
    answer=Choice(
        options=(
            Option("added", lambda f: f"{n(round(f.lag_s + f.smoothing_s, 1))} s: delays one behind the other add up",
                   "They add behind a settled climb, where each only shifts it. What does smoothing see here?"),
            Option("larger", lambda f: f"{n(f.lag_s)} s: the slower of the two decides, and hides the other",
                   "The smoothing works on a reading that is late already. Does it take no time then?"),
            Option("exact", "These two do not tell: work out both together, or measure",
                   "What the smoothing gets is the sensor's curve, no jump; so its own delay is another one."),
            Option("squares", lambda f: f"{n(math.hypot(f.lag_s, f.smoothing_s), 3)} s: independent delays add as"
                                        " squares",
                   "Squares are for chance. There is none in these two."),
        ),
        right="exact",
    ),
    hints=("What does the program's smoothing get to see: a jump?",
           "Its delay behind a jump says little about its delay behind a curve."),
    solution=lambda f: "Behind a jump delays do not add: the sum is too long where the jump hardly passes the limit,"
                       " too short where it goes far beyond. Both lags together, sample by sample, give the delay; so"
                       " does a measurement.",
)

PLACE = (swing, in_place, jump)
