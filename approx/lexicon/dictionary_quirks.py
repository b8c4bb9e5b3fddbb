"""What is mended in dictionary entries before they serve as children's targets, all on ARPAbet symbols.

Each rule answers a fault found by reading the entries of 791 child words one by one.
"""

from __future__ import annotations

from approx.lexicon.seams import second_part

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
    seam = second_part(word, symbols)
    if seam is None or any(symbol[-1] in "12" for symbol in symbols[seam:]):
        return symbols
    return [*symbols[:seam], *(s[:-1] + "2" if s == "AH0" else s for s in symbols[seam:])]
