"""Drawings and photographs of an Assembly."""
