"""Records and hand-ins for tests of marking, written as a notebook would write them."""

import csv
from datetime import UTC, datetime, timedelta

import msgspec

from tempkit.exercises import Answer, Record, figures_digest, sheet_plan
from tempkit.exercises import answers as records
from tempkit.marking.roster import Student

PLAN = sheet_plan("h01")
AT = datetime(2026, 3, 2, 15, 0, tzinfo=UTC)
LATER = datetime(2026, 6, 1, tzinfo=UTC)
ROBIN = Student("BENCH-9", "ROBIN", "Robin R.")
KIM = Student("BENCH-9", "KIM")
STEP = 5  # place of "02-step-in-degrees" on h01


def posed(place=STEP, student=ROBIN, plan=PLAN):
    return plan.posed(*student.key)[place]


def answered(*texts, place=STEP, student=ROBIN, at=AT, **changes):
    """A record with these answers to one problem, written as a notebook would."""
    one = posed(place, student)
    answers = []
    for number, text in enumerate(texts, 1):
        verdict = one.check(text)
        honest = Answer(
            number, one.problem.id, one.problem.version, figures_digest(one.problem, one.figures),
            at + timedelta(minutes=number), text if isinstance(text, str) else tuple(text), verdict.understood,
            verdict.right,
        )  # fmt: skip
        answers.append(msgspec.structs.replace(honest, **changes))
    return Record(student.course, PLAN.id, student.student, tuple(answers))


def hand_in(folder, record, name=None):
    folder.mkdir(exist_ok=True, parents=True)
    (folder / (name or record.name)).write_bytes(records.encode(record))


def rows(path):
    with path.open(encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))


def reasons(marks):
    return [(odd.where, odd.reason) for odd in marks.odd]


def right(place=STEP, student=ROBIN):
    return posed(place, student).model_answer()
