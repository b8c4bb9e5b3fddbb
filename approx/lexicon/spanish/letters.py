"""Spanish spelling to broad phonemic IPA, with stress and syllable cuts from the same pass.

Letters and words that are not read as written are data: `rules/lexicon/spanish_letters.toml`. What follows from
them is here: which vowels share a syllable, where syllables are cut, which one is stressed.

Sources: accent and diphthong rules of Spanish orthography (common practice, no single source); the choices of
phonemes are the project's transcription conventions (seseo, yeísmo ʝ, b d ɡ, single r ɾ, j w before the vowel,
i u after it).
"""

from __future__ import annotations

import unicodedata
from functools import cache
from itertools import groupby, pairwise
from typing import Any

from approx.datafiles import read_toml, rules_path

_STRONG = {"a": "a", "e": "e", "o": "o", "á": "a", "é": "e", "ó": "o", "í": "i", "ú": "u"}
_WEAK = {"i": "i", "u": "u", "ü": "u", "y": "i"}
_ACCENTED = frozenset("áéíóú")
_KEPT_MARKS = frozenset(("a\u0301", "e\u0301", "i\u0301", "o\u0301", "u\u0301", "u\u0308", "n\u0303", "c\u0327"))
_HYPHENS = dict.fromkeys(map(ord, "‐‑‒–—−"), "-")
_BOUNDARY = "|"


class _Letter:
    """One line of the letter table."""

    __slots__ = ("after", "before", "sounds", "spelling")

    def __init__(self, row: dict[str, str], replace: dict[str, str]) -> None:
        self.spelling = row["spelling"]
        self.after, self.before = row.get("after", ""), row.get("before", "")
        # A sound is one sign, but for the affricates, which stand alone in their line.
        signs = [row["sound"]] if "͡" in row["sound"] else list(row["sound"])
        self.sounds = tuple(replace.get(sign, sign) for sign in signs)

    def fits(self, word: str, at: int) -> bool:
        """True if this line can be used at this place of the word."""
        end = at + len(self.spelling)
        if not word.startswith(self.spelling, at):
            return False
        previous = word[at - 1] if at else "#"
        following = word[end] if end < len(word) else "#"
        return (not self.after or previous in self.after) and (not self.before or following in self.before)


class _Phone:
    """One sound: `kind` is C consonant, V syllable centre, G glide before it, K glide after it, | a boundary."""

    __slots__ = ("accented", "kind", "sound")

    def __init__(self, sound: str, kind: str, accented: bool = False) -> None:
        self.sound, self.kind, self.accented = sound, kind, accented


class _Table:
    """The letter table of one variety ("es-419" or "es-ES"), ready to use."""

    def __init__(self, variety: str) -> None:
        data: dict[str, Any] = read_toml(rules_path("lexicon/spanish_letters.toml"))
        america = data["latin_america"] if variety != "es-ES" else {"replace": {}, "onsets": []}
        # Longest spelling first; of equal length, the line that stands first.
        self.letters: dict[str, list[_Letter]] = {}
        for row in sorted(data["letters"], key=lambda row: -len(row["spelling"])):
            self.letters.setdefault(row["spelling"][0], []).append(_Letter(row, america["replace"]))
        self.onsets = frozenset(data["onsets"] + america["onsets"])
        read_as: dict[str, str] = data["read_as"]
        self.whole = {word: spelling for word, spelling in read_as.items() if not word.endswith("*")}
        self.stems = [(word[:-1], spelling) for word, spelling in read_as.items() if word.endswith("*")]
        self.not_adverbs = frozenset(data["not_adverbs"])
        self.short_adverbs = frozenset(data["short_adverbs"])


_table = cache(_Table)


def read_spanish(word: str, variety: str = "es-419", *, dots: bool = False) -> str:
    """Broad phonemic IPA of a Spanish word, for example "zapato" -> "saˈpato".

    ˈ stands before the stressed syllable of a word of two or more syllables; adverbs in -mente and all but the last
    part of a hyphened word carry ˌ as well. `dots=True` writes every syllable cut: "sa.ˈpa.to". `variety` "es-ES"
    keeps θ and cuts t.l; every other one has seseo. Several words come back with one blank between them.
    "" when nothing in it can be read; what was left out of a word is told by `unread`. Never raises.
    """
    joint = "." if dots else ""
    return " ".join(joint.join(syllables) for syllables in _words(word, variety))


def spanish_syllables(word: str, variety: str = "es-419") -> tuple[str, ...]:
    """Syllables of a word in IPA, each with its stress mark: "zapato" -> ("sa", "ˈpa", "to"). () if unreadable."""
    return tuple(syllable for syllables in _words(word, variety) for syllable in syllables)


def unread(word: str) -> tuple[str, ...]:
    """Characters of `word` that have no sound here, so that a caller can name them (digits, signs, other scripts).

    Punctuation, blanks, hyphens and apostrophes are no sounds and are not listed.
    """
    letters = _table("es-419").letters
    return tuple(
        sign
        for sign in _normalised(word)
        if sign not in letters and sign not in _STRONG and sign not in _WEAK and sign != "-"
        and not sign.isspace() and unicodedata.category(sign)[0] != "P"
    )  # fmt: skip


def _words(text: str, variety: str) -> list[list[str]]:
    """Syllables of every readable word of `text`."""
    table = _table("es-ES" if variety == "es-ES" else "es-419")
    words = (_hyphened(word.split("-"), table) for word in _normalised(text).split())
    return [syllables for syllables in words if syllables]


def _normalised(text: str) -> str:
    """Lower case, one hyphen sign, and only the marks Spanish letters carry (à is read as a)."""
    parts: list[str] = []
    base = ""
    for sign in unicodedata.normalize("NFD", text.lower()).translate(_HYPHENS):
        if unicodedata.combining(sign):
            if base + sign in _KEPT_MARKS:
                parts.append(sign)
            continue
        base = sign
        parts.append(sign)
    return unicodedata.normalize("NFC", "".join(parts))


def _hyphened(parts: list[str], table: _Table) -> list[str]:
    """Syllables of a hyphened word: each part keeps its stress, the last one that has a vowel the main one."""
    read = [syllables for part in parts if (syllables := _adverb(part, table))]
    if sum(len(syllables) for syllables in read) < 2:
        return [text for syllables in read for text, _ in syllables]
    last = max((i for i, syllables in enumerate(read) if any(stress for _, stress in syllables)), default=0)
    return [
        ("", "ˌ", "ˌ" if i != last else "ˈ")[stress] + text
        for i, syllables in enumerate(read)
        for text, stress in syllables
    ]


def _adverb(word: str, table: _Table) -> list[tuple[str, int]]:
    """(syllable, stress 0 1 2) of a word; an adverb in -mente has the stress of its adjective as a second one."""
    base = word.removesuffix("mente")
    if base != word and word not in table.not_adverbs:
        first = _simple(base, table)
        if (len(first) > 1 and base[-1] in "aelnrsz") or word in table.short_adverbs:
            return [(text, min(stress, 1)) for text, stress in first] + _simple("mente", table)
    return _simple(word, table)


def _simple(word: str, table: _Table) -> list[tuple[str, int]]:
    """(syllable, stress) of a word with one stress, 2 on the stressed syllable and 0 elsewhere."""
    spelling = _respelled(_unstretched(word), table)
    phones = _vowels(_letters_to_phones(spelling, table))
    syllables = _cut(phones, table.onsets)
    if not syllables:
        return []
    stressed = _stressed(syllables, spelling)
    return [
        ("".join(phone.sound for phone in syllable), 2 if i == stressed else 0) for i, syllable in enumerate(syllables)
    ]


def _unstretched(word: str) -> str:
    """A letter drawn out ("noooo", "brrrr") is one letter, a drawn out r the long one."""
    runs = ((letter, len(list(run))) for letter, run in groupby(word))
    return "".join(letter * (count if count < 3 else 2 if letter == "r" else 1) for letter, count in runs)


def _respelled(word: str, table: _Table) -> str:
    """The word, or the spelling it is read by when it is not read as written."""
    if word in table.whole:
        return table.whole[word]
    for stem, spelling in table.stems:
        if word.startswith(stem):
            return spelling + word[len(stem) :]
    return word


def _letters_to_phones(word: str, table: _Table) -> list[_Phone]:
    """Sounds letter by letter; vowels still carry their letter as sound and have the kind `?`."""
    phones: list[_Phone] = []
    at = 0
    while at < len(word):
        sign = word[at]
        row = next((line for line in table.letters.get(sign, ()) if line.fits(word, at)), None)
        if row is not None:
            for sound in row.sounds:
                # Seseo brings two s together in piscina and excelente: they are one.
                if not (sound == "s" and phones and phones[-1].sound == "s" and row.spelling != "s"):
                    phones.append(_Phone(sound, "C"))
            at += len(row.spelling)
            continue
        if sign in _STRONG or sign in _WEAK:
            phones.append(_Phone(sign, "?"))
        elif sign == _BOUNDARY:
            phones.append(_Phone("", _BOUNDARY))
        at += 1
    return _single(phones)


def _single(phones: list[_Phone]) -> list[_Phone]:
    """Doubled consonants are one (Peppa, Ross), but nn, whose spelling table decides, stays."""
    return [
        phone
        for i, phone in enumerate(phones)
        if not (i and phone.kind == "C" and phone.sound != "n" and phones[i - 1].sound == phone.sound)
    ]


def _vowels(phones: list[_Phone]) -> list[_Phone]:
    """Which vowels are syllable centres and which are glides.

    a e o and accented í ú are centres. Unaccented i u glide into a centre that follows, else onto one before;
    of i and u together the second is the centre (ciudad, ruido); two of the same are two (chiita). y at the end
    glides onto its vowel (muy).
    """
    letters = [phone.sound if phone.kind == "?" else "" for phone in phones]
    centre = [bool(letter) and letter in _STRONG for letter in letters]
    for i, letter in enumerate(letters):
        if not letter or centre[i]:
            continue
        before, after = letters[i - 1] if i else "", letters[i + 1] if i + 1 < len(letters) else ""
        if letter == "y":
            centre[i] = not before
        elif _plain(letter) in (_plain(before), _plain(after)):
            centre[i] = True
        elif not after or after == "y":
            centre[i] = not (before and centre[i - 1])
    result: list[_Phone] = []
    for i, (phone, letter) in enumerate(zip(phones, letters, strict=True)):
        if not letter:
            result.append(phone)
        elif centre[i]:
            result.append(_Phone(_plain(letter), "V", letter in _ACCENTED))
        elif i + 1 < len(centre) and centre[i + 1] or not (i and centre[i - 1]):
            result.append(_Phone("j" if _plain(letter) == "i" else "w", "G"))
        else:
            result.append(_Phone(_plain(letter), "K"))
    return result


def _plain(letter: str) -> str:
    """Vowel of a vowel letter, without accent."""
    return _STRONG.get(letter) or _WEAK.get(letter, "")


def _cut(phones: list[_Phone], onsets: frozenset[str]) -> list[list[_Phone]]:
    """Syllables: one consonant, or two that may open a syllable, go with the vowel after them."""
    centres = [i for i, phone in enumerate(phones) if phone.kind == "V"]
    edges = [0]
    for left, right in pairwise(centres):
        low, high = left + 1, right
        while low < high and phones[low].kind == "K":
            low += 1
        while high > low and phones[high - 1].kind == "G":
            high -= 1
        boundaries = [i for i in range(low, high) if phones[i].kind == _BOUNDARY]
        if boundaries:
            edges.append(boundaries[0])
        elif high - low >= 2 and phones[high - 2].sound + phones[high - 1].sound in onsets:
            edges.append(high - 2)
        else:
            edges.append(max(low, high - 1))
    edges.append(len(phones))
    syllables = [phones[start:end] for start, end in pairwise(edges)]
    return [syllable for syllable in syllables if any(phone.sound for phone in syllable)]


def _stressed(syllables: list[list[_Phone]], spelling: str) -> int | None:
    """Index of the stressed syllable; None if no syllable has a vowel.

    A written accent decides. Else the last but one, if the word ends in a vowel or in n or s after a vowel;
    else the last (azul, robots, and words in a gliding y: estoy).
    """
    with_vowel = [i for i, syllable in enumerate(syllables) if any(phone.kind == "V" for phone in syllable)]
    if not with_vowel:
        return None
    for i in with_vowel:
        if any(phone.accented for phone in syllables[i]):
            return i
    end, before = spelling[-1], spelling[-2:-1]
    vowels = set(_STRONG) | set(_WEAK)
    open_end = end in "aeiouü" or (end == "y" and before not in vowels) or (end in "ns" and before in vowels)
    return with_vowel[-2] if open_end and len(with_vowel) > 1 else with_vowel[-1]
