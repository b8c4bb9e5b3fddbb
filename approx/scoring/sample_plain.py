"""A short way for forms that hold nothing but a language's own sounds, and no mark but a first ˈ: most cells of a file.

It says the same as `approx.ipa.read`, or None where there is anything else to see; a test holds the two side by side.
It exists for files of a million rows, where reading would take longer than scoring.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import cache
from sys import intern

from approx.ipa import Word
from approx.ipa.features import is_nucleus
from approx.ipa.language import language
from approx.ipa.syllables import syllable_starts

_TIE = "͡"
_RHOTIC = ("əɹ", "ɜɹ")
"""English vowels in two letters, which may become ɚ and ɝ."""


@cache
def plain_reader(tag: str) -> Callable[[str], Word | None]:
    """For a language: text -> its word, or None if the text is not plain. Words share their parts."""
    lang = language(tag)
    sounds = {intern(sound) for sound in (*lang.consonants, *lang.vowels, *lang.affricates)}
    nuclei = frozenset(filter(is_nucleus, sounds))
    rewritten = {*_RHOTIC, *lang.respelled, *(sound.replace(_TIE, "") for sound in lang.affricates)}
    sound = "|".join(re.escape(one) for one in sorted(sounds, key=len, reverse=True))
    other = "|".join(re.escape(one) for one in sorted(rewritten))
    whole, each = re.compile(rf"ˈ?(?:(?!{other})(?:{sound}))+"), re.compile(sound)
    codas: dict[tuple[str, ...], int] = {}
    patterns: dict[tuple[int, ...], tuple[tuple[int, ...], tuple[int, ...]]] = {}

    def coda(between: tuple[str, ...]) -> int:
        """How many of the consonants between two vowels belong to the first."""
        if between not in codas:
            codas[between] = syllable_starts(("a", *between, "a"), (), lang)[1] - 1
        return codas[between]

    def plain(text: str) -> Word | None:
        if not whole.fullmatch(text):
            return None
        phones = tuple(map(intern, each.findall(text)))
        vowels = [at for at, phone in enumerate(phones) if phone in nuclei]
        starts = (0, *[left + 1 + coda(phones[left + 1 : right]) for left, right in zip(vowels, vowels[1:])])
        if starts not in patterns:
            patterns[starts] = (starts, (1, *[0] * (len(starts) - 1)))
        return Word(phones, *patterns[starts])

    return plain
