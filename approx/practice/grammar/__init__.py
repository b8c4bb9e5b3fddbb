"""Who does what to what, in words: kinds of things, verbs, frames, adult sentences, and single steps of grammar.

What both languages share stands here; each language has a folder of its own below.
"""

__all__ = ["adult_sentence", "kinds", "moves", "phrase_grammar", "phrase_words", "recipes", "sense", "verb_table"]
