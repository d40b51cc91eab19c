"""The budget: Monte Carlo beside bare numpy, the memory it takes, and first order beside another library.

Quantiles are left out on both sides: what is compared is drawing, the formula, mean and standard deviation. With
TEMPKIT_LONG=1 in the environment the memory of 10^8 trials is measured too, which takes a minute or two.
"""

import os
from dataclasses import replace

import numpy as np

from .measure import Comparison, UnavailableError, peak_mb, timed

TRIALS = 1_000_000
REPEATS = 200


def eight():
    """The budget of a linear sensor at 25 degC with eight quantities."""
    from tempkit.chain import Converter, Design, Extras, Noise, scenario
    from tempkit.uncertainty import chain_budget

    chain = replace(scenario(), converter=Converter(10, offset_lsb=2.0, gain_lsb=2.0, inl_lsb=1.0))
    design = Design("bench", chain, noise=Noise(0.002, 16), budget=Extras(self_heating_c=0.2))
    return chain_budget(design, 25.0)


def bare_formula(sensor, reference, offset, gain, inl, step, noise, heating):
    """The same eight quantities in a few lines: linear sensor, 5 V, 10 bits."""
    counts = (0.5 + 0.01 * (25.0 + sensor + heating) + noise) * (1024 / reference)
    counts = counts * (1 + gain / 1024) + offset + inl + step
    return (counts * (5.0 / 1024) - 0.5) / 0.01


def bare_trials(budget, trials=TRIALS):
    """What one would write with numpy alone: every quantity drawn whole, then the formula once."""
    rng, drawn = np.random.default_rng(1), []
    for given in budget.inputs:
        if given.half_width is None:
            drawn.append(rng.normal(given.value, given.standard, trials))
        else:
            drawn.append(rng.uniform(given.value - given.half_width, given.value + given.half_width, trials))
    values = bare_formula(*drawn)
    return float(values.mean()), float(values.std(ddof=1))


def comparisons():
    """Rows for Monte Carlo, its memory, and propagation."""
    from tempkit.uncertainty import monte_carlo, propagate

    budget = eight()
    run = (budget.function, budget.inputs)
    check(budget, monte_carlo(*run, TRIALS, 1), bare_trials(budget))
    ours = timed(lambda: monte_carlo(*run, TRIALS, 1))
    bare = timed(lambda: bare_trials(budget))
    yield Comparison("Monte Carlo, 8 inputs, 10^6 trials", ours, bare, "numpy draws and the bare formula", aim=1.3)
    yield from memory_rows(lambda trials: peak_mb(lambda: monte_carlo(*run, trials, 1)))
    yield from propagate_rows(lambda function: propagate(function, budget.inputs), budget)


def check(budget, ours, bare):
    """Both ways must give the same figures, or their times mean nothing."""
    if not np.allclose((ours.value, ours.standard), bare, rtol=0, atol=0.02):
        raise UnavailableError(f"mean and spread {ours.value, ours.standard} differ from {bare}")


def memory_rows(peak):
    only = {"rounds": 1, "unit": "MB"}
    for power in (6, 7):
        what = f"its memory, 10^{power} trials"
        yield Comparison(what, peak(10**power), lambda: 300.0, "300 MB", aim=1.0, **only)
    if os.environ.get("TEMPKIT_LONG"):
        yield Comparison("its memory, 10^8 trials", peak(10**8), peak(10**7), "that of 10^7 trials", aim=1.05, **only)


def each_of(function):
    """Seconds of one run, from many in a row."""
    many = timed(lambda: [function() for _ in range(REPEATS)])
    return lambda: many() / REPEATS


def propagate_rows(ours, budget):
    chain = each_of(lambda: ours(budget.function))
    yield Comparison("propagate, 8 inputs, the chain's formula", chain, lambda: 1e-3, "1 ms", aim=1.0)
    try:
        import uncertainties
    except ImportError:
        raise UnavailableError("the package uncertainties is not installed: see tests/requirements.txt") from None
    quantities = [uncertainties.ufloat(each.value, each.standard) for each in budget.inputs]
    bare, theirs = each_of(lambda: ours(bare_formula)), each_of(lambda: bare_formula(*quantities).std_dev)
    against = "uncertainties, the same formula"
    yield Comparison("propagate, 8 inputs, the bare formula", bare, theirs, against, aim=3.0)
