"""The design project: everyone's own requirement, what passes and fails, and files that are no honest design."""

import itertools
import tomllib
from dataclasses import replace

import pytest
import tomli_w
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tempkit.__main__ import main
from tempkit.chain import Calibration, ChainFileError, write
from tempkit.chain.file import dumps
from tempkit.choose import Choice, Requirement, assemble, catalogue, check, search
from tempkit.exercises import mark_design, project_told, requirement_of
from tempkit.exercises.design_task import IDEAS, LISTS, MIDDLES_C, ROOMS_C, broken_rules, mark_project

PARTS = catalogue()
WHO = ("spring", "student-7")
OWN = requirement_of(*WHO)
COLD = ("x", "é")  # has to read from -10 to 50 degC
GOOD = Choice(6, 0, 2, 64, 5.0, 3, 0.2)


def design(choice=GOOD, who=WHO):
    return assemble(PARTS, choice, requirement_of(*who))[0]


def limits(**changed):
    made = design()
    return replace(made, alarm=replace(made.alarm, **changed))


def failing(marked):
    """Names of the lines whose remark says that they fail."""
    fails = [remark.removeprefix("fails").strip() for remark in marked.remarks if remark.startswith("fails")]
    return [told.partition(":")[0] for told in fails]


CORNERS = list(itertools.product(*((min(each), max(each)) for each in MIDDLES_C)))


# ---- everyone's own numbers


@pytest.mark.parametrize(
    ("course", "student", "expected"),
    [
        ("Year 9", "Robin", ((0.0, 45.0), (20.0, 18.0), (25.0, 27.0), 0.95, 1.0, 35.0, 3.0, 10.0)),
        ("BENCH-9", "A-01", ((0.0, 45.0), (18.8, 17.2), (27.4, 28.6), 0.98, 0.3, 60.0, 6.0, 10.0)),
        ("spring", "student-7", ((5.0, 40.0), (19.0, 17.0), (26.4, 27.6), 0.95, 1.0, 60.0, 1.0, 8.0)),
        ("x", "é", ((-10.0, 50.0), (19.8, 18.2), (25.0, 27.0), 0.98, 1.0, 45.0, 1.0, 8.0)),
    ],
)
def test_the_same_numbers_for_years(course, student, expected):
    """Frozen: a change of these changes what was handed in; raise SCHEME instead."""
    need = requirement_of(course, student)
    found = (need.range_c, need.low_c, need.high_c, need.level, need.rate_c_per_min, need.late_s)
    assert (*found, need.raises_per_min, need.price) == expected


def test_case_and_outer_spaces_do_not_count():
    assert requirement_of(" year 9", "ROBIN ") == requirement_of("Year 9", "Robin")
    with pytest.raises(ValueError, match="the code is empty"):
        requirement_of("spring", " ")


def test_a_class_has_many_different_requirements():
    needs = {requirement_of("spring", f"student-{number}") for number in range(200)}
    assert len(needs) > 190
    for name, values in LISTS.items():
        assert {getattr(need, name) for need in needs} == set(values)


@pytest.mark.parametrize("middles", CORNERS)
def test_even_the_hardest_requirement_can_be_met(middles):
    """All lines are the easier, the more they allow; so the hardest of each list is enough."""
    room, (low, high) = min(ROOMS_C), middles
    hard = Requirement(
        range_c=(min(cold for cold, _ in LISTS["range_c"]), max(warm for _, warm in LISTS["range_c"])),
        low_c=(round(low + room, 1), round(low - room, 1)),
        high_c=(round(high - room, 1), round(high + room, 1)),
        level=max(LISTS["level"]),
        rate_c_per_min=max(LISTS["rate_c_per_min"]),
        **{name: min(LISTS[name]) for name in ("late_s", "raises_per_min", "price")},
    )
    assert search(PARTS, hard).best().size > 2


def test_even_the_easiest_is_not_met_by_the_bench_as_it_stands():
    easy = replace(OWN, low_c=(18.0, 16.0), high_c=(26.0, 28.0), level=min(LISTS["level"]), late_s=60.0, price=12.0)
    made, price = assemble(PARTS, Choice(0, 0, 1), easy)
    assert sum(not line.passes for line in check(made, easy, price)) == 2


# ---- marks


def test_the_best_designs_pass_every_line():
    found = search(PARTS, OWN)
    for number in found.best():
        made, _ = assemble(PARTS, found.choice(number), OWN)
        marked = mark_project(dumps(made), *WHO)
        assert marked[:2] == (10, 10) and all(remark.startswith("passes") for remark in marked.remarks)


@pytest.mark.parametrize(
    ("line", "made", "who"),
    [
        ("parts that do not fit each other", design(replace(GOOD, front_end=3, reference=1)), WHO),
        ("coldest reading", design(replace(GOOD, front_end=8), COLD), COLD),
        ("warmest reading", design(replace(GOOD, front_end=3, reference=2), COLD), COLD),  # 0.85 V / 18 mV: 47 degC
        ("guard band at the low limit", limits(low_c=17.3), WHO),
        ("guard band at the high limit", limits(high_c=27.5), WHO),
        ("late by", design(replace(GOOD, smoothing_s=60.0)), WHO),
        ("calls on the limit", design(Choice(0, 0, 1, 1, 0.0, 1, 0.1)), WHO),
        ("deadband", design(replace(GOOD, deadband_c=1.0)), WHO),
        ("one step at the limits", design(replace(GOOD, converter=0, samples=1, deadband_c=0.1)), WHO),
        ("price (invented)", design(replace(GOOD, converter=4)), WHO),
    ],
)
def test_each_line_can_fail_and_costs_its_mark(line, made, who):
    marked = mark_design(made, *who)
    assert line in failing(marked)
    assert marked.marks == marked.of - len(failing(marked))
    remark = next(remark for remark in marked.remarks if line in remark)
    assert "Short by" in remark and IDEAS[line] in remark


def test_every_line_has_an_idea_and_every_idea_a_line():
    marked = mark_design(design(), *WHO)
    assert [remark.removeprefix("passes").strip().partition(":")[0] for remark in marked.remarks] == list(IDEAS)


def test_the_margins_are_those_of_the_check_by_hand():
    """One line worked out by hand: lag and smoothing of a steady ramp add their time constants.

    A ramp's lag is tau_s once it is steady (settled after 10 degC at 1 degC a minute); smoothing of 5 s at a period of
    1 s lags by (1 - a) / a periods, a = 1 - exp(-1/5); sampling 1 s; on-delay 3 samples, 2 periods.
    """
    line = next(line for line in check(design(), OWN) if line.name == "late by")
    share = 1 - 2.718281828**-0.2
    assert line.does == pytest.approx(15.0 + (1 - share) / share + 1.0 + 2.0, abs=0.01)
    assert "late by: 22.5 s, wanted at most 60 s, margin +37.5 s" in "\n".join(mark_design(design(), *WHO).remarks)


# ---- files that are no honest design, or none at all


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "title: missing"),
        ("import os", "cannot be read|not TOML|line 1"),
        ("format = 1\ntitle = 'x'", r"\[sensor\]: missing"),
        ("x" * 1_000_001, "larger than 1 MB"),
        ("\x00\x01", "project"),
        ("a = " + "[" * 5000, "project"),
    ],
)
def test_what_is_no_chain_file_is_refused(text, words):
    with pytest.raises(ChainFileError, match=words):
        mark_project(text, *WHO)


def changed(**tables):
    """The text of the good design with entries changed, table by table."""
    raw = tomllib.loads(dumps(design()))
    for name, entries in tables.items():
        raw.setdefault(name, {}).update(entries)
    return tomli_w.dumps(raw)


@pytest.mark.parametrize(
    ("tables", "words"),
    [
        ({"sensor": {"accuracy_c": 0.0}}, r"\[sensor\] with its \[circuit\] is not of the catalogue"),
        ({"circuit": {"fixed_tolerance": 0.0}}, r"\[sensor\] with its \[circuit\] is not of the catalogue"),
        ({"reference": {"tolerance": 0.0}}, r"\[reference\] is not of the catalogue.*2.5 V, 1 %"),
        ({"reference": {"true_v": 5.0}}, r"\[reference\] is not of the catalogue"),
        ({"converter": {"inl_lsb": 0.0}}, r"\[converter\] is not of the catalogue.*12 bit, straight"),
        ({"noise": {"input_v": 0.0}}, r"\[noise\] input_v = 0 V: the thermistor 0.2 degC.* has 0.001 V; write that"),
        ({"response": {"tau_s": 0.0}}, r"\[response\] tau_s = 0 s.* has 15 s"),
        ({"budget": {"self_heating_c": 0.0}}, r"self_heating_c = 0 degC.* has 0.3 degC"),
        ({"noise": {"samples": 257}}, r"samples = 257: must be 1 to 256"),
        ({"smoothing": {"tau_s": 1e6}}, r"tau_s = 1e\+06 s: must be 0 to 300 s"),
        ({"alarm": {"sample_period_s": 1e-6}}, "sample_period_s = 1e-06 s: the project's board reads every 1 s"),
        ({"alarm": {"on_delay_samples": 101}}, "must be 1 to 100 samples"),
    ],
)
def test_what_the_catalogue_does_not_say_is_refused(tables, words):
    with pytest.raises(ChainFileError, match=words):
        mark_project(changed(**tables), *WHO)


def test_all_that_is_wrong_is_told_at_once():
    text = changed(noise={"input_v": 0.0, "samples": 1000}, reference={"tolerance": 0.0})
    with pytest.raises(ChainFileError, match="3 things to correct"):
        mark_project(text, *WHO)


def test_an_alarm_with_one_limit_is_refused():
    made = limits(low_c=None)
    assert broken_rules(made, PARTS) == ["[alarm] low_c, high_c: the project wants both limits; give them"]
    with pytest.raises(ChainFileError, match="wants both limits"):
        mark_design(replace(made, alarm=None), *WHO)


def test_notes_cost_no_mark():
    made = replace(design(), calibration=Calibration(0.0, 0.01))
    marked = mark_design(made, *WHO)
    assert marked[:2] == (10, 10) and "not counted" in marked.remarks[-1]
    far = mark_design(limits(deadband_c=500.0), *WHO)
    assert "code for the board cannot be written" in far.remarks[-1] and far.marks < far.of


KEYS = st.sampled_from(["low_c", "high_c", "deadband_c", "on_delay_samples", "off_delay_samples"])
ODD = st.one_of(st.floats(), st.integers(-(10**12), 10**12), st.booleans(), st.text(max_size=3), st.just([]))


@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(st.dictionaries(KEYS, ODD, max_size=3))
def test_whatever_an_alarm_holds_is_marked_or_refused(entries):
    try:
        marked = mark_project(changed(alarm=entries), *WHO)
    except ChainFileError as error:
        assert "project" in str(error)
        return
    assert 0 <= marked.marks <= marked.of == 10


def test_nothing_in_a_file_is_executed(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    trap = "__import__('pathlib').Path('here').touch()"
    raw = tomllib.loads(dumps(design())) | {"title": trap}
    assert mark_project(tomli_w.dumps(raw), *WHO).marks == 10
    assert not list(tmp_path.iterdir())


# ---- the command


def test_the_command_tells_the_requirement_and_marks_a_file(tmp_path, capsys):
    who = ["--course", WHO[0], "--student", WHO[1]]
    assert main(["homework", "project", *who]) == 0
    assert project_told(*WHO) in capsys.readouterr().out
    path = tmp_path / "my-design.toml"
    write(design(Choice(0, 0, 1)), path)
    assert main(["homework", "project", str(path), *who]) == 0
    printed = capsys.readouterr().out
    assert printed.endswith("8 of 10 lines pass\n") and printed.count("\npasses  ") == 8
    assert main(["homework", "project", "data/chains/north-bench.toml", *who]) == 2
    assert "not of the catalogue" in capsys.readouterr().err
