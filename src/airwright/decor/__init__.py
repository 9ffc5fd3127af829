"""Armatures, clusters, packing, colouring and pieces: from a Job to its Assemblies."""
