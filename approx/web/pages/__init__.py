"""The pages of the desk, one file a topic."""
