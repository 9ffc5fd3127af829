"""Colours of two balloons, pictures in balloons, lettering for balloons."""
