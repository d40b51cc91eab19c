"""The search over the catalogue of parts: its time, and how many combinations that is."""

from .measure import Comparison, timed


def comparisons():
    """One row: the whole search against two seconds for 10^5 combinations."""
    from tempkit.choose import Requirement, catalogue, search

    parts, requirement = catalogue(), Requirement()
    count = search(parts, requirement).passes.size
    ours = timed(lambda: search.__wrapped__(parts, requirement))  # not the result that is kept
    allowed = 2.0 * count / 1e5
    yield Comparison(f"design search, {count:,} combinations", ours, lambda: allowed, "2 s for 10^5", aim=1.0, rounds=3)
