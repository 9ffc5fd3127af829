"""Backups, space, tidying."""
