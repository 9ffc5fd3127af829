"""Gas, rubber, air, wind: pure functions on floats and arrays."""
