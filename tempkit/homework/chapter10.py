"""Practice for chapter 10: what a log says, what it leaves out, and what its figures are worth."""

from math import sqrt

from tempkit.homework.chapter10_times import TIMES
from tempkit.homework.problem import Choice, Draw, Number, Option, Problem, Wrong
from tempkit.homework.problem import plain as n

decimal_comma = Problem(
    "10-decimal-comma", 2, "A comma between digits",
    "Know when a comma is a decimal sign.",
    text="Somebody sends you a log. Each line looks like this one: {whole},{part};{code}. What is its first number?",
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
    text="A log has {lines} lines. {comments} are comments, one is a header, {blank} are blank, and {skipped} were"
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
    text="Beside a better thermometer that shows {truth_c} °C the log of the bench has a mean of {mean_c} °C. What is"
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
    text="The mean of {count} lines was to be taken. All but one read {mean_c} °C on average; in one the decimal"
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
    text="In a room that keeps its temperature, the mean of a minute's readings is {early_c} °C at {early_min} min"
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
    text="{count} readings of a quiet bench, independent of each other, scatter with a standard deviation of {s_c}"
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
    text="Smoothing makes each reading like the one before: the correlation of neighbours is {r}. {count} readings"
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

PROBLEMS = (
    account,
    decimal_comma,
    *TIMES[:3],
    garbage_in_a_mean,
    offset_sign,
    mean_uncertainty,
    alike,
    drift,
    *TIMES[3:],
)
