"""The homework sheets as data: which problems stand on which sheet, and what a record says about them."""

from dataclasses import dataclass

from tempkit.exercises.catalogue import personally, problems
from tempkit.exercises.figures import figures_digest


@dataclass(frozen=True)
class SheetPlan:
    """A sheet: its `id` ("h01"), `title`, and the ids of its problems in order."""

    id: str
    title: str
    ids: tuple

    @property
    def problems(self):
        """The problems, in order."""
        return tuple(problems(name)[name] for name in self.ids)

    @property
    def chapters(self):
        """The chapters that it covers, as text: "chapters 01 and 02".

        >>> sheet_plan("h01").chapters
        'chapters 01 and 02'
        """
        numbers = sorted({name[:2] for name in self.ids})
        return f"chapters {', '.join(numbers[:-1])} and {numbers[-1]}" if len(numbers) > 1 else f"chapter {numbers[0]}"

    def posed(self, course, student):
        """The problems with the figures of one student."""
        return tuple(personally(p, course, self.id, student) for p in self.problems)


SHEETS = (
    SheetPlan(
        "h01",
        "From a temperature to a code",
        (
            "01-volts-from-temperature",
            "01-temperature-from-volts",
            "01-slope-from-points",
            "01-pin-current",
            "01-side-by-side",
            "02-step-in-degrees",
            "02-finer-converter",
            "02-code-for-temperature",
            "02-floor-and-round",
            "02-highest-code-error",
            "01-limits-stay",
        ),
    ),
    SheetPlan(
        "h02",
        "From a code back to a temperature",
        (
            "03-supply-error",
            "03-corrected-reading",
            "03-low-reference-step",
            "03-highest-temperature",
            "03-top-code",
            "03-ratiometric-code",
            "03-after-a-change",
            "03-largest-source",
            "04-four-codes",
            "04-divide-first",
            "04-overflow",
            "04-half-a-divisor",
            "04-span-in-fahrenheit",
            "04-digits-to-print",
            "04-believable",
        ),
    ),
    SheetPlan(
        "h03",
        "How far a reading can be trusted",
        (
            "05-kinds-of-lines",
            "05-lower-edge",
            "05-reference-share",
            "05-half-worked",
            "05-expanded",
            "05-worst-case",
            "05-improve",
            "05-which-part",
            "05-clause-8",
            "05-difference",
            "05-report",
            "06-two-noises",
            "06-mean-noise",
            "06-no-dither",
            "06-mains-samples",
            "06-smoothed-noise",
            "06-eight-readings",
            "06-what-stays",
        ),
    ),
    SheetPlan(
        "h04",
        "An alarm that comes in time",
        (
            "07-equality",
            "07-eight-states",
            "07-deadband-size",
            "07-in-a-row",
            "07-alike",
            "07-first-code",
            "07-invalid",
            "07-power-on",
            "07-of-a-thousand",
            "07-guard-band",
            "08-after-a-step",
            "08-trailing-a-ramp",
            "08-swing",
            "08-in-place",
            "08-own-heat",
            "08-loop-period",
            "08-whole-delay",
            "08-jump",
        ),
    ),
    SheetPlan(
        "h05",
        "What the bench really says",
        (
            "09-one-point",
            "09-two-points",
            "09-five-lines",
            "09-boiling-point",
            "09-correction-curve",
            "09-what-wanders",
            "09-budget-after",
            "09-agree-and-act",
            "10-account",
            "10-five-lines",
            "10-garbage-in-a-mean",
            "10-lost-in-a-gap",
            "10-two-clocks",
            "10-drift",
            "10-alike",
            "10-two-nights",
            "10-kept",
            "10-same-in-all",
        ),
    ),
    SheetPlan(
        "h06",
        "Faults, and other sensors",
        (
            "11-lead-lift",
            "11-constant",
            "11-two-points",
            "11-two-causes",
            "11-five-lines",
            "11-first",
            "11-check",
            "11-log-alone",
            "11-card",
            "12-beta-back",
            "12-flat-resistor",
            "12-ratiometric",
            "12-below-zero",
            "12-two-to-four-wires",
            "12-bridge",
            "12-cold-junction",
            "12-which-curve",
            "12-which-sensor",
        ),
    ),
    SheetPlan(
        "h07",
        "A design that meets its requirement",
        (
            "13-in-numbers",
            "13-where-the-limit-goes",
            "13-margins",
            "13-half-budget",
            "13-wrong-check",
            "13-bias",
            "13-deadband",
            "13-late",
            "13-what-binds",
            "13-cheapest-pair",
            "13-read-tolerance",
            "13-front",
            "13-winters",
            "13-on-paper",
        ),
    ),
)


def sheet_plan(which):
    """The sheet with this id. Raises `ValueError` that lists what there is.

    >>> sheet_plan("H01 ").title
    'From a temperature to a code'
    """
    found = [plan for plan in SHEETS if plan.id == str(which).strip().lower()]
    if not found:
        raise ValueError(f"there is no sheet {which!r}: the sheets are {', '.join(plan.id for plan in SHEETS)}")
    return found[0]


@dataclass(frozen=True)
class Standing:
    """How far a student is on a sheet: problems `answered`, `right`, and how many there are, `of`.

    >>> str(Standing("h01", 4, 3, 10))
    'h01: 3 of 10 right, 1 answered and not right yet, 6 open'
    """

    sheet: str
    answered: int
    right: int
    of: int

    def __str__(self):
        return (
            f"{self.sheet}: {self.right} of {self.of} right, {self.answered - self.right} answered and not right yet,"
            f" {self.of - self.answered} open"
        )


def standing(plan, record):
    """The `Standing` that a student's own record tells, checked anew: what it says about itself is not used.

    As on the cards, an answer to figures that the student does not have any more does not count."""
    answered = right = 0
    for posed in plan.posed(record.course, record.student):
        digest = figures_digest(posed.problem, posed.figures)
        mine = (a for a in record.answers if (a.problem, a.figures) == (posed.problem.id, digest))
        verdicts = [posed.check(typed(a), a.unit) for a in mine]
        answered += any(verdict.right or verdict.attempt for verdict in verdicts)
        right += any(verdict.right for verdict in verdicts)
    return Standing(plan.id, answered, right, len(plan.ids))


def typed(answer):
    """The text of a recorded answer in the form that `check` takes."""
    return answer.text if isinstance(answer.text, str) else list(answer.text)
