"""The decorator's desk: the web application."""
