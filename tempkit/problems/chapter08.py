"""Chapter 08: a sensor that follows late, a serial line that takes time, and the delay of the whole."""

import math

import numpy as np

from tempkit.alarm import alarm_delay
from tempkit.chain import Design, Limits, Response, scenario
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
    listed,
    sketch,
    wrong_step,
)
from tempkit.exercises import plain as n
from tempkit.signal import (
    Ramp,
    actual_speed,
    line_time_s,
    loop_period_s,
    period_for_change,
    ramp_lag,
    self_heating,
    sine_response,
    step,
    time_to_reach,
)

# Step, ramp and sine; a sensor's own heat; how often to sample

TAUS = Draw("tau_s", (40, 25, 60, 90))

JUMP = Draw("start_c end_c", ((22, 34), (20, 32), (24, 40), (19, 30)))


def _left(f):
    return math.exp(-f.t_s / f.tau_s)


after_a_step = Problem(
    "08-after-a-step", 1, "What the sensor shows after a jump",
    "Work out a reading some time after a jump of the temperature.",
    asks="A lamp is switched on, and the air jumps from {start_c} °C to {end_c} °C. The sensor has a time constant of"
         " {tau_s} s. What does it show after {t_s} s?",
    figures=(JUMP, TAUS, Draw("t_s", (20, 30, 50, 80))),
    sensible=lambda f: 0.3 <= f.t_s / f.tau_s <= 2.5,
    answer=Number(
        lambda f: step(f.t_s, f.tau_s, f.start_c, f.end_c), "temperature", "°C", 0.06,
        "A display shows tenths of a degree; half of one and a little is room for rounding.",
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
    asks="The air jumps from {start_c} °C to {end_c} °C. The buzzer's limit is {limit_c} °C, and the sensor's time"
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
    asks="The sun warms the bench by {rate_c_per_min} °C a minute, for a quarter of an hour already. The sensor's time"
         " constant is {tau_s} s. How far below the truth is its reading?",
    figures=(Draw("rate_c_per_min", (1.5, 2, 0.8, 3)), TAUS),
    answer=Number(
        lambda f: ramp_lag(f.rate_c_per_min / 60, f.tau_s), "temperature span", "°C",
        0.05, "A display shows tenths of a degree: half of one is room for rounding.",
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


def _power_mw(f):
    return f.current_ma**2 * f.r_ohm / 1000


own_heat = Problem(
    "08-own-heat", 1, "A sensor that warms itself",
    "Work out the self-heating of a sensor.",
    asks="A platinum sensor of {r_ohm} Ω carries {current_ma} mA. In still air it gives off {dissipation} mW for each"
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
    asks="The air jumps by {jump_c} °C, and the sensor has a time constant of {tau_s} s. From one sample to the next it"
         " is to move by no more than {change_c} °C. What is the longest period between samples?",
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


# The line, the loop that prints, delays in samples, the whole delay

BAUD = Draw("baud", (9600, 4800, 19200, 2400))
TEXT = Draw("lines each", ((3, 20), (2, 24), (4, 15), (3, 32)))


def _ms(f, bits=10, lines=None):
    """Time of the text on the line by bare arithmetic [ms]."""
    return 1000 * bits * (f.lines if lines is None else lines) * f.each / f.baud


loop_period = Problem(
    "08-loop-period", 2, "How long a pass of the loop takes",
    "Work out the true period of a loop that prints and waits.",
    asks="A loop measures, prints {lines} lines of {each} characters at {baud} bit/s (10 bits a character), and then"
         " waits {wait_ms} ms. Printing waits until the last character has left. How long does a pass take?",
    figures=(TEXT, BAUD, Draw("wait_ms", (100, 50, 200))),
    answer=Number(
        lambda f: 1000 * loop_period_s((f.each,) * f.lines, f.wait_ms / 1000, f.baud), "time", "ms",
        lambda f: 0.003 * (f.wait_ms + _ms(f)),
        "A few thousandths are room for rounding.",
        digits=3, wrong=(
            Wrong("wait-only", lambda f: float(f.wait_ms),
                  "This is the wait. The text has to leave before it begins."),
            Wrong("buffered", lambda f: max(float(f.wait_ms), _ms(f)),
                  "The longer of the two was taken. That holds for a board that prints while it waits."),
            Wrong("eight-bits", lambda f: f.wait_ms + _ms(f, bits=8),
                  "Eight bits were counted for a character."),
            Wrong("one-line", lambda f: f.wait_ms + _ms(f, lines=1), "Only one line of the text was counted."),
            Wrong("every-line", lambda f: f.lines * f.wait_ms + _ms(f),
                  "The wait was counted for every line. It comes once in a pass."),
    )),
    hints=("First the time of the text on the line.", "Nothing happens at the same time here: add."),
    solution=lambda f: (
        f"Text: {n(f.lines)} × {n(f.each)} × 10 bits ÷ {n(f.baud)} bit/s = {n(_ms(f), 5)} ms\n"
        f"Pass: {n(_ms(f), 5)} ms + {n(f.wait_ms)} ms = {n(_ms(f) + f.wait_ms, 6)} ms"
    ),
)


def _whole(f, samples=None, wait=1.0, tau=1.0):
    samples = f.count - 1 if samples is None else samples
    return tau * f.tau_s + (samples + wait) * f.period_s


def _whole_s(f):
    """The worst delay behind a long, slow ramp, from the budget [s]; the line is left out."""
    alarm = Limits(high_c=27.0, on_delay_samples=f.count, sample_period_s=float(f.period_s))
    design = Design("bench", scenario(), alarm=alarm, response=Response(float(f.tau_s)))
    return alarm_delay(design, Ramp(-100.0, 60.0, 2.0)).worst_s


whole_delay = Problem(
    "08-whole-delay", 1, "How late at worst",
    "Add up how late an alarm is behind a steady rise.",
    asks="The air has been rising steadily for a long time when it passes the limit. The sensor's time constant is"
         " {tau_s} s, the board samples every {period_s} s without smoothing, and the alarm is raised at the"
         " {count}th sample in a row beyond the limit. How late is it at worst?",
    figures=(Draw("tau_s", (40, 25, 60)), Draw("period_s", (2, 5, 4)), Draw("count", (4, 5, 6))),
    answer=Number(
        _whole_s, "time", "s", 0.3, "A fraction of a second leaves room for how settled the ramp is.",
        wrong=(
            Wrong("n-for-n-1", lambda f: _whole(f, samples=f.count),
                  "A period was counted for each sample in a row, and one for the waiting besides. Count the gaps."),
            Wrong("no-waiting", lambda f: _whole(f, wait=0.0),
                  "The first sample beyond the limit need not come at once. How long may it take?"),
            Wrong("mean", lambda f: _whole(f, wait=0.5),
                  "Half a period is the mean of the waiting. The worst case is asked for."),
            Wrong("no-lag", lambda f: _whole(f, tau=0.0),
                  "The sensor itself is late, too. What is missing?"),
            Wrong("part", lambda f: _whole(f, tau=0.632),
                  "63 % of the time constant were taken. Behind a settled rise the whole of it counts."),
    )),
    hints=("Three parts: the lag, the waiting for the next sample, the samples in a row.",
           "Behind a settled rise the lag is one time constant; the waiting is at worst one period."),
    solution=lambda f: (
        f"Lag {n(f.tau_s)} s, waiting {n(f.period_s)} s, {n(f.count)} in a row"
        f" {n(f.count - 1)} × {n(f.period_s)} s = {n((f.count - 1) * f.period_s)} s\n"
        f"{n(f.tau_s)} s + {n(f.period_s)} s + {n((f.count - 1) * f.period_s)} s = {n(_whole(f))} s"
    ),
)


def _error_percent(f, divisor):
    return 100 * (f.clock_mhz * 1e6 / (16 * divisor) / f.baud - 1)


def _ideal(f):
    return f.clock_mhz * 1e6 / (16 * f.baud)


wrong_speed = Problem(
    "08-wrong-speed", 2, "A speed that does not divide",
    "Find how far off a board's line speed is.",
    asks="A board makes the speed of its line from a clock of {clock_mhz} MHz: clock ÷ (16 × a whole number). It takes"
         " the whole number that comes nearest to {baud} bit/s. By how many per cent is the line off, with its sign?",
    figures=(Draw("clock_mhz", (18, 12, 20, 24)), Draw("baud", (57600, 115200, 38400, 28800))),
    sensible=lambda f: 0.2 < abs(_error_percent(f, round(_ideal(f)))) < 9 and abs(_ideal(f) % 1 - 0.5) > 0.02,
    answer=Number(
        lambda f: 100 * actual_speed(f.clock_mhz * 1e6, f.baud).error, "percent", "%", 0.03,
        "A few hundredths of a per cent are room for rounding.",
        wrong=(
            Wrong("sign", lambda f: -_error_percent(f, round(_ideal(f))),
                  "The sign is turned: a line that is too fast is off upwards."),
            Wrong("cut-off", lambda f: _error_percent(f, math.floor(_ideal(f))),
                  "The whole number was cut off. Which one is nearest?"),
            Wrong("none", lambda f: 0.0, "The number does not come out whole. What does rounding it do?"),
    )),
    hints=("First clock ÷ (16 × wanted speed). It is no whole number.",
           "Round it, work out the speed that this gives, and compare with the one wanted."),
    solution=lambda f: (
        f"{n(f.clock_mhz)} MHz ÷ (16 × {n(f.baud)} bit/s) = {n(_ideal(f), 5)}, so {n(round(_ideal(f)))}\n"
        f"Speed: {n(f.clock_mhz * 1e6 / 16 / round(_ideal(f)), 7)} bit/s, off by ({n(f.clock_mhz * 1e6 / 16)} ÷"
        f" {n(round(_ideal(f)))} ÷ {n(f.baud)} − 1) × 100 % = {n(_error_percent(f, round(_ideal(f))), 4)} %"
    ),
)


# Swings, the place where a sensor hangs, delays behind a jump


def _place_x(f, turn=2 * math.pi):
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
    asks="A thermostat makes the air swing to and fro like a sine, once in {period_s} s. The sensor is of first order,"
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
            Wrong("turns", lambda f: _row(1 / math.hypot(1, _place_x(f, 1.0)), _late_s(f, _place_x(f, 1.0))),
                  "Time constant over period has to be multiplied by 2π, the length of a turn."),
            Wrong("no-root", lambda f: _row(1 / (1 + _place_x(f) ** 2), _late_s(f, _place_x(f))),
                  "The root is missing in what is shown."),
            Wrong("jump", lambda f: _row(1 - math.exp(-f.period_s / f.tau_s), _late_s(f, _place_x(f))),
                  "What is shown was taken from a jump. A swing turns back before the sensor arrives."),
            Wrong("degrees", lambda f: _row(1 / math.hypot(1, _place_x(f)), math.degrees(math.atan(_place_x(f)))),
                  "The second number is in degrees of a turn. How many seconds does a whole turn last?"),
        ),
    ),
    hints=("x is 2π times the time constant over the period. Shown is 1 over the root of 1 + x².",
           "Late by the angle whose tangent is x, as a part of a turn; a turn lasts one period."),
    solution=lambda f: (
        f"x: 2π × {n(f.tau_s)} s ÷ {n(f.period_s)} s, that is {n(_place_x(f), 5)}\n"
        f"Shown: 100 % ÷ √(1 + {n(_place_x(f), 5)}²) = {n(100 / math.hypot(1, _place_x(f)), 5)} %\n"
        f"Later: {n(math.degrees(math.atan(_place_x(f))), 5)}° ÷ 360° × {n(f.period_s)} s"
        f" = {n(_late_s(f, _place_x(f)), 5)} s"
    ),
)

in_place = Problem(
    "08-in-place", 2, "Whose time constant is it?",
    "Measure a time constant where the sensor will hang.",
    asks="A specification gives a sensor a time constant of {water_s} s in stirred water. It will hang in a thin tube"
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
    asks="The air jumps over the alarm's limit. Behind this jump the sensor's lag alone would make the reading pass the"
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


# A curve to read, five lines, an estimate, a budget with a slip, one half worked, changes with a price

READ_AT_S = tuple(range(0, 199, 6))


def _record(f):
    shown = step(np.array(READ_AT_S), f.tau_s, f.start_c, f.end_c)
    return Graph(
        "A sensor carried into other air",
        Scale("time", "s", (0, 200), 2, tuple(range(0, 201, 20))),
        Scale("reading", "°C", (5, 35), 0.1, tuple(range(5, 36, 5))),
        (Curve("reading", tuple(zip(READ_AT_S, map(float, shown), strict=True))),),
    )


read_tau = Problem(
    "08-read-tau", 1, "A time constant off a graph",
    "Read a time constant off a recorded jump.",
    asks="At 0 s a sensor was carried from air of {start_c} °C into air of {end_c} °C. Its reading was recorded. Read"
         " its time constant off the graph.",
    figures=(Draw("start_c end_c", ((10, 30), (32, 12), (8, 28), (30, 10))), Draw("tau_s", (50, 35, 60, 42))),
    picture=_record,
    answer=Number(
        lambda f: time_to_reach(f.start_c + (1 - math.exp(-1)) * (f.end_c - f.start_c), f.tau_s, f.start_c, f.end_c),
        "time", "s", 3.0, "A graph is read to two or three seconds.",
        wrong=(
            Wrong("half", lambda f: f.tau_s * math.log(2),
                  "At this time half of the way is done. A time constant does more."),
            Wrong("left-for-done", lambda f: -f.tau_s * math.log(1 - math.exp(-1)),
                  "At this time a good third of the way is done. That much is left after a time constant."),
            Wrong("arrived", lambda f: 3.0 * f.tau_s,
                  "There it has nearly arrived. How much of the way is done after one time constant?"),
    )),
    hints=("How many degrees are 63 % of the way? At which reading is that?",
           "Go across from that reading to the curve, and down to the time."),
    solution=lambda f: (
        f"63 % of the way: {n(f.start_c)} °C + 0.632 × ({n(f.end_c)} − {n(f.start_c)}) °C is"
        f" {n(f.start_c + 0.632 * (f.end_c - f.start_c), 4)} °C\n"
        f"There the time on the graph = {n(f.tau_s)} s"
    ),
)


def _held_ms(f):
    """Bits over speed [ms], by bare arithmetic."""
    return 10_000 * f.each / f.baud


def _five(f):
    """Every hundredth line of a log: the recorder's own seconds, the pass that the board counts, a code."""
    pass_s = (f.wait_ms + _held_ms(f)) / 1000
    return tuple(
        f"{30 + 100 * k * pass_s:.2f} s  pass={100 * (k + f.first)} code={163 + k % 2}" for k in range(5)
    )


five_lines = Problem(
    "08-five-lines", 1, "Five lines of a log",
    "Find from five lines of a log how long printing holds the board up.",
    asks="A program waits {wait_ms} ms in each pass, counts its passes, and prints. The recorder writes its own seconds"
         " in front. Here is every hundredth line. For how long does a pass do something other than wait?",
    figures=(Draw("each baud", ((40, 9600), (30, 4800), (100, 9600), (48, 4800))), Draw("wait_ms", (200, 100, 50)),
             Draw("first", (3, 7))),
    listing=_five,
    answer=Number(
        lambda f: 1000 * loop_period_s((f.each,), f.wait_ms / 1000, f.baud) - f.wait_ms, "time", "ms", 0.3,
        "The recorder's hundredths of a second, over hundreds of passes.",
        wrong=(
            Wrong("whole-pass", lambda f: f.wait_ms + _held_ms(f), "This is a whole pass. The wait is a part of it."),
            Wrong("five-gaps", lambda f: 0.8 * (f.wait_ms + _held_ms(f)) - f.wait_ms if _held_ms(f) > 50 else None,
                  "The lines were counted for the gaps. How many gaps do five lines have?"),
            Wrong("hundred-passes", lambda f: 100 * (f.wait_ms + _held_ms(f)) - f.wait_ms,
                  "From line to line there are a hundred passes."),
            Wrong("wait-only", lambda f: float(f.wait_ms), "This is the wait itself."),
    )),
    hints=("How many seconds from the first line to the last, and how many passes?",
           "Seconds over passes is a pass. What is left of it without the wait?"),
    solution=lambda f: (
        f"A pass: {n(400 * (f.wait_ms + _held_ms(f)) / 1000, 5)} s ÷ 400, that is {n(f.wait_ms + _held_ms(f), 5)} ms\n"
        f"{n(f.wait_ms + _held_ms(f), 5)} ms − {n(f.wait_ms)} ms = {n(_held_ms(f), 4)} ms"
    ),
)


def _night_s(f):
    return f.hours * 3600 / f.period_s * f.each * 10 / f.baud


send_a_night = Problem(
    "08-send-a-night", 1, "A night over the line",
    "Estimate how long a log takes on a serial line.",
    asks="A board kept its readings for {hours} h, a line of {each} characters every {period_s} s. Now it sends them"
         " all at {baud} bit/s. About how long does that take?",
    figures=(Draw("hours", (12, 8, 15)), Draw("each", (20, 32)), Draw("period_s", (5, 1, 10)),
             Draw("baud", (9600, 19200, 2400))),
    answer=Number(
        lambda f: f.hours * 3600 / f.period_s * line_time_s(f.each, f.baud), "time", "s", 0.0,
        "It is about a short wait or a long one; a factor of three does not change that.",
        within_factor=3,
        wrong=(
            Wrong("bits-for-characters", lambda f: _night_s(f) / 10, "The speed counts bits, not characters."),
            Wrong("one-line", lambda f: f.each * 10 / f.baud, "That is one line. How many are there?"),
            Wrong("times", lambda f: _night_s(f) * f.period_s**2 if f.period_s > 3 else None,
                  "A longer period makes fewer lines, not more."),
    )),
    hints=("First the lines, then their characters: one digit of each is enough.",
           "A character is ten bits, so the line takes a tenth of its speed in characters a second."),
    solution=lambda f: (
        f"About 4000 s × {n(f.hours)} ÷ {n(f.period_s)} s is {n(4000 * f.hours / f.period_s, 3)} lines\n"
        f"{n(4000 * f.hours / f.period_s, 3)} × {n(f.each)} ÷ {n(f.baud / 10)}"
        f" = {n(4000 * f.hours / f.period_s * f.each * 10 / f.baud, 2)} s"
    ),
)

SLIPS = ("eight-bits", "longer", "half", "n-for-n-1", "squares")


def _late(f):
    """A delay budget in five lines; each goes on from what the line above says, right or wrong."""
    slip = SLIPS[f.slip - 1]
    bits = 8 if slip == "eight-bits" else 10
    line_ms = round(1000 * f.characters * bits / 9600, 1)
    pass_ms = round(max(f.wait_ms, line_ms) if slip == "longer" else f.wait_ms + line_ms, 1)
    part = 0.5 if slip == "half" else 1
    first_s = round(part * pass_ms / 1000, 3)
    gaps = f.count if slip == "n-for-n-1" else f.count - 1
    row_s = round(gaps * pass_ms / 1000, 3)
    parts = (f.tau_s, first_s, row_s)
    whole_s = round(math.hypot(*parts) if slip == "squares" else sum(parts), 2)
    pass_told = f"the longer of {n(f.wait_ms)} ms and" if slip == "longer" else f"{n(f.wait_ms)} ms +"
    sum_told = " + ".join(f"({n(each)} s)²" if slip == "squares" else f"{n(each)} s" for each in parts)
    sum_told = f"√[{sum_told}]" if slip == "squares" else sum_told
    return (
        f"Step 1. The text: {f.characters} × {bits} bits ÷ 9600 bit/s = {n(line_ms)} ms",
        f"Step 2. A pass: {pass_told} {n(line_ms)} ms = {n(pass_ms)} ms",
        f"Step 3. Waiting for a sample, at worst: {n(part)} × {n(pass_ms)} ms = {n(first_s)} s",
        f"Step 4. {f.count} in a row: {gaps} × {n(pass_ms)} ms = {n(row_s)} s",
        f"Step 5. Behind a lag of {n(f.tau_s)} s: {sum_told} = {n(whole_s)} s",
    )


wrong_budget = Problem(
    "08-wrong-budget", 1, "One step is wrong",
    "Find the wrong step in a delay budget.",
    asks="The air has been climbing steadily for a long time. A loop measures, prints {characters} characters at 9600"
         " bit/s, and waits {wait_ms} ms; printing waits until the last one has left. The alarm is raised at the"
         " {count}th sample in a row beyond the limit, and the sensor's time constant is {tau_s} s. Somebody worked out"
         " in five steps how late the buzzer is at worst. One step is wrong, and the others go on from it soundly."
         " Which one?",
    figures=(Draw("slip", (4, 1, 2, 3, 5)), Draw("characters wait_ms", ((80, 500), (64, 1000))),
             Draw("count", (5, 4)), Draw("tau_s", (35, 50))),
    listing=_late,
    answer=wrong_step(
        lambda f: f.slip,
        (
            ("A character costs more than its eight bits. What stands before and behind them?",
             "Ten bits for each character, start and stop counted. That is sound."),
            ("Nothing happens at the same time here: the wait begins when the text has left.",
             "Text and wait, one after the other. That is sound."),
            ("Half a period is the mean. What is asked for?",
             "At worst a sample has just been missed, and a whole period passes. That is sound."),
            ("Draw the samples as strokes. How many gaps lie between the first and the last?",
             "One gap less than samples. That is sound, whatever a period is."),
            ("Squares are for chance. Delays one behind the other simply add behind a settled climb.",
             "Behind a settled climb delays add. That is sound."),
        ),
    ),
    asks_how_sure=True,
    hints=("Check each line by itself: does it do what its words say?",
           "A strange number may come from the line above. Ask of each line only what it does with it."),
    solution=lambda f: f"Step {f.slip} is wrong: {_BUDGET_SAID[f.slip - 1]}",
)

_BUDGET_SAID = (
    "count ten bits for a character.", "add text and wait.", "take a whole period for the worst case.",
    "count the gaps, one less than the samples.", "add the delays as they are.",
)


def _parts(f):
    """Lag, waiting and row as (mean, worst) [s], from the package's budget behind a long, slow climb."""
    alarm = Limits(high_c=27.0, on_delay_samples=f.count, sample_period_s=float(f.period_s))
    design = Design("bench", scenario(), alarm=alarm, response=Response(float(f.tau_s)))
    budget = alarm_delay(design, Ramp(-100.0, 60.0, 2.0))
    rest = [(budget.part(name).mean_s, budget.part(name).worst_s) for name in ("sampling", "on-delay")]
    return [(float(f.tau_s), float(f.tau_s)), *rest]


def _all(parts, add=sum):
    return (*parts, tuple(add(column) for column in zip(*parts, strict=True)))


def _by_hand(f, gaps=-1, mean=0.5, add=sum):
    row_s = (f.count + gaps) * f.period_s
    return _all(((f.tau_s, f.tau_s), (mean * f.period_s, f.period_s), (row_s, row_s)), add)


half_worked = Problem(
    "08-half-worked", 1, "A delay budget half worked out",
    "Complete the table of a delay budget.",
    asks="Below is a delay budget that somebody has begun. Behind a settled climb the sensor is {tau_s} s late. The"
         " board samples every {period_s} s without smoothing, and the alarm is raised at the {count}th sample in a row"
         " beyond the limit. Fill in what is missing.",
    figures=(Draw("tau_s", (40, 25, 60)), Draw("period_s", (3, 2, 5, 4)), Draw("count", (4, 5, 6))),
    answer=Table(
        rows=lambda f: ("Lag", "Waiting for a sample", "In a row", "All together"),
        columns=(Column("on average", "time", "s", 0.05), Column("at worst", "time", "s", 0.05)),
        value=lambda f: _all(tuple(_parts(f))),
        reason="The figures are exact; half a tenth of a second is room.",
        shown=((0, 0), (0, 1)),
        wrong=(
            Wrong("n-for-n-1", lambda f: _by_hand(f, gaps=0),
                  "A period was counted for each sample in a row. Count the gaps."),
            Wrong("mean", lambda f: _by_hand(f, mean=1.0),
                  "On average the next sample does not come after a whole period."),
            Wrong("squares", lambda f: _by_hand(f, add=lambda column: math.hypot(*column)),
                  "The parts were added as squares. That is for chance; delays one behind the other add."),
            Wrong("no-waiting", lambda f: _all(((f.tau_s,) * 2, (0.0, 0.0), ((f.count - 1) * f.period_s,) * 2)),
                  "The first sample beyond the limit need not come at once."),
        ),
    ),
    hints=("Waiting is anything from nothing to a whole period. What is the mean, what the worst?",
           "A row of samples takes its gaps, always. Then add each column."),
    solution=lambda f: (
        f"Waiting, on average: {n(f.period_s)} s ÷ 2 = {n(f.period_s / 2)} s; at worst the whole = {n(f.period_s)} s\n"
        f"In a row: {n(f.count - 1)} × {n(f.period_s)} s = {n((f.count - 1) * f.period_s)} s, and at worst the same"
        f" = {n((f.count - 1) * f.period_s)} s\n"
        f"All together, on average: = {n(_by_hand(f)[-1][0])} s; at worst: = {n(_by_hand(f)[-1][1])} s"
    ),
)

CHANGES = {  # invented: lag [s], smoothing [s], samples in a row, period [s]
    "a": ("thinner tube", 25, 10, 5, 2), "b": ("quick loop", 40, 10, 5, 0.2), "c": ("no smoothing", 40, 0, 5, 2),
    "d": ("three in a row", 40, 10, 3, 2), "e": ("bare sensor", 15, 10, 5, 2),
}


def _change_price(f, key):
    return getattr(f, f"price_{key}")


def _change_late(key):
    _, lag_s, smoothing_s, count, period_s = CHANGES[key]
    return lag_s + smoothing_s + count * period_s


def _change_lacks(f, key):
    """Whether a change leaves the bench too late, in a sentence without its figures; "" where it does not."""
    if _change_late(key) <= f.late_s:
        return ""
    return "It is later than allowed. Add lag and smoothing, and a period for each sample in a row."


def _changes(f):
    return [key for key in CHANGES if not _change_lacks(f, key)]


cheapest_change = Problem(
    "08-cheapest-change", 1, "The cheapest way to be in time",
    "Choose the cheapest change that makes an alarm quick enough.",
    asks="A bench has a lag of 40 s and a smoothing of 10 s, and takes 5 samples in a row, one every 2 s. On a long,"
         " steady climb its buzzer may be {late_s} s late at worst. Each line of the list changes one thing; prices are"
         " invented. Which is the cheapest that will do?",
    figures=(
        Draw("late_s", (51.5, 47, 50.5, 58)),
        Draw("price_a price_b price_c price_d price_e",
             ((12, 7, 9, 5, 15), (8, 11, 4, 6, 10), (14, 3, 10, 2, 6), (6, 5, 13, 9, 8))),
    ),
    sensible=lambda f: len(_changes(f)) >= 2,
    listing=lambda f: listed(
        ("change", "lag", "smoothing", "in a row", "every", "price"),
        tuple(
            (f"{key.upper()} {name}", f"{n(lag)} s", f"{n(smoothing)} s", f"{count}", f"{n(period)} s",
             n(_change_price(f, key)))
            for key, (name, lag, smoothing, count, period) in CHANGES.items()
        ),
    ),
    answer=cheapest(tuple((key, f"Change {key.upper()}") for key in CHANGES), _change_price, _change_lacks),
    hints=("Work out for each line how late the buzzer is at worst.",
           "Lag and smoothing in full; waiting and the row together make one period for each sample in the row."),
    solution=lambda f: (
        f"In time: {', '.join(f'{key.upper()} ({n(_change_late(key))} s)' for key in _changes(f))}. The cheapest of"
        f" them is {min(_changes(f), key=lambda key: _change_price(f, key)).upper()}, at"
        f" {n(min(_change_price(f, key) for key in _changes(f)))}."
    ),
)

quick_thermometer = Problem(
    "08-quick-thermometer", 1, "Compared while it climbs",
    "Compare two instruments while the air climbs, and decide.",
    asks=lambda f: f"The air climbs by {n(f.rate_c_per_min)} °C a minute, for a long time already. The bench, with a"
                   f" time constant of {n(f.tau_s)} s, says {n(f.bench_c)} °C ± 0.3 °C; a quick thermometer beside it"
                   f" {n(_quick_c(f))} °C ± 0.2 °C. Do they agree, and what would you do?",
    figures=(Draw("rate_c_per_min tau_s", ((1, 40), (0.8, 60), (1.5, 30))), Draw("bench_c", (26.2, 24.6, 22.9))),
    answer=Choice(
        options=(
            Option("correct", "Not as they stand; with the lag taken off they do: wait, or correct for it",
                   "Rate times time constant is just about what parts them. Once it is still, compare again."),
            Option("calibrate", "They disagree, so the bench needs a correction, by what they differ",
                   "Such a correction would be wrong as soon as the air stands still."),
            Option("limits", "They agree, for the sensor's limits are ± 1.5 °C, and they differ by less",
                   "The bench says ± 0.3 °C here. What else could part them while the air moves?"),
            Option("mean", "They disagree by a little, so the mean of the two is the best value",
                   "One of them is late, and you know by how much. Why mix that in?"),
        ),
        right="correct",
    ),
    asks_how_sure=True,
    hints=("How far does the bench trail such a climb?",
           "Compare the difference with the root of the sum of squares, before and after the lag is taken off."),
    solution=lambda f: (
        f"The bench trails by {n(f.rate_c_per_min)} °C/min × {n(f.tau_s)} s ÷ 60 s/min, that is {n(_behind_c(f), 3)}"
        f" °C. They differ by {n(round(_quick_c(f) - f.bench_c, 1))} °C: more than √(0.3² + 0.2²) °C, 0.36 °C. With the"
        " lag taken off they agree."
    ),
)


def _behind_c(f):
    return f.rate_c_per_min * f.tau_s / 60


def _quick_c(f):
    """What a quick thermometer says [degC]: a display in tenths."""
    return round(f.bench_c + _behind_c(f), 1)


# Lines to complete: a jump from 22 °C to 30 °C, a sensor carried from 20 °C into 30 °C, a climb, the line, a budget

past_limit = Line(
    "08-past-limit",
    "Find when a lagging sensor passes a limit.",
    "The air jumps from 22 °C to 30 °C; the sensor's time constant is 40 s. After how many seconds does the sensor pass"
    " 27 °C?",
    Number(
        lambda f: time_to_reach(27.0, 40.0, 22.0, 30.0), "time", "s", 0.2, "Tenths of a second are enough.", wrong=(
            Wrong("straight-line", lambda f: 25.0, "5/8 of the time constant: a straight line. It slows on its way."),
            Wrong("time-constant", lambda f: 40.0, "That is τ, for 63 % of the way. Which part of the way is 27 °C?"),
            Wrong("at-once", lambda f: 0.0, "The air passes the limit at once. The sensor does not."),
            Wrong("done-for-left", lambda f: 40 * math.log(8 / 5),
                  "What is done stands under the fraction. What is left at 27 °C?"),
            Wrong("log-ten", lambda f: 40 * math.log10(8 / 3), "The logarithm to base ten was used: take the natural."),
        )),
    rail=("time", 0, 60),
)

into_warm_air = sketch(
    "08-sketch",
    "Draw what a sensor shows after a jump.",
    "A sensor with a time constant of 40 s is carried from 20 °C into air of 30 °C. What does it show after 0, 20, 40,"
    " 60, 80 and 120 s? Draw first, by eye.",
    "°C", 0.6, "A curve drawn by eye is good to a sixteenth of the jump.",
    Sketch((0, 20, 40, 60, 80, 120), lambda at: step(at, 40.0, 20.0, 30.0),
           ("after", "s", 0, 160), ("shown", 18, 32)),
    wrong=(
        Wrong("at-once", lambda f, at: 30 + 0 * at, "This sensor would be there at once. What does its time say?"),
        Wrong("straight-line", lambda f, at: (20 + 10 * at / 40).clip(max=30),
              "A straight line that arrives after one time constant. The way left shrinks, and with it the speed."),
        Wrong("halves", lambda f, at: 30 - 10 * 2 ** (-at / 40),
              "In one time constant the rest does not fall to a half. Which number belongs there?"),
    ),
)

start_slope = Line(
    "08-start-slope",
    "Read the first slope of a lag.",
    "The same sensor: 40 s, from 20 °C into air of 30 °C. How fast does it rise in the first moment, in °C/s?",
    Number(
        lambda f: 10.0 / 40.0, "rate of temperature", "°C/s", 0.005, "Hundredths are enough.", wrong=(
            Wrong("first-40-s", lambda f: 10 * (1 - math.exp(-1)) / 40,
                  "That is the mean over the first 40 s. In the first moment it is steeper."),
            Wrong("to-the-end", lambda f: 10 / 200, "That is the mean on the whole way. It is steepest at once."),
            Wrong("half", lambda f: 0.125,
                  "A straight line of the first slope arrives after one time constant. Does this one?"),
        )),
    rail=("slope", 0, 0.5),
    then="The way left shrinks, and the speed with it.",
)

climb = Line(
    "08-climb",
    "Say how far a reading trails a climb.",
    "The air climbs by 2 °C a minute, for a long time already. The time constant is 40 s. By how many °C is the reading"
    " too low?",
    Number(
        lambda f: ramp_lag(2.0 / 60, 40.0), "temperature span", "°C", 0.02, "Hundredths are enough.", wrong=(
            Wrong("minutes", lambda f: 80.0, "Degrees a minute were multiplied by seconds."),
            Wrong("part", lambda f: 0.632 * 4 / 3, "63 % belong to a jump. Behind a climb all of the time counts."),
            Wrong("one-minute", lambda f: 2.0, "That is the climb of a minute. Is the time constant a minute?"),
            Wrong("upside-down", lambda f: 1 / 3, "It was divided the wrong way: rate times time makes degrees."),
        )),
    rail=("distance", 0, 3),
)

why_loop = Line(
    "08-why-loop",
    "Tell lag from hysteresis.",
    "The air goes up and down by 1 °C a minute. Reading against truth makes a loop, 1.33 °C wide. At half the rate it"
    " is half as wide. What is it?",
    Choice(
        options=(
            Option("lag", "lag: wait, and it is gone", "What halves with the rate is gone at rest."),
            Option("hysteresis", "hysteresis: wait, and it stays", "That would stay as wide, however slowly you go."),
            Option("noise", "noise: repeat, and it changes", "Noise makes a cloud, and does not care for the rate."),
        ),
        right="lag",
    ),
)

agree_sun = Line(
    "08-agree-sun",
    "Decide about two sensors in one place.",
    "Two sensors of a kind hang side by side. One, in the sun, says 26.3 °C ± 0.4 °C, the other 22.3 °C ± 0.4 °C."
    " Agree? And what would you do?",
    Choice(
        options=(
            Option("shade", "disagree, shade the first", "Both are right: each shows its own body. Shade it, and see."),
            Option("replace", "disagree, replace the first", "It says how warm it is itself. Why is it warmer?"),
            Option("mean", "agree, take the mean", "They differ by 4 °C, and both together allow 0.57 °C."),
        ),
        right="shade",
    ),
)

agree_tau = Line(
    "08-agree-tau",
    "Decide about two time constants.",
    "A time constant by a jump: 40 s ± 3 s. A week later, same sensor, same place: 46 s ± 4 s. Agree? And what would"
    " you do?",
    Choice(
        options=(
            Option("draught", "disagree, ask for the draught",
                   "6 s is more than √(3² + 4²) s, 5 s: the air may not move as it did."),
            Option("overlap", "agree, for the bars overlap", "Overlap allows 3 + 4. The test is the root of squares."),
            Option("replace", "disagree, replace the sensor", "Ask first for what else belongs to a time constant."),
        ),
        right="draught",
    ),
)

pass_ms = Line(
    "08-pass",
    "Work out how long a pass of a loop takes.",
    "A loop prints three lines of 20 characters at 9600 bit/s and then waits 100 ms. Printing waits until the last"
    " character has left. How many ms does a pass take?",
    Number(
        lambda f: 1000 * loop_period_s((20, 20, 20), 0.1), "time", "ms", 0.3, "Tenths of a millisecond are enough.",
        wrong=(
            Wrong("wait-only", lambda f: 100.0, "The wait begins when the last character has left."),
            Wrong("eight-bits", lambda f: 150.0, "A character takes ten bits on the line, with start and stop."),
            Wrong("one-bit", lambda f: 106.25, "A character is not one bit."),
            Wrong("text-only", lambda f: 62.5, "That is the text. The wait comes on top."),
        )),
    rail=("pass", 0, 200),
    then="The program says 100 ms, and believes it.",
)

half_count = Line(
    "08-half-count",
    "Say how many samples in a row leave time.",
    "5 s are left, and a pass takes 1.04 s. How many samples in a row may you ask for, the wait for the first one"
    " counted? (A number alone.)",
    Number(
        lambda f: 5.0 // 1.04, "number", "", 0.0, "A count is right or it is not.", whole=True, wrong=(
            Wrong("one-more", lambda f: 5, "Five take 5.2 s, the wait for the first one counted."),
            Wrong("no-lag", lambda f: 43, "45 s were shared out. How much of them has the sensor?"),
            Wrong("gaps", lambda f: 3, "Count again: gaps are one less than samples, and the wait is one period more."),
        )),
    rail=("samples", 0, 10),
)

half_late = Line(
    "08-half-late",
    "Add up how late an alarm is at worst.",
    "A lag of 40 s, a pass of 1.04 s, and as many samples in a row as step 3 allows. How many seconds is the buzzer"
    " late at worst behind a settled climb?",
    Number(
        lambda f: 40.0 + 4 * 1.04, "time", "s", 0.05, "Tenths of a second are enough.", wrong=(
            Wrong("no-waiting", lambda f: 40 + 3 * 1.04, "Gaps and lag are in it. Need the first sample come at once?"),
            Wrong("n-for-n-1", lambda f: 40 + 5 * 1.04, "One period too many: count the gaps, then the wait."),
            Wrong("no-lag", lambda f: 4 * 1.04, "The sensor is late, too."),
        )),
    rail=("delay", 0, 60),
    then="27 °C plus 44.16 s of the climb: 28.47 °C.",
)

LINES = (
    past_limit, into_warm_air, start_slope, climb, why_loop, agree_sun, agree_tau, pass_ms, half_count, half_late,
)  # fmt: skip

PROBLEMS = (
    after_a_step, read_tau, in_place, trailing, wrong_budget, loop_period,
    time_to_limit, quick_thermometer, own_heat, half_worked, whole_delay, swing, five_lines, cheapest_change,
    sample_often_enough, jump, send_a_night, wrong_speed,
)  # fmt: skip

PREDICTIONS = (
    Prediction(
        "08-jump",
        "A sensor in a thick tube has a time constant of 120 s. It stands in air of 22 °C. The air around it jumps to"
        " 34 °C and stays there. What does the sensor show 120 s after the jump?",
        "Now set *change* to *at once*, *goes to* to 34 °C, the lag to 120 s and smoothing to 0. Look at the dashed"
        " line where it crosses 2 min.",
        "A time constant is the time for 63 % of the way, not for all of it.",
        number=Amount(
            lambda: step(120.0, 120.0, 22.0, 34.0), "°C", 1, "temperature", near=0.5,
            wrong=(
                Wrong("all-the-way", lambda: 34.0, "It is still on its way: it goes slower the nearer it comes."),
                Wrong("half-way", lambda: 28.0, "Half of the way takes 0.69 of a time constant."),
                Wrong("what-is-left", lambda: 34 - 12 * (1 - math.exp(-1)), "63 % are gone, not left."),
        )),
        explorer="lag", settings={"shape": "step", "t_c": 34.0, "tau_s": 120.0, "smoothing_s": 0.0},
        saw=lambda found: float(found.sensed_c[found.times_s == 120.0][0]),
    ),
    Prediction(
        "08-faster",
        "The sensor's time constant is 40 s. The board takes a reading every second, and the buzzer sounds at the first"
        " one above 27 °C. A colleague makes it five readings a second, and changes nothing else. The air jumps from"
        " 22 °C to 30 °C. When does the buzzer come?",
        "Now let the air jump to 30 °C, with a lag of 40 s and smoothing at 0. Read *late by* with *sample every* at"
        " 1 s, then at 0.2 s.",
        "A sample only looks. The sensor passes the limit when it passes it, and a quicker look saves less than one old"
        " period of waiting.",
        options=(
            Idea("Under a second earlier", right=True),
            Idea("In a fifth of the time",
                 refuted="Then the sensor would have to warm five times as fast. It does not know how often somebody"
                         " looks.",
                 source="ours"),
            Idea("In half of the time",
                 refuted="Nothing in the sensor has changed, and nearly all of the time is the sensor's.",
                 source="ours"),
        ),
        explorer="lag",
        settings={"shape": "step", "t_c": 30.0, "tau_s": 40.0, "smoothing_s": 0.0, "period_s": 0.2},
    ),
)
