"""A page of remarks for each student: one self-contained HTML file, no script, everything from outside escaped."""

import html

from tempkit import exercises
from tempkit.exercises import WORTH, listing_html, table_html
from tempkit.marking.handed_in import ADVICE, NOTHING

POLICY = "default-src 'none'; style-src 'unsafe-inline'"
OWN_PICTURES = "; img-src data:"
STYLE = """
:root { color-scheme: light dark; }
body { font: 16px/1.5 system-ui, sans-serif; max-width: 62em; margin: 2em auto; padding: 0 1em;
  color: #1a1a1a; background: #fff; }
h1 { font-size: 1.6em; } h2 { font-size: 1.3em; margin-top: 2em; } h3 { font-size: 1.05em; margin-bottom: .2em; }
table { border-collapse: collapse; margin: .6em 0; } caption { text-align: left; padding: .3em 0; }
th, td { border: 1px solid #8a8a8a; padding: .25em .6em; text-align: left; vertical-align: top; }
td.number { text-align: right; font-variant-numeric: tabular-nums; }
td.whole { white-space: nowrap; }
.lines { white-space: pre-line; overflow-wrap: anywhere; }
pre { white-space: pre-wrap; font: 14px/1.5 monospace; border-left: 2px solid #8a8a8a; padding-left: .8em; }
.right { border-left: 5px solid #009E73; padding-left: .6em; }
.not-right { border-left: 5px dashed #D55E00; padding-left: .6em; }
.open { border-left: 5px dotted #0072B2; padding-left: .6em; }
.bar { display: inline-block; height: .8em; background: #0072B2; min-width: 1px; }
.bar.wrong { background: repeating-linear-gradient(45deg, #D55E00 0 4px, #f0b48f 4px 8px); }
.track { display: block; width: 10em; max-width: 100%; box-sizing: border-box; }
.track { border: 1px solid #8a8a8a; line-height: 0; margin: .35em 0 .1em; }
td.where { overflow-wrap: anywhere; }
.room { margin: .5em 0; } .box { display: inline-block; width: .9em; height: .9em; border: 1px solid currentColor; }
.line { display: inline-block; width: 18em; border-bottom: 1px solid currentColor; height: 1.4em; }
.blank { min-width: 9em; height: 1.6em; }
h1, h2, h3, caption { break-after: avoid; } tr { break-inside: avoid; }
@page { margin: 15mm; }
@media screen and (prefers-color-scheme: dark) { body { color: #eee; background: #111; } }
@media print { .page { break-after: page; } .page:last-child { break-after: auto; }
  .keep { break-inside: avoid; } body { margin: 0; padding: 0; max-width: none; font-size: 11pt; line-height: 1.4; }
  .right, .not-right, .open { border-left-color: #000; } .bar { print-color-adjust: exact; }
  summary { list-style: none; } }
"""
KINDS = {"right": "right", "right, late": "right", "not right": "not-right"}


def page(title, body, style="", pictures=False):
    """A whole HTML document around a body, with more style if wanted; the browser may load nothing and run nothing.
    With `pictures` it shows those that the page itself holds.

    >>> page("Marks", "<p>7</p>").count("<script")
    0
    """
    return (
        '<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8">'
        f'<meta http-equiv="Content-Security-Policy" content="{POLICY}{OWN_PICTURES if pictures else ""}">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>{esc(title)}</title><style>{STYLE}{style}</style></head>\n<body>\n{body}\n</body></html>\n"
    )


def esc(text):
    """Text for HTML: markup signs escaped, control signs and signs that turn the direction of writing made visible.

    >>> esc("<b>\\x00"), esc("5 °C")
    ('&lt;b&gt;\\ufffd', '5 °C')
    """
    seen = (sign if sign.isprintable() or sign == "\n" else "\ufffd" for sign in str(text))
    return html.escape("".join(seen), quote=True)


def number(value):
    """A mark as text, without needless digits.

    >>> number(7.0), number(7.25)
    ('7', '7.25')
    """
    return f"{value:g}"


def student_body(marks, student, now):
    """The body of a student's page: every sheet, every problem with its remarks."""
    who = f"{student.name} · " if student.name else ""
    head = f"<h1>Remarks for {esc(who)}{esc(student.student)}, course {esc(student.course)}</h1>"
    parts = [_sheet(marks, student, plan, now) for plan in marks.plans]
    return "\n".join([f"<main>{head}", *parts, "</main>"])


def _sheet(marks, student, plan, now):
    mark = marks.of(student, plan)
    title = f"<h2>Sheet {plan.id}: {esc(plan.title)}</h2>"
    due = f"<p>{esc(marks.course.due_told(plan.id))}</p>" if marks.course.due(plan.id) else ""
    state = marks.state(student, plan)
    if state == "marked":
        advice = [f"Note: {reason}." for reason in mark.reasons] + [
            ADVICE[odd.word] for odd in marks.besides(student, plan)
        ]
    else:
        advice = [f"{state.capitalize()}."] * (state != NOTHING) + [ADVICE[state]]
    told = f"<strong>{number(mark.mark if mark else 0)} of {len(plan.ids)}</strong>. {esc(' '.join(advice))}"
    if mark is None:
        return f"{title}{due}<p class='open'>{told}</p>"
    told = f"<p>{told} {_late(mark, marks.course)}</p>"
    odd = "".join(f"<p class='open'>Please speak with your instructor about this file: {esc(o)}.</p>" for o in mark.odd)
    solutions = not marks.course.holds(plan.id, now)
    problems = (_problem(n, one, solutions) for n, one in enumerate(mark.problems, 1))
    return "\n".join([title, due, told, odd, *problems])


def _late(mark, course):
    late = sum(one.late for problem in mark.problems for one in problem.tries)
    if not late:
        return ""
    due = esc(course.local(course.due(mark.sheet)))
    return f"{late} of the answers came after {due}; each {WORTH[course.late]}."


def _problem(place, mark, solutions):
    posed = mark.posed
    tries = "".join(
        f"<li>“{esc(one.text)}”{' (late)' if one.late else ''}{f' ({one.refused})' if one.refused else ''}"
        f"<br><span class='lines'>{esc(one.verdict.headline)}: {esc(one.verdict.remark)}</span></li>"
        for one in mark.tries
    )
    title = f"{place}. {esc(posed.problem.title)}: {esc(mark.state)}, mark {number(mark.mark)}"
    parts = [
        f"<section class='keep'><h3>{title}</h3>",
        f"<div class='lines {KINDS.get(mark.state, 'open')}'>{esc(posed.text)}</div>{_beside(posed)}{options(posed)}",
        f"<ol>{tries}</ol>" if tries else "<p>No answer.</p>",
        f"<p>{esc(mark.note)}.</p>" if mark.note else "",
        f"<p>Set by hand by your instructor: {esc(mark.override.reason)}</p>" if mark.override else "",
        f"<details open><summary>Worked solution</summary><div class='lines'>{esc(posed.solution())}</div></details>"
        if solutions
        else "",
    ]
    return "\n".join(filter(None, [*parts, "</section>"]))


def _beside(posed):
    """Lines and the numbers of a table as the sheet shows them, and its graph in words: nothing is drawn here."""
    graph = f"<p>{esc(posed.graph.alt)}</p>" if posed.graph else ""
    return f"{listing_html(posed)}{graph}{table_html(posed)}"


def options(posed):
    """The options of a choice as a list, empty for other answers."""
    items = "".join(f"<li>{esc(text)}</li>" for _, text in posed.options)
    return f"<ul>{items}</ul>" if items else ""


def page_name(student):
    """The file name of a student's page; codes are safe in a path."""
    return f"{student.course}_{student.student}.html"


def write_pages(marks, results, tell=None, now=None):
    """Write a page for each student of the class list into the folder `pages` of the results."""
    for done, student in enumerate(marks.students, 1):
        title = f"Remarks for {student.student}, course {student.course}"
        results.put(f"pages/{page_name(student)}", page(title, student_body(marks, student, now or exercises.now())))
        if tell:
            tell(done, len(marks.students))
