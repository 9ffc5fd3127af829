"""Taking a call: a new job in under a minute, with a price band from saved designs."""
