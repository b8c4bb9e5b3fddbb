"""One token: right or wrong sound by sound, structure, complexity; and the whole numbers that add up over tokens."""

__all__ = [
    "complexity",
    "counts",
    "judge",
    "options",
    "scored_word",
    "slots",
    "structure",
]
