"""Accounts: who may come in, and as what."""
