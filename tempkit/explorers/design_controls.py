"""The controls of chapter 13: three parts of the catalogue, and what the program does with their readings."""

from dataclasses import replace

from tempkit.design import Extras, Response
from tempkit.explorers.controls import SAMPLES, TEMPERATURE, Control, noise_of
from tempkit.explorers.response_controls import ON_DELAY, SMOOTHING, completed
from tempkit.explorers.threshold_controls import DEADBAND
from tempkit.parts import catalogue
from tempkit.partsearch import places_of

PARTS = catalogue()
OWN_PART = -1  # a part of a design file that is not in the catalogue


def stated(design):
    """The design with noise, lag, smoothing and alarm of the bench where it states none."""
    return replace(completed(design), noise=noise_of(design))


def _options(rows):
    named = tuple((place, f"{each.name.replace('degC', '°C')}: {each.price:.2f}") for place, each in enumerate(rows))
    return (*named, (OWN_PART, "not of the catalogue"))


def _place(kind):
    def get(design):
        place = places_of(PARTS, design)[kind]
        return OWN_PART if place is None else place

    return get


def put_front_end(design, place):
    """The design with a front end of the catalogue, and with its noise, its lag and its self-heating."""
    if place == OWN_PART:
        return design
    front = PARTS.front_ends[place]
    return replace(
        design,
        chain=replace(design.chain, sensor=front.sensor, circuit=front.circuit),
        noise=replace(noise_of(design), input_v=front.noise_v),
        response=Response(front.tau_s),
        budget=replace(design.budget or Extras(), self_heating_c=front.self_heating_c),
    )


def _put(part, rows):
    def put(design, place):
        if place == OWN_PART:
            return design
        return replace(design, chain=replace(design.chain, **{part: rows[place].part}))

    return put


FRONT_END = Control(
    "front_end", "front end, price", options=_options(PARTS.front_ends), get=_place(0), put=put_front_end
)
REFERENCE = Control(
    "reference",
    "reference, price",
    options=_options(PARTS.references),
    get=_place(1),
    put=_put("reference", PARTS.references),
)
CONVERTER = Control(
    "converter",
    "converter, price",
    options=_options(PARTS.converters),
    get=_place(2),
    put=_put("converter", PARTS.converters),
)
READ_AT = replace(TEMPERATURE, label="a reading at")
FEW_SAMPLES = replace(SAMPLES, high=8)
SHORT_SMOOTHING = replace(SMOOTHING, high=60.0)
ON_DELAY = replace(ON_DELAY, high=10)
DEADBAND = replace(DEADBAND, high=1.5, step=0.05, digits=2)
