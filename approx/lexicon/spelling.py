"""A word as typed brought to the form the lists use, and signs and numerals as words."""

from __future__ import annotations

import unicodedata
from functools import cache

from approx.datafiles import read_tsv, rules_path

_APOSTROPHES = str.maketrans({"\u2019": "'", "\u2018": "'", "\u02bc": "'", "\u0060": "'", "\u00b4": "'"})
_HYPHENS = str.maketrans({"\u2010": "-", "\u2011": "-", "\u2012": "-", "\u2013": "-", "\u2014": "-"})


def look_up_form(word: str) -> str:
    """Small letters, composed accents, straight apostrophes, plain hyphens, no blanks around."""
    if word.isascii() and word.isalpha():
        return word.lower()
    plain = unicodedata.normalize("NFC", word.strip()).translate(_APOSTROPHES).translate(_HYPHENS)
    return plain.lower()


def without_accents(word: str) -> str:
    """A word with plain letters in place of accented ones: "cafe" for "café"."""
    if word.isascii():
        return word
    return "".join(char for char in unicodedata.normalize("NFD", word) if unicodedata.category(char) != "Mn")


def sign_as_word(word: str, language: str = "en-US") -> str:
    """The word for a sign or a small number ("&", "7"), the word itself if it is neither."""
    row = None if word.isalpha() else _signs().get(word)
    return row.get(base_language(language), "") or word if row else word


@cache
def base_language(code: str) -> str:
    """Language of a code without region or script: "en" of "en-US"."""
    return code.replace("_", "-").split("-", 1)[0].lower()


@cache
def _signs() -> dict[str, dict[str, str]]:
    return {row["sign"]: row for row in read_tsv(rules_path("lexicon/signs.tsv"))}
