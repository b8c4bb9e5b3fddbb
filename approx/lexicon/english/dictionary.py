"""Readings of a word from the CMU Pronouncing Dictionary, in IPA, each cut into syllables.

Entries are found by bisecting, and mended in ARPAbet before they serve as children's targets: each rule of mending answers a
fault found by reading the entries of 791 child words one by one. A word made of two words is cut where they meet, and the
second keeps its vowel full.
"""

from __future__ import annotations

from functools import cache, lru_cache

from approx.datafiles import read_tsv, rules_path
from approx.lexicon.frequency import zipf
from approx.lexicon.pronunciation import WordSounds
from approx.lexicon.sorted_file import SortedFile, word_set


def entries(word: str) -> list[list[str]]:
    """The dictionary's own entries for a lower-case word, in its order: ARPAbet symbols with stress digits.

    [] if it has none. Source: CMU Pronouncing Dictionary, `rules/lexicon/cmudict.dict`.
    """
    return [line.split(" #", 1)[0].split()[1:] for line in _dictionary().lines(word)]


def from_arpabet(symbols: list[str]) -> WordSounds:
    """Sounds of one entry. Raises KeyError for a symbol that is not ARPAbet."""
    table = _ipa_of_arpabet()
    phones: list[str] = []
    stress: list[int | None] = []
    for symbol in symbols:
        ipa, vowel = table.get(symbol) or table[symbol.rstrip("012")]
        phones.append(ipa)
        stress.append(int(symbol[-1]) if vowel else None)
    return WordSounds(tuple(phones), tuple(stress))


def _headword(line: bytes) -> bytes:
    return line.partition(b" ")[0].partition(b"(")[0]


@cache
def _dictionary() -> SortedFile:
    return SortedFile(rules_path("lexicon/cmudict.dict"), _headword)


@cache
def _ipa_of_arpabet() -> dict[str, tuple[str, bool]]:
    rows = read_tsv(rules_path("lexicon/arpabet.tsv"))
    return {row["arpabet"]: (row["ipa"], row["kind"] == "vowel") for row in rows}


_NOT_A_PREFIX = frozenset({"until", "unless", "upon", "unto"})
_ENDS_IN_ER = ("over", "under", "after", "super", "inter", "hyper", "water")
_AU_SPELLINGS = ("au", "aw", "ough", "alk", "off", "oft", "oss", "ost", "oth", "ong")
_BEFORE_R = {"IY": "IH", "AE": "EH", "UW": "UH", "EY": "EH"}
_FINAL_VOWELS = {
    "IY2": ("y", "i", "ie", "ies", "ied"),
    "AH2": ("a", "as"),
    "OW2": ("o", "os", "oes"),
    "UW2": ("u", "us"),
}


def tidied(word: str, entries: list[list[str]]) -> list[list[str]]:
    """Entries of a word made fit, in the order to offer. Weak ones go if a stressed one is there."""
    stressed = [entry for entry in entries if any(symbol[-1] == "1" for symbol in entry)]
    return _au_first(word, [_tidy(word, entry) for entry in stressed or entries])


def _au_first(word: str, entries: list[list[str]]) -> list[list[str]]:
    """Of two entries that differ only as cot and caught do, "caught" first where it is spelled so."""
    if len(entries) > 1 and any(letters in word for letters in _AU_SPELLINGS):
        rounded = ["AO" + s[2:] if s[:2] == "AA" else s for s in entries[0]]
        if rounded in entries:
            return [rounded, *(entry for entry in entries if entry != rounded)]
    return entries


def _tidy(word: str, symbols: list[str]) -> list[str]:
    symbols = _plain_w(symbols)
    symbols = _one_primary(symbols)
    symbols = _merged_before_r(symbols)
    symbols = _onset_r(word, symbols)
    symbols = _weak_final_vowel(word, symbols)
    return _full_second_part(word, symbols)


def _plain_w(symbols: list[str]) -> list[str]:
    """No breathed w: "whale" begins as "wait"."""
    return [s for i, s in enumerate(symbols) if not (s == "HH" and symbols[i + 1 : i + 2] == ["W"])]


def _one_primary(symbols: list[str]) -> list[str]:
    """The first primary stress stays, later ones are secondary; a word without one gets it."""
    levels = [symbol[-1] for symbol in symbols if symbol[-1] in "012"]
    if not levels:
        return symbols
    if "1" not in levels:
        at = next((i for i, s in enumerate(symbols) if s[-1] == "2"), None)
        at = next(i for i, s in enumerate(symbols) if s[-1] == "0") if at is None else at
    else:
        at = next(i for i, s in enumerate(symbols) if s[-1] == "1")
    return [s[:-1] + "1" if i == at else s[:-1] + "2" if s[-1] == "1" else s for i, s in enumerate(symbols)]


def _onset_r(word: str, symbols: list[str]) -> list[str]:
    """ER0 before a stressed vowel is a schwa and the consonant of the next syllable: gi-raffe, ga-rage.

    Left as one vowel, a consonant would be missing from every count. Words such as over-eat keep the vowel.
    """
    if word.startswith(_ENDS_IN_ER):
        return symbols
    out: list[str] = []
    for symbol, following in zip(symbols, [*symbols[1:], ""]):
        out += ["AH0", "R"] if symbol == "ER0" and following[-1:] in ("1", "2") else [symbol]
    return out


def _merged_before_r(symbols: list[str]) -> list[str]:
    """One vowel before r where General American has one: ear and here (ɪɹ), carry and merry (ɛɹ)."""
    pairs = zip(symbols, [*symbols[1:], ""])
    return [_BEFORE_R.get(s[:-1], s[:-1]) + s[-1] if s[-1] in "12" and after == "R" else s for s, after in pairs]


def _weak_final_vowel(word: str, symbols: list[str]) -> list[str]:
    """A last vowel spelled with one letter, -ie or -ow has no stress: duck-y, pa-pa, po-ta-to, shad-ow.

    The second word of a compound keeps it: rain-bow.
    """
    if "-" in word and len(word) - word.rindex("-") <= 4:
        return symbols
    at = len(symbols) - 1 - (symbols[-1] in ("Z", "S", "D") and len(symbols) > 1)
    endings = _FINAL_VOWELS.get(symbols[at], ())
    if word.endswith("ow") and second_part(word, symbols) is None:
        endings = ("ow",)
    if word.endswith(endings) and symbols[at][-1] == "2" and not word.endswith(("oo", "oos", "ee", "eu")):
        return [*symbols[:at], symbols[at][:-1] + "0", *symbols[at + 1 :]]
    return symbols


def has_full_prefix(word: str, symbols: list[str]) -> bool:
    """Whether a word begins with un- or up-, whose vowel is that of "cup" though unstressed."""
    return symbols[0] == "AH0" and word.startswith(("un", "up")) and word not in _NOT_A_PREFIX


def _full_second_part(word: str, symbols: list[str]) -> list[str]:
    """The second part of a compound has its own vowel and secondary stress: bath-tub, tooth-brush."""
    boundary = second_part(word, symbols)
    if boundary is None or any(symbol[-1] in "12" for symbol in symbols[boundary:]):
        return symbols
    return [*symbols[:boundary], *(s[:-1] + "2" if s == "AH0" else s for s in symbols[boundary:])]


SHORTEST_PART = 3
COMMON = 3.0  # zipf; rarer parts are mostly surnames and scraps


def second_part(word: str, symbols: list[str]) -> int | None:
    """Index in `symbols` where the second word of a compound begins, None if it is not one.

    Both parts must be common words whose own sounds, stress aside, make up the whole (bath + tub).
    """
    if len(word) < 5 or not word.isalpha():
        return None
    if not any(symbol[-1] == "2" for symbol in symbols) and not ends_in_full_part(word):
        return None
    bare = _bare(symbols)
    for first, second in common_splits(word):
        lengths = {len(begin) for begin in entries(first) if bare[: len(begin)] == _bare(begin)}
        for length in sorted(lengths):
            stressed = any(symbol[-1] in "12" for symbol in symbols[length:])
            if not stressed and second not in word_set("full_second_parts"):
                continue
            if any(_bare(end) == bare[length:] for end in entries(second)):
                return length
    return None


@lru_cache(maxsize=4096)
def common_splits(word: str) -> tuple[tuple[str, str], ...]:
    """Every way to cut a word into two common words of three letters or more, or "up" as the second."""
    shortest_last = 2 if word.endswith("up") else SHORTEST_PART
    places = range(SHORTEST_PART, len(word) - shortest_last + 1)
    pairs = ((word[:place], word[place:]) for place in places)
    return tuple(pair for pair in pairs if zipf(pair[1]) >= COMMON and zipf(pair[0]) >= COMMON)


def ends_in_full_part(word: str) -> bool:
    """Whether a word ends in one of the second parts that keep a full vowel (tub, brush, nut, ...)."""
    return any(word[start:] in word_set("full_second_parts") for start in range(len(word) - 6, len(word) - 2))


def _bare(symbols: list[str]) -> list[str]:
    return [symbol.rstrip("012") for symbol in symbols]


@lru_cache(maxsize=4096)
def dictionary_readings(word: str) -> tuple[WordSounds, ...]:
    """Every distinct reading of a lower-case word, the one to use first; () if there is none."""
    readings: dict[WordSounds, None] = {}
    found = entries(word)
    for symbols in tidied(word, found) if found else ():
        sounds = from_arpabet(symbols)
        boundary = second_part(word, symbols)
        phones = ("ʌ", *sounds.phones[1:]) if has_full_prefix(word, symbols) else sounds.phones
        readings[WordSounds(phones, sounds.stress, (boundary,) if boundary else ())] = None
    return tuple(readings)
