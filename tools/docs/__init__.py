"""Pages of the documentation that are generated, and the check that they are fresh."""
