"""Contacts: clients, venues, suppliers and helpers, with vCards in and out."""
