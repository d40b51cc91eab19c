"""What a class misunderstood: wrong ways of many problems gathered into ideas, and the three to teach again."""

from collections import defaultdict
from dataclasses import dataclass
from fnmatch import fnmatchcase
from functools import cache

from tempkit.exercises import Choice, problems

FEWEST = 2
# An idea in one sentence, and the wrong ways that show it is missing, as "problem id/key of the way".
# The first idea that fits counts. What fits none goes to the goal of its problem.
IDEAS = (
    (
        "A span of temperature has no zero of its own: no output at 0 °C, no 32, belongs to it.",
        ("*/span-as-temperature", "01-accuracy-in-mv/offset-added", "*/added-32*"),
    ),
    (
        "The output at 0 °C is part of the sensor's line, on the way there and on the way back.",
        (
            "*/forgot-offset",
            "*/offset-at-25",
            "*/offset-subtracted",
            "*/offset-added",
            "*/offset-late",
            "*/through-origin",
        ),
    ),
    (
        "A specification promises limits, under their conditions; typical values and absolute limits promise nothing.",
        (
            *("01-*/typical", "01-*/large-type", "01-slow-place/*-place", "01-small-type/at-zero"),
            *("01-pin-current/*", "01-supply-window/*", "01-cheapest-page/*"),
        ),
    ),
    (
        "With its limits a reading is an interval of temperatures, all of which it fits.",
        ("01-side-by-side/*", "01-warmest-true/*", "01-safe-reading/*"),
    ),
    (
        "N bits make 2^N codes and 2^N steps; counting starts at 0, so the highest code is one less.",
        ("*/highest-code", "*/fence-posts", "*/one-too-many", "*/one-bit-*"),
    ),
    (
        "A converter that floors drops the remainder; the middle of the step is the best guess behind it.",
        ("*/rounded", "*/both-rounded", "*/both-floored", "*/lower-edge", "*/upper-edge", "02-floor-and-round/swapped"),
    ),
    (
        "The reference decides what a step is worth: the true one in the converter, the assumed one in the program.",
        (
            *("03-*/other-way", "03-*/assumed-supply", "03-supply-error/difference", "03-*/supply"),
            *("03-*/sensor-fixed", "03-*/converter-fixed", "*/scaled-degrees", "*/part-of-supply", "*/followed-twice"),
        ),
    ),
    (
        "Units show the way: write them down, and cancel them before the figures.",
        (
            *("*/upside-down", "*/multiplied", "01-*/divided", "*/step-in-mv", "*/in-mv", "*/millivolts"),
            *("*/in-millivolts", "*/no-slope", "*/not-per-second"),
        ),
    ),
    (
        "Whole numbers in a program wrap round when they do not fit, and lose the remainder of every division.",
        (
            *("04-overflow/*", "04-divide-first/*", "04-half-worked/*", "04-nothing-left/*"),
            "04-half-a-divisor/*",
        ),
    ),
    (
        "A degree Fahrenheit is smaller than a degree Celsius, and its scale starts elsewhere.",
        ("*/fahrenheit", "*/per-fahrenheit", "*-in-fahrenheit/*"),
    ),
    (
        "Finer is not truer: more bits and more digits do not move the sensor's limits.",
        ("02-finer-converter/*", "04-digits-to-print/*"),
    ),
    (
        "Independent errors add as squares; the standard deviation is the root of the sum.",
        (
            *("06-two-noises/*", "06-smoothed-noise/no-root", "09-*/added", "09-scatter/no-root"),
            *("05-half-worked/added", "13-half-budget/added", "13-cheapest-pair/added", "13-bias/squared"),
        ),
    ),
    (
        "Limits, standard uncertainty and expanded uncertainty are three things: bring all to one before adding.",
        (
            *("09-*/k-forgotten", "09-*/half-width*", "09-*/both", "09-*/unexpanded", "05-kinds-of-lines/*"),
            *("05-half-worked/no-root", "05-*/k-forgotten", "05-*/k-twice", "05-*/half-width", "05-*/as-limits"),
        ),
    ),
    (
        "Averaging helps by the root of the number, and only where the readings differ by chance.",
        (
            *("06-mean-noise/divided-by-count", "06-mean-noise/one-sample", "06-no-dither/*", "06-without-noise/*"),
            *("10-half-worked/by-count", "10-alike/independent", "10-two-nights/more", "06-few-readings/*"),
        ),
    ),
    (
        "An error that is the same in every reading shows in no mean and in no log: compare with something better.",
        ("01-limits-stay/tenth", "01-limits-stay/exact", "04-believable/*", "06-what-stays/*", "10-same-in-all/*"),
    ),
    (
        "An alarm acts beyond its limit, not at it; the deadband lies on the way back.",
        (
            *("07-equality/*", "07-eight-states/*", "07-trace/no-deadband", "07-first-code/equal"),
            *("07-deadband-size/half", "07-deadband-size/both-sides"),
        ),
    ),
    (
        "A guard band counts one side: from the limit, which stands midway, to where the call must come.",
        ("13-*/two-sided", "13-margins/whole-gap", "13-margins/no-factor", "13-where-the-limit-goes/*"),
    ),
    (
        "A margin is what is left of what is allowed, with its sign; across units the part used is compared.",
        ("13-*/sign", "13-late/no-margin", "13-what-binds/*"),
    ),
    (
        "Money goes to the largest contribution, and no further than the requirement asks.",
        ("13-cheapest-pair/narrowest", "13-cheapest-pair/cheapest-of-all", "13-cheapest-sensor/*", "13-front/*"),
    ),
    (
        "Count the gaps, not the samples: a row of n samples takes n − 1 periods.",
        ("07-on-delay/*", "08-*/n-for-n-1", "08-five-lines/five-gaps", "10-*/fence*", "13-late/n-periods"),
    ),
    (
        "A lag closes the same part of what is left in every time constant; it never arrives.",
        (
            *("08-read-tau/*", "08-after-a-step/*", "06-eight-readings/*", "10-time-constant/*"),
            *("08-*/no-lag", "08-swing/whole-lag", "08-swing/jump"),
        ),
    ),
    (
        "A correction undoes an error: it has the other sign, and belongs to the place where it was found.",
        ("09-one-point/*", "09-two-points/*", "09-correction-curve/*", "05-lower-edge/wrong-way"),
    ),
    (
        "Look at the meter and the log before the cause: choose the check at which two causes differ most.",
        ("11-check/*", "11-first/*", "11-log-alone/*"),
    ),
)


@dataclass(frozen=True)
class Evidence:
    """A wrong way in the class: the `problem`, the `key` of the way ("" for no known one), and how many `students` of
    `of` who handed in the sheet took it at least once."""

    problem: object
    key: str
    students: int
    of: int

    @property
    def share(self):
        """The share of those who handed in the sheet."""
        return self.students / self.of if self.of else 0.0


@dataclass(frozen=True)
class Idea:
    """An idea to teach again: its `text`, how many `students` of `of` showed that it is missing, the `evidence`."""

    text: str
    students: int
    of: int
    evidence: tuple


@cache
def idea_of(problem_id, key):
    """The idea that a wrong way shows to be missing.

    >>> idea_of("02-step-in-degrees", "highest-code")
    'N bits make 2^N codes and 2^N steps; counting starts at 0, so the highest code is one less.'
    """
    name = f"{problem_id}/{key}"
    fitting = (text for text, patterns in IDEAS if any(fnmatchcase(name, pattern) for pattern in patterns))
    return next(fitting, None) or problems(problem_id)[problem_id].goal


def wrong_keys(problem):
    """Keys of all wrong ways of a problem: for a choice, its options."""
    answer = problem.answer
    return tuple(part.key for part in (answer.options if isinstance(answer, Choice) else answer.wrong))


def evidence(marks, plan):
    """All `Evidence` of a class for one sheet, problem after problem, the most frequent way of each first."""
    handed_in = marks.handed_in(plan)
    for place, problem in enumerate(plan.problems):
        taken = defaultdict(int)
        for mark in handed_in:
            for key in mark.problems[place].ways:
                taken[key] += 1
        known = wrong_keys(problem)
        ranked = sorted(taken, key=lambda key: (key == "", -taken[key], known.index(key) if key in known else 0))
        yield from (Evidence(problem, key, taken[key], len(handed_in)) for key in ranked)


def to_teach_again(marks, most=3):
    """The ideas that most of the class misses, at most `most` of them, each with its evidence.

    A student counts once for an idea, however many problems show it; an idea of a single student is none of the
    class. Known ways count, a wrong answer that nothing explains does not.
    """
    missing, shown = defaultdict(set), defaultdict(list)
    for plan in marks.plans:
        for found in evidence(marks, plan):
            if found.key:
                shown[idea_of(found.problem.id, found.key)].append(found)
        for mark in marks.handed_in(plan):
            for problem in mark.problems:
                for key in filter(None, problem.ways):
                    missing[idea_of(problem.id, key)].add((mark.course, mark.student))
    of = len({key[:2] for key, mark in marks.marks.items() if mark.where})
    ranked = sorted(missing, key=lambda text: (-len(missing[text]), text))[:most]
    return tuple(
        Idea(text, len(missing[text]), of, tuple(sorted(shown[text], key=lambda e: -e.students)))
        for text in ranked
        if len(missing[text]) >= FEWEST
    )
