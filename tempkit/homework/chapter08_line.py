"""Practice for chapter 08, second part: the line, the loop that prints, delays in samples, and the whole delay."""

import math

from tempkit.chain import scenario
from tempkit.delays import alarm_delay
from tempkit.design import Design, Limits, Response
from tempkit.homework.problem import Draw, Number, Problem, Wrong
from tempkit.homework.problem import plain as n
from tempkit.serial_link import actual_speed, line_time_s, loop_period_s
from tempkit.warming import Ramp

BAUD = Draw("baud", (9600, 4800, 19200, 2400))
TEXT = Draw("lines each", ((3, 20), (2, 24), (4, 15), (3, 32)))


def _ms(f, bits=10, lines=None):
    """Time of the text on the line by bare arithmetic [ms]."""
    return 1000 * bits * (f.lines if lines is None else lines) * f.each / f.baud


line_time = Problem(
    "08-line-time", 2, "How long the text takes",
    "Work out the time of a text on a serial line.",
    text="A board prints {lines} lines of {each} characters, line ends counted, at {baud} bit/s: one start bit, 8 data"
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
    text="A loop measures, prints {lines} lines of {each} characters at {baud} bit/s (10 bits a character), and then"
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
    text="A board samples every {period_s} s and raises the alarm at the {count}th sample in a row that lies beyond the"
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
    text="The air has been rising steadily for a long time when it passes the limit. The sensor's time constant is"
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
    text="A board makes the speed of its line from a clock of {clock_mhz} MHz: clock ÷ (16 × a whole number). It takes"
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

LINE = (line_time, loop_period, in_a_row, whole_delay, wrong_speed)
