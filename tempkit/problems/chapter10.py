"""Practice for chapter 10: what a log says, what it leaves out, and what its figures are worth."""

import math
from math import sqrt

from tempkit.exercises import Amount, Choice, Draw, Number, Option, Prediction, Problem, Wrong
from tempkit.exercises import plain as n
from tempkit.signal import characters_per_second

# Rows, offset, drift, and what a mean is worth

decimal_comma = Problem(
    "10-decimal-comma", 2, "A comma between digits",
    "Know when a comma is a decimal sign.",
    asks="Somebody sends you a log. Each line looks like this one: {whole},{part};{code}. What is its first number?",
    figures=(Draw("whole", (23, 24, 19, 21)), Draw("part", (4, 7, 2)), Draw("code", (148, 151, 139))),
    answer=Choice(
        options=(
            Option("cut", "{whole}, for a number ends where a comma comes",
                   "Then {part} would be a number of its own. What parts the numbers in this line?"),
            Option("guess", "That cannot be known: it may be one number or two",
                   "A line with nothing but commas would leave it open. What else stands in this one?"),
            Option("decimal",
                   "{whole} and {part} tenths, since the semicolon parts the numbers",
                   "The semicolon parts the numbers, so that the comma is free to be the decimal sign."),
            Option("joined", "{whole}{part}, for the comma groups the digits of a large number",
                   "Groups have three digits. And would a glasshouse be that hot?"),
        ),
        right="decimal",
    ),
    hints=("Two signs stand between digits here. Which of them parts the numbers?",
           "A sign that parts numbers is not needed twice."),
    solution=lambda f: (
        f"The semicolon parts {f.whole},{f.part} from {f.code}. What is left for the comma is the decimal sign:"
        f" {f.whole}.{f.part}. A log that does not say so may be read wrongly without any error."
    ),
)


def _rows(f):
    return f.lines - f.comments - 1 - f.blank - f.skipped


account = Problem(
    "10-account", 1, "Every line accounted for",
    "Balance the lines of a log.",
    asks="A log has {lines} lines. {comments} are comments, one is a header, {blank} are blank, and {skipped} were"
         " skipped with a reason. How many lines became rows of numbers?",
    figures=(Draw("lines", (7260, 3650, 1810)), Draw("comments", (5, 6, 9)), Draw("blank", (12, 3, 20)),
             Draw("skipped", (17, 31, 8))),
    answer=Number(
        _rows, "number", "", 0.0, "Lines are counted: the number is right or it is not.",
        wrong=(
            Wrong("header-kept", lambda f: _rows(f) + 1,
                  "One line too many: the header names the columns, it is no row."),
            Wrong("blank-kept", lambda f: _rows(f) + f.blank,
                  "Blank lines were counted as rows. They are lines of the file all the same."),
            Wrong("only-skipped", lambda f: f.lines - f.skipped,
                  "Only the skipped lines were taken away. What else in the file is no row?"),
            Wrong("comments-kept", lambda f: _rows(f) + f.comments,
                  "Comments were counted as rows."),
        ), whole=True,
    ),
    hints=("Each line is exactly one thing. Take away what is no row.",
           "Four kinds of line are no rows here."),
    solution=lambda f: (
        f"{f.lines} − {f.comments} − 1 − {f.blank} − {f.skipped} = {f.lines - f.comments - 1 - f.blank - f.skipped}"
    ),
)

offset_sign = Problem(
    "10-offset", 2, "Which way it is off",
    "Give an offset its sign.",
    asks="Beside a better thermometer that shows {truth_c} °C the log of the bench has a mean of {mean_c} °C. What is"
         " the offset of the bench, reading minus truth? Give its sign.",
    figures=(
        Draw("truth_c mean_c", ((23.2, 22.6), (21.4, 22.3), (19.8, 19.3), (25.1, 26.3), (-2.4, -1.6), (-1.2, 0.6))),
    ),
    answer=Number(
        lambda f: f.mean_c - f.truth_c, "temperature span", "°C", 0.05,
        "Both are given to a tenth: half of one is room for rounding.",
        wrong=(
            Wrong("correction", lambda f: f.truth_c - f.mean_c,
                  "This is the correction, what must be added to a reading. The offset is the other way about."),
            Wrong("added", lambda f: f.truth_c + f.mean_c,
                  "The two were added. An offset is a difference."),
            Wrong("middle", lambda f: (f.truth_c + f.mean_c) / 2,
                  "This is the middle of the two. How far are they apart?"),
    )),
    hints=("Reading first, then truth taken away.",
           "A bench that reads too high has an offset above nought."),
    solution=lambda f: f"{n(f.mean_c)} °C − ({n(f.truth_c)} °C) = {n(f.mean_c - f.truth_c)} °C",
)


def _spoilt(f):
    return f.mean_c + (f.garbage_c - f.mean_c) / f.count


garbage_in_a_mean = Problem(
    "10-garbage-in-a-mean", 1, "One garbage value in a mean",
    "See what one wrong value does to a mean.",
    asks="The mean of {count} lines was to be taken. All but one read {mean_c} °C on average; in one the decimal"
         " point was lost on the line, and it reads {garbage_c} °C. What mean comes out if nobody throws that line"
         " away?",
    figures=(Draw("count", (60, 120, 30)),
             Draw("mean_c garbage_c", ((23.1, 231), (24.6, 246), (21.4, 214), (19.7, 197)))),
    answer=Number(
        _spoilt, "temperature", "°C", 0.006,
        "Hundredths are asked for: half of one is the room for rounding.",
        wrong=(
            Wrong("too-few", lambda f: f.mean_c + f.garbage_c / f.count,
                  "The garbage was added on top. It stands in the place of a good reading."),
            Wrong("middle", lambda f: (f.mean_c + f.garbage_c) / 2,
                  "This is the middle of two numbers. The garbage is one line among many."),
            Wrong("thrown-away", lambda f: float(f.mean_c),
                  "This is the mean without that line. The question keeps it."),
            Wrong("divided-by-fewer", lambda f: ((f.count - 1) * f.mean_c + f.garbage_c) / (f.count - 1),
                  "The sum is right. Among how many lines is it shared out?"),
    )),
    hints=("The sum of all lines first: the good ones, and the one.",
           "Then divide by the number of all lines."),
    solution=lambda f: (
        f"Sum: {f.count - 1} × {n(f.mean_c)} °C + {n(f.garbage_c)} °C ="
        f" {n((f.count - 1) * f.mean_c + f.garbage_c, 8)} °C\n"
        f"Mean: {n((f.count - 1) * f.mean_c + f.garbage_c, 8)} °C ÷ {f.count} ="
        f" {n(((f.count - 1) * f.mean_c + f.garbage_c) / f.count)} °C"
    ),
)


def _drift(f):
    return 60 * (f.late_c - f.early_c) / (f.late_min - f.early_min)


drift = Problem(
    "10-drift", 1, "Drift from two means",
    "Work out a drift an hour from two means.",
    asks="In a room that keeps its temperature, the mean of a minute's readings is {early_c} °C at {early_min} min"
         " and {late_c} °C at {late_min} min. How fast does the reading drift?",
    figures=(Draw("early_c late_c", ((23.14, 23.5), (21.85, 21.61), (20.42, 20.9), (24.3, 24.06))),
             Draw("early_min late_min", ((20, 110), (30, 75), (15, 165), (40, 120)))),
    answer=Number(
        _drift, "rate of temperature", "°C/h", 0.005,
        "Hundredths of a degree an hour: half of one is the room for rounding.",
        wrong=(
            Wrong("minutes", lambda f: _drift(f) / 60,
                  "This is the drift in a minute. The unit that was written is an hour."),
            Wrong("sign", lambda f: -_drift(f),
                  "The sign is turned round. Later minus earlier."),
            Wrong("from-zero", lambda f: 60 * (f.late_c - f.early_c) / f.late_min,
                  "The time was counted from the beginning of the log. When was the first mean taken?"),
            Wrong("total", lambda f: f.late_c - f.early_c,
                  "This is the whole change. In how much time did it come about?"),
    )),
    hints=("Change of the mean, divided by the time between the two means.",
           "An hour has sixty minutes."),
    solution=lambda f: (
        f"Change: {n(f.late_c)} °C − {n(f.early_c)} °C = {n(f.late_c - f.early_c)} °C"
        f" in {f.late_min - f.early_min} min\n"
        f"In an hour: {n(f.late_c - f.early_c)} °C × 60 ÷ {f.late_min - f.early_min} h ="
        f" {n(60 * (f.late_c - f.early_c) / (f.late_min - f.early_min))} °C/h"
    ),
)

S_AND_N = (Draw("s_c", (0.24, 0.32, 0.18, 0.4)), Draw("count", (64, 144, 36, 100)))

mean_uncertainty = Problem(
    "10-mean", 2, "Scatter and the mean",
    "Tell the scatter of readings from the uncertainty of their mean.",
    asks="{count} readings of a quiet bench, independent of each other, scatter with a standard deviation of {s_c}"
         " °C. What is the standard uncertainty of their mean?",
    figures=S_AND_N,
    answer=Number(
        lambda f: f.s_c / sqrt(f.count), "temperature span", "°C", 0,
        "Half a unit of the last digit asked for is the room for rounding.",
        digits=2, wrong=(
            Wrong("scatter", lambda f: f.s_c,
                  "This is the scatter of single readings. The mean of many scatters less."),
            Wrong("by-count", lambda f: f.s_c / f.count,
                  "It was divided by the number of readings. Scatter shrinks more slowly than that."),
            Wrong("expanded", lambda f: 2 * f.s_c / sqrt(f.count),
                  "This is the expanded uncertainty with k = 2. The standard one is asked for."),
            Wrong("sum", lambda f: f.s_c * sqrt(f.count),
                  "This is the scatter of the sum. The mean is the sum divided by the number."),
    )),
    hints=("Variances of independent readings add up; the mean divides the sum by the number.",
           "So the standard deviation of the mean falls with the root of the number."),
    solution=lambda f: f"{n(f.s_c)} °C ÷ √{f.count} = {n(f.s_c / f.count**0.5)} °C",
)


def _worth(f):
    return f.count * (1 - f.r) / (1 + f.r)


alike = Problem(
    "10-alike", 2, "Readings that are alike",
    "Allow for neighbours that are alike.",
    asks="Smoothing makes each reading like the one before: the correlation of neighbours is {r}. {count} readings"
         " scatter by {s_c} °C about their mean. They are worth n (1 − r) ÷ (1 + r) independent ones. What is the"
         " standard uncertainty of the mean?",
    figures=(*S_AND_N, Draw("r", (0.6, 0.8, 0.5))),
    answer=Number(
        lambda f: f.s_c / sqrt(_worth(f)), "temperature span", "°C", 0,
        "Half a unit of the last digit asked for is the room for rounding.",
        digits=2, wrong=(
            Wrong("independent", lambda f: f.s_c / sqrt(f.count),
                  "The readings were taken as independent. How many independent ones are they worth?"),
            Wrong("turned-round", lambda f: f.s_c / sqrt(f.count * (1 + f.r) / (1 - f.r)),
                  "The fraction is upside down: readings that are alike would be worth more than they are."),
            Wrong("without-sum", lambda f: f.s_c / sqrt(f.count * (1 - f.r)),
                  "The division by 1 + r is missing."),
            Wrong("no-root", lambda f: f.s_c / _worth(f),
                  "It was divided by what the readings are worth. The root of that is missing."),
    )),
    hints=("First what the readings are worth, then as for so many independent ones.",
           "Divide the scatter by the root of what they are worth."),
    solution=lambda f: (
        f"Worth: {f.count} × (1 − {n(f.r)}) ÷ (1 + {n(f.r)}) = {n(f.count * (1 - f.r) / (1 + f.r))}\n"
        f"Mean: {n(f.s_c)} °C ÷ √{n(f.count * (1 - f.r) / (1 + f.r))} ="
        f" {n(f.s_c / (f.count * (1 - f.r) / (1 + f.r)) ** 0.5)} °C"
    ),
)


# Times: gaps, periods, counters that wrap, a time constant, characters lost

WRAP_MS = 2**32

lost_in_a_gap = Problem(
    "10-lost-in-a-gap", 1, "Samples lost in a gap",
    "Count the samples that a gap has swallowed.",
    asks="A board prints a line every {period_s} s. In the log one line stands at {before_s} s and the next at"
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
    asks="A log without gaps has {lines} lines. The first stands at {first_s} s, the last at {last_s} s. How long is"
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
    asks="A board counts milliseconds in 32 bits without a sign, so that the counter goes from 4294967295 on to 0. In"
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
    asks="In a log the readings stood at {start_c} °C. Then a door opened, and at last they stood at {end_c} °C."
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
    asks="For {burst_ms} ms a motor spoils everything on a serial line of {baud} bit/s, eight data bits, no parity,"
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
    asks="A recorder writes to a file what a board sends, for an evening. Somebody will read the file in a month and"
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
    asks="Each line of a log has two times: the recorder's, from a computer, and the board's own, counted since its"
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
    asks="A bench has been recorded for {hours} hours in a quiet room, with code and reading in each line. Which of"
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


# An estimate before a file is opened

lines_of_a_winter = Problem(
    "10-lines-of-a-winter", 1, "How many lines in a winter",
    "Estimate the length of a log before it is opened.",
    asks="The board writes a line every {period_s} s, day and night, for {days} days. About how many lines does the log"
         " hold at the end?",
    figures=(Draw("period_s", (2, 5, 1, 10)), Draw("days", (90, 30, 120, 60))),
    answer=Number(
        lambda f: f.days * 86_400 / f.period_s, "number", "", 0.0,
        "An estimate says whether a program may read the file at once; a factor of three does not matter for that.",
        within_factor=3,
        wrong=(
            Wrong("one-day", lambda f: 86_400 / f.period_s, "That is one day. How many days does it run?"),
            Wrong("hours", lambda f: f.days * 24 / f.period_s,
                  "The hours were counted. How many seconds does an hour have?"),
            Wrong("times", lambda f: f.days * 86_400 * f.period_s if f.period_s > 3 else None,
                  "A longer period makes fewer lines, not more."),
    )),
    hints=("Round first: an hour has about 4000 s, a day about 100 000 s.",
           "Lines in a day, then times the days. One digit and the count of zeros will do."),
    solution=lambda f: (
        f"About 100 000 s a day ÷ {n(f.period_s)} s is {n(100_000 / f.period_s)} lines a day.\n"
        f"{n(100_000 / f.period_s)} × {n(f.days)} = {n(100_000 / f.period_s * f.days)}\n"
        "With the day's 86 400 s it is a little less; nobody needs that here."
    ),
)


PROBLEMS = (
    account, decimal_comma, lost_in_a_gap, period, wrap, garbage_in_a_mean, offset_sign, mean_uncertainty, alike,
    drift, time_constant, characters_lost, kept, two_clocks, same_in_all, lines_of_a_winter,
)  # fmt: skip

PREDICTIONS = (
    Prediction(
        "10-lines",
        "A program measures, prints its line, waits 1 s, and begins again. A line has 31 characters with its end, the"
        " speed is 9600 bit/s, and printing waits until the line has left. It is recorded for two hours. How many lines"
        " does the log hold?",
        "Now work it out: how long does one line take, with its wait?",
        "Each line takes 32 ms on the wire, and the wait begins after it: one line every 1.032 s.",
        number=Amount(
            lambda: 7200 / (1 + 31 / characters_per_second(9600)), "lines", 0, near=20,
            wrong=(Wrong("wait-only", lambda: 7200, "The line itself takes time, and the wait begins after it."),),
        ),
    ),
    Prediction(
        "10-mean",
        "Of 2535 readings of a log one has lost its decimal point on the way: 187 stands where 18.7 was sent. By how"
        " much does this one line raise the mean?",
        "Now work it out: by how much is the sum too large, and among how many is it shared?",
        "One wrong line in thousands hardly moves a mean. That is why nobody notices it there.",
        number=Amount(
            lambda: (187 - 18.7) / 2535, "°C", 3, "temperature span", near=0.005,
            wrong=(Wrong("whole-value", lambda: 187 / 2535, "Only what is too much of it raises the mean."),),
        ),
    ),
)
