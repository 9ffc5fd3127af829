"""The calendar: jobs by month and as an agenda, and a feed for telephones."""
