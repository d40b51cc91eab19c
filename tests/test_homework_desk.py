"""The marking desk: class lists, an invented class from end to end, tables, pages, reports, the command line."""

import csv
import hashlib
import io
import json
import re
import subprocess
import sys
from datetime import datetime

import pytest

from classroom import KIM, LATER, PLAN, ROBIN, answered, hand_in, right, rows
from tempkit.__main__ import main
from tempkit.exercises import Course, Dates, Record
from tempkit.marking import delete, found_of, invent, mark_folder, misconceptions, tables, write_handouts
from tempkit.marking.class_marks import mark_class
from tempkit.marking.invented import invented_records
from tempkit.marking.report import report
from tempkit.marking.roster import read_overrides, read_roster


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
    for found in misconceptions.evidence(marked.marks, PLAN):
        key = found.key or "other"
        by_hand = sum(a["problem"] == found.problem.id and key in a["wrong_ways"].split() for a in answers)
        assert (found.students, found.of) == (by_hand, 27)


def test_ideas_count_a_student_once(invented):
    taught = misconceptions.to_teach_again(invented[1].marks)
    assert len(taught) == 3 and [i.students for i in taught] == sorted((i.students for i in taught), reverse=True)
    answers = rows(invented[0] / "out" / "answers.csv")
    for idea in taught:
        students = {
            a["student"] for a in answers for key in a["wrong_ways"].split()
            if key != "other" and misconceptions.idea_of(a["problem"], key) == idea.text
        }  # fmt: skip
        assert len(students) == idea.students <= idea.of == 27


def test_every_idea_stands_for_some_wrong_way():
    from fnmatch import fnmatchcase

    from tempkit.exercises import problems

    ways = [f"{p.id}/{key}" for p in problems().values() for key in misconceptions.wrong_keys(p)]
    for text, patterns in misconceptions.IDEAS:
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
    assert "To teach again" in anonymous and "problems and slips" in anonymous


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


SPREADSHEETS = {"semicolons": ";", "tabs": "\t", "commas": ","}


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "utf-16-le"])
@pytest.mark.parametrize("separator", SPREADSHEETS.values(), ids=SPREADSHEETS)
def test_class_lists_and_marks_by_hand_as_spreadsheets_save_them(tmp_path, separator, encoding):
    text = "student,name,course\r\nrobin,Robin R.,bench-9\r\nKIM,Zoë,BENCH-9\r\n".replace(",", separator)
    (tmp_path / "roster.csv").write_bytes(text.encode(encoding))
    assert [student.name for student in read_roster(tmp_path / "roster.csv")] == ["Robin R.", "Zoë"]
    text = "student,sheet,problem,mark,reason\r\nrobin,h01,02-step-in-degrees,0.5,näher\r\n".replace(",", separator)
    (tmp_path / "hand.csv").write_bytes(text.encode(encoding))
    assert [set_.reason for set_ in read_overrides(tmp_path / "hand.csv", (ROBIN,)).values()] == ["näher"]


@pytest.mark.parametrize("semicolon", [False, True])
def test_tables_open_in_a_spreadsheet_without_damage(tmp_path, semicolon):
    """UTF-8 is told by its mark; with a decimal comma the columns part at semicolons. Both are read back."""
    hand_in(tmp_path / "in", answered(right()))
    (tmp_path / "roster.csv").write_text("student;name;course\nROBIN;Zoë;BENCH-9\nKIM;Kim;BENCH-9\n", encoding="utf-8")
    (tmp_path / "hand.csv").write_text("student,sheet,problem,mark,reason\nROBIN,h01,01-limits-stay,0.5,half right\n")
    out, by_hand = tmp_path / "out", tmp_path / "hand.csv"
    more = {"override": by_hand, "now": LATER, "semicolon": semicolon}
    mark_folder(tmp_path / "in", tmp_path / "roster.csv", out, **more)
    for name in ("marks.csv", "answers.csv", "odd.csv"):
        assert (out / name).read_bytes().startswith(b"\xef\xbb\xbf")
    head, line, *_ = (out / "marks.csv").read_text(encoding="utf-8-sig").splitlines()
    assert head.startswith("course;student;" if semicolon else "course,student,")
    assert ("1,5;11" if semicolon else "1.5,11") in line and "Zoë" in line
    assert [student.student for student in read_roster(out / "marks.csv")] == ["ROBIN", "KIM"]
    delete(found_of("KIM", [out]))
    after = (out / "marks.csv").read_text(encoding="utf-8-sig").splitlines()
    assert after[:2] == [head, line] and len(after) == 2 and (out / "marks.csv").read_bytes()[:3] == b"\xef\xbb\xbf"


def test_marking_removes_only_what_it_wrote(tmp_path):
    out, roster = tmp_path / "out", tmp_path / "roster.csv"
    (out / "pages").mkdir(parents=True)
    for name in ("pages/my_notes.html", "pages/BENCH-9_OLD.html", "marks.csv"):
        (out / name).write_text("mine")
    hand_in(tmp_path / "in", answered("1 °C"))

    def mark(*codes):
        roster.write_text("student,course\n" + "".join(f"{code},BENCH-9\n" for code in codes))
        return mark_folder(tmp_path / "in", roster, out, now=LATER)

    assert mark("ROBIN", "KIM", "LEE").kept == ("marks-kept-1.csv",)
    assert (out / "marks-kept-1.csv").read_text() == "mine"
    (out / "pages" / "BENCH-9_LEE.html").write_text("with a word of the teacher's")
    (out / "answers.csv").write_text("edited")
    done = mark("ROBIN")
    assert done.kept == ("answers-kept-1.csv",) and "kept: answers-kept-1.csv" in done.words()
    assert sorted(path.name for path in (out / "pages").iterdir()) == [
        *("BENCH-9_LEE.html", "BENCH-9_OLD.html", "BENCH-9_ROBIN.html", "my_notes.html"),
    ]
    assert mark("ROBIN").kept == () and (out / "answers-kept-1.csv").read_text() == "edited"


def test_a_list_of_results_removes_nothing_outside(tmp_path):
    outside = tmp_path / "outside.txt"
    outside.write_text("mine")
    digest = hashlib.sha256(b"mine").hexdigest()
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / tables.MANIFEST).write_text(f"{digest}  ../outside.txt\n{digest}  {outside}\nnonsense\n")
    results = tables.Results(tmp_path / "out")
    results.put("a.txt", "a")
    results.sweep()
    assert outside.read_text() == "mine" and (tmp_path / "out" / "a.txt").read_text() == "a"


def test_forget_names_what_still_holds_the_student(tmp_path, capsys):
    made = tmp_path / "c"
    invent(made, 4, seed=1)
    hand_in(made / "handed-in", answered("1 °C"), "h01_BENCH-9_S-3.json.txt")
    (made / "handed-in" / "h01_BENCH-9_S-3.zip").write_bytes(b"PK")
    folders = [str(made / name) for name in ("handed-in", "out", "print")]
    mark_folder(made / "handed-in", made / "roster.csv", made / "out", now=LATER)
    write_handouts("h01", made / "roster.csv", made / "print")
    assert main(["homework", "forget", "S-3", *folders, str(made), "--yes"]) == 0
    deleted, _, holding = capsys.readouterr().out.partition("These still name the student:")
    for name in ("h01_BENCH-9_S-3.json", "h01_BENCH-9_S-3.json.txt", "h01_BENCH-9_S-3.zip", "BENCH-9_S-3.html"):
        assert name in deleted and name not in holding
    for name in ("class-report.html", "h01-hand-outs.html", "h01-key.html", "roster.csv"):
        assert name in holding
    assert "mark the class again" in holding and "S-3" not in (made / "out" / tables.MANIFEST).read_text()
    roster = made / "roster.csv"
    roster.write_text("".join(line for line in roster.read_text().splitlines(True) if "S-3" not in line))
    assert mark_folder(made / "handed-in", roster, made / "out", now=LATER).kept == ()
    write_handouts("h01", roster, made / "print")
    assert main(["homework", "forget", "S-3", *folders, str(made), "--yes"]) == 0
    assert capsys.readouterr().out == "Nothing of this student was found.\n"


@pytest.mark.parametrize(
    "more, reason",
    [
        ({"students": 0}, "0 students: must be 2 to 10,000"),
        ({"students": -3}, "-3 students"),
        ({"students": 1}, "1 students"),
        ({"students": 10**9}, "students: must be"),
        ({"seed": -1}, "seed -1: must be a whole number from 0"),
        ({"sheets": ("h01", "h99")}, "no sheet 'h99'"),
        ({"course": "BENCH 9"}, "the course code 'BENCH 9' cannot be used"),
    ],
)
def test_an_invented_class_is_refused_before_a_folder_is_made(tmp_path, more, reason):
    with pytest.raises(ValueError, match=re.escape(reason)):
        invent(tmp_path / "c", **more)
    assert not (tmp_path / "c").exists()
    (tmp_path / "file").write_text("mine")
    with pytest.raises(ValueError, match="cannot be made a folder"):
        invent(tmp_path / "file")


def test_dates_of_the_command_line(tmp_path, capsys):
    hand_in(tmp_path / "in", answered(right()))  # at 15:01 UTC on 2 March 2026
    (tmp_path / "roster.csv").write_text("student,course\nROBIN,BENCH-9\n")
    out = tmp_path / "out"
    base = ["homework", "mark", str(tmp_path / "in"), "--roster", str(tmp_path / "roster.csv"), "--out", str(out)]
    for due, late in (("2026-03-02", "0"), ("2026-03-01", "1"), ("2026-03-02T15:00", "1")):
        assert main([*base, "--due", f"h01={due}", "--late", "none"]) == 0
        assert rows(out / "marks.csv")[0]["late"] == late
    told = "Due on 2 March 2026, 15:00 (UTC). An answer after that does not count."
    assert told in capsys.readouterr().out
    for name in ("class-report.html", "pages/BENCH-9_ROBIN.html"):
        assert told in (out / name).read_text(encoding="utf-8")
    page = (out / "pages" / "BENCH-9_ROBIN.html").read_text(encoding="utf-8")
    assert "1 of the answers came after 2 March 2026, 15:00 (UTC); each does not count." in page
    for more, reason in (
        (["--late", "half"], "--late half: no due date for any sheet"),
        (["--late", "half", "--sheet", "h02", "--due", "h01=2026-03-02"], "no due date for h02"),
        (["--due", "h01"], "write the sheet and a time"),
    ):
        assert main([*base, *more]) == 2
        assert reason in capsys.readouterr().err


@pytest.mark.parametrize("semicolon", [False, True])
@pytest.mark.parametrize("text", ["007", "3-4", "1E5", "mar-1", "7,5", "1/2", "12.5.2026", "1:30", "7.50", "2 mar"])
def test_what_a_spreadsheet_would_take_for_a_date_or_another_number_comes_back(text, semicolon):
    (told,) = list(csv.reader(io.StringIO(tables.as_csv(("x",), [(text,)], semicolon)), delimiter=",;"[semicolon]))[1]
    assert told == (text if text == "7.50" and not semicolon else f"'{text}") and tables.text_of_cell(told) == text


@pytest.mark.parametrize("text", ["01-limits-stay", "ROBIN-07", "4.88 mV", "h01", "S-1", "MARCO-1", "7", "'t Hooft"])
def test_other_text_stays_as_it_is(text):
    assert tables.cell(text) == text == tables.text_of_cell(text)


def test_codes_that_look_like_numbers_are_marked_and_forgotten(tmp_path):
    (tmp_path / "roster.csv").write_text("student,course\n007,1-2\n3-4,1-2\n")
    (tmp_path / "in").mkdir()
    mark_folder(tmp_path / "in", tmp_path / "roster.csv", tmp_path / "out", sheets=["h01"], now=LATER)
    assert [s.key for s in read_roster(tmp_path / "out" / "marks.csv")] == [("1-2", "007"), ("1-2", "3-4")]
    delete(found_of("007", [tmp_path / "out"], "1-2"))
    assert [s.key for s in read_roster(tmp_path / "out" / "marks.csv")] == [("1-2", "3-4")]
