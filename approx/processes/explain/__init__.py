"""Explain: which processes lead from an adult form to what was said, on how many opportunities."""
