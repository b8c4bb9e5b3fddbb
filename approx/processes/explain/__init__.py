"""Explain: which processes lead from an adult form to what was said, on how many opportunities."""

__all__ = ["choose_reading", "deletions", "derivation", "explain", "opportunities", "sample_processes", "sound_changes"]
