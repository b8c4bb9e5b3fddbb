"""Spelling to pronunciations, and what is known about words. Each answer says where it came from."""

from approx.lexicon.homophones import is_rude, other_words
from approx.lexicon.own_words import load_own_words, own_words_path, say
from approx.lexicon.phrase import SpokenWord, read_phrase
from approx.lexicon.pronunciation import Pronunciation
from approx.lexicon.reading import pronunciations

__all__ = [
    "Pronunciation",
    "SpokenWord",
    "is_rude",
    "load_own_words",
    "other_words",
    "own_words_path",
    "pronunciations",
    "read_phrase",
    "say",
]
