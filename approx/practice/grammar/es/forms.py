"""Spanish word forms: verbs (come, comiendo, comió), nouns (gender, plural), describing words that agree.

Rules of the language, with the exceptions in `rules/lexicon/irregulars_es.tsv` and `rules/phrases/nouns_es.toml`.
"""

from __future__ import annotations

from functools import cache
from typing import Any

from approx.datafiles import read_toml, read_tsv, rules_path

_BARE = str.maketrans("áéíóú", "aeiou")
_THIRD = {"ar": "a", "er": "e", "ir": "e"}
_GERUND = {"ar": "ando", "er": "iendo", "ir": "iendo"}
_PAST = {"ar": "ó", "er": "ió", "ir": "ió"}


def verb_form(verb: str, kind: str) -> str:
    """third (él come), gerund (comiendo), past (comió) or command (come tú) of a verb given by its plain form."""
    listed = _irregular().get(verb, {}).get(kind)
    if listed:
        return listed
    stem, ending = verb[:-2], verb[-2:].translate(_BARE)
    if ending not in _THIRD:
        return verb
    if kind == "command":
        return verb_form(verb, "third")
    if kind == "third":
        return stem + _THIRD[ending]
    return stem + (_GERUND if kind == "gerund" else _PAST)[ending]


def plural_verb(third: str) -> str:
    """ellos comen, from él come."""
    listed = {"es": "son", "está": "están", "va": "van", "hay": "hay"}
    return listed.get(third, third + "n")


def infinitive_of(form: str) -> str:
    """The plain form of a present form known here ("come" gives comer), "" if it is none."""
    return _by_third().get(form, "")


def is_feminine(noun: str) -> bool:
    """True for a feminine noun, by the lists and by its ending."""
    word = noun.split(maxsplit=1)[0].lower()
    lists = noun_lists()
    if word in lists["feminine"]:
        return True
    if word in lists["masculine"]:
        return False
    bare = word.removesuffix("s") if len(word) > 3 else word
    return bare.endswith(("a", "á")) and bare != "papá" or word.endswith(("ción", "sión", "dad"))


def plural(noun: str) -> str:
    """More than one of a noun or describing word."""
    irregular: dict[str, str] = _table()["irregular"]
    if noun in irregular:
        return irregular[noun]
    last = noun[-1]
    if last in "aeiouáéóú":
        return noun + "s"
    if last == "z":
        return noun[:-1] + "ces"
    if last in "ns" and noun[-2] in "áéíóú":
        return noun[:-2] + noun[-2].translate(_BARE) + last + "es"
    if last == "s":
        return noun if _many_vowels(noun) else noun + "es"
    return noun + "es"


def agreeing(word: str, feminine: bool, many: bool) -> str:
    """A describing or pointing word in gender and number: rojo, roja, rojos, rojas; grande, grandes; este, esta."""
    special = {"este": ("este", "esta", "estos", "estas"), "un": ("un", "una", "unos", "unas")}
    low = word.lower()
    if low in special:
        form = special[low][feminine + 2 * many]
        return form[:1].upper() + form[1:] if word[:1].isupper() else form
    form = word[:-1] + "a" if feminine and word.endswith("o") else word
    return plural(form) if many else form


def takes_el(noun: str) -> bool:
    """Feminine words with el and un: el agua, un hada."""
    return noun.split(maxsplit=1)[0].lower() in noun_lists()["stressed_a"]


@cache
def noun_lists() -> dict[str, frozenset[str]]:
    """Lists of nouns by name."""
    return {name: frozenset(value.split()) for name, value in _table().items() if isinstance(value, str)}


def _many_vowels(noun: str) -> bool:
    """A last s that belongs to an unstressed syllable: paraguas, cumpleaños, but not mes."""
    return sum(letter in "aeiouáéíóú" for letter in noun) > 1


@cache
def _table() -> dict[str, Any]:
    return read_toml(rules_path("phrases/nouns_es.toml"))


@cache
def _irregular() -> dict[str, dict[str, str]]:
    rows = read_tsv(rules_path("lexicon/irregulars_es.tsv"))
    return {row["verb"]: {kind: form for kind, form in row.items() if form not in ("", "-")} for row in rows}


@cache
def _by_third() -> dict[str, str]:
    from approx.practice.grammar.kinds import verbs

    return {verb_form(verb, "third"): verb for verb in verbs("es")}
