"""Marking one record and a class: all is worked out anew, nothing that was handed in is dropped."""

import html
import os
from dataclasses import replace
from datetime import datetime, timedelta

import msgspec
import pytest

from classroom import AT, KIM, LATER, PLAN, ROBIN, STEP, answered, hand_in, posed, reasons, right, rows
from tempkit.exercises import Choice, Course, Dates, Number, Posed, figures_digest, offered, personal, personal_then
from tempkit.marking import handed_in, mark_folder
from tempkit.marking.class_marks import mark_class
from tempkit.marking.marks import mark_record
from tempkit.marking.roster import Override, read_overrides
from tempkit.marking.tables import Results


def test_right_once_is_right_and_wrong_ways_are_remembered():
    mark = mark_record(answered("1e9 °C", "words", right(), "5 °C"), PLAN, Course())
    one = mark.problems[STEP]
    assert (one.mark, one.state, mark.mark, mark.answered) == (1.0, "right", 1.0, 1)
    assert len(one.tries) == 4 and len(one.read) == 3 and "" in one.ways and not mark.odd


@pytest.mark.parametrize("place", [n for n, p in enumerate(PLAN.problems) if not isinstance(p.answer, Choice)])
def test_every_wrong_way_of_a_sheet_is_found_in_the_marks(place):
    one = posed(place)
    answer = one.problem.answer
    for way, value in offered(one.problem, one.figures):
        text = f"{value!r} {answer.unit}" if isinstance(answer, Number) else typed_table(answer, value)
        assert mark_record(answered(text, place=place), PLAN, Course()).problems[place].ways == (way.key,)


def typed_table(answer, value):
    return [f"{v!r} {c.unit}" for row in value for v, c in zip(row, answer.columns, strict=True)]


@pytest.mark.parametrize("late, worth", [("full", 1.0), ("half", 0.5), ("none", 0.0)])
def test_late_answers(late, worth):
    """Due at 16:00 in a zone one hour east of UTC: 15:00 UTC. The answer comes one minute later."""
    course = Course(zone="+01:00", late=late, sheets={"h01": Dates(due=datetime(2026, 3, 2, 16))})
    one = mark_record(answered(right()), PLAN, course).problems[STEP]
    assert one.mark == worth and one.tries[0].late
    assert one.state == "right, late"
    west = Course(zone="-01:00", late=late, sheets=course.sheets)
    assert mark_record(answered(right()), PLAN, west).problems[STEP].mark == 1.0
    to_the_minute = Course(zone="+01:00", late=late, sheets={"h01": Dates(due=datetime(2026, 3, 2, 16, 1))})
    assert not mark_record(answered(right()), PLAN, to_the_minute).problems[STEP].tries[0].late


def test_only_so_many_tries_count():
    record = answered("1e9 °C", "words", "1e9 °C", "2e9 °C", right())
    for tries, mark in ((2, 0.0), (3, 1.0), (None, 1.0)):
        assert mark_record(record, PLAN, Course(tries=tries)).mark == mark


def test_too_few_digits_are_a_state_of_their_own_and_take_no_try():
    """One significant digit of a step in degrees, where three are asked for: no wrong way, and no try used up."""
    value = posed(STEP).problem.answer.value(posed(STEP).figures)
    few = answered(f"{value:.1g} °C")
    one = mark_record(few, PLAN, Course()).problems[STEP]
    assert (one.mark, one.state, one.ways) == (0.0, "too few digits", ())
    assert mark_record(answered(f"{value:.1g} °C", right()), PLAN, Course(tries=1)).mark == 1.0
    assert mark_record(answered(f"{value:.1g} °C", "1e9 °C"), PLAN, Course()).problems[STEP].ways == ("",)


def test_a_student_reads_the_option_chosen_and_not_its_key():
    place = next(n for n, p in enumerate(PLAN.problems) if isinstance(p.answer, Choice))
    option = PLAN.problems[place].answer.options[0]
    record = answered([option.key] if PLAN.problems[place].answer.several else option.key, place=place)
    one = mark_record(record, PLAN, Course()).problems[place]
    assert one.tries[0].text == one.posed.problem.say(option.text, one.posed.figures) != option.key


def test_what_the_file_claims_is_not_used():
    lying = answered("1e9 °C", right=True)
    mark = mark_record(lying, PLAN, Course())
    assert mark.mark == 0 and "calls an answer right that is not" in mark.odd[0]
    foreign = answered(right(student=KIM), figures="0" * 12)
    assert "not those of this course" in mark_record(foreign, PLAN, Course()).odd[0]


def test_order_and_times_are_looked_at():
    one = answered("1 °C", "2 °C")
    first, second = one.answers
    for answers, told in (
        ((second, first), "not numbered 1, 2, 3"),
        ((first,) * 2, "not numbered"),
        ((first, msgspec.structs.replace(second, at=AT - timedelta(days=1))), "times run backwards"),
        ((msgspec.structs.replace(first, at=LATER + timedelta(days=1)),), "still to come"),
        ((msgspec.structs.replace(first, problem="09-one-point"),), "not on sheet h01"),
    ):
        mark = mark_record(msgspec.structs.replace(one, answers=answers), PLAN, Course(), latest=LATER)
        assert any(told in odd for odd in mark.odd), told


@pytest.fixture
def corrected(monkeypatch):
    """`corrected(place, **changes)`: the problem at a place (STEP) gets the next version and these changes."""
    old = PLAN.problems

    def correct(place=STEP, **changes):
        new = replace(old[place], version=old[place].version + 1, **changes)
        found = tuple(new if p.id == new.id else p for p in old)
        monkeypatch.setattr(type(PLAN), "problems", property(lambda self: found))
        return new

    return correct


def test_marking_again_after_a_correction(corrected):
    """A version took a wrong value for right; the next is mended. The record of the old one is marked by the new."""
    record = answered(right())
    answer = PLAN.problems[STEP].answer
    new = corrected(answer=replace(answer, value=lambda f: 2 * answer.value(f)))
    mark = mark_record(record, PLAN, Course())
    told = f"answered in version {new.version - 1}, marked by version {new.version}"
    assert mark.mark == 0 and told in mark.problems[STEP].note
    assert not mark.odd, "the old verdict was honest when it was written"
    figures = personal_then(new, new.version - 1, record.answers[0].figures, "BENCH-9", "h01", "ROBIN")
    assert mark.problems[STEP].posed.figures == figures


def test_figures_that_are_not_given_out_any_more_are_marked_as_they_were():
    """An earlier edition gave sensors without an offset to some; what they answered then is marked by those figures."""
    problem = PLAN.problems[STEP]
    loose = replace(problem, answer=replace(problem.answer, wrong=problem.answer.wrong[:3]))
    for number in range(40):
        student = replace(ROBIN, student=f"S{number}")
        then = Posed(loose, personal(loose, student.course, "h01", student.student))
        if then.figures != posed(student=student).figures:
            break
    assert then.figures.at_0c_mv == 0
    record = answered(then.model_answer(), student=student, figures=figures_digest(problem, then.figures), right=True)
    mark = mark_record(record, PLAN, Course())
    one = mark.problems[STEP]
    assert one.mark == 1 and one.posed.figures == then.figures and not mark.odd
    assert "not given out any more" in one.note
    made_up = answered(then.model_answer(), student=student, figures="0" * 12, right=True)
    assert mark_record(made_up, PLAN, Course()).mark == 0


def test_a_choice_is_marked_by_its_key_whatever_text_and_place_it_has_now(corrected):
    """A record of a version names keys; the next one tells the options anew and in another order."""
    place = PLAN.ids.index("02-finer-converter")
    for key, mark in (("finer-only", 1), ("twice", 0)):
        record = answered(key, place=place)
        answer = PLAN.problems[place].answer
        options = tuple(replace(option, text=f"Said anew: {option.key}") for option in reversed(answer.options))
        corrected(place, answer=replace(answer, options=options))
        one = mark_record(record, PLAN, Course()).problems[place]
        assert one.mark == mark and one.tries[0].verdict.value == key
        assert [text for _, text in one.posed.options] == [f"Said anew: {key}" for key, _ in one.posed.options]


def test_a_correction_that_changed_the_lists_is_for_the_instructor(corrected):
    record = answered(right())
    draws = PLAN.problems[STEP].figures
    new = corrected(figures=(replace(draws[0], values=draws[0].values[1:]), *draws[1:]))
    one = mark_record(record, PLAN, Course()).problems[STEP]
    if one.note.startswith(f"answered in version {new.version - 1}, marked"):
        assert personal(PLAN.problems[STEP], "BENCH-9", "h01", "ROBIN") is not None
    else:
        assert one.mark == 0 and "mark it by hand" in one.note


def test_a_record_from_a_newer_edition_is_not_guessed_at():
    one = mark_record(answered(right(), version=9), PLAN, Course()).problems[STEP]
    assert one.mark == 0 and "update this package" in one.note


def test_a_class(tmp_path):
    hand_in(tmp_path, answered(right()))
    hand_in(tmp_path / "inner", answered("1 °C", student=KIM), "moved.json")
    marks = mark_class(tmp_path, (ROBIN, KIM), now=LATER)
    assert [mark.mark for mark in marks.handed_in(PLAN)] == [1.0, 0.0] and marks.plans == (PLAN,)
    assert marks.of(KIM, PLAN).where == "inner/moved.json" and not marks.odd


@pytest.mark.parametrize(
    "record, reason",
    [
        (answered("1 °C", student=replace(KIM, student="NOBODY")), "not on the class list; its mark would be 0 of 11"),
        (answered("1 °C", student=replace(ROBIN, course="OTHER")), "wrong course: it says OTHER"),
        (msgspec.structs.replace(answered("1 °C"), sheet="h02"), "sheet h02 is not among those marked here: h01"),
        (msgspec.structs.replace(answered("1 °C"), sheet="h99"), "sheet h99 is not among"),
        (answered("1e9 °C", right=True), "that is not, worked out again"),
    ],
)
def test_what_does_not_fit_is_listed_with_its_reason(tmp_path, record, reason):
    hand_in(tmp_path, record)
    marks = mark_class(tmp_path, (ROBIN, KIM), sheets=["h01"], now=LATER)
    assert any(reason in told for _, told in reasons(marks)), reasons(marks)


def test_handed_in_twice(tmp_path):
    short, long = answered("1 °C"), answered("1 °C", right())
    other = answered("3 °C", at=AT + timedelta(days=2))
    for names, expected, why in (
        ((("a.json", short), (short.name, short)), short.name, "the same"),
        ((("a.json", short), ("b.json", long)), "b.json", "goes on from it"),
        ((("a.json", long), ("b.json", short)), "a.json", "goes on from it"),
        ((("a.json", other), ("b.json", long)), "a.json", "merged"),
        ((("a.json", long), ("b.json", other)), "b.json", "merged"),
    ):
        folder = tmp_path / why.replace(" ", "") / names[0][0] / expected
        for name, record in names:
            hand_in(folder, record, name)
        marks = mark_class(folder, (ROBIN,), now=LATER)
        assert marks.of(ROBIN, PLAN).where == expected
        assert any("handed in twice" in told and why in told for _, told in reasons(marks))


def test_a_name_that_says_something_else_is_listed_and_the_codes_count(tmp_path):
    hand_in(tmp_path, answered(right()), "h01_BENCH-9_KIM.json")
    marks = mark_class(tmp_path, (ROBIN, KIM), now=LATER)
    assert marks.of(ROBIN, PLAN).mark == 1 and marks.of(KIM, PLAN) is None
    assert "its name is not that of its codes" in reasons(marks)[0][1]


def test_our_own_side_files_are_passed_over(tmp_path):
    hand_in(tmp_path / "old", answered(right()))
    (tmp_path / "who.json").write_text("{}")
    (tmp_path / "h01_BENCH-9_ROBIN.lock").write_text("")
    marks = mark_class(tmp_path, (ROBIN,), now=LATER)
    assert not marks.marks and len(marks.odd) == 3
    assert all("passed over" in told for _, told in reasons(marks))


def test_overrides(tmp_path):
    hand_in(tmp_path / "in", answered("1 °C"))
    listed = tmp_path / "by-hand.csv"
    listed.write_text(
        "student,sheet,problem,mark,reason\n"
        'robin,h01,02-step-in-degrees,"0,5","units mixed, idea right"\n'
        "KIM,h01,02-step-in-degrees,1,on paper\n"
    )
    overrides = read_overrides(listed, (ROBIN, KIM))
    assert overrides["BENCH-9", "ROBIN", "h01", "02-step-in-degrees"] == Override(0.5, "units mixed, idea right")
    marks = mark_class(tmp_path / "in", (ROBIN, KIM), overrides=overrides, now=LATER)
    one = marks.of(ROBIN, PLAN).problems[STEP]
    assert (one.mark, one.state, marks.of(ROBIN, PLAN).mark) == (0.5, "set by hand", 0.5)
    assert marks.of(KIM, PLAN).mark == 1.0, "a mark for work on paper, without a hand-in"


@pytest.mark.parametrize(
    "line, reason",
    [
        ("ROBIN,h01,02-step-in-degrees,2,x", "'2' is not a number from 0 to 1"),
        ("ROBIN,h01,02-step-in-degrees,nan,x", "not a number from 0 to 1"),
        ("ROBIN,h01,02-step-in-degrees,1,", "give the reason"),
        ("NOBODY,h01,02-step-in-degrees,1,x", "not on the class list"),
        ("ROBIN,h77,02-step-in-degrees,1,x", "no sheet 'h77'"),
        ("ROBIN,h01,09-one-point,1,x", "not on sheet h01"),
        ("ROBIN,h01", "2 columns, the head line has 5"),
    ],
)
def test_wrong_overrides_are_refused_with_their_line(tmp_path, line, reason):
    path = tmp_path / "by-hand.csv"
    path.write_text(f"student,sheet,problem,mark,reason\n\n{line}\n")
    with pytest.raises(ValueError, match=rf"by-hand.csv, line 3: .*{reason}"):
        read_overrides(path, (ROBIN, KIM))


def both(*records, **changes):
    """One record with the answers of several, numbered anew."""
    answers = tuple(answer for record in records for answer in record.answers)
    numbered = tuple(msgspec.structs.replace(answer, number=n) for n, answer in enumerate(answers, 1))
    return msgspec.structs.replace(records[0], answers=numbered, **changes)


def marked(folder, *records, students=(ROBIN, KIM), **settings):
    for number, record in enumerate(records):
        hand_in(folder, record, f"{number}.json")
    return mark_class(folder, students, now=LATER, sheets=["h01"], **settings)


DAY = timedelta(days=1)


def test_two_records_are_merged_answer_by_answer(tmp_path):
    """Half of the sheet at school, half at home: neither file alone holds all."""
    school = both(answered("1 °C", right()), answered(right(0), place=0, at=AT + DAY))
    home = both(answered(right(1), place=1, at=AT + 2 * DAY), answered("5 mV/°C", place=2, at=AT + 3 * DAY))
    for place, order in enumerate(((school, home), (home, school))):
        mark = marked(tmp_path / str(place), *order).of(ROBIN, PLAN)
        assert mark.mark == 3 and mark.answered == 4 and len(mark.problems[STEP].tries) == 2
        assert not mark.odd and not mark.contradictions and mark.where and len(mark.also) == 1
    marks = marked(tmp_path / "told", school, home)
    assert ("0.json", "merged, answer by answer") in [(w, told.rpartition("are ")[2]) for w, told in reasons(marks)]


@pytest.mark.parametrize("first, then, worth", [(right(), "1 °C", 0), ("1 °C", right(), 1)])
def test_where_two_records_contradict_the_later_answer_counts_and_it_is_said(tmp_path, first, then, worth):
    marks = marked(tmp_path, answered(first), answered(then, at=AT + DAY))
    mark = marks.of(ROBIN, PLAN)
    assert mark.mark == worth and len(mark.problems[STEP].tries) == 2
    (told,) = mark.contradictions
    assert "contradiction in 02-step-in-degrees" in told and "right in" in told and "the later one counts" in told
    assert told in marks.reason(ROBIN, PLAN) and marks.state(ROBIN, PLAN) == "marked"
    assert mark.problems[STEP].state == ("right" if worth else "contradicted")


def test_what_two_records_share_is_one_answer_and_no_contradiction(tmp_path):
    old = answered("1 °C")
    mark = marked(tmp_path / "a", old, both(old, answered(right(), at=AT + DAY))).of(ROBIN, PLAN)
    assert mark.mark == 1 and len(mark.problems[STEP].tries) == 2 and not mark.contradictions
    late = Course(late="none", sheets={"h01": Dates(due=datetime(2026, 3, 2, 23))})
    again = marked(tmp_path / "b", answered(right()), answered(right(), at=AT + DAY), course=late).of(ROBIN, PLAN)
    assert again.mark == 1 and not again.contradictions, "right twice, once in time"


def test_tries_of_both_records_count(tmp_path):
    three = (answered("1 °C"), answered("2 °C", at=AT + DAY), answered(right(), at=AT + 2 * DAY))
    for tries, mark in ((2, 0.0), (3, 1.0)):
        found = marked(tmp_path / str(tries), *three, course=Course(tries=tries))
        assert found.of(ROBIN, PLAN).mark == mark
    assert marked(tmp_path / "2", course=Course(tries=2)).reason(ROBIN, PLAN).startswith("too many tries: 02-step")


def test_more_answers_than_any_sheet_takes_are_not_read_on(tmp_path, monkeypatch):
    monkeypatch.setattr("tempkit.marking.class_marks.MOST_MERGED", 3)
    marks = marked(tmp_path, answered("1 °C", "2 °C", right()), answered("4 °C"))
    assert marks.of(ROBIN, PLAN).mark == 1 and any("more than 3 answers" in told for _, told in reasons(marks))
    assert "besides, unreadable: 1.json" in marks.reason(ROBIN, PLAN)


FILES = {
    "unreadable": lambda folder: (folder / "h01_BENCH-9_ROBIN (1).json").write_text("{"),
    "zip": lambda folder: (folder / "h01_BENCH-9_ROBIN.zip").write_bytes(b"PK\x03\x04"),
    "zip, renamed": lambda folder: (folder / "h01_BENCH-9_ROBIN.json").write_bytes(b"PK\x03\x04" + bytes(50)),
    "zip, in their folder": lambda folder: hand_in_text(folder / "Robin R._4711_file", "answers.ZIP"),
    "wrong course code": lambda folder: hand_in(folder, answered(right(), student=replace(ROBIN, course="OTHER"))),
    "wrong student code": lambda folder: hand_in(
        folder / "robin", answered(right(), student=replace(ROBIN, student="ROBYN"))
    ),
    "wrong name": lambda folder: hand_in(folder, answered(right()), "h01_BENCH-9_ROBIN.json.txt"),
    "wrong name, of another": lambda folder: hand_in(
        folder, answered(right(student=KIM), student=KIM), answered().name
    ),
    "newer problem version": lambda folder: hand_in(folder, answered(right(), version=9)),
    "no answer record": lambda folder: hand_in_text(folder / "ROBIN", "h01.ipynb"),
    "put aside": lambda folder: hand_in(folder / "ROBIN" / "old", answered(right())),
    "in another's folder": lambda folder: hand_in(folder / "KIM", answered(right())),
    "another's answers": lambda folder: hand_in(folder / "ROBIN", answered(right(student=KIM), student=KIM)),
    "another sheet": lambda folder: hand_in(folder, msgspec.structs.replace(answered("1 °C"), sheet="h02")),
    "nothing handed in": lambda folder: None,
}


def hand_in_text(folder, name):
    folder.mkdir(parents=True)
    (folder / name).write_text("x")


@pytest.mark.parametrize("kind", FILES)
def test_no_zero_without_its_own_word(tmp_path, kind):
    """In marks.csv, on the student's page, in the report, in what is printed; a mark set by hand changes none."""
    word, folder, out = kind.partition(",")[0], tmp_path / "in", tmp_path / "out"
    folder.mkdir(exist_ok=True)
    FILES[kind](folder)
    (tmp_path / "roster.csv").write_text("student,name,course\nROBIN,Robin R.,BENCH-9\nKIM,,BENCH-9\n")
    (tmp_path / "hand.csv").write_text("student,sheet,problem,mark,reason\nROBIN,h01,02-step-in-degrees,1,on paper\n")
    for override, mark in ((None, "0"), (tmp_path / "hand.csv", "1")):
        done = mark_folder(folder, tmp_path / "roster.csv", out, sheets=["h01"], override=override, now=LATER)
        row = rows(out / "marks.csv")[0]
        assert (row["state"], row["mark"], row["set_by_hand"]) == (word, mark, mark)
        assert row["reason"]
        page = html.unescape((out / "pages" / "BENCH-9_ROBIN.html").read_text(encoding="utf-8"))
        report = html.unescape((out / "class-report.html").read_text(encoding="utf-8"))
        assert f"{mark} of 11</strong>" in page and handed_in.ADVICE[word] in page and word in report
        assert (handed_in.ADVICE["nothing handed in"] in page) == (word == "nothing handed in")
        assert word in done.words()


@pytest.mark.parametrize(
    "texts, told",
    [((), "no answer in it"), (("words",), "no answer could be read"), (("1 °C",), "no answer is right")],
)
def test_a_zero_of_a_readable_record_says_why(tmp_path, texts, told):
    assert marked(tmp_path, answered(*texts)).reason(ROBIN, PLAN) == told


def test_a_late_zero_and_a_part_that_cannot_be_marked_say_why(tmp_path):
    late = Course(late="none", sheets={"h01": Dates(due=datetime(2026, 3, 1))})
    assert (
        marked(tmp_path / "a", answered(right()), course=late).reason(ROBIN, PLAN) == "right, late: 02-step-in-degrees"
    )
    part = both(answered(right(0), place=0), answered(right(), version=9))
    marks = marked(tmp_path / "b", part)
    assert (marks.of(ROBIN, PLAN).mark, marks.state(ROBIN, PLAN)) == (1, "marked")
    assert marks.reason(ROBIN, PLAN) == "newer problem version: 02-step-in-degrees"
    one = marks.of(ROBIN, PLAN).problems[STEP]
    assert one.state == "newer problem version" and one.tries[0].text == right()


def forged():
    """A record of ROBIN that somebody else wrote: later than all, and wrong."""
    return both(*(answered("1", place=place, at=AT + 9 * DAY) for place in range(11)))


def whole_sheet():
    return both(*(answered(right(place), place=place) for place in range(10)))


@pytest.mark.parametrize("place", ["KIM", "kim", "KIM/ROBIN", "KIM_4711_file", "in/KIM/h01"])
def test_a_record_in_anothers_folder_never_decides_a_mark(tmp_path, place):
    hand_in(tmp_path / "ROBIN", whole_sheet())
    before = mark_class(tmp_path, (ROBIN, KIM), now=LATER).of(ROBIN, PLAN)
    assert before.mark == 10
    hand_in(tmp_path / place, forged())
    marks = mark_class(tmp_path, (ROBIN, KIM), now=LATER)
    assert marks.of(ROBIN, PLAN) == before
    assert any(
        "lies in the folder of KIM and holds the codes of ROBIN: it decides no mark" in t for _, t in reasons(marks)
    )
    assert "besides, in another's folder" in marks.reason(ROBIN, PLAN)
    assert marks.state(KIM, PLAN) == "another's answers"


def test_a_record_with_anothers_name_never_stands_beside_their_own(tmp_path):
    hand_in(tmp_path, whole_sheet())
    hand_in(tmp_path, forged(), "h01_BENCH-9_KIM.json")
    marks = mark_class(tmp_path, (ROBIN, KIM), now=LATER)
    assert marks.of(ROBIN, PLAN).mark == 10 and marks.state(KIM, PLAN) == "wrong name"
    assert any("has the name of another student and does not count" in told for _, told in reasons(marks))


def test_a_folder_of_a_group_is_nobodys(tmp_path):
    hand_in(tmp_path / "ROBIN and KIM", answered(right()))
    hand_in(tmp_path / "robins and others", answered(right(student=KIM), student=KIM))
    marks = mark_class(tmp_path, (ROBIN, KIM), now=LATER)
    assert [mark.mark for mark in marks.handed_in(PLAN)] == [1, 1]


@pytest.mark.skipif(os.name != "posix", reason="links of POSIX")
def test_copied_homes_are_marked_and_no_link_is_followed(tmp_path):
    """`--homes`: only the folder of answers in each home is looked at, and a home decides about nobody else."""
    answers = "book/notebooks/answers"
    hand_in(tmp_path / "robin" / answers, whole_sheet())
    (tmp_path / "robin" / "diary.json").write_text("private")
    hand_in(tmp_path / "zoe" / answers, forged())
    (tmp_path / "kim" / "book" / "notebooks").mkdir(parents=True)
    (tmp_path / "kim" / answers).symlink_to(tmp_path / "robin" / answers)
    (tmp_path / "lee").symlink_to(tmp_path / "robin")
    (tmp_path / "new").mkdir()
    marks = mark_class(tmp_path, (ROBIN, KIM), sheets=["h01"], now=LATER, homes=True)
    assert marks.of(ROBIN, PLAN).mark == 10 and marks.of(KIM, PLAN) is None
    assert marks.state(KIM, PLAN) == "unreadable" and "a link: not followed" in marks.reason(KIM, PLAN)
    told = dict(reasons(marks))
    assert "lies in the folder of zoe" in told[f"zoe/{answers}/h01_BENCH-9_ROBIN.json"]
    assert "a link: not followed" in told[f"lee/{answers}"] and "no sheet was begun" in told[f"new/{answers}"]
    assert not any("diary" in where for where in told)


def test_a_file_of_ours_that_somebody_changed_is_not_swept_away(tmp_path):
    first = Results(tmp_path)
    for name in ("kept.html", "gone.html"):
        first.put(name, "written here")
    first.save()
    (tmp_path / "kept.html").write_text("my own notes")
    Results(tmp_path).sweep()
    assert not (tmp_path / "gone.html").exists() and (tmp_path / "kept.html").read_text() == "my own notes"
