"""The CMU Pronouncing Dictionary as it stands: entries found by bisecting, and its ARPAbet in IPA."""

from __future__ import annotations

from functools import cache

from approx.datafiles import read_tsv, rules_path
from approx.lexicon.sorted_file import SortedFile
from approx.lexicon.sounds import Sounds


def entries(word: str) -> list[list[str]]:
    """The dictionary's own entries for a lower-case word, in its order: ARPAbet symbols with stress digits.

    [] if it has none. Source: CMU Pronouncing Dictionary, `rules/lexicon/cmudict.dict`.
    """
    return [line.split(" #", 1)[0].split()[1:] for line in _dictionary().lines(word)]


def from_arpabet(symbols: list[str]) -> Sounds:
    """Sounds of one entry. Raises KeyError for a symbol that is not ARPAbet."""
    table = _ipa_of_arpabet()
    phones: list[str] = []
    stress: list[int | None] = []
    for symbol in symbols:
        ipa, vowel = table.get(symbol) or table[symbol.rstrip("012")]
        phones.append(ipa)
        stress.append(int(symbol[-1]) if vowel else None)
    return Sounds(tuple(phones), tuple(stress))


def _headword(line: bytes) -> bytes:
    return line.partition(b" ")[0].partition(b"(")[0]


@cache
def _dictionary() -> SortedFile:
    return SortedFile(rules_path("lexicon/cmudict.dict"), _headword)


@cache
def _ipa_of_arpabet() -> dict[str, tuple[str, bool]]:
    rows = read_tsv(rules_path("lexicon/arpabet.tsv"))
    return {row["arpabet"]: (row["ipa"], row["kind"] == "vowel") for row in rows}
