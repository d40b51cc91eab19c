"""The class report: completion, marks, every problem against its wrong ways, and the three ideas to teach again."""

from collections import Counter
from itertools import groupby

from tempkit.exercises import Choice, other_figures
from tempkit.marking import misconceptions
from tempkit.marking.handed_in import NOTHING
from tempkit.marking.student_pages import esc, number, page

UNKNOWN = "wrong in a way that is not known"


def report(marks, names=True):
    """The class report as a whole HTML document; without `names` nothing in it points to one student."""
    courses = ", ".join(sorted({student.course for student in marks.students}))
    title = f"Class report, course {courses}"
    parts = [f"<main><h1>{esc(title)}</h1>", completion(marks), teach_again(marks)]
    parts += [wrong_ways(marks, plan) for plan in marks.plans]
    parts += [_students(marks), odd_list(marks)] if names else [_odd_count(marks)]
    return page(title, "\n".join([*parts, "</main>"]))


def share_text(part, of):
    """A share in words and per cent.

    >>> share_text(9, 30)
    '9 of 30 (30 %)'
    """
    return f"{part} of {of} ({100 * part / of:.0f} %)" if of else "0 of 0"


def _bar(share, kind=""):
    inner = f"<span class='bar {kind}' style='width:{100 * share:.1f}%'></span>"
    return f"<span class='track' aria-hidden='true'>{inner}</span>"


def completion(marks):
    """How many handed in, how much was answered, and how the marks spread, as HTML."""
    rows = []
    for plan in marks.plans:
        found = marks.handed_in(plan)
        values = sorted(mark.mark for mark in marks.given(plan))
        middle = f"{number(values[(len(values) - 1) // 2])} of {len(plan.ids)}" if values else "none"
        answered = sum(mark.answered for mark in found)
        rows.append(
            f"<tr><th scope='row'>{plan.id} {esc(plan.title)}"
            f"{f'<br>{esc(due)}' if (due := marks.course.due_told(plan.id)) else ''}</th>"
            f"<td>{_bar(len(found) / len(marks.students))}{share_text(len(found), len(marks.students))}"
            f"{''.join(f'<br>{esc(told)}' for told in not_marked(marks, plan))}</td>"
            f"<td>{share_text(answered, len(found) * len(plan.ids))}</td><td class='number'>{middle}</td>"
            f"<td class='whole'>{_spread(values, len(plan.ids))}</td></tr>"
        )
    heads = ("sheet", "handed in", "problems answered", "middle mark", "marks")
    return f"<h2>Completion and marks</h2>{_table(heads, rows)}"


def not_marked(marks, plan):
    """How many of the class have no marked file, word by word, and how many marks stand on files that contradict."""
    words = Counter(marks.state(student, plan) for student in marks.students)
    told = [f"{word}: {words[word]}" for word in sorted(words, key=lambda word: word == NOTHING) if word != "marked"]
    by_hand = sum(not mark.where for mark in marks.given(plan))
    contradicted = sum(bool(mark.contradictions) for mark in marks.handed_in(plan))
    told += [f"of these with marks set by hand: {by_hand}"] if by_hand else []
    return told + ([f"files that contradict each other: {contradicted}"] if contradicted else [])


def _table(heads, rows, widths=()):
    """A table whose head comes again on every printed page; widths of the first columns where they are given."""
    style = (*(f" style='width: {width}'" for width in widths), *[""] * len(heads))
    head = "".join(f"<th scope='col'{style[n]}>{told}</th>" for n, told in enumerate(heads))
    return f"<table><thead><tr>{head}</tr></thead><tbody>{''.join(rows)}</tbody></table>"


def _spread(values, of):
    """How many students have which share of the marks, in fifths."""
    fifths = Counter(min(int(5 * value / of), 4) for value in values)
    limits = [f"{20 * n} to {20 * n + 20} %" for n in range(5)]
    return "<br>".join(f"{limits[n]}: {fifths[n]}" for n in reversed(range(5)))


def teach_again(marks):
    """The three ideas to teach again, as HTML, each with the problems and the wrong ways that show it."""
    found = misconceptions.to_teach_again(marks)
    if not found:
        return "<h2>To teach again</h2><p>No known slip was made by more than one student.</p>"
    items = []
    for idea in found:
        told = "".join(
            f"<li>{esc(e.problem.title)}: {share_text(e.students, e.of)}. {esc(told_way(e.problem, e.key))}</li>"
            for e in idea.evidence[:4]
        )
        items.append(
            f"<li><strong>{esc(idea.text)}</strong> {share_text(idea.students, idea.of)} of those who handed in"
            f" slipped here.<ul>{told}</ul></li>"
        )
    return f"<h2>To teach again</h2><ol>{''.join(items)}</ol>"


def told_way(problem, key):
    """A wrong way in words, with figures of an example where the words need some: its remark, or the option chosen."""
    if not key:
        return UNKNOWN
    figures = other_figures(problem)
    answer = problem.answer
    if isinstance(answer, Choice):
        option = next(option for option in answer.options if option.key == key)
        return f"chose “{problem.say(option.text, figures)}”"
    return problem.say(next(way for way in answer.wrong if way.key == key).remark, figures)


def wrong_ways(marks, plan):
    """The picture that matters, as HTML: problems against wrong ways, with the share of those who handed in."""
    found = marks.handed_in(plan)
    of = len(found)
    rows = []
    grouped = {
        problem: list(group)
        for problem, group in groupby(misconceptions.evidence(marks, plan), key=lambda e: e.problem.id)
    }
    for place, problem in enumerate(plan.problems):
        mine = [mark.problems[place] for mark in found]
        right = sum(one.right for one in mine)
        first = sum(bool(one.read) and one.read[0].verdict.right for one in mine)
        ways = "".join(
            f"<li>{_bar(e.share, 'wrong')}{share_text(e.students, e.of)}: {esc(told_way(e.problem, e.key))}</li>"
            for e in grouped.get(problem.id, ())
        )
        rows.append(
            f"<tr class='keep'><th scope='row'>{place + 1}. {esc(problem.title)}</th>"
            f"<td>{_bar(right / of if of else 0)}{share_text(right, of)}<br>at the first try: {share_text(first, of)}"
            f"<br>not answered: {sum(not one.read for one in mine)}</td>"
            f"<td><ul>{ways or '<li>none</li>'}</ul></td></tr>"
        )
    heads = ("problem", "right", "slips, share of those who handed in")
    return f"<h2>Sheet {plan.id}: problems and slips</h2>{_table(heads, rows, ('20%', '22%'))}"


def _students(marks):
    heads = ("student", *(f"{plan.id}, of {len(plan.ids)}" for plan in marks.plans))
    rows = []
    for student in marks.students:
        cells = "".join(_cell(marks, student, plan) for plan in marks.plans)
        name = f" {esc(student.name)}" if student.name else ""
        rows.append(f"<tr><th scope='row'>{esc(student.student)}{name}</th>{cells}</tr>")
    return f"<h2>Students</h2>{_table(heads, rows)}"


def _cell(marks, student, plan):
    mark, state = marks.of(student, plan), marks.state(student, plan)
    if mark is None:
        return f"<td>0: {esc(state)}</td>"
    by_hand = " (set by hand)" if any(problem.override for problem in mark.problems) else ""
    why = marks.reason(student, plan) if state == "marked" else state
    told = f"{number(mark.mark)}{by_hand}{' *' if mark.odd else ''}{f'<br>{esc(why)}' if why else ''}"
    return f"<td>{told}</td>" if why else f"<td class='number'>{told}</td>"


def odd_list(marks):
    """Everything odd in the folder, with its reason, as HTML."""
    if not marks.odd:
        return "<h2>Odd in the folder</h2><p>Nothing.</p>"
    rows = [f"<tr><td class='where'>{esc(o.where)}</td><td>{esc(o.reason)}</td></tr>" for o in marks.odd]
    table = _table(("file", "reason"), rows, ("34%",))
    return f"<h2>Odd in the folder</h2><p>A * marks a sheet named here.</p>{table}"


def _odd_count(marks):
    return f"<h2>Odd in the folder</h2><p>{len(marks.odd)} entries; they are listed in odd.csv.</p>"
