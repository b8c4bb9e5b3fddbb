"""Builds the derived tables of the lexicon: `python -m approx.lexicon.tables`.

`frequency.tsv` is cut from wordfreq (optional extra, needed only here); the tables of sound-alikes
are made by this package's own readers. All are shipped, so no user has to run this.
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from approx.datafiles import read_tsv, rules_path

RAREST = 2.0
COMMON = 3.0

FREQUENCY_REMARK = """\
# How common a word is in English, on the zipf scale (3 = once in a million words, 6 = once in a thousand).
# Cut from wordfreq 3.1.1 (Robyn Speer, 2022), list "en": words of zipf 2.0 and more, made of letters, that stand in
# the CMU dictionary or in english_list.tsv. Licence of this table: CC BY-SA 4.0, as that of its source.
# Counted over adult text and speech: words of young children rank far too low (doggie 3.0, horsie 1.4).
# Sorted by the bytes of the word. Made by `python -m approx.lexicon.tables`; do not edit by hand.
"""
PRINTED, RARE = 4.5, 4.0
"""Words outside the bank that may be printed for a form, and any word not spelled by rule, are at least so common."""

HOMOPHONE_REMARK = """\
# English words by how they sound: segments without stress marks or dots, word, zipf frequency, the reading with stress,
# whether it is a word of a family's day (word bank or core words, names aside), and whether it may be printed for the
# form (read in one way only, no name, of a family's day or of zipf 4.5 and more): 1 best, a thing or action spelled by
# rule; 2 spelled by rule; 3 another spelling, of zipf 4.0 and more.
# Words of zipf 3.0 and more and those of the bank, in every reading of the lexicon.
# Frequencies cut from wordfreq 3.1.1 (Robyn Speer, 2022), so this table is CC BY-SA 4.0 as well.
# Sorted by the bytes of the first column. Made by `python -m approx.lexicon.tables`; do not edit by hand.
"""
SPANISH_REMARK = """\
# Spanish words of the word bank and the core words by how they sound (Latin American reading), as homophones.tsv.
# Source: readings by the letter rules of rules/lexicon/spanish_letters.toml; frequencies from bank_frequency.tsv, cut from
# wordfreq 3.1.1 (Robyn Speer, 2022; CC BY-SA 4.0), 0.00 where it has none.
# Sorted by the bytes of the first column. Made by `python -m approx.lexicon.tables`; do not edit by hand.
"""
TWO_WAYS = ("aa",)
"""Letters that families read in two ways: baa with the vowel of father or of bad."""
HOMOPHONE_HEADER = "sounds\tword\tzipf\tipa\tfamily\tprinted"
FrequencyRow = tuple[str, str, str, str, str, str]


def dictionary_frequency_rows(words: Iterable[str]) -> list[tuple[str, str]]:
    """(word, zipf) for those of `words` that are common enough and made of letters. Needs wordfreq."""
    from wordfreq import zipf_frequency

    rows = ((word, zipf_frequency(word, "en")) for word in set(words) if word.isalpha())
    return sorted(((word, f"{zipf:.2f}") for word, zipf in rows if zipf >= RAREST), key=lambda row: row[0].encode())


def homophone_rows(frequencies: Iterable[tuple[str, str]]) -> list[FrequencyRow]:
    """Rows of `homophones.tsv`: the common words and those of the bank, each reading a row."""
    from approx.lexicon.english.letters import read_letters
    from approx.lexicon.english.sources import read_english
    from approx.lexicon.pronunciation import parse_ipa, same_segments

    zipf, family, names = dict(frequencies), everyday_word_set("en"), first_names("en")
    bank = read_tsv(rules_path("lexicon/en.tsv"))
    small = {row["word"].lower() for row in bank if row["category"] == "small words"}
    words = {word for word, value in zipf.items() if float(value) >= COMMON} | {word.lower() for word in family}
    rows = []
    for word in words:
        readings, value = read_english(word), zipf.get(word, "0.00")
        one = all(same_segments(parse_ipa(readings[0].ipa), parse_ipa(other.ipa)) for other in readings[1:])
        known = word in family
        fits = (
            one
            and word.isalpha()
            and len(word) > (1 if known else 2)
            and bool(set("aeiouy") & set(word))
            and not any(letters in word for letters in TWO_WAYS)
            and _is_clean(word, "en")
        )
        printed = 0
        if fits and (known or float(value) >= PRINTED and word not in names):
            letters = read_letters(word)
            regular = letters is not None and same_segments(letters, parse_ipa(readings[0].ipa))
            # a rare word is read by its letters
            printed = 3 - regular * (1 + (known and word not in small)) if regular or float(value) >= RARE else 0
        for at, reading in enumerate(readings):
            rows.append(_row(reading.ipa, word, value, known, printed if at == 0 else 0))
    return _sorted_rows(rows)


def spanish_rows() -> list[FrequencyRow]:
    """Rows of `homophones_es.tsv`."""
    from approx.lexicon.frequency import bank_frequencies
    from approx.lexicon.spanish.letters import read_spanish

    zipf = bank_frequencies("es")
    words = sorted(word for word in everyday_word_set("es") if word.isalpha())
    rows = [
        _row(read_spanish(word), word, f"{zipf.get(word, 0.0):.2f}", True, int(len(word) > 1 and _is_clean(word, "es")))
        for word in words
    ]
    return _sorted_rows(rows)


def _row(ipa: str, word: str, zipf: str, family: bool, printed: int) -> FrequencyRow:
    from approx.lexicon.homophones import sounds_only

    return sounds_only(ipa), word, zipf, ipa, "yes" if family else "", str(printed or "")


def _sorted_rows(rows: Iterable[FrequencyRow]) -> list[FrequencyRow]:
    return sorted(set(rows), key=lambda row: (row[0].encode(), -float(row[2]), row[1], row[3]))


def _is_clean(word: str, language: str) -> bool:
    from approx.lexicon.rude import rude_spelling

    return not rude_spelling(word, language)


def everyday_word_set(bank: str) -> set[str]:
    """Words of a bank ("en", "es") and of its core words, small letters; its names are left out."""
    rows = read_tsv(rules_path(f"lexicon/{bank}.tsv"))
    words = {row["word"] for row in rows if row["part_of_speech"] != "name"}
    words |= {row["word"] for row in read_tsv(rules_path(f"lexicon/core_words_{bank}.tsv"))} - {"<names>"}
    return {word.lower() for word in words}


def first_names(language: str) -> set[str]:
    """First names of a language, small letters."""
    rows = read_tsv(rules_path("lexicon/first_names.tsv"))
    return {row["name"].lower() for row in rows if row["language"] == language}


def dictionary_words() -> set[str]:
    """Every head word of the CMU dictionary."""
    lines = rules_path("lexicon/cmudict.dict").read_text(encoding="utf-8").splitlines()
    return {line.split(" ", 1)[0].split("(", 1)[0] for line in lines if not line.startswith("#")}


def write_data_table(path: Path, remark: str, header: str, rows: Iterable[tuple[str, ...]]) -> None:
    r"""Write a remark, a header row and tab-separated rows, always with \n so that the bytes stay sorted."""
    body = "".join("\t".join(row) + "\n" for row in rows)
    path.write_bytes(f"{remark}{header}\n{body}".encode())


def main() -> None:
    """Build the tables anew, frequencies first because the reader uses them."""
    from approx.lexicon.word_lists import listed_words

    frequencies = dictionary_frequency_rows(dictionary_words() | set(listed_words()))
    write_data_table(rules_path("lexicon/frequency.tsv"), FREQUENCY_REMARK, "word\tzipf", frequencies)
    write_homophones(frequencies)


def write_homophones(frequencies: Iterable[tuple[str, str]]) -> None:
    """Build the tables of sound-alikes from frequencies."""
    rows = homophone_rows(frequencies)
    write_data_table(rules_path("lexicon/homophones.tsv"), HOMOPHONE_REMARK, HOMOPHONE_HEADER, rows)
    write_data_table(rules_path("lexicon/homophones_es.tsv"), SPANISH_REMARK, HOMOPHONE_HEADER, spanish_rows())


if __name__ == "__main__":
    main()
