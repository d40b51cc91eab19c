"""The adversary finds nothing unfair in any problem of the book, and finds it where it is put in."""

from dataclasses import replace

import pytest

from tempkit.exercises import Choice, Draw, Number, Problem, Wrong, checking, problems, usable_sets
from tempkit.exercises.adversary import convict

NUMERIC = [problem for problem in problems().values() if not isinstance(problem.answer, Choice)]


@pytest.mark.parametrize("problem", NUMERIC, ids=lambda problem: problem.id)
def test_nothing_is_unfair(problem):
    assert convict(problem) == ()


def test_a_copied_figure_in_its_own_unit_is_found():
    (span,) = problems("04-span-in-fahrenheit").values()
    lenient = replace(span, answer=replace(span.answer, own_unit=False))
    found = convict(lenient, usable_sets(span))
    assert any("a number of the text" in told and "counts as right" in told for told in found)
    assert usable_sets(lenient) == (), "and such figures are not drawn"


@pytest.mark.parametrize(
    ("what", "put", "told"),
    [
        ("_kept", lambda *_: 0, "too few digits are told as"),
        ("_nearest_slip", lambda *_: None, "a usual slip is told as none"),
        ("_within", lambda value, goal, width: abs(abs(value) - abs(goal)) <= width, "the other sign"),
        ("understand", lambda text, *rest: UNDERSTAND(text.replace(",", "."), *rest), "a comma for thousands"),
    ],
)
def test_an_unfair_check_is_found(monkeypatch, what, put, told):
    problem = problems()["02-codes-of-range" if what == "understand" else "01-volts-from-temperature"]
    assert convict(problem) == ()
    monkeypatch.setattr(checking, what, put)
    assert any(told in sentence for sentence in convict(problem))


UNDERSTAND = checking.understand


def test_a_remark_on_something_farther_off_is_found(monkeypatch):
    """The first way that fits, in place of the nearest explanation."""
    ways = (Wrong("near", lambda f: -50.9, "Way."), Wrong("other", lambda f: 20.0, "Way."))
    answer = Number(lambda f: f.v, "voltage", "mV", 1.0, "R.", ways)
    made = Problem("99-made", 1, "Made", "Made.", "What?", (Draw("v", (50.0,)),), answer, ("A.", "B."), str)
    assert convict(made) == ()

    def first(problem, figures, got, goal, width):
        slips = checking._slips(problem, figures, got, goal, width)
        return next((slip for slip in slips if abs(got.typed - slip.value) <= slip.reach), None)

    monkeypatch.setattr(checking, "_nearest_slip", first)
    assert any("names near, but the sign is nearer" in sentence for sentence in convict(made))
