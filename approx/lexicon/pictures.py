"""The picture of a word, where one in the carried fonts reads right to a young child: `rules/pictures.tsv`."""

from __future__ import annotations

from functools import cache

from approx.datafiles import read_tsv, rules_path


def picture(word: str, language: str, part_of_speech: str = "") -> str | None:
    """One character that shows the word in the fonts `pictures.ttf` and `pictures-more.ttf`, or None if none does.

    `language` is "en" or "es", with or without a region ("en-US"). `part_of_speech` is "noun" or "verb", for words that are
    both and look different (*fly*, *water*); without it the noun goes first. Two words may share a picture (*cup*, *mug*):
    a page that shows both should compare what this gives.
    """
    found = _pictures().get((language.partition("-")[0].lower(), word.lower()), {})
    return found.get(part_of_speech) if part_of_speech else found.get("noun", found.get("verb"))


@cache
def _pictures() -> dict[tuple[str, str], dict[str, str]]:
    """Language and word: part of speech to picture."""
    found: dict[tuple[str, str], dict[str, str]] = {}
    for row in read_tsv(rules_path("pictures.tsv")):
        if row["codepoint"]:
            of_word = found.setdefault((row["language"], row["word"].lower()), {})
            of_word[row["part_of_speech"]] = chr(int(row["codepoint"], 16))
    return found
