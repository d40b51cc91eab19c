"""Practice for chapter 10, times: gaps, periods, counters that wrap, a time constant, characters lost."""

import math

from tempkit.homework.problem import Choice, Draw, Number, Option, Problem, Wrong
from tempkit.homework.problem import plain as n
from tempkit.serial_link import characters_per_second

WRAP_MS = 2**32

lost_in_a_gap = Problem(
    "10-lost-in-a-gap", 1, "Samples lost in a gap",
    "Count the samples that a gap has swallowed.",
    text="A board prints a line every {period_s} s. In the log one line stands at {before_s} s and the next at"
         " {after_s} s; between them the cable was out. How many lines are missing?",
    figures=(Draw("period_s", (2, 5, 1)), Draw("before_s after_s", ((130, 190), (400, 470), (250, 330), (90, 210)))),
    answer=Number(
        lambda f: round((f.after_s - f.before_s) / f.period_s) - 1, "samples", "samples", 0.0,
        "Lines are counted: the number is right or it is not.",
        wrong=(
            Wrong("fence", lambda f: (f.after_s - f.before_s) / f.period_s,
                  "This is the number of periods. The line at the end of the last one is there."),
            Wrong("fence-more", lambda f: (f.after_s - f.before_s) / f.period_s + 1,
                  "Both lines that are there were counted as well. Only those between them are missing."),
            Wrong("seconds", lambda f: f.after_s - f.before_s,
                  "This is the length of the gap in seconds. How many periods is it?"),
            Wrong("times", lambda f: (f.after_s - f.before_s) * f.period_s,
                  "The gap was multiplied by the period. How many periods fit into it?"),
        ), whole=True,
    ),
    hints=("How many periods fit between the two lines that are there?",
           "Draw three lines with two periods between the outer ones: how many stand inside?"),
    solution=lambda f: (
        f"Periods: ({f.after_s} s − {f.before_s} s) ÷ {f.period_s} s = {(f.after_s - f.before_s) // f.period_s}\n"
        f"Lines between: {(f.after_s - f.before_s) // f.period_s} − 1 ="
        f" {(f.after_s - f.before_s) // f.period_s - 1} samples"
    ),
)


def _span_s(f):
    return f.last_s - f.first_s


period = Problem(
    "10-period", 1, "The period from a log",
    "Work out the time between two lines from a whole log.",
    text="A log without gaps has {lines} lines. The first stands at {first_s} s, the last at {last_s} s. How long is"
         " it from one line to the next?",
    figures=(Draw("lines", (41, 61, 26, 51)),
             Draw("first_s last_s", ((0.4, 52.6), (1.2, 62.4), (0.3, 31.5), (2.1, 104.1)))),
    answer=Number(
        lambda f: _span_s(f) / (f.lines - 1), "time", "s",
        lambda f: 0.0025 * _span_s(f) / (f.lines - 1),
        "A quarter of a percent leaves room for rounding, and tells one period more or less apart.",
        digits=4, wrong=(
            Wrong("as-many-as-lines", lambda f: _span_s(f) / f.lines,
                  "The time was divided by the number of lines. How many periods lie between so many lines?"),
            Wrong("one-more", lambda f: _span_s(f) / (f.lines + 1),
                  "One more than the lines was taken. A fence of three posts has two gaps."),
            Wrong("from-zero", lambda f: f.last_s / (f.lines - 1),
                  "The log was taken to begin at nought. When does its first line stand?"),
            Wrong("rate", lambda f: (f.lines - 1) / _span_s(f),
                  "These are lines a second. The question asks for seconds a line."),
    )),
    hints=("From the first line to the last: how long, and how many periods?",
           "Between two lines lies one period, between three lie two."),
    solution=lambda f: (
        f"Time: {n(f.last_s)} s − {n(f.first_s)} s = {n(_span_s(f))} s; periods: {f.lines} − 1 = {f.lines - 1}\n"
        f"Period: {n(_span_s(f))} s ÷ {f.lines - 1} = {n(_span_s(f) / (f.lines - 1))} s"
    ),
)


def _elapsed_ms(f):
    return WRAP_MS - f.before_ms + f.after_ms


wrap = Problem(
    "10-wrap", 1, "A counter of milliseconds wraps",
    "Find the time between two lines across a wrap of the counter.",
    text="A board counts milliseconds in 32 bits without a sign, so that the counter goes from 4294967295 on to 0. In"
         " its log {before_ms} is followed by {after_ms}. The board was not reset. How much time lies between the two"
         " lines?",
    figures=(Draw("before_ms", (4294966800, 4294966296, 4294965296, 4294967196)),
             Draw("after_ms", (504, 1304, 2204, 904))),
    answer=Number(
        lambda f: _elapsed_ms(f) / 1000, "time", "s", 0.0004,
        "Milliseconds are counted whole: half of one is room for rounding.",
        wrong=(
            Wrong("top-value", lambda f: (_elapsed_ms(f) - 1) / 1000,
                  "One count is missing: from the highest value to 0 is a step too."),
            Wrong("forgot-after", lambda f: (WRAP_MS - f.before_ms) / 1000,
                  "This is the time up to the wrap. What comes after it?"),
            Wrong("since-wrap", lambda f: f.after_ms / 1000,
                  "This is the time since the wrap. What lies before it?"),
            Wrong("difference", lambda f: (f.before_ms - f.after_ms) / 1000,
                  "The two values were subtracted as if time ran backwards. What happened to the counter?"),
            Wrong("milliseconds", lambda f: float(_elapsed_ms(f)),
                  "This is the number of milliseconds, given as seconds."),
    )),
    hints=("How many counts is it from the first value to the one that is shown as 0?",
           "32 bits hold two to the power of 32 values; add what was counted since."),
    solution=lambda f: (
        f"Up to the wrap: 4294967296 − {f.before_ms} = {4294967296 - f.before_ms} ms; after it {f.after_ms} ms\n"
        f"Together: {4294967296 - f.before_ms + f.after_ms} ms = {n((4294967296 - f.before_ms + f.after_ms) / 1000)} s"
    ),
)


def _done(f):
    return (f.seen_c - f.start_c) / (f.end_c - f.start_c)


def _tau(f):
    return f.t_s / math.log((f.end_c - f.start_c) / (f.end_c - f.seen_c))


time_constant = Problem(
    "10-time-constant", 1, "A time constant from a log",
    "Find a time constant from one reading on the way.",
    text="In a log the readings stood at {start_c} °C. Then a door opened, and at last they stood at {end_c} °C."
         " {t_s} s after the door the reading was {seen_c} °C. What time constant does a sensor of first order have"
         " then?",
    figures=(Draw("start_c end_c seen_c", ((24, 16, 19), (26, 14, 18), (23, 11, 18), (28, 18, 20))),
             Draw("t_s", (40, 55, 30, 75))),
    answer=Number(
        _tau, "time", "s", 0,
        "Half a unit of the last digit asked for is the room for rounding.",
        digits=3, wrong=(
            Wrong("straight", lambda f: f.t_s / _done(f),
                  "The way was taken as a straight line. The sensor slows down on its way."),
            Wrong("part-of-one", lambda f: 0.632 * f.t_s / _done(f),
                  "The time was scaled in proportion to 63 %. The curve is not straight: take its logarithm."),
            Wrong("done-for-left", lambda f: f.t_s / -math.log(_done(f)),
                  "The logarithm was taken of the part that is done. Which part shrinks by powers of e?"),
            Wrong("ten-for-e", lambda f: f.t_s / math.log10((f.end_c - f.start_c) / (f.end_c - f.seen_c)),
                  "The logarithm to the base of ten was taken. A first-order lag goes by powers of e."),
            Wrong("as-it-stands", lambda f: float(f.t_s),
                  "This is the time of the reading. It is the time constant only where 63 % of the way are done."),
    )),
    hints=("Which part of the way is still to come at that moment?",
           "That part is exp(−time ÷ time constant): take the natural logarithm."),
    solution=lambda f: (
        f"Still to come: ({f.end_c} − {f.seen_c}) ÷ ({f.end_c} − {f.start_c}) ="
        f" {n((f.end_c - f.seen_c) / (f.end_c - f.start_c), 5)}\n"
        f"Time constant: {f.t_s} s ÷ −ln {n((f.end_c - f.seen_c) / (f.end_c - f.start_c), 5)} ="
        f" {n(-f.t_s / math.log((f.end_c - f.seen_c) / (f.end_c - f.start_c)))} s"
    ),
)

characters_lost = Problem(
    "10-characters-lost", 2, "Characters lost in a burst of noise",
    "Turn a time on the line into characters.",
    text="For {burst_ms} ms a motor spoils everything on a serial line of {baud} bit/s, eight data bits, no parity,"
         " one stop bit. The board is printing without a pause. How many characters long is the spoilt stretch?",
    figures=(Draw("burst_ms", (50, 25, 75, 100, 125)), Draw("baud", (9600, 19200, 4800, 115200))),
    answer=Number(
        lambda f: characters_per_second(f.baud) * f.burst_ms / 1000, "number", "", 0.5,
        "A stretch is told in characters; half of one is room for rounding.",
        wrong=(
            Wrong("eight-bits", lambda f: f.baud * f.burst_ms / 8000,
                  "Eight bits a character were taken. What else does the line send with each character?"),
            Wrong("nine-bits", lambda f: f.baud * f.burst_ms / 9000,
                  "Nine bits a character were taken. One bit opens a character, and one closes it."),
            Wrong("bits", lambda f: f.baud * f.burst_ms / 1000,
                  "These are bits. How many of them make a character?"),
            Wrong("seconds", lambda f: characters_per_second(f.baud) * f.burst_ms,
                  "The milliseconds were taken for seconds."),
            Wrong("whole-second", lambda f: characters_per_second(f.baud),
                  "These are the characters of a whole second. How long was the line spoilt?"),
    )),
    hints=("How many bits go over the line for one character, start and stop included?",
           "Characters a second, times the time in seconds."),
    solution=lambda f: (
        f"Characters a second: {f.baud} ÷ (1 + 8 + 1) = {n(f.baud / 10)}\n"
        f"Spoilt: {n(f.baud / 10)} × {n(f.burst_ms / 1000)} s = {n(f.baud / 10 * f.burst_ms / 1000)}"
    ),
)

kept = Problem(
    "10-kept", 2, "What a record has to keep",
    "Know what makes a record one that can be gone back to.",
    text="A recorder writes to a file what a board sends, for an evening. Somebody will read the file in a month and"
         " ask what happened. What must the recorder do?",
    figures=(),
    answer=Choice(
        options=(
            Option("mend", "Complete a half line from the line before it",
                   "What the rest of the line would have been, nobody knows. A half line says that something was cut."),
            Option("bytes", "Write every line as it came, to the byte, readable or not",
                   "What was thrown away cannot be looked at again; the garbage may be the finding."),
            Option("gap", "Mark in the file where the link was lost, and where it came back",
                   "Without the mark two lines far apart in time stand side by side."),
            Option("numbers", "Leave out lines that hold no number",
                   "The board's greeting after a restart holds none, and it tells of the restart."),
            Option("once", "Hand each line to the file as soon as it comes",
                   "What waits in the program's memory is gone when the program is."),
            Option("degrees", "Store the temperature alone, worked out from the code",
                   "If the constant was wrong, the code is what the evening can be saved with."),
        ),
        right=("bytes", "gap", "once"),
        several=True,
    ),
    hints=("Ask of each: can what is lost by it be brought back later?",
           "Reading and mending come afterwards, and on a copy."),
    solution=lambda f: "Every byte as it came, each line at once, and a mark at every gap. Numbers, mending and"
                       " degrees are worked out from the record, as often as one likes.",
)

two_clocks = Problem(
    "10-two-clocks", 1, "Two clocks in one log",
    "Use the recorder's clock for when, the board's for its restarts.",
    text="Each line of a log has two times: the recorder's, from a computer, and the board's own, counted since its"
         " power-on. Between two lines next to each other the recorder's goes from {from_time} to {to_time}, the"
         " board's from {before_s} s to {after_s} s. What happened, and when was the second line sent?",
    figures=(Draw("from_time to_time before_s after_s", (
        ("12:04:07", "12:04:19", 812, 3), ("07:31:40", "07:31:58", 4210, 2), ("18:20:05", "18:20:16", 95, 4),
    )),),
    answer=Choice(
        options=(
            Option("recorder-wrong", "The recorder's clock leapt; the second line came one period after the first",
                   "The board's clock fell. Does a period of waiting make it fall?"),
            Option("sort", "The lines are in the wrong order: sort the log by the board's clock",
                   "Then what came after lands among what was long before. What makes a count begin anew?"),
            Option("restart", lambda f: f"The board began again; the second line was sent at {f.to_time}",
                   "The board's clock tells of its restart, the recorder's of the time of day."),
            Option("wrap", lambda f: f"The board's counter went once round; the second line came"
                                     f" {n(f.before_s - f.after_s)} s later",
                   "A counter goes round at its highest value, far from here. How much time does the recorder tell?"),
        ),
        right="restart",
    ),
    hints=("Which of the two clocks starts anew with the board?", "And which one goes on, whatever the board does?"),
    solution=lambda f: (
        f"The board's clock fell from {f.before_s} s to {f.after_s} s: it began again, about {f.after_s} s before the"
        f" second line. That line was sent at {f.to_time}, by the clock which goes on through everything."
    ),
)

same_in_all = Problem(
    "10-same-in-all", 1, "What a log cannot see",
    "Know the error that no log can see.",
    text="A bench has been recorded for {hours} hours in a quiet room, with code and reading in each line. Which of"
         " these cannot be found in the log, however well it is read?",
    figures=(Draw("hours", (5, 8, 24, 12)),),
    answer=Choice(
        options=(
            Option("drift", "A drift of 0.2 °C an hour in the steady room",
                   "Late readings differ from early ones, by more than their uncertainty. That is how it is found."),
            Option("restart", "A restart in the middle of the night",
                   "The board's clock falls, and its greeting comes."),
            Option("point", "A decimal point that got lost in one line",
                   "That line has another form than all the others."),
            Option("offset", "A sensor that reads 1.5 °C too warm, all the time",
                   "The log has nothing to compare it with: all readings have it."),
        ),
        right="offset",
    ),
    hints=("A log is compared with itself: early with late, one line with its neighbours.",
           "Which of the four makes no line different from any other?"),
    solution=lambda f: "The constant error. It is in every reading alike; a better thermometer beside the sensor shows"
                       " it, and nothing in the log does.",
)

TIMES = (lost_in_a_gap, period, wrap, time_constant, characters_lost, kept, two_clocks, same_in_all)
