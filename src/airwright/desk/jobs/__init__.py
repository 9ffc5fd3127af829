"""Jobs: all jobs by stage and date, what needs attention first."""
