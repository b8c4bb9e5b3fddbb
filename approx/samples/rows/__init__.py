"""Whole rows into tokens: labels, pairs of forms, what was left out and why, every change once."""
