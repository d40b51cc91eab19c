"""Chapter 00: the whole chain on one screen, with two controls; and the choices that hold for the whole book."""

import ipywidgets

from tempkit import book as books
from tempkit.draw import Keys, Rails, Shown, size_all
from tempkit.explorers.controls import TEMPERATURE, TRUE_SUPPLY
from tempkit.explorers.reference import FACTS, compute
from tempkit.explorers.stage import STYLE, Explorer, Plan, heard, warning


def words(way, book):
    """The walk in plain words, for a first meeting.

    >>> from tempkit.explorers.stage import north_bench
    >>> print(words(compute(north_bench(), 25.0), books.Book()))
    The air is at 25.0 °C. The sensor makes 0.800 V of it, the converter makes code 163 of that, and the program
    makes a reading of 24.8 °C of the code. The reading is right to within one step, 0.610 °C.
    """
    told, mind = FACTS.told(way, book), warning(way.problems(book.temperature))
    if way.volts is None:
        return f"The air is at {told['t']}, and there the walk ends.{mind}"
    maker = "The sensor makes" if way.giver == "the sensor gives" else "Sensor and circuit make"
    right = abs(way.error_c) <= way.step_c
    verdict = "right to within one step, {step}" if right else "off by {off}, more than one step of {step}"
    return (
        f"The air is at {{t}}. {maker} {{volts}} of it, the converter makes code {{code}} of that, and the program "
        f"makes a reading of {{reading}} of the code. The reading is {verdict}."
    ).format(**told) + mind


PLAN = Plan(
    title="The whole chain",
    controls=(TEMPERATURE, TRUE_SUPPLY),
    compute=compute,
    picture=lambda look, book: Rails(FACTS, look, book),
    words=words,
    facts=FACTS.rows,
)


def explorer(design=None, **start):
    """The explorer of chapter 00; `design` from a design file, `start` values of controls by name.

    >>> explorer(t_c=18.0).result().code
    152
    """
    return Explorer(PLAN, design, **start)


class Choices(Shown):
    """The switch for the whole book: the temperature scale, and pictures for a desk or for the back row.

    What is chosen is kept in `my-book.json` beside the notebooks; every explorer made from then on follows it.

    >>> Choices().words()
    'The book is set to °C and to pictures for a desk.'
    """

    def __init__(self):
        book = books.current()
        wide = {"description_width": "initial"}
        self.scale = ipywidgets.Dropdown(
            options=[("degrees Celsius, °C", "degC"), ("degrees Fahrenheit, °F", "degF")],
            value=book.scale,
            description="temperatures in",
            style=wide,
        )
        self.room = ipywidgets.Dropdown(
            options=[("a desk", False), ("the back row", True)],
            value=book.room,
            description="pictures for",
            style=wide,
        )
        self._told = ipywidgets.HTML()
        style = ipywidgets.HTML(STYLE, layout={"display": "none"})
        row = ipywidgets.HBox([self.scale, self.room], layout={"flex_flow": "row wrap"})
        super().__init__([style, Keys(), row, self._told])
        self.add_class("tempkit-choices")
        self.scale.observe(lambda change: self._keep(scale=change["new"]), "value")
        self.room.observe(lambda change: self._resize(change["new"]), "value")

    def _resize(self, room):
        self._keep(room=room)
        size_all(room)

    def _keep(self, **choice):
        try:
            books.choose(**choice)
            told = f"{self.words()} Run a chapter again to see it there."
        except (OSError, ValueError) as error:
            told = f"Not kept: {error}"
        self._told.value = heard(told)

    def words(self):
        sign = books.SIGN[self.scale.value]
        return f"The book is set to {sign} and to pictures for {'the back row' if self.room.value else 'a desk'}."
