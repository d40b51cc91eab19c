"""Hand-outs to print: everyone's own figures on one HTML page each, and the instructor's key apart."""

from pathlib import Path

from tempkit.exercises import (
    Choice,
    Course,
    Number,
    cell_labels,
    cells,
    columns,
    factor_of,
    listing_html,
    offered,
    picture_html,
    plain,
    quantity_text,
    sheet_plan,
    shown_table,
    target,
    tolerances,
)
from tempkit.marking.roster import read_roster
from tempkit.marking.student_pages import esc, page
from tempkit.marking.tables import put

KEY_DIGITS = 6
FOOT = "@page of-{n} {{ @bottom-left {{ content: '{told}'; font: 9pt sans-serif; }} }}\n.of-{n} {{ page: of-{n}; }}\n"


def write_handouts(sheet, roster, out, course=None):
    """Write SHEET-hand-outs.html and SHEET-key.html for a class list into the folder `out`; says so in a line.

    Raises `ValueError` for a sheet that does not exist, a wrong class list, or a folder that cannot be written.
    """
    plan, course = sheet_plan(sheet), course or Course()
    students, out = read_roster(roster, course.course), Path(out)
    files = {
        f"{plan.id}-hand-outs.html": handouts(plan, students, course),
        f"{plan.id}-key.html": key(plan, students),
    }
    try:
        out.mkdir(parents=True, exist_ok=True)
        for name, text in files.items():
            put(out / name, text)
    except OSError as error:
        raise ValueError(f"{error.filename or out} cannot be written ({error.strerror})") from None
    return f"{len(students)} hand-outs of sheet {plan.id} and the key are in {out}: {', '.join(files)}\n"


def handouts(plan, students, course):
    """All hand-outs as one HTML document that prints every student on pages of their own, their code at each foot."""
    pages = "\n".join(_handout(n, plan, student, course) for n, student in enumerate(students))
    feet = "".join(FOOT.format(n=n, told=_foot(plan, student)) for n, student in enumerate(students))
    return page(f"Sheet {plan.id}, hand-outs", f"<main>{pages}</main>", feet, pictures=True)


def _foot(plan, student):
    return f"Sheet {plan.id}, student {student.student}, course {student.course}"


def _handout(n, plan, student, course):
    told = f"{esc(course.due_told(plan.id))} "
    problems = "".join(_problem(place, posed) for place, posed in enumerate(plan.posed(*student.key), 1))
    return (
        f"<section class='page of-{n}'><h1>Sheet {plan.id}: {esc(plan.title)}</h1>"
        f"<p><strong>{esc(_who(student))}</strong>. {told}The figures are yours alone: the same codes give the same"
        f" figures in the notebook. Write the unit with every number.</p>{problems}</section>"
    )


def _who(student):
    return f"{student.name + ', ' if student.name else ''}student {student.student}, course {student.course}"


def _problem(place, posed):
    head = f"<h3>{place}. {esc(posed.problem.title)}</h3><div class='lines'>{esc(posed.text)}</div>"
    return f"<section class='keep'>{head}{listing_html(posed)}{picture_html(posed)}{_room(posed)}</section>"


def _room(posed):
    """Room for the answer: a line for a number, boxes for a choice, an empty table."""
    answer = posed.problem.answer
    if isinstance(answer, Choice):
        kind = "tick all that apply" if answer.several else "tick one"
        boxes = (f"<p class='room'><span class='box'></span> {esc(text)}</p>" for _, text in posed.options)
        return f"<p>({kind})</p>{''.join(boxes)}"
    if isinstance(answer, Number):
        return "<p class='room'>Answer: <span class='line'></span></p>"
    return shown_table(posed, "<td class='blank'></td>")


def key(plan, students):
    """The instructor's key as one HTML document: answers and tolerances, and what the wrong ways give."""
    parts = "\n".join(_key_of(plan, student) for student in students)
    told = "<p>A number is right within its tolerance. “Seen instead” are values of known slips.</p>"
    title = f"Sheet {plan.id}, key"
    return page(title, f"<main><h1>{title}: not for students</h1>{told}{parts}</main>")


def _key_of(plan, student):
    rows = "".join(
        f"<tr><td class='number'>{n}</td><td>{esc(posed.problem.title)}</td><td>{esc(right_text(posed))}</td>"
        f"<td>{esc(_seen(posed))}</td></tr>"
        for n, posed in enumerate(plan.posed(*student.key), 1)
    )
    heads = "".join(f"<th scope='col'>{told}</th>" for told in ("no.", "problem", "answer", "seen instead"))
    table = f"<table><thead><tr>{heads}</tr></thead><tbody>{rows}</tbody></table>"
    return f"<section><h2>{esc(_who(student))}</h2>{table}</section>"


def right_text(posed):
    """The right answer with its tolerance as text; for a choice the texts of the right options.

    >>> from tempkit.exercises import problem
    >>> right_text(problem("02-step-in-degrees"))
    '0.610352 °C ± 0.0005 °C'
    """
    answer, figures = posed.problem.answer, posed.figures
    if isinstance(answer, Choice):
        return "; ".join(text for key, text in posed.options if key in answer.keys(figures))
    if factor_of(answer):
        told = quantity_text(target(posed.problem, figures), answer.unit, KEY_DIGITS)
        return f"{told} (within a factor of {plain(factor_of(answer))})"
    units = _units(answer, figures)
    labels = ("",) if isinstance(answer, Number) else tuple(f"{label}: " for label in cell_labels(answer, figures))
    told = zip(labels, cells(answer, target(posed.problem, figures)), units, tolerances(answer, figures), strict=True)
    return "; ".join(f"{label}{_with_tolerance(*rest)}" for label, *rest in told)


def _units(answer, figures):
    return tuple(part.unit for part in columns(answer, figures))


def _with_tolerance(value, unit, width):
    told = quantity_text(value, unit, KEY_DIGITS)
    return f"{told} ± {quantity_text(width, unit)}" if width else told


def _seen(posed):
    answer, figures = posed.problem.answer, posed.figures
    if isinstance(answer, Choice):
        return ""
    units = _units(answer, figures)
    ways = (cells(answer, value) for _, value in offered(posed.problem, figures))
    return "; ".join(_values(way, units) for way in ways)


def _values(values, units):
    if len(set(units)) == 1 and len(values) > 1:
        return f"({', '.join(plain(value, 4) for value in values)})"
    return ", ".join(quantity_text(value, unit) for value, unit in zip(values, units, strict=True))
