"""The job file: schema, reading, writing, findings, examples."""
