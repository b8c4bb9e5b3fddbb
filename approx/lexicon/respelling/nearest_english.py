"""A form of another language in the English sounds that English letters can spell: [other_languages] of
`rules/lexicon/respelling.toml`."""

from __future__ import annotations

from functools import cache

from approx.datafiles import read_toml, rules_path
from approx.lexicon.respelling.spelling_table import Phones, without_marks

_OWN_LETTERS = ("", "en", "eng", "es", "spa")
"""Languages with a table of their own, and none named."""


def is_spelled_as_english(language: str) -> bool:
    """Whether a language has no letters of its own here, so that its words are spelled as an English reader says them."""
    return language.lower().replace("_", "-").split("-")[0] not in _OWN_LETTERS


@cache
def _table() -> tuple[str, dict[str, tuple[str, ...]]]:
    table = read_toml(rules_path("lexicon/respelling.toml"))["other_languages"]
    return table["left_out"], {sound: tuple(near.split()) for sound, near in table["nearest"].items()}


def in_english_sounds(phones: Phones, starts: tuple[int, ...]) -> tuple[Phones, tuple[int, ...]]:
    """Sounds and syllable starts of a form with each sound as the nearest English one; marks that no letter shows are left out.

    >>> in_english_sounds(("m", "aː", "m", "a"), (0, 2))
    (('m', 'ɑ', 'm', 'ɑ'), (0, 2))
    """
    left_out, nearest = _table()
    out: list[str] = []
    places: list[int] = []
    for phone in phones:
        places.append(len(out))
        shown = "".join(sign for sign in phone if sign not in left_out)
        bare = without_marks(shown)
        *first, last = nearest.get(bare, (bare,))
        out += [*first, last + shown[len(bare) :]]
    return tuple(out), tuple(places[start] for start in starts)
