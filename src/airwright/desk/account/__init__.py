"""One's own account: password, devices that are signed in."""
