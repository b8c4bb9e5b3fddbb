"""English: word forms, noun groups, clauses, reading telegraphic phrases, grammar steps."""

__all__ = ["clause", "forms", "nouns", "reader", "steps"]
