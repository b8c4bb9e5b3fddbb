"""The one search and what it stands on: forms, applying a rule, contexts, costs, and the proof of a rule."""

__all__ = [
    "apply",
    "contexts",
    "cost_bounds",
    "form",
    "habits",
    "pooling",
    "proofs",
    "repair",
    "search",
    "sorted_rules",
]
