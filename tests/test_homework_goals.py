"""Every goal of a chapter, a point of its summary, is asked on a homework sheet: a table of goals and problems."""

import json
from pathlib import Path

import pytest

from tempkit.exercises import SHEETS, problems

# By chapter, in the order of its summary: words of the point, and the problems that ask it.
GOALS = {
    "01": (
        ("what a page promises", "01-pin-current"),
        ("from degrees to volts and back", "01-temperature-from-volts", "01-volts-from-temperature"),
        ("from two points", "01-slope-from-points"),
        ("as a band", "01-side-by-side"),
        ("why no mean narrows", "01-limits-stay"),
        ("Compare two results", "01-side-by-side"),
    ),
    "02": (
        ("bits and a reference into steps", "02-step-in-degrees"),
        ("from a temperature to a code", "02-code-for-temperature"),
        ("floors from one that rounds", "02-floor-and-round", "04-four-codes"),
        ("Divide by 2^N", "02-highest-code-error"),
        ("what they do not buy", "02-finer-converter"),
    ),
    "03": (
        ("true reference from the assumed", "03-after-a-change", "03-ratiometric-code"),
        ("Predict the error", "03-supply-error", "03-corrected-reading"),
        ("Choose a cure", "03-low-reference-step", "03-largest-source"),
        ("what the top code means", "03-highest-temperature", "03-top-code"),
    ),
    "04": (
        ("as many digits as the steps support", "04-four-codes", "04-digits-to-print"),
        ("what 16 bits cannot hold", "04-divide-first", "04-overflow"),
        ("add half the divisor", "04-divide-first", "04-half-a-divisor"),
        ("a temperature from a span", "04-span-in-fahrenheit"),
        ("the dangerous one", "04-believable"),
    ),
    "05": (
        ("an error, which is corrected", "05-lower-edge"),
        ("into a standard uncertainty", "05-kinds-of-lines", "05-reference-share", "05-half-worked"),
        ("what 95 % promises beside the worst case", "05-expanded", "05-worst-case"),
        ("what to improve first", "05-improve", "05-which-part"),
        ("what two readings share", "05-difference"),
        ("Report a result", "05-report", "05-clause-8"),
    ),
    "06": (
        ("the noise of a mean", "06-mean-noise"),
        ("when averaging helps", "06-no-dither"),
        ("Add independent noises as squares", "06-two-noises"),
        ("takes out hum", "06-mains-samples"),
        ("Smooth readings", "06-smoothed-noise", "06-eight-readings"),
        ("no number of samples removes", "06-what-stays"),
    ),
    "07": (
        ("does at equality", "07-equality", "07-first-code", "07-invalid"),
        ("deadband from the noise", "07-deadband-size", "07-eight-states"),
        ("on-delay gains and costs", "07-in-a-row", "07-alike", "08-whole-delay"),
        ("owe to people", "07-power-on"),
        ("Of 1,000 nights", "07-of-a-thousand"),
        ("with a guard band", "07-guard-band"),
    ),
    "08": (
        ("after a jump", "08-after-a-step"),
        ("behind a climb and a swing", "08-trailing-a-ramp", "08-swing"),
        ("shows its own temperature", "08-own-heat", "08-in-place"),
        ("a pass of the loop", "08-loop-period"),
        ("how late an alarm is", "08-whole-delay", "08-jump"),
    ),
    "09": (
        ("give a correction its sign", "09-one-point", "09-correction-curve"),
        ("Make a slush", "09-five-lines"),
        ("where water boils", "09-boiling-point"),
        ("Correct a reading by two points", "09-two-points"),
        ("whether two results agree", "09-agree-and-act"),
        ("what comes back", "09-what-wanders", "09-budget-after"),
    ),
    "10": (
        ("account for every line", "10-kept", "10-account"),
        ("from the form of a line", "10-five-lines"),
        ("one wrong value", "10-garbage-in-a-mean"),
        ("what a gap has swallowed", "10-lost-in-a-gap", "10-drift", "10-two-clocks"),
        ("neighbours that are alike", "10-alike", "10-two-nights"),
        ("what no log can see", "10-same-in-all"),
    ),
    "11": (
        ("Take the power off first", "11-first"),
        ("the shape of their errors", "11-lead-lift", "11-constant", "11-two-points"),
        ("Read a hand test", "11-five-lines", "11-log-alone"),
        ("Weigh a cause", "11-two-causes"),
        ("Choose the check", "11-check", "11-card"),
    ),
    "12": (
        ("Add a thermocouple's cold junction", "12-cold-junction"),
        ("by its own curve", "12-below-zero", "12-which-curve"),
        ("leads cost", "12-two-to-four-wires", "12-bridge"),
        ("Turn a thermistor's ohms", "12-beta-back", "12-flat-resistor", "12-ratiometric"),
        ("Choose a sensor", "12-which-sensor"),
    ),
    "13": (
        ("in numbers that name no part", "13-in-numbers"),
        ("limit midway", "13-where-the-limit-goes", "13-margins", "13-wrong-check"),
        ("Add uncertainties as squares", "13-half-budget", "13-bias", "13-late"),
        ("largest contribution", "13-half-budget", "13-cheapest-pair"),
        ("which line binds", "13-what-binds", "13-read-tolerance", "13-front"),
        ("can be trusted", "13-on-paper", "13-winters"),
    ),
}  # fmt: skip
NOTEBOOKS = Path(__file__).parents[1] / "notebooks"
ON_A_SHEET = {name for plan in SHEETS for name in plan.ids}


def points(chapter):
    """The points of a chapter's summary, each as one line of text."""
    (path,) = NOTEBOOKS.glob(f"{chapter}-*.ipynb")
    texts = ["".join(cell["source"]) for cell in json.loads(path.read_text(encoding="utf-8"))["cells"]]
    (summary,) = (text for text in texts if text.startswith(("## Summary", "## What you can do now")))
    points = summary.partition("\n\n- ")[2].partition("\n\n")[0].split("\n- ")
    return [" ".join(point.replace("*", "").split()) for point in points]


@pytest.mark.parametrize("chapter", GOALS)
def test_the_table_has_every_point_of_the_summary(chapter):
    found = points(chapter)
    assert len(found) == len(GOALS[chapter]), found
    for point, (words, *_) in zip(found, GOALS[chapter], strict=True):
        assert words in point, (words, point)


@pytest.mark.parametrize("chapter", GOALS)
def test_every_goal_is_asked_on_a_sheet(chapter):
    for words, *ids in GOALS[chapter]:
        assert ids and set(ids) <= ON_A_SHEET, (words, set(ids) - ON_A_SHEET)


def test_every_chapter_with_problems_has_its_goals():
    assert set(GOALS) == {f"{found.chapter:02d}" for found in problems().values()}


def test_a_goal_that_no_sheet_asks_is_found(monkeypatch):
    monkeypatch.setattr("test_homework_goals.ON_A_SHEET", ON_A_SHEET - {"12-bridge"})
    with pytest.raises(AssertionError, match="leads cost"):
        test_every_goal_is_asked_on_a_sheet("12")
