"""Rules as data: notation, keys, the set in use, names of processes, published ages."""

__all__ = ["norms", "notation", "rule", "rule_cache", "ruleset"]
