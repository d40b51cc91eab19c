"""The controls of chapter 05: one for each contribution of a chain's error budget."""

from dataclasses import replace

from tempkit.design import Calibration, Extras
from tempkit.explorers.controls import BITS, Control, _part

WARM_C = 40.0  # second point where a design states none
THERMOMETER_U_C = 0.1  # standard uncertainty where a design states none; invented
SWING_C = 10.0  # how far a board may be from where its reference was specified; invented


def _extra(field, **more):
    """Reader and writer of a field of the budget's extras; a design without them has zeros."""

    def get(design):
        return getattr(design.budget or Extras(), field)

    def put(design, value):
        return replace(design, budget=replace(design.budget or Extras(), **{field: value, **more}))

    return {"get": get, "put": put}


def _put_drift(design, value):
    """A drift acts where the board may warm; a swing that the design states is kept."""
    swing_c = (design.budget or Extras()).board_swing_c or SWING_C
    return _extra("reference_drift_ppm_per_c", board_swing_c=swing_c)["put"](design, value)


def _points(design):
    if design.calibration is None:
        return "none"
    return "one" if design.calibration.second_c is None else "two"


def _put_points(design, value):
    """The points that a design states are kept as far as the choice has room for them."""
    stated = design.calibration or Calibration(first_c=0.0, thermometer_u_c=THERMOMETER_U_C)
    far_c = WARM_C if stated.first_c != WARM_C else 0.0
    second_c = far_c if stated.second_c is None else stated.second_c
    made = {"none": None, "one": replace(stated, second_c=None), "two": replace(stated, second_c=second_c)}
    return replace(design, calibration=made[value])


def _calibration(field, otherwise):
    """Reader and writer of a field of the calibration; without a calibration the control rests."""

    def get(design):
        return getattr(design.calibration, field) if design.calibration else otherwise

    def put(design, value):
        made = design.calibration and replace(design.calibration, **{field: value})
        return replace(design, calibration=made)

    return {"get": get, "put": put, "only_if": ("calibrated", ("one", "two"))}


TOLERANCE = Control(
    "tolerance_percent", "reference, ±", "%", 0.0, 10.0, 0.1, 1, factor=100.0, **_part("reference", "tolerance")
)
DRIFT = Control(
    "drift_ppm",
    "drift",
    "ppm/°C",
    0.0,
    500.0,
    5.0,
    0,
    get=_extra("reference_drift_ppm_per_c")["get"],
    put=_put_drift,
)
OFFSET = Control("offset_lsb", "offset, ±", "steps", 0.0, 8.0, 0.1, 1, **_part("converter", "offset_lsb"))
GAIN = Control("gain_lsb", "gain, ±", "steps", 0.0, 8.0, 0.1, 1, **_part("converter", "gain_lsb"))
INL = Control("inl_lsb", "INL, ±", "steps", 0.0, 8.0, 0.1, 1, **_part("converter", "inl_lsb"))
ENOUGH_BITS = replace(BITS, low=6)
HEATING = Control("heating_c", "self-heating", "", 0.0, 2.0, 0.05, 2, scale="span", **_extra("self_heating_c"))
LEAD = Control("lead_mv", "lead drop", "mV", 0.0, 10.0, 0.1, 1, factor=1000.0, **_extra("lead_drop_v"))
CALIBRATED = Control(
    "calibrated",
    "calibrated at",
    options=(("none", "no point"), ("one", "one point"), ("two", "two points")),
    get=_points,
    put=_put_points,
)
THERMOMETER = Control(
    "thermometer_u_c",
    "thermometer, u",
    "",
    0.0,
    1.0,
    0.01,
    2,
    scale="span",
    **_calibration("thermometer_u_c", THERMOMETER_U_C),
)
LEFT = Control("left_c", "left over, ±", "", 0.0, 2.0, 0.05, 2, scale="span", **_calibration("left_c", 0.0))
