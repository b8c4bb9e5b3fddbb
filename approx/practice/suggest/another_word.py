"""Another word to choose, where the form of a word would rest on a change that is unusual in development."""

from __future__ import annotations

from collections import Counter
from functools import cache

from approx.child.demands import sayable
from approx.child.profile import Limits
from approx.datafiles import read_tsv, rules_path
from approx.ipa import read
from approx.ipa.word import Word
from approx.lexicon.frequency import BANKS, later_words


@cache
def _bank(primary: str) -> tuple[tuple[str, str, Word], ...]:
    """Words of the word bank that can be pictured and are part of a small child's day: word, category, adult form."""
    if primary not in BANKS:
        return ()
    rows, later = read_tsv(rules_path(f"lexicon/{primary}.tsv")), later_words(primary)
    return tuple(
        (row["word"], row["category"], read(row["ipa"], primary).words[0])
        for row in rows
        if row["picturable"] == "yes" and row["word"] not in later
    )


def another_word(word: str, adult: Word, limits: Limits, tag: str) -> str:
    """A picturable word the child can say as adults do: of the same category if there is one, else the likest in sound.

    "" where the bank has none.
    """
    bank = _bank(tag.lower().split("-")[0])
    kind = next((category for other, category, _ in bank if other.lower() == word.lower()), "")
    fitting = [(other, category, form) for other, category, form in bank if sayable(form, limits)]

    def fit(row: tuple[str, str, Word]) -> tuple[bool, int, int, str]:
        other, category, form = row
        shared = (Counter(form.phones) & Counter(adult.phones)).total()
        return category != kind, abs(len(form.starts) - len(adult.starts)), -shared, other

    return min(fitting, key=fit)[0] if fitting else ""
