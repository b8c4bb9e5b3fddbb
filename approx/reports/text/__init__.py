"""Results as lines for the terminal, and the sentences of notes and goals."""
