"""The words of a cell for the scorer of single words."""

from __future__ import annotations

from approx.ipa import Reading
from approx.ipa.word import Word

SILENCE = Word((), (), ())
"""What a word that was left off is: no sounds, every target lost."""


def phrase(reading: Reading) -> tuple[Word, ...]:
    """The words of a reading; where some carry a stress mark, a word of one syllable without one is unstressed.

    >>> from approx.ipa import read
    >>> [word.stress for word in phrase(read("ˈfid hɚ"))]
    [(1,), (0,)]
    """
    typed = reading.typed.split()
    marked = [any(mark in token for mark in "ˈˌ") for token in typed]
    if len(typed) != len(reading.words) or not any(marked):
        return reading.words
    return tuple(
        word if has_mark or len(word.starts) != 1 else Word(word.phones, word.starts, (0,), word.doubtful, word.omitted)
        for word, has_mark in zip(reading.words, marked)
    )
