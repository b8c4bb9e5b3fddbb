"""How common a word is in adult talk (zipf scale), and which words of the bank a small child seldom meets.

Frequencies are cut from wordfreq; `python -m approx.lexicon.frequency` makes the table of the word bank.
"""

from __future__ import annotations

from functools import cache, lru_cache

from approx.datafiles import read_tsv, rules_path
from approx.lexicon.sorted_file import sorted_table


@lru_cache(maxsize=4096)
def zipf(word: str) -> float:
    """Zipf frequency: 3 is once in a million words, 6 once in a thousand; 0.0 below 2 or unknown.

    Counted over adult text and speech, so children's words rank far too low. Source: wordfreq (Speer 2022),
    stated in `rules/lexicon/frequency.tsv`.
    """
    found = sorted_table(rules_path("lexicon/frequency.tsv")).lines(word.lower())
    return float(found[0].split("\t")[1]) if found else 0.0


BANKS = ("en", "es")
REMARK = """\
# How common the words of the word bank are, on the zipf scale (3 = once in a million words, 6 = once in a thousand).
# Cut from wordfreq 3.1.1 (Robyn Speer, 2022), lists "en" and "es". Licence of this table: CC BY-SA 4.0, as its source's.
# Counted over adult text and speech: words of young children rank far too low (doggie 3.0, horsie 1.4).
# 0.00: in neither list. Made by `python -m approx.lexicon.frequency`; do not edit by hand.
"""


@cache
def bank_frequencies(bank: str) -> dict[str, float]:
    """Word -> zipf for one bank ("en", "es"); a word the source does not know is left out.

    Source: wordfreq (Speer 2022), adult text and speech, as the table says at its head.
    """
    rows = read_tsv(rules_path("lexicon/bank_frequency.tsv"))
    return {row["word"]: float(row["zipf"]) for row in rows if row["bank"] == bank and row["zipf"] != "0.00"}


@cache
def later_words(bank: str) -> frozenset[str]:
    """Words of a bank ("en", "es") seldom part of a small child's day. Source: the head of `rules/lexicon/later_words_*.tsv`."""
    rows = read_tsv(rules_path(f"lexicon/later_words_{bank}.tsv")) if bank in BANKS else []
    return frozenset(row["word"] for row in rows)


@cache
def words_of_elsewhere(language: str) -> frozenset[str]:
    """Words of the bank that belong to other countries than that of a language tag (es-ES: jugo, carro); none for a tag without
    a country. Source: the head of `rules/lexicon/regional_words_es.tsv`."""
    parts = language.replace("_", "-").split("-")
    country = next((part.upper() for part in parts[1:] if len(part) == 2), "")
    if parts[0].lower() != "es" or not country:
        return frozenset()
    rows = read_tsv(rules_path("lexicon/regional_words_es.tsv"))
    return frozenset(row["word"] for row in rows if country not in row["said_in"].split())


@cache
def everyday_words(bank: str) -> frozenset[str]:
    """Words of a bank ("en", "es") that a family with a small child says in most weeks. Source: the head of
    `rules/lexicon/everyday_words_*.tsv`."""
    rows = read_tsv(rules_path(f"lexicon/everyday_words_{bank}.tsv")) if bank in BANKS else []
    return frozenset(row["word"] for row in rows)


def bank_frequency_rows() -> list[tuple[str, str, str]]:
    """(bank, word, zipf) for every word of the banks, each spelling once, in file order. Needs wordfreq."""
    from wordfreq import zipf_frequency

    words = {bank: dict.fromkeys(row["word"] for row in read_tsv(rules_path(f"lexicon/{bank}.tsv"))) for bank in BANKS}
    return [(bank, word, f"{zipf_frequency(word, bank):.2f}") for bank in BANKS for word in words[bank]]


def main() -> None:
    """Write the table anew."""
    body = "".join("\t".join(row) + "\n" for row in bank_frequency_rows())
    rules_path("lexicon/bank_frequency.tsv").write_bytes(f"{REMARK}bank\tword\tzipf\n{body}".encode())


if __name__ == "__main__":
    main()
