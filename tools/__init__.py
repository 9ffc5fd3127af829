"""Scripts for those who work on Airwright; nothing here is installed."""
