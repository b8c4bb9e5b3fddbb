"""Phrases for one child: how this child says words, phrases made and chosen, grammar ladders."""

__all__ = ["child_pronouncer", "grammar_ladder", "phrase_maker", "phrase_types", "phrases"]
