"""The class list and the instructor's overrides, read from CSV files; errors name the line."""

import csv
import io
from dataclasses import dataclass

from tempkit import exercises
from tempkit.marking.tables import separator_of, text_of_cell

LARGEST_BYTES = 20_000_000
LONGEST = 200


@dataclass(frozen=True)
class Student:
    """One student of a class list: `course` and `student` code, and the `name` for reports ("" for none)."""

    course: str
    student: str
    name: str = ""

    @property
    def key(self):
        """What tells students apart: course and student code."""
        return self.course, self.student


@dataclass(frozen=True)
class Override:
    """A mark for one problem that an instructor set by hand, from 0 to 1, with the `reason`."""

    mark: float
    reason: str


def read_roster(path, course=None):
    """The students of a class list, in its order.

    The file is CSV in UTF-8 or UTF-16, columns parted by commas, semicolons or tabs, with a head line that names them:
    `student` (code), and as you like `name` and `course`. Without that column, `course` is the code for all. Raises
    `ValueError` that names the line.
    """
    students, seen = [], {}
    for line, row in _rows(path, ("student",)):
        try:
            code = row.get("course") or course
            if not code:
                raise ValueError("no course code: add a column `course`, or name the course in the course file")
            found = Student(
                exercises.safe_code(code, "the course code"),
                exercises.safe_code(row["student"], "the student code"),
                row.get("name", "")[:LONGEST],
            )
            if found.key in seen:
                raise ValueError(f"{found.student} stands in line {seen[found.key]} already")
        except ValueError as error:
            raise ValueError(f"{path}, line {line}: {error}") from None
        seen[found.key] = line
        students.append(found)
    if not students:
        raise ValueError(f"{path} lists nobody: one line for each student follows the head line")
    return tuple(students)


def read_overrides(path, known):
    """Marks set by hand: {(course, student, sheet, problem id): `Override`}; `known` are the students of the class.

    The file is CSV with the columns `student`, `sheet`, `problem`, `mark` (0 to 1), `reason`, and `course` where a
    student code is in several courses. Raises `ValueError` that names the line.
    """
    found = {}
    for line, row in _rows(path, ("student", "sheet", "problem", "mark", "reason")):
        try:
            key, override = _override(row, known)
            if key in found:
                raise ValueError("this mark was set in an earlier line already")
        except ValueError as error:
            raise ValueError(f"{path}, line {line}: {error}") from None
        found[key] = override
    return found


def _override(row, known):
    code = exercises.safe_code(row["student"], "the student code")
    owners = [s for s in known if s.student == code and row.get("course", "").upper() in ("", s.course)]
    if len(owners) != 1:
        raise ValueError(f"student {code} is {'in several courses: name one' if owners else 'not on the class list'}")
    plan = exercises.sheet_plan(row["sheet"])
    if row["problem"] not in plan.ids:
        raise ValueError(f"problem {row['problem'][:80]!r} is not on sheet {plan.id}: {', '.join(plan.ids)}")
    if not row["reason"]:
        raise ValueError("give the reason: it is printed on the student's page")
    return (*owners[0].key, plan.id, row["problem"]), Override(_mark(row["mark"]), row["reason"][:LONGEST])


def _mark(text):
    try:
        mark = float(text.replace(",", "."))
    except ValueError:
        mark = -1.0
    if not 0 <= mark <= 1:
        raise ValueError(f"mark {text[:20]!r} is not a number from 0 to 1")
    return mark


def _rows(path, needed):
    """Pairs of line number and row (column name -> text without outer spaces) of a CSV file with a head line."""
    try:
        text = exercises.text_of(exercises.read_bytes(path, LARGEST_BYTES))
    except UnicodeError:
        raise ValueError(f"{path} is not text in UTF-8 or UTF-16: save it as “CSV UTF-8”") from None
    except exercises.RecordError as error:
        raise ValueError(f"{path}: {error}") from None
    reader = csv.reader(io.StringIO(text), delimiter=separator_of(text), strict=True)
    try:
        names = [name.strip().lower() for name in next(reader, ())]
        missing = [name for name in needed if name not in names]
        if missing or len(set(names)) < len(names):
            raise ValueError(f"{path}, line 1: the head line must name {', '.join(needed)}, each once; found {names}")
        for cells in reader:
            if any(cell.strip() for cell in cells):
                if len(cells) != len(names):
                    raise ValueError(
                        f"{path}, line {reader.line_num}: {len(cells)} columns, the head line has {len(names)}"
                    )
                yield reader.line_num, dict(zip(names, (text_of_cell(cell.strip()) for cell in cells), strict=True))
    except csv.Error as error:
        raise ValueError(f"{path}, line {reader.line_num}: not CSV ({error})") from None
