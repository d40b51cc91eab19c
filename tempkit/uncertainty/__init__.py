"""How wrong a reading may be: budget, Monte Carlo, conformity, calibration."""

from tempkit import front_door

__all__, __getattr__, __dir__ = front_door(
    __name__,
    {
        "budget": "compare coverage_factor propagate Propagated validate welch_satterthwaite worst_case",
        "calibration": "Correction en_number fit_line fit_polynomial one_point two_points",
        "conformity": "conformance_probability global_risk guard_band",
        "inputs": "Input type_a",
        "montecarlo": "monte_carlo numerical_tolerance",
        "table": "budget_table refusal",
        "water": "boiling_point_at_altitude boiling_point_c ice_point pressure_at_altitude_pa",
        "whole_chain": "before_after chain_budget ChainBudget ChainModel inputs_of quantisation_limits_lsb NAMES",
    },
)
