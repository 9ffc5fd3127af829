"""The shelf: lots and movements, and what follows from them for any day."""
