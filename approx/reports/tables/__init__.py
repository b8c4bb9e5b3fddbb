"""Results as JSON (the keys are a promise) and as rows of a table."""
