"""Probes over sessions: reading them, phases, overlap indices, and whether a stated criterion is met."""

__all__ = ["criteria", "overlap", "phases", "probe_file", "probe_series", "probe_table", "rules"]
