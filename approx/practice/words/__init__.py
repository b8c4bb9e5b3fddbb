"""Choosing words for one child: the bank, what is new in a word, goals, filters, sets, contrasts."""
