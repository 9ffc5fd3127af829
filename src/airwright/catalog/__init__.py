"""Balloons, hardware, shades, labour standards: data files with their sources, and readers."""
