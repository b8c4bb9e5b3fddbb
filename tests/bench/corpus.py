"""A large invented sample for the benches: children with habits of their own, several sessions, words as often as in talk.

    python tests/bench/corpus.py OUT.csv [ROWS]

Words come from the word bank, the n-th of them about as often as 1/n (Zipf); each child says them by the habits of
`simulated_pairs`, and a word said before is mostly said as before. The same number of rows gives the same file. A million
rows hold about 250,000 distinct pairs of target and production. No real child is in it.
"""

from __future__ import annotations

import csv
import random
import sys
from collections.abc import Iterator
from itertools import accumulate
from pathlib import Path

from simulated_pairs import HABITS, say

from approx.datafiles import read_tsv, rules_path
from approx.ipa import Word, read
from approx.ipa.features import is_vowel

HEADER = ("child", "session_date", "target_word", "target_ipa", "produced_ipa", "context", "attempt", "transcriber")
TOKENS_A_SESSION, SESSIONS = 1000, 5
SAID_AS_BEFORE, SLIPS = 0.34, 0.22
ROW = tuple[str, ...]


def vocabulary() -> list[tuple[str, Word]]:
    """Words of the bank with their forms, in an order that is shuffled once."""
    found: dict[str, Word] = {}
    for row in read_tsv(rules_path("lexicon/en.tsv")):
        reading = read(row["ipa"])
        word = reading.words[0] if len(reading.words) == 1 and not reading.problems else None
        if word and 1 in word.stress and sum(map(is_vowel, word.phones)) == len(word.starts):
            found.setdefault(row["word"], word)
    out = list(found.items())
    random.Random(0).shuffle(out)
    return out


def rows(number: int, seed: int = 1, a_session: int = TOKENS_A_SESSION, sessions: int = SESSIONS) -> Iterator[ROW]:
    """Rows as `HEADER` names them, child after child, so many sessions of so many tokens each."""
    rng = random.Random(seed)
    words = vocabulary()
    weights = list(accumulate(1 / (rank + 50) for rank in range(len(words))))
    made = child = 0
    while made < number:
        child += 1
        habits = {name: rng.random() ** 2 for name in HABITS}
        known: dict[str, list[str]] = {}
        for session in range(1, sessions + 1):
            for word, target in rng.choices(words, cum_weights=weights, k=min(a_session, number - made)):
                forms = known.setdefault(word, [])
                if forms and rng.random() < SAID_AS_BEFORE:
                    form = rng.choice(forms)
                else:
                    form = say(target, habits, rng, SLIPS).produced or target.ipa
                    forms.append(form)
                made += 1
                yield f"C{child:04}", f"2026-{session:02}-02", word, target.ipa, form, "talk", "1", "A"


def write(path: Path, number: int, seed: int = 1, a_session: int = TOKENS_A_SESSION, sessions: int = SESSIONS) -> int:
    """Write the file; how many distinct pairs it holds."""
    pairs: set[tuple[str, str]] = set()
    with path.open("w", encoding="utf-8", newline="") as file:
        out = csv.writer(file)
        out.writerow(HEADER)
        for row in rows(number, seed, a_session, sessions):
            pairs.add((row[3], row[4]))
            out.writerow(row)
    return len(pairs)


if __name__ == "__main__":
    size = int(sys.argv[2]) if len(sys.argv) > 2 else 1_000_000
    print(f"{size} rows, {write(Path(sys.argv[1]), size)} distinct pairs")
