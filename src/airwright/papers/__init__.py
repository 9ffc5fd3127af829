"""Documents: a typed model for each, then its rendering."""
