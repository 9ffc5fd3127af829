"""Armatures, clusters, packing, colouring, pieces: Job to Assembly."""
