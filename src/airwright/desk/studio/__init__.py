"""The studio: name, units, rates, catalogue and calibration, and everything as plain files."""
