"""Ways of asking that several chapters share: find the wrong step, choose the cheapest part that will do."""

from tempkit.exercises.kinds import Choice, Option


def wrong_step(which, remarks):
    """A `Choice` of one step of a worked solution: `which(figures)` is the number of the wrong one, from 1.

    `remarks` holds for each step a pair: what is said where it is the wrong one, and what is said where it is not
    (texts or functions of the figures). The steps themselves are the problem's `listing`, each worked out from the one
    before, so that what follows a wrong step agrees with it.

    >>> asked = wrong_step(lambda f: 2, [("Here.", "It follows.")] * 3)
    >>> [option.text for option in asked.options], sorted(asked.keys(None))
    (['Step 1', 'Step 2', 'Step 3'], ['step-2'])
    """
    options = tuple(_step(number, which, *pair) for number, pair in enumerate(remarks, 1))
    return Choice(options, right=lambda f: f"step-{which(f)}", in_order=True)


def _step(number, which, caught, sound):
    def remark(f):
        said = caught if which(f) == number else sound
        return said(f) if callable(said) else said

    return Option(f"step-{number}", f"Step {number}", remark)


def cheapest(parts, price, lacks):
    """A `Choice` of the cheapest of some parts that meets what is wanted.

    `parts` are pairs (key, name), `price(figures, key)` what one costs, and `lacks(figures, key)` says in a sentence
    what one lacks, "" where it meets everything. Figures for which none, or more than one at the same price, is the
    answer make the choice ambiguous: leave them out with `sensible`. The list of the parts itself is the problem's
    `listing` (see `listed`).

    >>> dear = cheapest((("a", "A"), ("b", "B")), lambda f, key: {"a": 3, "b": 2}[key], lambda f, key: "")
    >>> sorted(dear.keys(None)), dear.options[0].remark(None)
    (['b'], 'It meets all that is wanted. So does one that costs less.')
    """

    def right(f):
        meets = [key for key, _ in parts if not lacks(f, key)]
        return min(meets, key=lambda key: price(f, key))

    def option(key, name):
        def remark(f):
            if lacks(f, key):
                return lacks(f, key)
            if key == right(f):
                return f"It costs {price(f, key):g}; every part below that price lacks something."
            return "It meets all that is wanted. So does one that costs less."

        return Option(key, name, remark)

    return Choice(tuple(option(*part) for part in parts), right=right, in_order=True)


def listed(heads, rows):
    """A list of parts as lines of one width: its heads and its rows, tuples of texts.

    >>> listed(("part", "price"), (("sensor A", "1.5"), ("B", "12")))
    ('part      price', 'sensor A  1.5', 'B         12')
    """
    wide = [max(map(len, column)) for column in zip(heads, *rows, strict=True)]
    return tuple("  ".join(map(str.ljust, row, wide)).rstrip() for row in (heads, *rows))
