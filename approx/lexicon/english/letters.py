"""Own spelling rules for what no list and no dictionary has: invented names, nonsense words, sound words.

Measured on 100 held-back words (`tests/data/held_back_words.tsv`) as the last step of the whole chain. On
uncommon real words such rules are right for about one in two, so every answer is a guess that a person checks.
"""

from __future__ import annotations

from functools import cache, lru_cache

from approx.datafiles import read_tsv, rules_path
from approx.lexicon.english.endings import attach, prefers_silent_e, stems
from approx.lexicon.frequency import zipf
from approx.lexicon.pronunciation import DIPHTHONGS, WordSounds, from_phones, is_vowel_segment
from approx.lexicon.spelling import without_accents

VOWEL_LETTERS = frozenset("aeiouy")
WEAK = {"æ": "ə", "ɑ": "ə", "ɛ": "ə", "ʌ": "ə"}
NEAR = 12
"""Letters to either side that a rule can see."""
LONGEST_COMPOUND = 60
"""Letters of a word up to which it is searched for an invented compound."""
LONG = DIPHTHONGS | {"i", "u"}
_WEAK_BEFORE_LAST = frozenset({"n", "m", "l", "s"})
_GUESSED_ENDINGS = ("s", "es", "ies", "ed", "ied", "ing")
_LAST_LETTERS = ("s", "ed", "ing")
"""What all of them end in."""
_NO_PLURAL = ("ss", "us", "is", "as", "os")

LetterRule = tuple[tuple[str, ...], str, tuple[str, ...], tuple[str, ...]]


def read_letters(word: str) -> WordSounds | None:
    """Sounds of a word by its letters alone; None if no letter of it is a Latin one.

    Accents are left off, anything but letters is passed over. Stress falls on the first vowel of two, and on
    the last but one or two of more.
    """
    letters = plain_letters(word)
    if not letters:
        return None
    pieces = _pieces(letters)
    whole = _read_with_ending(pieces[0])
    for piece in pieces[1:]:
        whole = whole.with_second(_read_with_ending(piece))
    return whole


def plain_letters(word: str) -> str:
    """The Latin letters a to z of a word, small and without accents."""
    if word.isascii() and word.isalpha():
        return word.lower()
    return "".join(char for char in without_accents(word.lower()) if "a" <= char <= "z")


def _pieces(letters: str) -> list[str]:
    """Parts of an invented compound, cut after a silent e: dazzle|puff, snore|wig."""
    if len(letters) > LONGEST_COMPOUND:
        return [letters]
    for place in range(4, len(letters) - 2):
        first, rest = letters[:place], letters[place:]
        if first[-1] != "e" or rest[0] in VOWEL_LETTERS or not VOWEL_LETTERS & set(rest):
            continue
        after_le = first[-2] == "l" and first[-3] not in VOWEL_LETTERS and VOWEL_LETTERS & set(first[:-3])
        long_vowel = first[-2] not in VOWEL_LETTERS and first[-3] in VOWEL_LETTERS and len(rest) > 3 and zipf(rest) >= 3
        if after_le or long_vowel:
            return [first, *_pieces(rest)]
    return [letters]


def _read_with_ending(letters: str) -> WordSounds:
    """Read a stem and put a plain ending on it, so that smush-ed ends as "pushed" does."""
    with_ending = stems(letters) if letters.endswith(_LAST_LETTERS) else ()
    for stem, ending in sorted(with_ending, key=lambda pair: -len(pair[1].spelling)):
        if ending.spelling not in _GUESSED_ENDINGS or len(stem) < 3 or not VOWEL_LETTERS & set(stem):
            continue
        if ending.spelling == "s" and letters.endswith(_NO_PLURAL):
            continue
        if letters == stem + ending.spelling and ending.spelling in ("ed", "ing") and _lacks_silent_e(stem):
            continue
        return attach(_with_stress(_segments(stem), stem), stem, ending)[0]
    return _with_stress(_segments(letters), letters)


def _lacks_silent_e(stem: str) -> bool:
    """Whether a stem cannot stand without its e: gobbl-ed, pac-ed, snor-ing."""
    unsayable = stem[-1] in "lr" and stem[-2] not in VOWEL_LETTERS and stem[-2] != stem[-1]
    soft = stem[-1] in "cvu" or (stem[-1] == "g" and stem[-2] not in "ng")
    return unsayable or soft or prefers_silent_e(stem)


def _segments(letters: str) -> list[str]:
    phones: list[str] = []
    at = 0
    while at < len(letters):
        for before, own, after, sounds in _rules_for(letters[at : at + 2]):
            end = at + len(own)
            if letters[at:end] != own:
                continue
            if before and not _fits(before, letters[max(0, at - NEAR) : at], left=True):
                continue
            if not after or _fits(after, letters[end : end + NEAR], left=False):
                phones.extend(sounds)
                at = end
                break
        else:
            at += 1
    return phones


@lru_cache(maxsize=16384)
def _fits(patterns: tuple[str, ...], text: str, *, left: bool) -> bool:
    """Whether one of the patterns stands at the near end of `text`."""
    return any(_fits_one(pattern, text, left) for pattern in patterns)


def _fits_one(pattern: str, text: str, left: bool) -> bool:
    marks, letters = (pattern[::-1], text[::-1]) if left else (pattern, text)
    for at, mark in enumerate(marks):
        letter = letters[at : at + 1]
        if mark == "#":
            return not letter
        if mark == "@":
            return not VOWEL_LETTERS.isdisjoint(letters[at:])
        if not letter or not _stands_for(mark, letter):
            return False
    return True


def _stands_for(mark: str, letter: str) -> bool:
    return letter in VOWEL_LETTERS if mark == "V" else letter not in VOWEL_LETTERS if mark == "C" else letter == mark


def _with_stress(phones: list[str], letters: str) -> WordSounds:
    nuclei = [at for at, phone in enumerate(phones) if is_vowel_segment(phone)]
    if not nuclei:
        return from_phones(phones)
    stressed = _stressed(phones, nuclei, letters)
    out = list(phones)
    for at in nuclei:
        out[at] = _weakened(phones, at, nuclei) if at != stressed else _full(phones[at], len(nuclei), letters)
    plain = from_phones(out)
    return plain._replace(stress=(*plain.stress[:stressed], 1, *plain.stress[stressed + 1 :]))


def _stressed(phones: list[str], nuclei: list[int], letters: str) -> int:
    """Index of the stressed vowel: the first of two; of more the last for -oo and -ee, else near the end."""
    if len(nuclei) <= 2:
        return nuclei[1] if len(nuclei) == 2 and phones[nuclei[0]] in ("ə", "ɚ") and nuclei[0] == 0 else nuclei[0]
    if letters.endswith(("oo", "ee", "eer", "ette")):
        return nuclei[-1]
    last_but_one = nuclei[-2]
    heavy = nuclei[-1] - last_but_one > 2 or phones[last_but_one] in LONG
    weak = phones[last_but_one] in ("ə", "ɚ")
    open_ending = letters.endswith(("a", "o", "i")) and not weak
    return last_but_one if (heavy and not weak) or open_ending else nuclei[-3]


def _full(phone: str, count: int, letters: str) -> str:
    """A stressed vowel is never a weak one: her, and the a of "ba"."""
    if phone == "ɚ":
        return "ɝ"
    if phone == "ə":
        return "ɑ" if count == 1 and letters.endswith("a") else "ʌ"
    return phone


def _weakened(phones: list[str], at: int, nuclei: list[int]) -> str:
    """An unstressed vowel is ə inside the word and before a last n, m, l or s; ʌ always; -et, -ed have ɪ.

    A first vowel does so only right before the stress with one consonant between, as in "banana".
    """
    phone = phones[at]
    if phone == "ʌ":
        return "ə"
    if at == nuclei[-1] and len(phones) == at + 2:
        if phone == "ɛ" and phones[-1] in ("t", "d"):
            return "ɪ"
        return WEAK.get(phone, phone) if phones[-1] in _WEAK_BEFORE_LAST else phone
    if at == nuclei[-1] or (at == nuclei[0] and not (phone == "æ" and nuclei[1] == at + 2)):
        return phone
    return WEAK.get(phone, phone)


@cache
def _rules_for(letters: str) -> tuple[LetterRule, ...]:
    """The rules that two letters in a row (one at the end of a word) may begin with, in file order."""
    return tuple(rule for rule in _rules().get(letters[0], ()) if rule[1][:2] in (letters, letters[0]))


@cache
def _rules() -> dict[str, tuple[LetterRule, ...]]:
    """Rows of `rules/lexicon/letters.tsv` by their first letter, in file order."""
    table: dict[str, list[LetterRule]] = {}
    for row in read_tsv(rules_path("lexicon/letters.tsv")):
        sounds = () if row["sounds"] == "-" else tuple(row["sounds"].split())
        rule = (_patterns(row["before"]), row["letters"], _patterns(row["after"]), sounds)
        table.setdefault(row["letters"][0], []).append(rule)
    return {letter: tuple(rules) for letter, rules in table.items()}


def _patterns(cell: str) -> tuple[str, ...]:
    return tuple(cell.split(",")) if cell else ()
