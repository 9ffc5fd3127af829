"""The book: all jobs by stage and date, what needs attention first."""
