"""Letters to clients: written from the studio's words, looked at, sent or saved. Owners only."""
