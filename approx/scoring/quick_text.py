"""Canonical IPA text straight into numbered sounds: the quick way for long lists.

Only text that `approx.ipa.read` would take unchanged goes this way; everything else (look-alikes, missing tie bars, marks
of doubt, stress in odd places) is read by `approx.ipa.read`. Both ways give the same sounds; a test compares them.
"""

from __future__ import annotations

import re
from functools import cache
from unicodedata import is_normalized, normalize

from approx.datafiles import read_tsv, rules_path
from approx.ipa import read
from approx.ipa.features import TIE, bases, is_vowel
from approx.ipa.language import language
from approx.scoring.costs import (
    CODA_LIQUID,
    HEAD,
    LIQUID,
    PLAIN,
    SCHWA_LIQUID,
    STRESSED,
    SYLLABIC,
    UNSTRESSED,
    VOWEL,
    Prepared,
    costs,
    kind_of,
    prepare,
)

_CUT, _STRESS, _READ = -1, -2, -3
"""Kinds of what is no sound: a dot, a stress mark, something that must be read in full."""


class TextReader:
    """Reads forms of one language and keeps each distinct one."""

    def __init__(self, language_tag: str = "en-US") -> None:
        self.language_tag = language_tag
        self._kept: dict[str, Prepared] = {}
        self._tokens, self._joined = _pattern(language_tag)
        self._sounds: dict[str, tuple[int, str, str]] = {
            ".": (_CUT, "", ""),
            "ˈ": (_STRESS, "", ""),
            "ˌ": (_STRESS, "", ""),
        }

    def prepared(self, text: str) -> Prepared:
        """One word as the aligner sees it. ValueError for text that is not one word of known sounds."""
        found = self._kept.get(text)
        if found is None:
            found = self._kept[text] = self._canonical(text) or _read_in_full(text, self.language_tag)
        return found

    def _sound(self, part: str) -> tuple[int, str, str]:
        """Kind of a sound, its number elsewhere, its number in the onset or as the vowel of a stressed syllable."""
        kind, number = kind_of(part), self._number
        if part in self._joined or kind == SYLLABIC:
            entry = (_READ, "", "")
        elif kind == VOWEL:
            entry = (kind, number(part, UNSTRESSED), number(part, STRESSED))
        else:
            entry = (kind, number(part, PLAIN), number(part, HEAD))
        self._sounds[part] = entry
        return entry

    def _canonical(self, text: str) -> Prepared | None:
        """Numbered sounds of text that needs no change; None if it must be read in full."""
        parts = self._tokens.findall(text)
        if "".join(parts) != text or not is_normalized("NFD", text):
            return None
        sounds = self._sounds
        phones: list[str] = []
        code: list[str] = []
        strong = "ˈ" not in text and "ˌ" not in text
        seen = 0
        before = waiting = _CUT
        for part in parts:
            kind, plain, head = sounds.get(part) or self._sound(part)
            if kind < 0:
                if kind == _READ or strong or (kind == _STRESS and not seen and code):
                    return None
                strong = kind == _STRESS
                continue
            if waiting >= 0:
                if kind != VOWEL:
                    code[waiting] = self._coda(phones, waiting)
                waiting = _CUT
            phones.append(part)
            code.append(head if strong else plain)
            if kind == VOWEL:
                strong, seen = False, seen + 1
            elif kind == LIQUID and before == VOWEL:
                waiting = len(code) - 1
            before = kind
        if waiting >= 0:
            code[waiting] = self._coda(phones, waiting)
        return Prepared(tuple(phones), "".join(code)) if seen and not strong else None

    def _coda(self, phones: list[str], at: int) -> str:
        return self._number(phones[at], SCHWA_LIQUID if phones[at - 1] == "ə" else CODA_LIQUID)

    @staticmethod
    def _number(phone: str, role: int) -> str:
        return chr(costs().number(phone, role))


def _read_in_full(text: str, tag: str) -> Prepared:
    found = read(text, tag)
    if found.problems or len(found.words) != 1:
        raise ValueError("; ".join(map(str, found.problems)) or f"'{text}' is not one word")
    return prepare(found.words[0])


@cache
def lookalikes(code: str) -> frozenset[str]:
    """What is typed for another symbol in a language, decomposed."""
    primary = code.split("-")[0]
    rows = read_tsv(rules_path("ipa/lookalikes.tsv"))
    return frozenset(normalize("NFD", row["typed"]) for row in rows if row["language"] in ("", primary))


@cache
def plain_text(tag: str) -> tuple[str, frozenset[str]]:
    """A pattern of one sound without marks; and the pairs of letters that reading would join or change."""
    lang = language(tag)
    alike = lookalikes(lang.code)
    joined = {pair.replace(TIE, "") for pair in lang.affricates} | set(lang.respelled) | set(lang.rhotic) | alike
    joined = {entry for entry in joined if len(entry) == 2}
    seconds: dict[str, str] = {}
    for pair in sorted(joined | lang.diphthongs):
        seconds[pair[0]] = seconds.get(pair[0], "") + pair[1]
    two = "|".join(f"{re.escape(first)}[{re.escape(second)}]" for first, second in seconds.items()) or "(?!)"
    single = [sound for sound in bases() if len(sound) == 1 and sound not in alike]
    one = "".join(map(re.escape, single))
    consonants = "".join(re.escape(sound) for sound in single if not is_vowel(sound))
    return f"[{consonants}]{TIE}[{consonants}](?!{TIE})|{two}|[{one}](?!{TIE})", frozenset(joined)


@cache
def _pattern(tag: str) -> tuple[re.Pattern[str], frozenset[str]]:
    """Sounds and signs of canonical text; and the pairs of letters that reading would join or change.

    Text with marks other than the tie bar of an affricate is not canonical here: what a mark does is for reading to say.
    """
    sounds, joined = plain_text(tag)
    return re.compile(f"{sounds}|[ˈˌ.]"), joined
