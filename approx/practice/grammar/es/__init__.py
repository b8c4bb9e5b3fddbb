"""Spanish: word forms, agreement, clauses, reading telegraphic phrases, grammar steps."""

__all__ = ["clause", "forms", "reader", "sentence", "steps"]
