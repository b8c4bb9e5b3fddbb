"""Spanish: word forms, agreement, clauses, reading telegraphic phrases, grammar steps."""
