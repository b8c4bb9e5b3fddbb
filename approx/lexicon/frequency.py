"""How common a word is in adult English (zipf scale), from a table cut from wordfreq."""

from __future__ import annotations

from functools import lru_cache

from approx.datafiles import rules_path
from approx.lexicon.sorted_file import sorted_table


@lru_cache(maxsize=4096)
def zipf(word: str) -> float:
    """Zipf frequency: 3 is once in a million words, 6 once in a thousand; 0.0 below 2 or unknown.

    Counted over adult text and speech, so children's words rank far too low. Source: wordfreq (Speer 2022),
    stated in `rules/lexicon/frequency.tsv`.
    """
    found = sorted_table(rules_path("lexicon/frequency.tsv")).lines(word.lower())
    return float(found[0].split("\t")[1]) if found else 0.0
