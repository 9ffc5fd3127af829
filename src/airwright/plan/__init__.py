"""Tally, spares, buying, hours, load, stability, cost and price: from Assemblies to the Plan."""
