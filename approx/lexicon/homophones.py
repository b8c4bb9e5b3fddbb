"""Which common English words sound exactly like a form, to warn before two words become one."""

from __future__ import annotations

from approx.datafiles import rules_path
from approx.lexicon.sorted_file import sorted_table
from approx.lexicon.spelling import look_up_form
from approx.lexicon.word_sets import word_set

_LEFT_OUT = str.maketrans("", "", "ˈˌ. /")


def other_words(ipa: str) -> tuple[tuple[str, float], ...]:
    """Common English words with exactly these sounds, as (word, zipf), the commonest first.

    Stress marks and dots are left aside, so "insight" and "incite" are given for each other. Words of zipf 3 and
    more, and rude ones of any frequency, in each of their readings; from `rules/lexicon/homophones.tsv`.
    """
    rows = sorted_table(rules_path("lexicon/homophones.tsv")).lines(sounds_only(ipa))
    return tuple((word, float(zipf)) for _, word, zipf in (row.split("\t") for row in rows))


def is_rude(word: str) -> bool:
    """Whether a family would not want to hear this word (`rules/lexicon/rude.txt`)."""
    return look_up_form(word) in word_set("rude")


def sounds_only(ipa: str) -> str:
    """An IPA form without stress marks, dots, blanks and slashes: the key of the table."""
    return ipa.translate(_LEFT_OUT)
