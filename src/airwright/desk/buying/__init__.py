"""Buying over all jobs: orders, suppliers, parcels."""
