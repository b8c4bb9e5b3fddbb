"""Rules as data: notation, keys, the set in use, names of processes, published ages."""

__all__ = ["norms", "notation", "process_names", "rule", "rule_cache", "ruleset"]
