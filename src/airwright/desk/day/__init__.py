"""The day itself, on a phone: load list and steps with ticks, also without a network."""
