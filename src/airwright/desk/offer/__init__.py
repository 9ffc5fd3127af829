"""The offer: options side by side, what drives the margin, and the client's link."""
