"""Drag: one file an explorer; controls, what follows from them, picture and words."""

from tempkit import front_door

__all__, __getattr__, __dir__ = front_door(
    __name__,
    {
        "alarm_probability": "",
        "bit_depth": "",
        "calibration_line": "",
        "controls": "Control",
        "delay_budget": "",
        "design_project": "",
        "divider_choice": "",
        "error_budget": "",
        "fault_hunt": "",
        "fault_log": "",
        "junction": "",
        "lag": "",
        "lead_error": "",
        "live_trace": "",
        "live_watch": "",
        "log_scrub": "",
        "loop_walk": "",
        "noise_averaging": "",
        "prediction": "predict",
        "reference": "",
        "comparison": "side_by_side",
        "spec_line": "",
        "stage": "Explorer north_bench Plan",
        "thresholds": "",
        "whole_chain": "",
    },
)
