"""Chapter 00 starts the book: one prediction and two lines to complete, no problems."""

from tempkit.chain import scenario
from tempkit.exercises import Idea, Line, Number, Prediction, Wrong

PROBLEMS = ()

HIGH = scenario(true_v=5.2)

first_volts = Line(
    "00-first-volts",
    "Write a first sum.",
    "The air is at 25 °C. The sensor gives 0.6 V at 0 °C and 0.008 V more for each degree. How many V does it give?",
    Number(
        lambda f: HIGH.sensor.volts(25.0), "voltage", "V", 0.0005, "Half a millivolt is a sixteenth of a degree.",
        digits=3, wrong=(
            Wrong("forgot-offset", lambda f: 25 * 0.008, "What the sensor gives at 0 °C already has been left out."),
            Wrong("offset-at-25", lambda f: 0.6, "That is what it gives at 0 °C. The air is warmer."),
            Wrong("all-times-25", lambda f: 0.608 * 25, "Only the 0.008 V come once for each degree."),
        )),
    rail=("voltage", 0, 1.2),
    then="The two walk together: degrees and volts.",
)

moved = Line(
    "00-moved",
    "Read what a wrong reference does.",
    "The air is at 25 °C. The true reference is 5.2 V, and the program believes 5 V. How many °C does the board"
    " print?",
    Number(
        lambda f: HIGH.reading(HIGH.code(25.0)), "temperature", "°C", 0.3, "Half a step leaves room for the eye.",
        wrong=(
            Wrong("unmoved", lambda f: scenario().reading(scenario().code(25.0)),
                  "That is printed with a true reference of 5 V. Move it, and read again."),
            Wrong("left-at-the-end", lambda f: scenario(true_v=5.25).reading(scenario(true_v=5.25).code(25.0)),
                  "That is printed with a true reference of 5.25 V. Move it to 5.2 V, and read again."),
            Wrong("other-way", lambda f: (800 * 1.04 - 600) / 8,
                  "The picture says otherwise: to which side of the air does the reading move?"),
            Wrong("true-temperature", lambda f: 25.0, "That is the air. Look at the lowest rail."),
        )),
    rail=("reading", 10, 40),
    then="Nearly four degrees off, with a supply that is allowed.",
)

LINES = (first_volts, moved)

PREDICTIONS = (
    Prediction(
        "00-how-well",
        "The display says 24.79 °C. The converter sees the air in steps of 0.6 °C, and sensor and supply have papers"
        " that say how far each may be off. How well does this board know the air?",
        "Now run on to the picture in the next section. Move its true reference, the board's supply, from 4.75 V to"
        " 5.25 V: so far may a good supply be off. Watch the reading, and come back.",
        "A program prints as many digits as it likes. The board cannot see less than a step, 0.6 °C. And its supply,"
        " which is also its reference, may be 5 % off: that alone is worth 5 °C. With the sensor's limits it comes to"
        " about 6 °C (chapter 05).",
        options=(
            Idea("Within 6 °C, by its papers", right=True),
            Idea("Within 0.01 °C, as it prints",
                 refuted="The second decimal comes from the arithmetic. No part of the chain can see so little.",
                 source="Kok et al. 2019"),
            Idea("Within 0.6 °C, by its steps",
                 refuted="A step is the least that it can see. Seeing a small change is not the same as being right.",
                 source="ours"),
        ),
        looks=("The reading moved by several degrees", "The reading moved by one step or two",
               "The reading did not move at all"),
        explorer="whole_chain", settings={"t_c": 25.0, "true_v": 5.25},
    ),
)
