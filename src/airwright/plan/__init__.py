"""Tally, spares, buying, hours, crew, load, stability, cost and price: Assembly to Plan."""
