"""Results as JSON (the keys are a promise) and as rows of a table."""

__all__ = ["comparison", "inventory", "phrases", "processes", "progress", "scores", "suggestions", "words"]
