"""Practice problems and homework: problems with personal figures, answers checked, wrong ways recognised.

from tempkit.homework import practice
practice("02")                                   # cards for all problems of chapter 02
problem("02-step-in-degrees").check("0.488 °C")  # the same in plain code
"""

from tempkit.homework.catalogue import problem, problems
from tempkit.homework.checking import check
from tempkit.homework.figures import personal, usable_sets

__all__ = ["check", "personal", "practice", "problem", "problems", "usable_sets"]


def practice(which):
    """Cards for a chapter, `practice("02")`, or for one problem, `practice("02-step-in-degrees")`.

    Raises `ValueError` that lists what there is, for a chapter or an id that does not exist.

    >>> practice("02-step-in-degrees").words().splitlines()[0]
    'Practice for chapter 02: 1 problem.'
    """
    from tempkit.homework.cards import Practice

    return Practice(problems(which))
