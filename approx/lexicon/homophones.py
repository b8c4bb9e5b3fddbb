"""Which words sound exactly like a form: to warn before two words become one, and to print a form as the word it is.

Tables made by `python -m approx.lexicon.tables`, sorted by sounds, so that one form is one look-up in a mapped file.
"""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from approx.datafiles import rules_path
from approx.lexicon.sorted_file import sorted_table
from approx.lexicon.spelling import base_language

_LEFT_OUT = str.maketrans("", "", "ˈˌ. /")
_TABLES = {"en": "lexicon/homophones.tsv", "es": "lexicon/homophones_es.tsv"}


class SoundAlike(NamedTuple):
    """A word with these sounds. `ipa`: this reading with its stress; `zipf`: frequency in adult text.

    `family`: it stands in the word bank or among the core words, names aside. `printed`: 0 if a
    parent may read it otherwise, else how well it stands for the form, 1 being best.
    """

    word: str
    zipf: float
    ipa: str
    family: bool
    printed: int


@lru_cache(maxsize=32768)
def sound_alikes(ipa: str, language: str = "en-US") -> tuple[SoundAlike, ...]:
    """Words with exactly these sounds, the commonest first; () for a language without a table.

    Stress marks and dots are left aside, so "insight" and "incite" are given for each other. English: words of zipf 3
    and more, in each of their readings, and those of the word bank; Spanish: those of the word bank and core words.
    """
    table = _TABLES.get(base_language(language))
    rows = sorted_table(rules_path(table)).lines(sounds_only(ipa)) if table else []
    cells = (row.split("\t") for row in rows)
    return tuple(SoundAlike(c[1], float(c[2]), c[3], c[4] == "yes", int(c[5] or 0)) for c in cells)


def family_words(ipa: str, language: str = "en-US") -> tuple[str, ...]:
    """Words of a family's day with exactly these sounds: of the word bank or the core words, names aside.

    Source of the choice: `rules/lexicon/en.tsv`, `es.tsv` and `core_words_*.tsv`, as their heads say.
    """
    return tuple(dict.fromkeys(alike.word for alike in sound_alikes(ipa, language) if alike.family))


def sounds_only(ipa: str) -> str:
    """An IPA form without stress marks, dots, blanks and slashes: the key of the table."""
    return ipa.translate(_LEFT_OUT)


def printed_word(ipa: str, language: str = "en-US", aimed: str = "") -> str:
    """The known word to print for a form with just these sounds and stress, "" if there is none.

    `aimed`: the word aimed at, which goes before others if it is one of them.
    """
    aimed = aimed.lower()
    same = [alike for alike in sound_alikes(ipa, language) if alike.ipa == ipa]
    fits = [alike for alike in same if alike.printed or alike.family and alike.word == aimed and len(aimed) > 1]
    return min(fits, key=lambda alike: (alike.word != aimed, alike.printed)).word if fits else ""
