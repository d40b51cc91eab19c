"""Practice for chapter 08: a sensor that follows late, a serial line that takes time, and the delay of the whole."""

import math

from tempkit.alarm import alarm_delay
from tempkit.chain import Design, Limits, Response, scenario
from tempkit.exercises import (
    Amount,
    Choice,
    Column,
    Draw,
    Number,
    Option,
    Prediction,
    Problem,
    Sketch,
    Table,
    Wrong,
    sketch,
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

one_time_constant = Problem(
    "08-one-time-constant", 2, "After one time constant",
    "Say what a time constant promises and what it does not.",
    asks="A sensor with a time constant of {tau_s} s is carried from {cold_c} °C into air of {warm_c} °C. After"
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
    asks="A lamp is switched on, and the air jumps from {start_c} °C to {end_c} °C. The sensor has a time constant of"
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
    asks="A thermostat makes the air swing to and fro like a sine, once in {period_min} minutes. The sensor's time"
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
    asks="After a jump of {jump_c} °C the sensor, with a time constant of {tau_s} s, shall move by no more than"
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


# The line, the loop that prints, delays in samples, the whole delay

BAUD = Draw("baud", (9600, 4800, 19200, 2400))
TEXT = Draw("lines each", ((3, 20), (2, 24), (4, 15), (3, 32)))


def _ms(f, bits=10, lines=None):
    """Time of the text on the line by bare arithmetic [ms]."""
    return 1000 * bits * (f.lines if lines is None else lines) * f.each / f.baud


line_time = Problem(
    "08-line-time", 2, "How long the text takes",
    "Work out the time of a text on a serial line.",
    asks="A board prints {lines} lines of {each} characters, line ends counted, at {baud} bit/s: one start bit, 8 data"
         " bits, no parity, one stop bit. How long do they need on the line?",
    figures=(TEXT, BAUD),
    answer=Number(
        lambda f: 1000 * line_time_s(f.lines * f.each, f.baud), "time", "ms", lambda f: 0.004 * _ms(f),
        "Less than half a per cent is room for rounding.",
        digits=3, wrong=(
            Wrong("eight-bits", lambda f: _ms(f, bits=8),
                  "Eight bits were counted for a character. What else does the line send for each?"),
            Wrong("characters-for-bits", lambda f: _ms(f, bits=1),
                  "The speed counts bits, not characters."),
            Wrong("one-line", lambda f: _ms(f, lines=1), "This is one line of the text."),
            Wrong("nine-bits", lambda f: _ms(f, bits=9),
                  "Nine bits were counted. There is a bit before the data and a bit behind them."),
    )),
    hints=("How many bits does one character cost, start and stop counted?",
           "Characters × bits ÷ bits a second; then to milliseconds."),
    solution=lambda f: (
        f"{n(f.lines)} × {n(f.each)} characters × 10 bits = {n(10 * f.lines * f.each)} bits\n"
        f"{n(10 * f.lines * f.each)} bits ÷ {n(f.baud)} bit/s = {n(_ms(f) / 1000, 5)} s = {n(_ms(f), 5)} ms"
    ),
)

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


def _in_a_row(f):
    """Delay of the alarm's on-delay as the budget has it: a design in which nothing else is late [s]."""
    alarm = Limits(high_c=27.0, on_delay_samples=f.count, sample_period_s=float(f.period_s))
    return alarm_delay(Design("bench", scenario(), alarm=alarm), Ramp(22.0, 40.0, 1.0)).part("on-delay").worst_s


in_a_row = Problem(
    "08-in-a-row", 2, "Several samples in a row",
    "Count the time that an on-delay takes.",
    asks="A board samples every {period_s} s and raises the alarm at the {count}th sample in a row that lies beyond the"
         " limit. How long after the first of these samples is it raised?",
    figures=(Draw("period_s", (2, 5, 0.5, 1)), Draw("count", (4, 5, 6, 10))),
    answer=Number(
        _in_a_row, "time", "s", 0.05, "Periods are counted; half a tenth is room for rounding.",
        wrong=(
            Wrong("counted", lambda f: float(f.count * f.period_s),
                  "A period was counted for each sample. How many periods lie between the first and the last?"),
            Wrong("one-more", lambda f: float((f.count + 1) * f.period_s),
                  "Even one more than the samples was counted. Draw them as strokes and count the gaps."),
            Wrong("one-period", lambda f: float(f.period_s), "This is the way from one sample to the next."),
            Wrong("samples", lambda f: f.count - 1.0, "This counts the periods. How long is each?"),
    )),
    hints=("Draw the samples as strokes on a line.", "Count the gaps between the strokes, not the strokes."),
    solution=lambda f: (
        f"{n(f.count)} samples have {n(f.count - 1)} gaps\n"
        f"{n(f.count - 1)} × {n(f.period_s)} s = {n((f.count - 1) * f.period_s)} s"
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
                  "The board was told late, too. What is missing?"),
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
    "08-wrong-speed", 1, "A speed that does not divide",
    "Find how far off a board's line speed is.",
    asks="A board makes the speed of its line from a clock of {clock_mhz} MHz: clock ÷ (16 × a whole number). It takes"
         " the whole number that comes nearest to {baud} bit/s. By how many per cent is the line off, with its sign?",
    figures=(Draw("clock_mhz", (16, 8, 12, 20)), Draw("baud", (57600, 115200, 38400, 28800))),
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

# Lines to complete: a sensor of 40 s, carried from 20 °C into air of 30 °C

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

LINES = (into_warm_air,)

PROBLEMS = (
    one_time_constant, after_a_step, time_to_limit, trailing, phase, own_heat, sample_often_enough, line_time,
    loop_period, in_a_row, whole_delay, wrong_speed, swing, in_place, jump,
)  # fmt: skip

PREDICTIONS = (
    Prediction(
        "08-jump",
        "A sensor with a time constant of 40 s stands in air of 22 °C. The air around it jumps to 34 °C and stays"
        " there. What does the sensor show 40 s after the jump?",
        "Now choose a jump to 34 °C in the picture, a lag of 40 s and no smoothing. Look at the curve at 40 s.",
        "A time constant is the time for 63 % of the way, not for all of it.",
        number=Amount(
            lambda: step(40.0, 40.0, 22.0, 34.0), "°C", 1, "temperature", near=0.5,
            wrong=(
                Wrong("all-the-way", lambda: 34.0, "It is still on its way: it goes slower the nearer it comes."),
                Wrong("half-way", lambda: 28.0, "Half of the way takes 0.69 of a time constant."),
                Wrong("what-is-left", lambda: 34 - 12 * (1 - math.exp(-1)), "63 % are gone, not left."),
        )),
        explorer="lag", settings={"shape": "step", "t_c": 34.0, "tau_s": 40.0, "smoothing_s": 0.0},
        saw=lambda found: float(found.sensed_c[found.times_s == 40.0][0]),
    ),
    Prediction(
        "08-loop",
        "A board's loop measures, prints three lines of 20 characters at 9600 bit/s, and then waits 100 ms. It has no"
        " buffer: printing waits until the last character has left. How long does a pass of the loop take?",
        "Now work it out: how many bits leave, how long do they take, and when does the wait begin?",
        "60 characters of 10 bits are 600 bits. They take 62.5 ms, and the wait begins then.",
        number=Amount(
            lambda: 1000 * loop_period_s((20, 20, 20), 0.1), "ms", 1, near=1,
            wrong=(
                Wrong("wait-only", lambda: 100, "The wait begins when the last character has left."),
                Wrong("eight-bits", lambda: 150, "A character takes ten bits on the line, with start and stop."),
                Wrong("bits-for-characters", lambda: 106.25, "A character is not one bit."),
        )),
    ),
)
