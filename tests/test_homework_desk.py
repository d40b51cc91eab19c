"""The marking desk: class lists, an invented class from end to end, tables, pages, reports, the command line."""

import csv
import io
import json
import re
import subprocess
import sys
from datetime import datetime

import pytest

from classroom import KIM, LATER, PLAN, ROBIN, answered, hand_in, right, rows
from tempkit.__main__ import main
from tempkit.homework import ideas, tables
from tempkit.homework.classmarks import mark_class
from tempkit.homework.course import Course, Dates
from tempkit.homework.desk import mark_folder
from tempkit.homework.forget import delete, found_of
from tempkit.homework.invented import invent, invented_records
from tempkit.homework.records import Record
from tempkit.homework.report import report
from tempkit.homework.roster import read_roster


@pytest.mark.parametrize(
    "data",
    [
        b"student,name,course\nrobin,Robin R.,bench-9\nKIM,,BENCH-9\n",
        "\ufeffStudent;Name;Course\r\nrobin;Robin R.;bench-9\r\n\r\nKIM;;BENCH-9\r\n".encode(),
        b'course, student ,name,group\nBENCH-9,"robin","Robin R.",a\nBENCH-9,KIM,"",b',
    ],
)
def test_class_lists(tmp_path, data):
    (tmp_path / "roster.csv").write_bytes(data)
    assert read_roster(tmp_path / "roster.csv") == (ROBIN, KIM)


@pytest.mark.parametrize(
    "data, reason",
    [
        (b"", "line 1: the head line must name student"),
        (b"name\nRobin\n", "must name student"),
        (b"student,student\na,b\n", "each once"),
        (b"student\n", "lists nobody"),
        (b"student\nROBIN\n", "line 2: no course code"),
        (b"student,course\n../x,BENCH-9\n", "line 2: the student code '../x' cannot be used"),
        (b"student,course\nR,BENCH-9\nr ,bench-9\n", "line 3: R stands in line 2 already"),
        (b"student,course\nR\n", "line 2: 1 columns"),
        (b'student,course\n"R,B\n', "not CSV"),
        (b"student,course\n\xff,B\n", "not text in UTF-8"),
        (b"student,course\n" + b"R" * 200_000 + b",B\n", "not CSV"),
    ],
)
def test_wrong_class_lists_are_refused_with_their_line(tmp_path, data, reason):
    (tmp_path / "roster.csv").write_bytes(data)
    with pytest.raises(ValueError, match=re.escape(reason)):
        read_roster(tmp_path / "roster.csv")


def test_a_missing_class_list_or_folder(tmp_path):
    with pytest.raises(ValueError, match="cannot be opened: No such file"):
        read_roster(tmp_path / "none.csv")
    with pytest.raises(ValueError, match="is not a folder"):
        mark_class(tmp_path / "none", (ROBIN,))


@pytest.fixture(scope="module")
def invented(tmp_path_factory):
    """An invented class of 30, marked."""
    folder = tmp_path_factory.mktemp("class")
    invent(folder, 30, seed=1)
    marked = mark_folder(folder / "handed-in", folder / "roster.csv", folder / "out", now=LATER)
    return folder, marked


def test_the_invented_class_is_the_same_every_time(tmp_path, invented):
    invent(tmp_path / "again", 30, seed=1)
    for path in sorted((invented[0] / "handed-in").iterdir()):
        assert (tmp_path / "again" / "handed-in" / path.name).read_bytes() == path.read_bytes()
    with pytest.raises(ValueError, match="holds a class already"):
        invent(tmp_path / "again")
    assert list(invented_records(["S-1"], 1, "h01")) != list(invented_records(["S-1"], 2, "h01"))


def test_what_the_instructor_reads(invented):
    words = invented[1].words()
    assert "h01: 27 of 30 (90 %) handed in" in words and "5 odd in the folder" in words
    assert words.count("teach again") == 3


def test_marks_and_answers_agree_with_each_other_and_with_a_second_count(invented):
    folder, marked = invented
    marks, answers = rows(folder / "out" / "marks.csv"), rows(folder / "out" / "answers.csv")
    assert len(marks) == 30 and {row["state"] for row in marks} == {
        *("marked", "nothing handed in", "unreadable"),
    }
    for row in marks:
        mine = [float(a["mark"]) for a in answers if a["student"] == row["student"]]
        assert float(row["mark"]) == sum(mine) and row["out_of"] == "11"
        path = folder / "handed-in" / row["hand_in"]
        if row["state"] == "marked":  # the second count: what the notebook itself noted when it was answered
            told = json.loads(path.read_text())["answers"]
            assert len({a["problem"] for a in told if a["right"]}) == float(row["mark"])
            assert len(told) == int(row["tries"])


def test_the_table_of_wrong_ways_agrees_with_a_count_by_hand(invented):
    folder, marked = invented
    answers = rows(folder / "out" / "answers.csv")
    for found in ideas.evidence(marked.marks, PLAN):
        key = found.key or "other"
        by_hand = sum(a["problem"] == found.problem.id and key in a["wrong_ways"].split() for a in answers)
        assert (found.students, found.of) == (by_hand, 27)


def test_ideas_count_a_student_once(invented):
    taught = ideas.to_teach_again(invented[1].marks)
    assert len(taught) == 3 and [i.students for i in taught] == sorted((i.students for i in taught), reverse=True)
    answers = rows(invented[0] / "out" / "answers.csv")
    for idea in taught:
        students = {
            a["student"] for a in answers for key in a["wrong_ways"].split()
            if key != "other" and ideas.idea_of(a["problem"], key) == idea.text
        }  # fmt: skip
        assert len(students) == idea.students <= idea.of == 27


def test_every_idea_stands_for_some_wrong_way():
    from fnmatch import fnmatchcase

    from tempkit.homework import problems

    ways = [f"{p.id}/{key}" for p in problems() for key in ideas.wrong_keys(p)]
    for text, patterns in ideas.IDEAS:
        assert text.endswith(".")
        for pattern in patterns:
            assert any(fnmatchcase(way, pattern) for way in ways), pattern


def test_pages_hold_every_try_and_solutions_only_when_they_may(tmp_path):
    hand_in(tmp_path / "in", answered("1 °C", right()))
    (tmp_path / "roster.csv").write_text("student,name,course\nROBIN,Robin R.,BENCH-9\n")
    held = Course(sheets={"h01": Dates(solutions=datetime(2026, 7, 1))})
    for course, seen in ((Course(), True), (held, False)):
        mark_folder(tmp_path / "in", tmp_path / "roster.csv", tmp_path / "out", course, now=LATER)
        page = (tmp_path / "out" / "pages" / "BENCH-9_ROBIN.html").read_text(encoding="utf-8")
        assert "1 of 11" in page and "“1 °C”" in page and "✓ Right" in page and "Robin R." in page
        assert ("Worked solution" in page) == seen
        assert "<script" not in page and "http" not in page.replace("http-equiv", "")


def test_a_page_of_a_former_student_goes(tmp_path):
    hand_in(tmp_path / "in", answered("1 °C"))
    for listed in ("ROBIN,BENCH-9\nKIM,BENCH-9\n", "ROBIN,BENCH-9\n"):
        (tmp_path / "roster.csv").write_text(f"student,course\n{listed}")
        mark_folder(tmp_path / "in", tmp_path / "roster.csv", tmp_path / "out", now=LATER)
    assert [path.name for path in (tmp_path / "out" / "pages").iterdir()] == ["BENCH-9_ROBIN.html"]


def test_the_report_without_names_names_nobody(invented):
    marks = invented[1].marks
    named, anonymous = report(marks), report(marks, names=False)
    for student in marks.students:
        assert student.student in named
        assert student.student not in anonymous and student.name not in anonymous
    assert "GUEST-1" in named and "GUEST-1" not in anonymous and ".json" not in anonymous
    assert "To teach again" in anonymous and "problems and wrong ways" in anonymous


def test_csv_is_rfc_4180_and_harmless(tmp_path):
    names = ('=cmd|" /C calc"!A0', "+1", "-1+2", "@SUM(A1)", "\t=1", '"quoted", with comma', "two\nlines", "−7", "  =x")
    text = tables.as_csv(("name", "mark"), [(name, 7.5) for name in names])
    assert text.count("\r\n") == len(names) + 1 and "\n" not in text.replace("\r\n", "")
    for row in list(csv.reader(io.StringIO(text, newline="")))[1:]:
        assert row[1] == "7.5" and row[0].strip()[0] not in "=+-@\u2212"
    assert [tables.cell(number) for number in (0, 1.0, 0.5, "-3", "-3.25")] == ["0", "1", "0.5", "-3", "-3.25"]


def test_forget_a_student(tmp_path):
    invent(tmp_path / "c", 4, seed=1)
    folder, out = tmp_path / "c" / "handed-in", tmp_path / "c" / "out"
    hand_in(folder / "old", Record("BENCH-9", "h01", "S-3"), "h01_BENCH-9_S-3_before-1.json")
    mark_folder(folder, tmp_path / "c" / "roster.csv", out, now=LATER)
    found = found_of("s-3", [folder, out])
    assert len(found) == 5, [str(item) for item in found]
    delete(found)
    assert not found_of("S-3", [folder, out])
    assert "S-3" not in (out / "marks.csv").read_text() and "S-1" in (out / "marks.csv").read_text()
    assert len(rows(out / "marks.csv")) == 3
    assert found_of("S-2", [folder]), "a file that cannot be read is found by its name"
    with pytest.raises(ValueError, match="cannot be used"):
        found_of("../x", [folder])


def test_the_command_line(tmp_path, capsys):
    made = str(tmp_path / "c")
    assert main(["homework", "invent", made, "--students", "5"]) == 0
    base = ["homework", "mark", f"{made}/handed-in", "--roster", f"{made}/roster.csv", "--out", f"{made}/out"]
    assert main([*base, "--no-names", "--late", "none", "--due", "h01=2026-03-04T12:00", "--zone", "+01:00"]) == 0
    printed = capsys.readouterr()
    assert "h01: 3 of 5 (60 %) handed in" in printed.out
    assert "files: 7 of 7\n" in printed.err and "pages: 5 of 5\n" in printed.err
    late = [row for row in rows(tmp_path / "c" / "out" / "answers.csv") if row["late"] != "0"]
    assert late and all(row["mark"] == "0" for row in late if row["tries"] == row["late"])
    for more, reason in (
        (["--due", "h01=soon"], "write the sheet and a time"),
        (["--due", "h01=2026-03-04T12:00Z"], "the zone with --zone"),
        (["--zone", "Mars/Base"], "not known"),
        (["--sheet", "h99"], "no sheet 'h99'"),
        (["--course", "none.toml"], "cannot be opened"),
        (["--override", "none.csv"], "cannot be opened"),
    ):
        assert main([*base, *more]) == 2
        assert reason in capsys.readouterr().err
    assert main(["homework", "forget", "S-1", made, "--yes"]) == 0
    assert "Deleted" in capsys.readouterr().out
    assert main(["homework", "forget", "S-1", f"{made}/handed-in", "--yes"]) == 0
    assert "Nothing of this student" in capsys.readouterr().out


def test_results_inside_the_folder_are_not_marked(tmp_path):
    hand_in(tmp_path, answered(right()))
    (tmp_path / "roster.csv").write_text("student,course\nROBIN,BENCH-9\n")
    for _ in range(2):
        marked = mark_folder(tmp_path, tmp_path / "roster.csv", tmp_path / "out", now=LATER)
        assert [odd.where for odd in marked.marks.odd] == ["roster.csv"]


def test_marking_needs_no_widgets_and_no_pictures(tmp_path):
    code = (
        "import sys\nfrom tempkit.__main__ import main\n"
        f"main(['homework', 'invent', {str(tmp_path / 'c')!r}, '--students', '3'])\n"
        f"main(['homework', 'mark', {str(tmp_path / 'c/handed-in')!r}, '--roster', {str(tmp_path / 'c/roster.csv')!r},"
        f" '--out', {str(tmp_path / 'o')!r}])\n"
        "print(sorted({'ipywidgets', 'matplotlib', 'IPython', 'nbformat'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-B", "-c", code], capture_output=True, text=True, cwd=tmp_path)
    assert done.stdout.endswith("[]\n"), done.stderr
