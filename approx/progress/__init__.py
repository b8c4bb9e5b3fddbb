"""Probes over sessions: reading them, phases, overlap indices, and whether a stated criterion is met."""
