"""Did it pay? What a job was planned to take, beside what it took."""
