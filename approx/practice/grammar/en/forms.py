"""English word forms: he digs, digging, dug, beans, Ben's - as spelled and as they sound.

Spelling: our own table of irregular verbs and nouns first (`rules/lexicon/irregulars_en.tsv`,
`rules/phrases/nouns_en.toml`), then the library lemminflect. Sounds: a regular ending follows from the last sound of
its stem (s z ɪz, t d ɪd); an irregular form is looked up in the lexicon.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache, lru_cache
from typing import NamedTuple

from approx.datafiles import read_toml, read_tsv, rules_path
from approx.lexicon.english.endings import BREATHED, DENTAL_STOPS, HISSING
from approx.lexicon.pronunciation import from_phones, parse_ipa
from approx.lexicon.reading import pronunciations

TAGS = {"third": "VBZ", "ing": "VBG", "past": "VBD", "plural": "NNS"}
"""Kinds of form and how lemminflect names them."""
_VOWELS = "aeiou"


class Inflected(NamedTuple):
    """A form as spelled and as said. `ending`: its sounds where it is regular (z, ɪŋ), "" for an irregular form."""

    spelled: str
    ipa: str
    ending: str


@lru_cache(maxsize=8192)
def spelled_form(word: str, kind: str) -> str:
    """A form as spelled: kind third, ing, past (of a verb) or plural (of a noun). Capital letters are kept."""
    if kind == "plural":
        own = irregular_plurals().get(word)
    else:
        own = _irregular_verbs().get(word, {}).get(kind)
    if own:
        return own
    from lemminflect import getInflection

    found = getInflection(word, TAGS[kind]) or getInflection(word, TAGS[kind], inflectOOV=True)
    regular = _regular_spellings(word, kind)
    # of several the one that follows the rule: the lexicon behind the library has rare senses (fishes, mown) first
    return next((form for form in found if form in regular), found[0] if found else regular[0])


def inflected(word: str, kind: str, stem_ipa: str = "", own: Mapping[str, str] | None = None) -> Inflected:
    """A form with its sounds. `stem_ipa`: how the stem is said here (looked up if ""); `own`: readings that win."""
    spelled = spelled_form(word, kind)
    said = (own or {}).get(spelled)
    if spelled not in _regular_spellings(word, kind) or _changes_its_sound(word, kind):
        if spelled == word and kind == "plural" and stem_ipa:
            return Inflected(spelled, stem_ipa, "")
        return Inflected(spelled, said or _irregular_sound(word, spelled, kind), "")
    ending = ending_sound(_stem(word, stem_ipa), kind)
    return Inflected(spelled, said or with_ending(_stem(word, stem_ipa), ending), ending)


def possessive(name: str, stem_ipa: str = "") -> Inflected:
    """Ben's, Tess's; the sounds as of a plural."""
    ending = ending_sound(_stem(name, stem_ipa), "plural")
    return Inflected(f"{name}'s", with_ending(_stem(name, stem_ipa), ending), ending)


def ending_sound(stem_ipa: str, kind: str) -> str:
    """How the regular ending of this kind sounds after the last sound of the stem."""
    last = parse_ipa(stem_ipa).last
    if kind == "ing":
        return "ɪŋ"
    if kind == "past":
        return "ɪd" if last in DENTAL_STOPS else "t" if last in BREATHED else "d"
    return "ɪz" if last in HISSING else "s" if last in BREATHED else "z"


def with_ending(stem_ipa: str, ending: str) -> str:
    """The stem with an ending that bears no stress."""
    return parse_ipa(stem_ipa).with_ending(from_phones(parse_ipa(ending).phones)).ipa()


@cache
def irregular_plurals() -> dict[str, str]:
    """Plurals that no rule makes, by their singular."""
    table: dict[str, str] = read_toml(rules_path("phrases/nouns_en.toml"))["irregular"]
    return table


@cache
def _irregular_plural_sounds() -> dict[str, str]:
    table: dict[str, str] = read_toml(rules_path("phrases/nouns_en.toml"))["irregular_sound"]
    return table


@cache
def _irregular_verbs() -> dict[str, dict[str, str]]:
    rows = read_tsv(rules_path("lexicon/irregulars_en.tsv"))
    return {row["verb"]: {kind: form for kind, form in row.items() if form not in ("", "-")} for row in rows}


def _changes_its_sound(word: str, kind: str) -> bool:
    """Regular in spelling only: says, does, houses, read."""
    return f"{kind}_ipa" in _irregular_verbs().get(word, {}) or kind == "plural" and word in _irregular_plural_sounds()


def _irregular_sound(word: str, spelled: str, kind: str) -> str:
    listed = _irregular_verbs().get(word, {}).get(f"{kind}_ipa")
    if kind == "plural":
        listed = _irregular_plural_sounds().get(word)
    if listed:
        return listed
    found = pronunciations(spelled, "en-US")
    return found[0].ipa if found else ""


def _stem(word: str, stem_ipa: str) -> str:
    if stem_ipa:
        return stem_ipa
    found = pronunciations(word, "en-US")
    return found[0].ipa if found else ""


def _regular_spellings(word: str, kind: str) -> tuple[str, ...]:
    """Ways a regular form may be spelled, the likeliest first."""
    after_consonant_y = len(word) > 1 and word[-1] == "y" and word[-2] not in _VOWELS
    doubled = word + word[-1]
    if kind in ("third", "plural"):
        if after_consonant_y:
            return (word[:-1] + "ies",)
        return (word + "es", word + "s") if word.endswith(("s", "x", "z", "ch", "sh", "o")) else (word + "s",)
    suffix = "ing" if kind == "ing" else "ed"
    if word.endswith("ie"):
        return (word[:-2] + "ying",) if kind == "ing" else (word + "d",)
    if word.endswith("e"):
        return (word[:-1] + suffix, word + suffix) if kind == "ing" else (word + "d",)
    if after_consonant_y and kind == "past":
        return (word[:-1] + "ied",)
    return (doubled + suffix, word + suffix) if _doubles(word) else (word + suffix, doubled + suffix)


def _doubles(word: str) -> bool:
    """One vowel letter before one last consonant letter in a word of one syllable: hop, dig, but not mow, fix."""
    heads = word[:-2]
    short = len(word) > 2 and word[-1] not in "aeiouwxy" and word[-2] in _VOWELS
    return short and not any(letter in _VOWELS for letter in heads)
