"""How the tables came to be, one step a file; run by itself when a database is opened."""
