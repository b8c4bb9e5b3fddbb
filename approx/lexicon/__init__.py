"""Spelling to pronunciations, and what is known about words. Each answer says where it came from.

Names are loaded when first used, so that a command that reads one word does not pay for the rest.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from approx.lexicon.own_words import load_own_words, own_words_path, say
    from approx.lexicon.pronunciation import Pronunciation
    from approx.lexicon.reading import SpokenWord, pronunciations, read_phrase

__all__ = [
    "Pronunciation",
    "SpokenWord",
    "load_own_words",
    "own_words_path",
    "pronunciations",
    "read_phrase",
    "say",
]

_MODULES = {
    "own_words": ("load_own_words", "own_words_path", "say"),
    "pronunciation": ("Pronunciation",),
    "reading": ("SpokenWord", "pronunciations", "read_phrase"),
}


def __getattr__(name: str) -> object:
    for module, names in _MODULES.items():
        if name in names:
            found: object = getattr(import_module(f"{__name__}.{module}"), name)
            return found
    raise AttributeError(f"{__name__} has no {name}")
