"""The shelf: what is there, what is promised, counting, history."""
