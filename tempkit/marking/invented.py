"""An invented class: a class list and hand-ins made by a seeded generator, with the slips that classes make.

Nobody in it exists. Every student has a strength of their own; each problem has one wrong way that most of those
fall for who do not know better, as in real classes. Some files are odd on purpose.
"""

from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np

from tempkit.exercises import (
    Answer,
    Choice,
    Number,
    Posed,
    Record,
    Verdict,
    cells,
    columns,
    encode,
    figures_digest,
    offered,
    safe_code,
    sheet_plan,
)
from tempkit.marking.tables import as_csv

COURSE = "BENCH-9"
BEGUN = datetime(2026, 3, 2, 15, 0, tzinfo=UTC)
UNEXPLAINED, UNREADABLE, OPEN = 0.12, 0.06, 0.05
TRIES, GIVES_UP, HELPED = 4, 0.3, 0.15
FEWEST, MOST = 2, 10_000


def invent(folder, students=30, seed=1, sheets=("h01",), course=COURSE):
    """Make an invented class in a folder: `roster.csv`, and hand-ins in `handed-in`; returns a line that says so.

    The same seed makes the same class. Raises `ValueError`, before anything is made, for a sheet that does not exist,
    for a number of students or a seed out of range, and where there is a class or no folder can be.
    """
    folder, plans = Path(folder), tuple(dict.fromkeys(sheet_plan(name).id for name in sheets))
    if not FEWEST <= students <= MOST:
        raise ValueError(f"{students} students: must be {FEWEST} to {MOST:,}; give another number")
    if seed < 0:
        raise ValueError(f"seed {seed}: must be a whole number from 0; give another one")
    safe_code(course, "the course code")
    if (folder / "handed-in").exists() or (folder / "roster.csv").exists():
        raise ValueError(f"{folder} holds a class already: name another folder")
    try:
        (folder / "handed-in").mkdir(parents=True)
    except OSError as error:
        raise ValueError(f"{folder} cannot be made a folder ({error.strerror}): name another place") from None
    codes = [f"S-{number:0{len(str(students))}d}" for number in range(1, students + 1)]
    roster = as_csv(("course", "student", "name"), ((course, code, f"{code} (invented)") for code in codes))
    (folder / "roster.csv").write_bytes(roster.encode())
    for sheet in plans:
        made = list(invented_records(codes, seed, sheet, course))
        for record in made[: len(made) - max(1, students // 15)]:  # the last few hand nothing in
            (folder / "handed-in" / record.name).write_bytes(encode(record))
        _odd_ones(folder / "handed-in", made)
    return f"An invented class of {students}, seed {seed}, is in {folder}: roster.csv and handed-in.\n"


def invented_records(codes, seed, sheet, course=COURSE):
    """The record of each student code for a sheet: reproducible from the seed, the same on every machine."""
    plan = sheet_plan(sheet)
    draw = np.random.default_rng((seed, int(plan.id[1:])))
    hardness = draw.normal(0.0, 0.9, len(plan.ids))
    favourites = draw.permutation(np.array([0.75, 0.6, 0.5, 0.45] * len(plan.ids)))[: len(plan.ids)]
    for code in codes:
        strength, at = draw.normal(0.2, 1.0), BEGUN + timedelta(minutes=int(draw.integers(0, 6000)))
        answers = []
        for posed, hard, favourite in zip(plan.posed(course, code), hardness, favourites, strict=True):
            if draw.random() < OPEN:
                continue
            for text in _typed(posed, 1 / (1 + np.exp(hard - strength)), favourite, draw):
                at += timedelta(seconds=int(draw.integers(20, 400)))
                answers.append(_answer(len(answers) + 1, posed, text, at))
        yield Record(course, plan.id, code, tuple(answers), {})


def _typed(posed, chance, favourite, draw):
    """What a student types one after another: slips, and the right answer where it comes to them."""
    for _ in range(TRIES):
        if draw.random() < chance:
            yield _right(posed)
            return
        yield _slip(posed, favourite, draw)
        if draw.random() < GIVES_UP:
            return
        chance = min(1.0, chance + HELPED)


def _right(posed):
    answer = posed.problem.answer
    if isinstance(answer, Choice):
        return posed.model_answer()
    return _as_text(posed, answer.value(posed.figures), 1.0)


def _slip(posed, favourite, draw):
    """One wrong answer: mostly the problem's favourite slip, sometimes one that nothing explains."""
    answer, luck = posed.problem.answer, draw.random()
    if isinstance(answer, Choice):
        wrong = [o.key for o in answer.options if o.key not in answer.keys(posed.figures)]
        key = wrong[0 if draw.random() < favourite else int(draw.integers(len(wrong)))]
        return [key] if answer.several else key
    if luck < UNREADABLE:
        return "about right" if isinstance(answer, Number) else ["?"] * len(posed.model_answer())
    ways = offered(posed.problem, posed.figures)
    value = ways[0 if draw.random() < favourite else int(draw.integers(len(ways)))][1]
    if luck < UNREADABLE + UNEXPLAINED:
        return _as_text(posed, value, float(draw.uniform(1.1, 1.7)))
    return _as_text(posed, value, 1.0)


def _as_text(posed, value, factor):
    answer = posed.problem.answer
    parts = zip(cells(answer, value), columns(answer, posed.figures), strict=True)
    typed = [f"{_scaled(number, factor)} {part.unit}".strip() for number, part in parts]
    return typed[0] if isinstance(answer, Number) else typed


def _scaled(value, factor):
    """A number as one copies it from a pocket calculator."""
    return f"{value:.8g}" if factor == 1.0 else f"{value * factor + 1:.3g}"


def _answer(number, posed: Posed, text, at):
    verdict: Verdict = posed.check(text)
    return Answer(
        number=number,
        problem=posed.problem.id,
        version=posed.problem.version,
        figures=figures_digest(posed.problem, posed.figures),
        at=at,
        text=text if isinstance(text, str) else tuple(text),
        read=verdict.understood,
        right=verdict.right,
    )


def _odd_ones(folder, made):
    """A file cut off, one handed in twice, one under another name, one from outside the class, one of another kind."""
    first, second = made[0], made[1]
    (folder / f"copy of {first.name}").write_bytes(encode(first))
    (folder / second.name).write_bytes(encode(second)[:-200])
    stranger = Record(first.course, first.sheet, "GUEST-1", first.answers)
    (folder / stranger.name).write_bytes(encode(stranger))
    (folder / f"{first.sheet} my notebook.ipynb").write_text('{"cells": []}\n', encoding="utf-8")
