"""Marking as one step, for the command line and for the notebook: read, mark, write, and say what came of it."""

from dataclasses import dataclass, field
from pathlib import Path

from tempkit.exercises import Course
from tempkit.marking import misconceptions, report
from tempkit.marking.class_marks import ClassMarks, mark_class
from tempkit.marking.report import share_text
from tempkit.marking.roster import read_overrides, read_roster
from tempkit.marking.student_pages import write_pages
from tempkit.marking.tables import Results, write_tables


@dataclass(frozen=True)
class Marked:
    """A class as marked: the `marks`, the folder `out` that now holds the results, and the names under which files
    were `kept` there that had been changed since, or never were results."""

    marks: ClassMarks = field(repr=False)
    out: Path
    kept: tuple = ()

    def words(self):
        """What came of it, in lines: how many handed in, the ideas to teach again, what was odd, where it all is."""
        return "".join(f"{line}\n" for line in self._lines())

    def _lines(self):
        marks = self.marks
        for plan in marks.plans:
            found = marks.handed_in(plan)
            mean = f", mean mark {self.mean(plan.id):.1f} of {len(plan.ids)}" if found else ""
            yield f"{plan.id}: {share_text(len(found), len(marks.students))} handed in{mean}"
            others = report.not_marked(marks, plan)
            yield from [f"{plan.id}: {'; '.join(others)}"] * bool(others)
            yield from [f"{plan.id}: {marks.course.due_told(plan.id)}"] * bool(marks.course.due(plan.id))
        if not marks.plans:
            yield "No answer record of this class was found."
        yield from self.to_teach_again()
        yield f"{len(marks.odd)} odd in the folder" + (", see odd.csv" if marks.odd else "")
        yield f"written to {self.out}: marks.csv, answers.csv, odd.csv, class-report.html, pages"
        if self.kept:
            yield f"changed since they were written here, or not from here, and kept: {', '.join(self.kept)}"

    def mark_of(self, student, sheet):
        """The mark of a student code for a sheet, None where there is none."""
        found = (mark for key, mark in self.marks.marks.items() if key[1:] == (student, sheet))
        return next((mark.mark for mark in found), None)

    def mean(self, sheet):
        """The mean mark of those who have one for a sheet, None where nobody has."""
        values = [mark.mark for key, mark in self.marks.marks.items() if key[2] == sheet]
        return sum(values) / len(values) if values else None

    def to_teach_again(self):
        """The ideas to teach again, one line each."""
        for place, idea in enumerate(misconceptions.to_teach_again(self.marks), 1):
            yield f"teach again {place}: {idea.text} {share_text(idea.students, idea.of)}"


def mark_folder(
    folder, roster, out, course=None, sheets=None, override=None, names=True, tell=None, now=None,
    semicolon=False, homes=False,
):  # fmt: skip
    """Mark a folder of hand-ins and write all results into the folder `out`; returns a `Marked`.

    `roster` is the class list (CSV), `course` the settings, `sheets` the sheets to mark (None: all handed in),
    `override` a CSV file of marks set by hand, `names` False for a class report that names nobody;
    `tell("files")` and `tell("pages")` make callables (done, of) that show progress; `semicolon` is for spreadsheets
    with a decimal comma; `homes` for a folder of copied homes of the class server. Files in `out` that were not written
    there by marking, or changed since, are kept. Raises `ValueError` for
    a class list, override file or folder that is not as it must be; no hand-in ever raises.
    """
    course = course or Course()
    students = read_roster(roster, course.course)
    overrides = read_overrides(override, students) if override else {}
    out = Path(out)
    show = tell or (lambda what: None)
    marks = mark_class(folder, students, course, sheets, overrides, (out,), show("files"), now, homes)
    try:
        results = Results(out)
        write_tables(marks, results, semicolon)
        results.put("class-report.html", report.report(marks, names))
        write_pages(marks, results, show("pages"), now)
        results.sweep()
    except OSError as error:
        raise ValueError(f"{error.filename or out} cannot be written ({error.strerror})") from None
    return Marked(marks, out, tuple(results.kept))
