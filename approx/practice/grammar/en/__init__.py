"""English: word forms, noun groups, clauses, reading telegraphic phrases, grammar steps."""
