"""The core: what an import costs, and what the chain costs on ten million values, beside bare numpy."""

import numpy as np

from .measure import Comparison, importing, peak_mb, timed

COUNT = 10_000_000


def bare_codes(t_c):
    """What one would write in a single line: a linear sensor, 5 V, 10 bits, floor."""
    return np.clip(np.floor((0.5 + 0.01 * t_c) * (1024 / 5.0)), 0, 1023).astype(np.int64)


def bare_readings(codes):
    """The way back in a single line: the middle of the step."""
    return ((codes + 0.5) * (5.0 / 1024) - 0.5) / 0.01


def comparisons():
    """Rows for imports, then for the chain: time, then the most memory, its input included."""
    for module in ("tempkit", "tempkit.chain.chain"):
        ours, baseline = importing(f"import {module}"), importing("import numpy")
        yield Comparison(f"import {module}", ours, baseline, "import numpy", aim=1.5, rounds=15)
    yield from chain_rows()


def chain_rows():
    from tempkit.chain import scenario

    chain, t_c = scenario(), np.random.default_rng(1).uniform(-40.0, 125.0, COUNT)
    codes = bare_codes(t_c)
    work = (
        ("Chain.code, 10^7 temperatures", lambda: chain.code(t_c), lambda: bare_codes(t_c)),
        ("Chain.reading, 10^7 codes", lambda: chain.reading(codes), lambda: bare_readings(codes)),
    )
    for what, ours, bare in work:
        yield Comparison(what, timed(ours), timed(bare), "the bare numpy expression", aim=1.5)
    for what, ours, _ in work:
        most = peak_mb(ours, held_bytes=t_c.nbytes)
        against, only = "one array of 10^7", {"rounds": 1, "unit": "MB"}
        yield Comparison(f"{what}: memory", most, one_array_mb, against, aim=3.0, **only)


def one_array_mb():
    return COUNT * np.dtype(float).itemsize / 1e6
