"""From a temperature to a code and back: sensors, circuits, reference, converter, and the file that holds them."""

from tempkit import front_door

__all__, __getattr__, __dir__ = front_door(
    __name__,
    {
        "catalogue": "curve specification specification_names specification_text Specification HEADS INVENTED",
        "chain": "Chain in_celsius scenario",
        "converter": "Converter ideal_snr_db linearity Reference settling_error settling_time_s NO_CODE",
        "design": "Calibration Design Extras Limits Link Noise Outputs Response Smoothing",
        "file": "ChainFileError loads read thing write",
        "deviations": "Asked",
        "parts": "kinds",
        "parts.bridge": "Bridge",
        "parts.cold_junction": "ColdJunction",
        "parts.current_drive": "CurrentDrive",
        "parts.direct": "Direct",
        "parts.divider": "Divider",
        "parts.linear": "LinearSensor",
        "parts.platinum": "PlatinumSensor A B C TOLERANCE",
        "parts.thermistor": "Thermistor",
        "parts.thermocouple": "full_range_c reference_mv slope_mv Thermocouple",
        "passage": "Walk walk",
        "quantities": "Relative",
        "words": "describe in_scale points_c problems tolerance_ends",
    },
)
