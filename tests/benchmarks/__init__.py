"""Speed and memory as ratios to a baseline of the same run: `python -m tests.benchmarks [NAME ...]`."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent))  # the tests' helpers import one another by their bare names
