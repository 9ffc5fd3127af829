"""Papers and photographs of a job: made in the background, looked at in the page, taken along."""
