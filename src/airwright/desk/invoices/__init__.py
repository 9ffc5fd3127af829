"""Money of a job and of the studio: invoices, payments, what is due, exports. Owners only."""
