"""Results as lines for the terminal, and the sentences of notes and goals."""

__all__ = ["goals", "notes", "phrases", "profile", "progress", "suggestions", "words"]
