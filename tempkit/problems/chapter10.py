"""Chapter 10: what a log says, what it leaves out, and what its figures are worth; practice, lines, predictions."""

import math
from math import sqrt

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
    sketch,
    wrong_step,
)
from tempkit.exercises import plain as n
from tempkit.uncertainty import Input, propagate

# Rows, and what a mean is worth

decimal_comma = Problem(
    "10-decimal-comma", 3, "A comma between digits",
    "Know when a comma is a decimal sign.",
    asks="Somebody sends you a log. Each line looks like this one: {whole},{part};{code}. What is its first number?",
    figures=(Draw("whole", (23, 24, 19, 21)), Draw("part", (4, 7, 2)), Draw("code", (161, 164, 154))),
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

def _spoilt(f):
    return f.mean_c + (f.garbage_c - f.mean_c) / f.count


garbage_in_a_mean = Problem(
    "10-garbage-in-a-mean", 1, "One garbage value in a mean",
    "See what one wrong value does to a mean.",
    asks="The mean of {count} lines was to be taken. All but one read {mean_c} °C on average; in one the decimal point"
         " was lost on the line, and it reads {garbage_c} °C. What mean comes out if nobody throws that line away?",
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


S_AND_N = (Draw("s_c", (0.24, 0.32, 0.18, 0.4)), Draw("count", (64, 144, 36, 100)))

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


# Times: gaps, counters that wrap, a time constant

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
    asks="In a log the readings stood at {start_c} °C. Then a door opened, and at last they stood at {end_c} °C. {t_s}"
         " s after the door the reading was {seen_c} °C. What time constant does a sensor of first order have then?",
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


# An estimate before a file is opened; a trace, five lines, a wrong step, a budget half worked out, two nights

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


TRACES = (  # begin [degC], drift [degC/h], cable out from and to [min]; invented
    (21.2, 0.6, 30, 80), (23.4, -0.9, 40, 80), (20.4, 1.2, 20, 60), (22.6, -0.6, 30, 70), (20.8, 0.9, 50, 100),
    (24.0, -1.2, 20, 50),
)
SWAY_C = (0.02, -0.01, -0.02, 0.01, 0.0)  # of one mean to the next


def _means(f):
    """Minutes and means of one minute each, every ten minutes, but for those without a line."""
    start_c, rate, out, back = TRACES[f.trace - 1]
    times = [t for t in range(0, 121, 10) if not out < t < back]
    return tuple((t, round(start_c + rate * t / 60 + SWAY_C[t // 10 % 5], 2)) for t in times)


def _room(f):
    return Graph(
        "Means of one minute each, in a room that keeps its temperature", Scale("time", "min", (-5, 125), 1,
                                                                             tuple(range(0, 121, 20))),
        Scale("mean", "°C", (20, 25), 0.05, tuple(range(20, 26))), (Curve("mean", _means(f), "dots"),),
    )


def _ends(f):
    """Minutes and means of the first and the last dot."""
    return _means(f)[0], _means(f)[-1]


def _drift(f, hours=2.0):
    (_, early_c), (_, late_c) = _ends(f)
    return (late_c - early_c) / hours


trace_drift = Problem(
    "10-drift", 2, "Drift from a trace with a gap",
    "Read a drift off a trace, over time and not over rows.",
    asks="Each dot is the mean of a minute's readings. In between, the cable was out. How fast do the readings drift,"
         " in an hour? Give the sign.",
    figures=(Draw("trace", (1, 2, 3, 4, 5, 6)),),
    picture=_room,
    answer=Number(
        _drift, "rate of temperature", "°C/h", 0.1,
        "An eye reads each end to a twentieth of a degree, over two hours.",
        wrong=(
            Wrong("gap-left-out", lambda f: _drift(f, (len(_means(f)) - 1) / 6),
                  "The dots were counted, as if there were no gap. What stands below them?"),
            Wrong("total", lambda f: _drift(f, 1.0), "This is the whole change. In how many hours did it come about?"),
            Wrong("minutes", lambda f: _drift(f, 120.0), "This is the drift in a minute. An hour has sixty of them."),
            Wrong("sign", lambda f: -_drift(f), "The sign is turned round: later minus earlier."),
        )),
    hints=("From the first dot to the last: how much up or down, and how much to the right?",
           "Time runs on through the gap. Read both ends off the axis below."),
    solution=lambda f: (
        f"From {n(_ends(f)[0][1])} °C to {n(_ends(f)[1][1])} °C in 120 min, that is 2 h.\n"
        f"({n(_ends(f)[1][1])} °C − {n(_ends(f)[0][1])} °C) ÷ 2 h = {n(round(_drift(f), 4))} °C/h"
    ),
)

HAPPENED = ("restart", "cable", "point", "noise", "stuck")
PERIOD_S = 1.032
NOISE = "x\\x8c\\x12=9\\xf3 c\\xc4de=1\\x91", "\\xe2t=\\xa96 cod\\x06=16\\x8f re\\x1d"


def _log_lines(f):
    """Five lines as a recorder stored them: its seconds, then what came; `clock_s` is the board's own."""
    happened = HAPPENED[f.happened - 1]
    lines, clock_s = [], f.clock_s
    for k in range(5):
        host_s = f.host_s + k * PERIOD_S
        if happened == "cable" and k >= 3:
            host_s += 41 * PERIOD_S
        if happened == "restart" and k == 3:
            clock_s = 0.6 - 4 * PERIOD_S + PERIOD_S
        at_s = clock_s + host_s - f.host_s
        tenths = f.tenths + (0 if happened == "stuck" else (0, 1, -1, 0, 1)[k])
        code = (600 + 0.8 * tenths) / (5000 / 1024) - 0.5  # the mean of codes that floor
        read = f"{tenths}" if happened == "point" and k == 2 else f"{tenths / 10:.1f}"
        told = f"t={at_s:.1f} code={code:.1f} read={read}"
        if happened == "noise" and k in (2, 3):
            told = NOISE[k - 2]
        if happened == "restart" and k == 2:
            told = "board started, measuring"
        lines.append(f"{host_s:.3f}  {told}")
    return tuple(lines)


five_lines = Problem(
    "10-five-lines", 1, "Five lines of a log",
    "Tell from five lines what happened to a bench or to its line.",
    asks="Five lines of a log, one after the other, from a recorder that marks no gaps: its seconds, then what came."
         " The board prints about one line a second, and its t counts the seconds since its power-on. What happened"
         " here?",
    figures=(
        Draw("happened", (1, 2, 3, 4, 5)), Draw("host_s clock_s", ((412.613, 2212.9), (1875.204, 1880.3))),
        Draw("tenths", (223, 198, 241)),
    ),
    listing=_log_lines,
    answer=Choice(
        options=(
            Option("restart", "The board began again in between",
                   "Its own clock fell, and its greeting came, while the recorder's clock went on."),
            Option("cable", "The cable was out for a while",
                   "Both clocks leap on by the same time: the board measured, and nobody listened."),
            Option("point", "One reading lost its decimal point",
                   "One reading is ten times as large as its neighbours, and its code is not."),
            Option("noise", "Something spoilt the line for a moment",
                   "Bytes came that nobody printed, and then good lines again."),
            Option("stuck", "Nothing on the line: ask why it stands still",
                   "Five perfect lines, with one code to the tenth. A mean of noisy samples never does that."),
        ),
        right=lambda f: HAPPENED[f.happened - 1],
    ),
    asks_how_sure=True,
    hints=("Three things in each line: the recorder's clock, the board's clock, and code with reading.",
           "Which of the three is not as in the lines around it?"),
    solution=lambda f: _HAPPENED_SAID[f.happened - 1],
)

_HAPPENED_SAID = (
    "The board's clock fell and its greeting came; the recorder's clock went on. The board began again: ask why.",
    "Both clocks leap by the same time, and no line came. The cable was out; what the bench did then nobody knows.",
    "One reading has no point and is ten times too large. Its code is like the others: work it out from the code.",
    "Two lines hold bytes that are no text, and the next is good again. Look for a motor, a loose plug, a second"
    " program.",
    "The lines are perfect and the code never moves. A living pin has noise: look at the sensor and its wires.",
)

SLIPS = ("worth", "mean", "together", "expanded")


def _night_walk(f):
    """From two nights to the U of their difference; each line goes on from those above."""
    slip = SLIPS[f.slip - 1]
    worth = round(f.count * ((1 + f.r) / (1 - f.r) if slip == "worth" else (1 - f.r) / (1 + f.r)), 1)
    mean = round(f.s_c / (worth if slip == "mean" else sqrt(worth)), 3)
    both = round(2 * mean if slip == "together" else sqrt(2) * mean, 3)
    expanded = round(both / 2 if slip == "expanded" else 2 * both, 2)
    over = f"(1 + {n(f.r)}) ÷ (1 − {n(f.r)})" if slip == "worth" else f"(1 − {n(f.r)}) ÷ (1 + {n(f.r)})"
    added = f"{n(mean)} + {n(mean)}" if slip == "together" else f"√({n(mean)}² + {n(mean)}²)"
    return (
        f"Step 1. A night is worth: {f.count} × {over} → {n(worth)} free readings",
        f"Step 2. u of its mean: {n(f.s_c)} °C ÷ {'' if slip == 'mean' else '√'}{n(worth)} → {n(mean)} °C",
        f"Step 3. u of the difference of two such nights: {added} → {n(both)} °C",
        f"Step 4. U, k = 2: {n(both)} °C {'÷' if slip == 'expanded' else '×'} 2 → {n(expanded)} °C",
    )


wrong_night = Problem(
    "10-wrong-step", 1, "One step is wrong",
    "Find the wrong step in the comparison of two nights.",
    asks="Two nights have {count} readings each. In each, the readings scatter by {s_c} °C, and the correlation of"
         " neighbours is {r}. Somebody worked out how sure the difference of the two means is. One of the steps is"
         " wrong, and the others go on from it soundly. Which one?",
    figures=(
        Draw("slip", (2, 1, 3, 4)), Draw("count", (60, 90, 120)), Draw("s_c", (0.4, 0.6)), Draw("r", (0.8, 0.9)),
    ),
    listing=_night_walk,
    answer=wrong_step(
        lambda f: f.slip,
        (
            ("Readings that are alike would be worth more than there are. Turn the fraction round.",
             "Readings that are alike are worth fewer. That is sound."),
            ("The scatter of a mean falls with the root of the number.",
             "The scatter was divided by the root of what the readings are worth. That is sound."),
            ("Independent standard uncertainties add as squares.",
             "Squares, sum, root: that is sound, whatever the parts are."),
            ("The expanded uncertainty is k times the standard one, so it is the larger.",
             "Times k: that is sound, whatever the standard uncertainty is."),
        ),
    ),
    hints=("Check each line by itself: does it do what its words say?",
           "A strange number may come from the line above. Ask of each line only what it does with it."),
    solution=lambda f: f"Step {f.slip} is wrong: {_NIGHT_SAID[f.slip - 1]}",
)

_NIGHT_SAID = (
    "multiply by (1 − r) ÷ (1 + r).", "divide by the root of what the night is worth.",
    "add the squares, then take the root.", "multiply by k.",
)


def _offset(f, root=True, k=2.0, divisor=3**0.5, add=lambda us: sqrt(sum(u * u for u in us))):
    """The budget of an offset as a table: what is known, divided by what, standard uncertainty; the whole."""
    over = (sqrt(f.count) if root else float(f.count), k, divisor)
    us = tuple(part / by for part, by in zip((f.s_c, f.certificate_c, f.apart_c), over, strict=True))
    rows = zip((f.s_c, f.certificate_c, f.apart_c), over, us, strict=True)
    return (*rows, (None, None, add(us)))


def _offset_budget(f):
    lines = (
        Input(0.0, standard=f.s_c / sqrt(f.count)),
        Input(0.0, standard=f.certificate_c / 2),
        Input(0.0, half_width=f.apart_c, shape="rectangular"),
    )
    whole = propagate(lambda *parts: sum(parts), lines).standard
    given = zip((f.s_c, f.certificate_c, f.apart_c), (sqrt(f.count), 2.0, sqrt(3)), lines, strict=True)
    return (*((part, by, line.standard) for part, by, line in given), (None, None, whole))


half_worked = Problem(
    "10-half-worked", 1, "How sure an offset is, half worked out",
    "Complete the budget of an offset that was found in a log.",
    asks="A better thermometer hung beside the sensor. The offset of the bench is the mean of {count} independent"
         " readings, less what the thermometer showed. Below is the offset's budget: one standard deviation of the"
         " readings, the certificate's U with k = 2, and limits, ±, within which the air may differ between the two."
         " Fill in what is missing.",
    figures=(
        Draw("count", (25, 36, 64)), Draw("s_c", (0.4, 0.6, 0.5)), Draw("certificate_c", (0.3, 0.24)),
        Draw("apart_c", (0.2, 0.15)),
    ),
    answer=Table(
        rows=lambda f: ("Mean", "Thermometer", "Air", "Together"),
        columns=(
            Column("known", "temperature span", "°C", 0.003),
            Column("divided by", "number", "", 0.006),
            Column("uncertainty", "temperature span", "°C", 0.003),
        ),
        value=_offset_budget,
        reason="Three digits behind the point are told; a few units of the last are room for rounding.",
        shown=((0, 0), (1, 0), (1, 1), (1, 2), (2, 0), (3, 0), (3, 1)),
        wrong=(
            Wrong("by-count", lambda f: _offset(f, root=False),
                  "The scatter was divided by the number of readings. That of a mean falls more slowly."),
            Wrong("no-root", lambda f: _offset(f, divisor=3.0),
                  "The limits were divided by three. The divisor of a rectangle is a root."),
            Wrong("half-width", lambda f: _offset(f, divisor=1.0),
                  "Limits went in as a standard uncertainty. By what are they divided?"),
            Wrong("added", lambda f: _offset(f, add=sum),
                  "The parts were added as they stand. Independent ones add as squares."),
        ),
    ),
    hints=("Each line has its own divisor: for a mean, for a certificate, for limits.",
           "Down: square the three, add them, take the root."),
    solution=lambda f: (
        f"Mean: √{f.count} = {n(sqrt(f.count), 4)},\n"
        f"and {n(f.s_c)} °C ÷ {n(sqrt(f.count), 4)} = {n(_offset(f)[0][2], 4)} °C\n"
        f"Air: √3 = {n(3**0.5, 4)},\n"
        f"and {n(f.apart_c)} °C ÷ {n(3**0.5, 4)} = {n(_offset(f)[2][2], 4)} °C\n"
        f"Together: the root of the sum of squares = {n(_offset(f)[3][2], 4)} °C"
    ),
)


def _nights(f):
    """The difference of the two means, and what both claim together [degC]."""
    return abs(f.second_c - f.first_c), 2 * sqrt(2) * f.s_c / sqrt(_worth(f))


two_nights = Problem(
    "10-two-nights", 2, "Was the second night warmer?",
    "Decide from two means whether two nights differ, and act on it.",
    asks="A log's mean over the first night is {first_c} °C, over the second {second_c} °C: {count} readings in each."
         " Many nights have shown that they scatter by {s_c} °C. The correlation of neighbours is {r}, so that they are"
         " worth n (1 − r) ÷ (1 + r) free ones. The gardener asks whether to turn the heating down. What do you say?",
    figures=(
        Draw("first_c second_c", ((18.4, 18.7), (19.1, 20.3), (17.8, 18.1), (18.9, 19.9))),
        Draw("count", (40, 60)), Draw("s_c", (0.4, 0.5)), Draw("r", (0.8, 0.9)),
    ),
    sensible=lambda f: not 0.75 < _nights(f)[0] / _nights(f)[1] < 1.3,
    answer=Choice(
        options=(
            Option("warmer", "The second night was warmer: one may act on that",
                   "The difference is larger than the U of the two means together explains."),
            Option("certain", "The second mean is higher, so it was warmer",
                   "Means differ by chance, too. By how much, with so few free readings?"),
            Option("more", "I cannot tell: record more readings in a night",
                   "More neighbours are more of the same. What would be new?"),
            Option("nights", "I cannot tell: let us compare more nights first",
                   "The difference is within what chance makes. New nights are new, more readings a night are not."),
        ),
        right=lambda f: "warmer" if _nights(f)[0] > _nights(f)[1] else "nights",
    ),
    asks_how_sure=True,
    hints=("What is a night worth in free readings, and what is u of its mean?",
           "Compare the difference with U of both means together: squares, root, times two."),
    solution=lambda f: (
        f"A night is worth {n(_worth(f), 2)} free readings, so u of its mean is {n(f.s_c / sqrt(_worth(f)), 2)} °C. U"
            " of the"
        f" difference is {n(_nights(f)[1], 2)} °C, the difference {n(round(_nights(f)[0], 2))} °C. "
        + ("That is more than chance makes." if _nights(f)[0] > _nights(f)[1] else "Chance makes as much as that.")
    ),
)

# Lines to complete: the bad day and the steady room, as data/logs holds them

BAD_DAY = {"lines": 2550, "comments": 7, "wrong bytes": 7, "other form": 2, "other decimals": 1}
GAP_S, ROW_S = 76.4, 1.032
EARLY, LATE = (2.5, 21.04), (237.5, 23.39)  # minutes, mean of five minutes in the steady room [degC]
NIGHT = {"count": 40, "r": 0.9}

rows_left = Line(
    "10-rows", "Account for every line of a log.",
    "The file has 2550 lines. 7 are remarks of the recorder, 7 hold wrong bytes, 2 have another form, 1 has other"
    " decimals. How many rows of numbers are left?",
    Number(lambda f: 2 * BAD_DAY["lines"] - sum(BAD_DAY.values()), "number", "", 0.0, "Lines are counted.", wrong=(
        Wrong("only-remarks", lambda f: 2550 - 7, "The remarks alone were taken away. Damaged lines are no rows."),
        Wrong("only-damaged", lambda f: 2550 - 10, "The recorder's remarks are lines of the file, and no rows."),
        Wrong("as-the-script", lambda f: 2535, "So many the script took. Two of them were damaged."),
    ), whole=True),
    rail=("rows", 2505, 2560),
)

most_dangerous = Line(
    "10-most-dangerous", "Tell which damage is hard to see.",
    "Which of these would a careless program take for a reading?",
    Choice(
        options=(
            Option("half", "line 877, cut short",
                   "A word follows where the number should stand. That is easy to refuse."),
            Option("point", "line 1968, read=187",
                   "It is a number like any other. Only its form gives it away: all others have a decimal."),
            Option("bytes", "line 296, wrong bytes", "Hardly anything of it can be read as a number at all."),
        ),
        right="point",
    ),
)

why_small = Line(
    "10-why-small", "Say why a mean hides one wrong value.",
    "Why does one wrong value among thousands show in the highest reading, and not in the mean?",
    Choice(
        options=(
            Option("removed", "averaging removes every error",
                   "It removes none: it shares it out. A shared error can still be large."),
            Option("shared", "its excess is shared among all",
                   "168 °C too much, shared by 2535 readings, is a few hundredths each."),
            Option("left", "a mean leaves out what is far off",
                   "A mean takes every value as it is. Which figure looks at the middle one only?"),
        ),
        right="shared",
    ),
)

missing = Line(
    "10-missing", "Count what a gap has swallowed.",
    "Rows come every 1.032 s. In one place 76.4 s lie between two rows. How many rows are missing?",
    Number(lambda f: round(GAP_S / ROW_S) - 1, "number", "", 0.0, "Rows are counted.", wrong=(
        Wrong("fence", lambda f: 74, "These are the periods. The row at the end of the last one is there."),
        Wrong("fence-more", lambda f: 75,
              "Both rows that are there were counted. Only those between them are missing."),
        Wrong("seconds", lambda f: 76, "These are seconds. How many periods are they?"),
    ), whole=True),
    rail=("rows", 60, 90),
    then="What the bench did in them, nobody knows.",
)

over_the_gap = sketch(
    "10-sketch-gap", "Draw a drift through a gap.",
    "The readings begin at 20.0 °C and drift by +1.2 °C an hour. From minute 60 to minute 180 the cable is out. What"
    " does the log show at 0, 30, 60, 180, 210 and 240 min?",
    "°C", 0.15, "As good as the eye.",
    Sketch(
        (0, 30, 60, 180, 210, 240), lambda at: 20.0 + 1.2 * at / 60, ("after", "min", 0, 250), ("shown", 19.5, 25.5)
    ),
    wrong=(
        Wrong("gap-left-out", lambda f, at: 20.0 + 0.02 * (at - 120 * (at > 100)),
              "The rows were drawn one behind the other. Did the drift stand still in the gap?"),
        Wrong("began-again", lambda f, at: 20.0 + 0.02 * (at - 180 * (at > 100)),
              "It goes on, it does not begin again: a cable is no restart."),
        Wrong("flat", lambda f, at: 20.0 + 0 * at, "A drift of 1.2 °C an hour is missing."),
    ),
    then="A gap is time, not rows: what is missing may be drawn as a hatch, never as a line.",
)

drift_of_room = Line(
    "10-drift-slope", "Take a drift from two means.",
    "In the steady room the mean of five minutes is 21.04 °C around minute 2.5, and 23.39 °C around minute 237.5. What"
    " is the drift, in °C/h?",
    Number(lambda f: 60 * (LATE[1] - EARLY[1]) / (LATE[0] - EARLY[0]), "rate of temperature", "°C/h", 0,
           "Two digits are worth having.", digits=2, wrong=(
               Wrong("minutes", lambda f: (LATE[1] - EARLY[1]) / (LATE[0] - EARLY[0]),
                     "This is the drift in a minute. An hour has sixty of them."),
               Wrong("total", lambda f: LATE[1] - EARLY[1], "This is the whole change. In how many hours?"),
               Wrong("upside-down", lambda f: (LATE[0] - EARLY[0]) / (LATE[1] - EARLY[1]) / 60,
                     "The fraction is upside down: degrees for each hour."),
           )),
    rail=("drift", -1, 3),
)

worth = Line(
    "10-worth", "Say what neighbours that are alike are worth.",
    "40 readings of one night have a correlation of neighbours of 0.9. They are worth n (1 − r) / (1 + r) free ones."
    " How many is that?",
    Number(lambda f: NIGHT["count"] * (1 - NIGHT["r"]) / (1 + NIGHT["r"]), "number", "", 0.05,
           "A tenth of a reading does not matter.", wrong=(
               Wrong("independent", lambda f: 40.0, "That would be so if each reading were new."),
               Wrong("turned-round", lambda f: 760.0, "The fraction is upside down: alike readings are worth fewer."),
               Wrong("without-sum", lambda f: 4.0, "The division by 1 + r is missing."),
           )),
    rail=("free readings", 0, 50),
    then="A night of 40 readings knows its mean hardly better than two free ones do.",
)

agree_nights = Line(
    "10-agree-nights", "Decide whether two nights differ.",
    "With neighbours reckoned in, the first night's mean is 18.62 °C ± 0.55 °C, the second's 18.90 °C ± 0.55 °C. Was"
    " the first one colder, and what next?",
    Choice(
        options=(
            Option("yes", "yes, by 0.28 °C: act on it", "0.28 °C is a third of what both means are unsure together."),
            Option("more", "cannot tell: sample more often",
                   "Readings nearer together are still more alike. They bring little new."),
            Option("fresh", "cannot tell: compare more nights",
                   "The difference is well within both claims. Other nights are new."),
        ),
        right="fresh",
    ),
)

agree_lags = Line(
    "10-agree-lags", "Decide between two fits of one log.",
    "The same door, two stretches of the same log: 39.5 s ± 0.9 s and 37.2 s ± 0.7 s. What do you make of it?",
    Choice(
        options=(
            Option("mean", "take the mean of the two", "Both cannot be right, and their mean hides it."),
            Option("smallest", "take the one with the smaller ±",
                   "A ± knows only the noise it was told about. Small is not sure."),
            Option("misfit", "look where the model does not fit",
                   "2.3 s is twice what both claim. The fit believes that the air stood still; the long stretch has"
                   " swaying in it."),
        ),
        right="misfit",
    ),
)

half_u = Line(
    "10-half-u", "Combine the scatter of a log with a thermometer.",
    "The mean has u = 0.012 °C by its scatter, the thermometer u = 0.050 °C. What is u of the offset, in °C?",
    Number(lambda f: propagate(lambda a, b: a - b, (Input(0.0, standard=0.012), Input(0.0, standard=0.05))).standard,
           "temperature span", "°C", 0, "Two digits are what an uncertainty is worth.", digits=2, wrong=(
               Wrong("added", lambda f: 0.062, "The parts were added. Independent ones add as squares."),
               Wrong("subtracted", lambda f: 0.038,
                     "An offset is a difference, and its uncertainties add all the same: as squares."),
               Wrong("scatter", lambda f: 0.012, "That is the scatter alone. The thermometer is unsure, too."),
        Wrong("expanded", lambda f: 2 * sqrt(0.012**2 + 0.05**2), "This is twice u. That comes in the next step."),
        Wrong("no-root", lambda f: 0.012**2 + 0.05**2, "This is the sum of the squares. One thing is left to do."),
           )),
    rail=("uncertainty", 0, 0.1),
)

is_it_off = Line(
    "10-is-it-off", "Act on an offset and its U.",
    "The offset is +0.04 °C, its u what you have just found. Is the bench off?",
    Choice(
        options=(
            Option("yes", "yes, by 0.04 °C: correct it",
                   "By twice its u it may be anything from below zero to above 0.1 °C."),
            Option("readings", "open: take more readings",
                   "The scatter is the small part. More readings do not change the thermometer."),
            Option("thermometer", "open: a better thermometer",
                   "It is the thermometer that leaves it open. For a bench of ±6 °C it does not matter."),
        ),
        right="thermometer",
    ),
)

cannot_see = Line(
    "10-cannot-see", "Say what a log cannot show.",
    "Thousands of readings, every line accounted for, averaged well. Which error may still be in the mean, unseen?",
    Choice(
        options=(
            Option("none", "none: averaging removes them",
                   "It removes what is by chance. What is alike in all readings?"),
            Option("shared", "one that all readings share",
                   "Nothing in the log differs by it. Only something better, beside the sensor, shows it."),
            Option("noise", "the noise of each reading",
                   "That shrinks with the number of free readings, and the log shows its size."),
        ),
        right="shared",
    ),
)

LINES = (
    rows_left, most_dangerous, why_small, missing, over_the_gap, drift_of_room, worth, agree_nights, agree_lags, half_u,
    is_it_off, cannot_see,
)  # fmt: skip

PROBLEMS = (
    trace_drift, five_lines, account, garbage_in_a_mean, two_nights, alike, lost_in_a_gap, lines_of_a_winter,
    half_worked, two_clocks, kept, same_in_all, wrong_night, decimal_comma, time_constant, wrap,
)  # fmt: skip

PREDICTIONS = (
    Prediction(
        "10-two-nights",
        "Two nights of one log have means of 18.62 °C and 18.90 °C. Was the first night the colder one?",
        "Now read on as far as the section on two nights, and work it out there.",
        "A mean is as sure as its free readings make it. Neighbours in a log are much alike, so that a whole night is"
        " worth two or three. The difference is then well within what chance makes.",
        options=(
            Idea("Yes, by 0.28 degrees",
                 refuted="Two bare means say nothing of how sure they are. Here each is sure to half a degree or so.",
                 source="Deardorff 2001"),
            Idea("That cannot be told", right=True),
            Idea("No, it is just noise",
                 refuted="It may be noise, or not. “Not shown to differ” is not “shown to be alike”.", source="ours"),
        ),
        looks=("0.28 °C is less than both ± together", "0.28 °C is more than both ± together"),
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
