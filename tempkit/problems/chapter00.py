"""Chapter 00 starts the book: it asks no problems, and one prediction."""

from tempkit.chain import scenario
from tempkit.exercises import Amount, Prediction, Wrong

PROBLEMS = ()

PREDICTIONS = (
    Prediction(
        "00-code",
        "The sensor gives 600 mV at 0 °C and 8 mV more for each degree. The converter cuts 0 V to 5 V into 1024 equal"
        " steps and counts how many are full. The air is at 20 °C. Which code does the converter give?",
        "Now set the temperature to 20 °C in the picture, and look at the code.",
        "0.760 V divided by a step of 4.883 mV is 155.6, and the converter counts full steps only.",
        number=Amount(
            lambda: scenario().code(20.0), "", 0, near=1,
            wrong=(
                Wrong("rounded", lambda: 156, "The steps were rounded. This converter counts full steps only."),
                Wrong("forgot-offset", lambda: 32, "The 600 mV at 0 °C were left out."),
                Wrong("millivolts", lambda: 760, "These are the millivolts. The code counts steps of 4.883 mV."),
        )),
        explorer="whole_chain", settings={"t_c": 20.0}, saw=lambda way: way.code,
    ),
)
