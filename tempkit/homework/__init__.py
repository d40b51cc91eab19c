"""Practice problems and homework: problems with personal figures, answers checked, wrong ways recognised.

from tempkit.homework import practice
practice("02")                                   # cards for all problems of chapter 02
problem("02-step-in-degrees").check("0.488 °C")  # the same in plain code
sheet("h01")                                     # homework: figures of your own, every answer written down
"""

from tempkit.homework.catalogue import problem, problems
from tempkit.homework.checking import check
from tempkit.homework.figures import personal, usable_sets

__all__ = ["check", "personal", "practice", "problem", "problems", "sheet", "usable_sets"]


def practice(which):
    """Cards for a chapter, `practice("02")`, or for one problem, `practice("02-step-in-degrees")`.

    Raises `ValueError` that lists what there is, for a chapter or an id that does not exist.

    >>> practice("02-step-in-degrees").words().splitlines()[0]
    'Practice for chapter 02: 1 problem.'
    """
    from tempkit.homework.cards import Practice

    return Practice(problems(which))


def sheet(which, course=None, student=None):
    """A homework sheet to answer, `sheet("h01")`; it asks for course and student code where they are not given.

    Every answer is written to the folder `answers` beside the notebook at once. Raises `ValueError` that lists
    what there is, for a sheet that does not exist, and for a code that cannot be used.

    >>> sheet("h01").words().splitlines()[0]
    'Sheet h01, From a temperature to a code: 11 problems on chapters 01 and 02.'
    """
    from tempkit.homework.sheetbox import Sheet
    from tempkit.homework.sheets import sheet_plan

    return Sheet(sheet_plan(which), course, student)
