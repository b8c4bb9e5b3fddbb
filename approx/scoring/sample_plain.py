"""A short way for forms that hold nothing but a language's own sounds, stress marks and dots, as most cells do.

It says the same as `approx.ipa.read`, or None where there is anything to change, to doubt or to refuse; a test holds
the two side by side. It exists for files of a million rows, where reading would take longer than scoring.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import cache
from sys import intern

from approx.ipa import Word
from approx.ipa.language import language
from approx.ipa.word import build

_STRESS = {"ˈ": 1, "ˌ": 2}
_TIE = "͡"
_RHOTIC = "[əɜ][ˈˌ.]?ɹ"
"""English vowels in two letters, which may become ɚ and ɝ."""


@cache
def plain_reader(tag: str) -> Callable[[str], Word | None]:
    """For a language: text -> its word, or None if the text is not plain."""
    lang = language(tag)
    sounds = {*lang.consonants, *lang.vowels, *lang.affricates}
    rewritten = {sound.replace(_TIE, "") for sound in lang.affricates} | set(lang.respelled)
    sound = "|".join(re.escape(one) for one in sorted(sounds, key=len, reverse=True))
    other = "|".join([_RHOTIC, *(re.escape(one) for one in sorted(rewritten))])
    one = rf"[ˈˌ.]?(?!{other})(?:{sound})"
    whole, each = re.compile(rf"(?:{one})+"), re.compile(rf"([ˈˌ.]?)({sound})")

    def plain(text: str) -> Word | None:
        if not whole.fullmatch(text):
            return None
        marked = each.findall(text)
        stressed = {at: _STRESS[mark] for at, (mark, _) in enumerate(marked) if mark in _STRESS}
        cuts = {at for at, (mark, _) in enumerate(marked) if mark == "."}
        return build([intern(phone) for _, phone in marked], stressed, cuts, lang)

    return plain
