"""A job while it is being designed: changes to its file, and what each change comes to."""
