"""From a temperature to a code and back: sensors, circuits, reference, converter, and the file that holds them."""

from tempkit import front_door

__all__, __getattr__, __dir__ = front_door(
    __name__,
    {
        "chain": "Chain in_celsius scenario",
        "circuit": "Direct",
        "cold_junction": "ColdJunction",
        "converter": "Converter ideal_snr_db linearity Reference settling_error settling_time_s NO_CODE",
        "design": "Calibration Design Extras Limits Link Noise Outputs Response Smoothing",
        "file": "ChainFileError loads read thing write",
        "passage": "Walk walk",
        "platinum": "PlatinumSensor A B C TOLERANCE",
        "resistive": "Bridge CurrentDrive Divider Fed Wired",
        "sensors": "LinearSensor",
        "thermistor": "Thermistor",
        "thermocouple": "full_range_c reference_mv slope_mv Thermocouple",
        "words": (
            "amplifier_words circuit_words cold_sensor_words current_words describe in_scale points_c problems "
            "sensor_words tolerance_ends within"
        ),
    },
)
