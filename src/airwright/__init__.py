"""Airwright: balloon decor from one model in which every balloon is placed in space."""
