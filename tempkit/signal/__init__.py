"""What happens to a signal on its way: noise, averaging, smoothing, lag, the serial line, outputs."""

from tempkit import front_door

__all__, __getattr__, __dir__ = front_door(
    __name__,
    {
        "noise": (
            "alias_frequency averaged_error_lsb averaging_floor_lsb averaging_gain oversampled_code "
            "quantisation_noise samples_for_bits simulated_averaging_error_lsb smoothed_noise_ratio "
            "smoothing_factor smoothing_lag_s window_gain"
        ),
        "outputs": (
            "lamp_current_a lamp_resistor nearest_preferred preferred_values series_resistor supply_total "
            "wire_area_mm2 wire_ohms_per_m"
        ),
        "response": (
            "change_between_samples lagged period_for_change ramp_lag self_heating sine_response step "
            "time_to_reach"
        ),
        "serial_line": (
            "actual_speed characters_per_second frame_bits largest_mismatch line_time_s loop Loop loop_period_s "
            "speed_limits"
        ),
        "warming": "Ramp smoothed Step Swing",
    },
)
