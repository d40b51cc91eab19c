"""From an analog temperature sensor to an alarm that can be trusted: one module for each step of the chain."""

__version__ = "1.0.0"
