"""Suggestions: for a phrase or a list, the forms this child can be asked for today and the way back up."""
