"""Measurements: ratios side by side in one run, against a named baseline."""
