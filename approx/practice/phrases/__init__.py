"""Phrases for one child: how this child says words, phrases made and chosen, grammar ladders."""
