"""Builds the two derived tables of the English lexicon: `python -m approx.lexicon.tables`.

`frequency.tsv` is cut from wordfreq (optional extra, needed only here); `homophones.tsv` is made by this room's
own reader from it. Both are shipped, so no user has to run this.
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from approx.datafiles import rules_path

RAREST = 2.0
COMMON = 3.0

FREQUENCY_REMARK = """\
# How common a word is in English, on the zipf scale (3 = once in a million words, 6 = once in a thousand).
# Cut from wordfreq 3.1.1 (Robyn Speer, 2022), list "en": words of zipf 2.0 and more, made of letters, that stand in
# the CMU dictionary or in english_list.tsv. Licence of this table: CC BY-SA 4.0, as that of its source.
# Counted over adult text and speech: words of young children rank far too low (doggie 3.0, horsie 1.4).
# Sorted by the bytes of the word. Made by `python -m approx.lexicon.tables`; do not edit by hand.
"""
HOMOPHONE_REMARK = """\
# Common English words by how they sound: segments without stress marks or dots, word, zipf frequency.
# Words of zipf 3.0 and more, and those of rude.txt whatever their frequency, in every reading of the lexicon.
# Frequencies cut from wordfreq 3.1.1 (Robyn Speer, 2022), so this table is CC BY-SA 4.0 as well.
# Sorted by the bytes of the first column. Made by `python -m approx.lexicon.tables`; do not edit by hand.
"""


def frequency_rows(words: Iterable[str]) -> list[tuple[str, str]]:
    """(word, zipf) for those of `words` that are common enough and made of letters. Needs wordfreq."""
    from wordfreq import zipf_frequency

    rows = ((word, zipf_frequency(word, "en")) for word in set(words) if word.isalpha())
    return sorted(((word, f"{zipf:.2f}") for word, zipf in rows if zipf >= RAREST), key=lambda row: row[0].encode())


def homophone_rows(frequencies: Iterable[tuple[str, str]]) -> list[tuple[str, str, str]]:
    """(sounds, word, zipf) for the common words and the rude ones, each reading a row."""
    from approx.lexicon.english.sources import read_english
    from approx.lexicon.homophones import sounds_only
    from approx.lexicon.word_sets import word_set

    zipf = dict(frequencies)
    words = {word for word, value in zipf.items() if float(value) >= COMMON} | word_set("rude")
    rows = {
        (sounds_only(reading.ipa), word, zipf.get(word, "0.00")) for word in words for reading in read_english(word)
    }
    return sorted(rows, key=lambda row: (row[0].encode(), -float(row[2]), row[1]))


def dictionary_words() -> set[str]:
    """Every head word of the CMU dictionary."""
    lines = rules_path("lexicon/cmudict.dict").read_text(encoding="utf-8").splitlines()
    return {line.split(" ", 1)[0].split("(", 1)[0] for line in lines if not line.startswith("#")}


def write_table(path: Path, remark: str, header: str, rows: Iterable[tuple[str, ...]]) -> None:
    """Write a remark, a header row and tab-separated rows, always with \\n so that the bytes stay sorted."""
    body = "".join("\t".join(row) + "\n" for row in rows)
    path.write_bytes(f"{remark}{header}\n{body}".encode())


def main() -> None:
    """Build both tables anew, frequencies first because the reader uses them."""
    from approx.lexicon.english.word_lists import listed_words

    frequencies = frequency_rows(dictionary_words() | set(listed_words()))
    write_table(rules_path("lexicon/frequency.tsv"), FREQUENCY_REMARK, "word\tzipf", frequencies)
    write_table(rules_path("lexicon/homophones.tsv"), HOMOPHONE_REMARK, "ipa\tword\tzipf", homophone_rows(frequencies))


if __name__ == "__main__":
    main()
