"""What an instructor sets for a course, as a student's sheet shows it; and how a wrong course file is refused."""

from datetime import timedelta

import pytest

from tempkit.exercises import answers, course, sheet
from test_homework_sheets import button, field, opened, seen, told

COURSE = """
course = "BENCH-9"
zone = "+01:00"
[sheets.h01]
due = 2026-12-04T18:00:00
solutions = {solutions}
"""


@pytest.fixture
def dates(tmp_path, monkeypatch):
    """`dates(text)` puts a course file beside the notebook."""

    def put(text):
        path = tmp_path / "my-course.toml"
        path.write_text(text)
        monkeypatch.setenv("TEMPKIT_COURSE", str(path))

    return put


@pytest.mark.parametrize("days, held", [(-1, False), (1, True)])
def test_a_date_keeps_solutions_closed(dates, days, held):
    there = answers.now().astimezone(course.zone("+01:00")) + timedelta(days=days)
    dates(COURSE.format(solutions=f"{there:%Y-%m-%dT%H:%M:%S}"))
    box = opened()
    assert "Due on 4 December 2026, 18:00 (+01:00). An answer after that counts in full." in told(box)
    box.answer(1, box.cards[0].posed.model_answer())
    assert seen(button(box.cards[0], "Worked solution")) != held
    assert ("The worked solution opens on" in told(box.cards[0])) == held
    box.cards[0].solve()
    assert ("Worked solution:" in told(box.cards[0])) != held


def test_the_course_code_of_the_course_file_is_filled_in(dates):
    dates(COURSE.format(solutions="2026-12-05T00:00:00"))
    answers.enter("OTHER", "ROBIN")
    box = sheet("h01")
    assert not box.cards and field(box, "Course code").value == "BENCH-9"


@pytest.mark.parametrize(
    "text, reason",
    [
        ("course = 5", "got `int`"),
        ('course = "bench 9"', "regex"),
        ('zone = "Mars/Base"', "'Mars/Base' is not known"),
        ('zone = "../../etc/passwd"', "not known"),
        ('late = "never"', "Invalid enum value"),
        ("tries = 0", ">= 1"),
        ("sheets = 1", "Expected `object`"),
        ("[sheets.h01]\ndue = 2026-12-04T18:00:00Z", "timezone"),
        ("[sheets.h01]\ndew = 2026-12-04T18:00:00", "unknown field `dew`"),
        ('[sheets."../x"]', "regex"),
        ("course = ", "Invalid value"),
    ],
)
def test_a_course_file_that_is_wrong_is_refused_in_words(dates, text, reason):
    dates(text)
    with pytest.raises(ValueError, match=rf"my-course.toml is not a course file.*{reason}"):
        sheet("h01")


def test_a_sheet_beside_a_course_file_refuses_another_course(dates, tmp_path):
    """Answers under another code would count for nobody; nothing is written for it."""
    dates(COURSE.format(solutions="2026-12-05T00:00:00"))
    reason = "the course code 'OTHER' is not that of the course file beside this notebook, which is 'BENCH-9'"
    with pytest.raises(ValueError, match=reason):
        sheet("h01", "OTHER", "ROBIN")
    box = sheet("h01")
    field(box, "Course code").value, field(box, "Student code").value = "OTHER", "ROBIN"
    button(box._form, "Begin").click()
    assert not box.cards and "which is 'BENCH-9': enter BENCH-9" in told(box) and answers.who() is None
    field(box, "Course code").value = " bench-9 "
    button(box._form, "Begin").click()
    assert box.cards and answers.who() == answers.Who("BENCH-9", "ROBIN")
    assert sheet("h01", student="ROBIN").keeper.record.course == "BENCH-9"


def test_codes_of_another_course_that_were_entered_before_are_not_taken(dates):
    answers.enter("OTHER", "ROBIN")
    dates(COURSE.format(solutions="2026-12-05T00:00:00"))
    assert "the course code 'OTHER' is not that of the course file" in told(sheet("h01"))


def test_a_date_alone_is_a_whole_day_and_any_editor_may_save_the_file(tmp_path):
    for encoding in ("utf-8-sig", "utf-16"):
        text = "late = 'half'\n[sheets.h01]\ndue = 2026-12-04\nsolutions = 2026-12-05\n"
        (tmp_path / "c.toml").write_bytes(text.encode(encoding))
        found = course.read_course(tmp_path / "c.toml")
        assert found.due("h01").isoformat() == "2026-12-04T23:59:59+00:00"
        assert found.solutions("h01").isoformat() == "2026-12-05T00:00:00+00:00"
        assert found.due_told("h01") == "Due on 4 December 2026, 23:59 (UTC). An answer after that counts half."
