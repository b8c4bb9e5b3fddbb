"""Choosing words for one child: the bank, what is new in a word, goals, filters, sets, contrasts."""

__all__ = [
    "contrasts",
    "openers",
    "own_list",
    "rank_words",
    "word_bank",
    "word_choice",
    "word_facts",
    "word_filters",
    "word_goals",
    "word_set",
    "word_weights",
]
