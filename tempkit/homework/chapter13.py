"""Practice for chapter 13: a requirement against a design, line by line."""

from math import sqrt

from tempkit.budget import Input, propagate
from tempkit.conformity import guard_band
from tempkit.homework.chapter13_settings import SETTINGS
from tempkit.homework.problem import Choice, Column, Draw, Number, Option, Problem, Table, Wrong
from tempkit.homework.problem import plain as n
from tempkit.requirement import Line, Requirement, binding

ONE_SIDED = {90: 1.282, 95: 1.645, 99: 2.326}  # normal distribution, four digits; as printed in the problem
TWO_SIDED = {90: 1.645, 95: 1.960, 99: 2.576}

guard = Problem(
    "13-guard-band", 2, "One side is enough",
    "Choose the factor of a guard band by the side on which an error hurts.",
    text="At the buzzer's limit a smoothed reading has a standard uncertainty of {u_c} °C. From a table of the normal"
         " distribution for {level} %: one side {one}, both sides {two}. How far beyond the limit must the true"
         " temperature be so that a single reading calls with a probability of {level} %?",
    figures=(
        Draw("level one two", tuple((level, ONE_SIDED[level], TWO_SIDED[level]) for level in (95, 90, 99))),
        Draw("u_c", (0.42, 0.35, 0.28, 0.51, 0.64)),
    ),
    answer=Number(
        lambda f: guard_band(f.u_c, f.level / 100),
        "temperature span", "°C", 0.005,
        "Half a hundredth of a degree covers a factor with four digits.",
        wrong=(
            Wrong("two-sided", lambda f: f.two * f.u_c,
                  "The factor for both sides was taken. Can a reading be too far beyond the limit to call?"),
            Wrong("no-factor", lambda f: f.u_c,
                  "One standard uncertainty was taken. With which probability does a reading call there?"),
            Wrong("k-two", lambda f: 2 * f.u_c,
                  "k = 2 belongs to an expanded uncertainty, both sides. What is asked here?"),
            Wrong("whole-width", lambda f: 2 * f.one * f.u_c,
                  "The guard band was laid on both sides of the limit and added up. From where is it counted?"),
    )),
    hints=("Only a reading that falls short of the limit misses the call.",
           "Guard band = factor for one side × standard uncertainty."),
    solution=lambda f: f"{n(f.one)} × {n(f.u_c)} °C = {n(f.one * f.u_c, 4)} °C",
)

where = Problem(
    "13-where-the-limit-goes", 1, "Where the limit goes",
    "Put a limit midway between silent and called.",
    text="The buzzer has to be silent at {silent_c} °C and called at {called_c} °C, both with the same probability."
         " The guard band is {guard_c} °C to each side. Where does the limit of the alarm go so that both have the"
         " same margin?",
    figures=(
        Draw("silent_c called_c", ((26, 28.4), (25.5, 28.5), (26.2, 28), (24.8, 27), (26.5, 28.9))),
        Draw("guard_c", (0.4, 0.5, 0.6, 0.7)),
    ),
    answer=Number(
        lambda f: Requirement(high_c=(f.silent_c, f.called_c)).limits_c[1],
        "temperature", "°C", 0.02,
        "The figures have one digit after the point; the middle needs at most two.",
        wrong=(
            Wrong("at-called", lambda f: f.called_c,
                  "With the limit there, a reading calls in only half of all cases. What was promised?"),
            Wrong("at-silent", lambda f: f.silent_c,
                  "With the limit there, half of the readings call where it has to be silent."),
            Wrong("below-called", lambda f: f.called_c - f.guard_c,
                  "One guard band below called keeps one promise with nothing to spare. And the margin of the other?"),
            Wrong("above-silent", lambda f: f.silent_c + f.guard_c,
                  "One guard band above silent keeps one promise with nothing to spare. And the margin of the other?"),
    )),
    hints=("Each side has the room from the limit to its temperature.",
           "Equal guard bands on both sides leave equal margins only if the rooms are equal."),
    solution=lambda f: f"({n(f.silent_c)} °C + {n(f.called_c)} °C) ÷ 2 = {n((f.silent_c + f.called_c) / 2, 4)} °C",
)


def _limits(f):
    return f.sensor_c, f.reference_c, f.converter_c


def _u(f):
    inputs = [Input(0.0, half_width=each, shape="rectangular") for each in _limits(f)]
    return propagate(lambda *parts: sum(parts), inputs).standard


uncertainty = Problem(
    "13-three-doubts", 2, "Three doubts of a design",
    "Combine the limits of independent parts into one standard uncertainty.",
    text="At 27 °C the sensor of a design may be off by ±{sensor_c} °C, its reference is worth ±{reference_c} °C and"
         " its converter ±{converter_c} °C; all values within these limits are alike, and one part knows nothing of the"
         " others. What is the standard uncertainty of a reading?",
    figures=(
        Draw("sensor_c", (1, 0.5, 2)),
        Draw("reference_c converter_c", ((0.77, 0.4), (3.85, 0.6), (0.15, 0.3), (1.2, 0.5))),
    ),
    answer=Number(
        _u, "temperature span", "°C", 0.006,
        "Two digits after the point are enough for a decision.",
        wrong=(
            Wrong("added", lambda f: sum(_limits(f)) / sqrt(3),
                  "The uncertainties were added. Independent parts are added as squares."),
            Wrong("half-widths", lambda f: sqrt(sum(each**2 for each in _limits(f))),
                  "The limits went in as if they were standard uncertainties. Which divisor makes them so?"),
            Wrong("worst-case", lambda f: sum(_limits(f)),
                  "This is the worst case: all three at their ends at once. A standard uncertainty is asked."),
            Wrong("largest-only", lambda f: max(_limits(f)) / sqrt(3),
                  "Only the largest part was counted. The others are smaller, not nothing."),
    )),
    hints=("Divide each limit by the root of 3.", "Then the root of the sum of the squares."),
    solution=lambda f: (
        f"√(({n(f.sensor_c)}² + {n(f.reference_c)}² + {n(f.converter_c)}²) ÷ 3)"
        f" = {n(sqrt(sum(each**2 for each in _limits(f)) / 3), 4)} °C"
    ),
)


def _gaps(f):
    return f.silent_low_c - f.called_low_c, f.called_high_c - f.silent_high_c


def _margins(f, factor=1.645, part=0.5):
    return tuple((part * gap - factor * u,) for gap, u in zip(_gaps(f), (f.u_low_c, f.u_high_c), strict=True))


def _checked(f):
    need = Requirement(low_c=(f.silent_low_c, f.called_low_c), high_c=(f.silent_high_c, f.called_high_c))
    guards = (guard_band(u, 0.95) for u in (f.u_low_c, f.u_high_c))
    return tuple((Line("guard", "degC", room, does).margin,) for room, does in zip(need.room_c, guards, strict=True))


margins = Problem(
    "13-margins", 1, "Two lines of the table",
    "Work out the margin of a guard band, with its sign.",
    text="The lamp: silent at {silent_low_c} °C, called at {called_low_c} °C, standard uncertainty at its limit"
         " {u_low_c} °C. The buzzer: silent at {silent_high_c} °C, called at {called_high_c} °C, standard uncertainty"
         " {u_high_c} °C. The limits stand midway. For 95 %, one side, the factor is 1.645; both sides, 1.960."
         " What are the two margins: room less guard band?",
    figures=(
        Draw("silent_low_c called_low_c", ((19, 17), (18.8, 17.2), (18.6, 17.4))),
        Draw("silent_high_c called_high_c", ((26, 28), (26.2, 27.8), (26.4, 27.6))),
        Draw("u_low_c u_high_c", ((0.32, 0.34), (0.45, 0.48), (0.55, 0.62), (0.71, 0.78))),
    ),
    answer=Table(
        lambda f: ("lamp", "buzzer"),
        (Column("margin", "temperature span", "°C", 0.005),),
        _checked,
        "Two digits after the point decide whether a line passes.",
        wrong=(
            Wrong("sign", lambda f: tuple((-row[0],) for row in _margins(f)),
                  "The sign is turned: a margin is positive where the design is better than wanted."),
            Wrong("two-sided", lambda f: _margins(f, 1.96),
                  "The factor for both sides was taken. On how many sides of the limit can a call be missed?"),
            Wrong("whole-gap", lambda f: _margins(f, part=1.0),
                  "All the way from silent to called was taken for the room. Where does the limit stand?"),
            Wrong("no-factor", lambda f: _margins(f, 1.0),
                  "The standard uncertainty was taken for the guard band. What makes one from the other?"),
    )),
    hints=("The room is half of the way from silent to called.",
           "Guard band: 1.645 × standard uncertainty. Margin: room less guard band, with its sign."),
    solution=lambda f: "\n".join(
        f"{name}: {n(gap / 2)} °C − 1.645 × {n(u)} °C = {n(gap / 2 - 1.645 * u, 4)} °C"
        for name, gap, u in zip(("Lamp", "Buzzer"), _gaps(f), (f.u_low_c, f.u_high_c), strict=True)
    ),
)

def _lines(f):
    does = (f.late_s, f.guard_c, f.price, f.calls)
    return tuple(Line(*row, got) for row, got in zip(_WANTED, does, strict=True))


_WANTED = (("late", "s", 60.0), ("guard", "degC", 1.0), ("price", "", 12.0), ("calls", "1/min", 3.0))


def _used(name, place, unit):
    return Option(
        name,
        lambda f: f"{('Late by', 'Guard band', 'Price', 'Calls on the limit')[place]}:"
                  f" {n(_lines(f)[place].does)}{unit} of at most {n(_lines(f)[place].wanted)}{unit}",
        lambda f: "It has used up the largest part of what is allowed." if binding(_lines(f)).name == name
        else "Its margin may look small as a number, but margins in different units cannot be compared. Which part of"
             " what is allowed is used?",
    )


binds = Problem(
    "13-what-binds", 1, "Which line binds?",
    "Find the line that leaves least, whatever its unit.",
    text="A design passes all lines. Which line binds: which has used up the largest part of what it is allowed?",
    figures=(
        Draw("late_s guard_c price calls", (
            (57, 0.6, 10, 1.2), (48, 0.95, 9, 0.5), (42, 0.7, 11.4, 2.1), (51, 0.5, 7, 2.91), (58, 0.9, 8, 2.4),
            (36, 0.8, 9.3, 2.7),
        )),
    ),
    answer=Choice(
        options=(
            _used("late", 0, " s"),
            _used("guard", 1, " °C"),
            _used("price", 2, ""),
            _used("calls", 3, " a minute"),
        ),
        right=lambda f: binding(_lines(f)).name,
    ),
    hints=("Seconds and degrees cannot be compared. Parts of what is allowed can.",
           "Divide what the design does by what is wanted, line by line."),
    solution=lambda f: "Parts used: " + ", ".join(f"{line.name} {100 * line.used:.0f} %" for line in _lines(f))
                       + f". The largest binds: {binding(_lines(f)).name}.",
)

in_numbers = Problem(
    "13-in-numbers", 1, "Which lines are a requirement?",
    "Write a requirement in numbers, without naming a part.",
    text="A grower wants an alarm for a bench of seedlings that must not get above {called_c} °C. Which of these lines"
         " belong in the requirement? Choose all.",
    figures=(Draw("called_c silent_c", ((28, 26), (30, 28), (26, 24.5))),),
    answer=Choice(
        options=(
            Option("bits", "The converter has at least 12 bits",
                   "That is an answer already. Which question would it have to be checked against?"),
            Option("pair", lambda f: f"Silent at {n(f.silent_c)} °C and called at {n(f.called_c)} °C, each with 95 %",
                   "It says what happens on the bench, in numbers, and a test can show it."),
            Option("exact", lambda f: f"The call comes exactly at {n(f.called_c)} °C",
                   "At the limit itself half of the readings lie on the wrong side. Can anybody keep that?"),
            Option("late", "While the air warms by 1 °C a minute, the call comes at most 60 s late",
                   "It says how late, and at which rate. Both can be measured."),
            Option("good", "The readings are as accurate as the state of the art allows",
                   "By which number would one see that it is met, or that it is not?"),
        ),
        right=("pair", "late"),
        several=True,
    ),
    hints=("Of each: does it say what happens on the bench, or what is to be bought?",
           "And: with which measurement would you show that it is kept?"),
    solution=lambda f: "Silent and called with their probability, and how late at which rate: both are numbers about"
                       " the bench, and name no part.",
)

on_paper = Problem(
    "13-on-paper", 1, "All lines pass",
    "Know what a design that passes on paper is good for.",
    text="A design passes every line of its table, the narrowest with {percent} % of what is allowed used up. All parts"
         " have come. The seedlings are sown on Monday. What does the table allow?",
    figures=(Draw("percent", (51, 73, 88, 95)),),
    answer=Choice(
        options=(
            Option("trust", "To rely on the alarm from Monday on: every line has a margin",
                   "The table knows the errors that somebody put into it. What of a lead that nobody counted?"),
            Option("another", "Nothing, as long as a line has used up more than half of what it is allowed",
                   "A margin is a margin. What would half of it show that the bench itself cannot?"),
            Option("simulate", "To rely on it once a million trials give the same table",
                   "The trials know what the table knows. Do they know how the bench is wired?"),
            Option("build", "To build it, and then to check it on the bench: bench card, calibration, a log",
                   "Paper is leave to build. What was forgotten on paper shows on the bench."),
        ),
        right="build",
    ),
    hints=("A budget holds what was put into it. Where would an error show that nobody thought of?",
           "What has to be seen on the bench itself before somebody relies on it?"),
    solution=lambda f: "To build it. Codes and volts by the bench card, a calibration, and a log in which the bench"
                       " does what the table says: then it may be relied on, for what it was made for.",
)

PROBLEMS = (where, guard, uncertainty, margins, *SETTINGS, binds, in_numbers, on_paper)
