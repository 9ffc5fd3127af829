"""A job's pieces in front of you, to change and to see, count and price at once."""
