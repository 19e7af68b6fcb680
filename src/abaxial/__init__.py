"""Abaxial: leaf rust in a garden of ornamentals, from weather to leaf to decision."""

__version__ = "0.1.0"
