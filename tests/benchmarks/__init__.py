"""Speed and memory as ratios to a baseline of the same run: `python -m tests.benchmarks [NAME ...]`."""
