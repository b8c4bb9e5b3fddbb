"""What the lower packages say in English, said in another language of the pages.

`rules/pages/messages_LANGUAGE.toml` pairs the patterns of `approx.wording` with those of another language; the values are put
in as they came. A value is said in the other language too where it is a sentence or a term of ours that is listed, unless it
stands in quotation marks or its name begins with `word`: what was typed, and a child's words, stay as they are.
"""

from __future__ import annotations

import re
from functools import cache

from approx.datafiles import read_toml, rules_path
from approx.wording import Enumeration, Worded, fill_pattern

_QUOTED = re.compile(r"""['"“«]\{(\w+)\}['"”»]""")


@cache
def _patterns(language: str) -> dict[str, str]:
    """Those of another language by the English ones."""
    said: dict[str, str] = read_toml(rules_path(f"pages/messages_{language}.toml"))["said"]
    return said


@cache
def _kept(pattern: str) -> frozenset[str]:
    """Values that are never put into another language: what stands in quotation marks, and words of a child."""
    return frozenset({*_QUOTED.findall(pattern), *re.findall(r"\{(word\w*)\}", pattern)})


def said_in(text: str, language: str) -> str | None:
    """The sentence in a language, with or without its region; None where it is not listed. English is itself."""
    language = language.partition("-")[0]
    if language == "en" or not text:
        return str(text)
    if isinstance(text, Enumeration):
        return _enumeration(text, language)
    pattern = text.pattern if isinstance(text, Worded) else text
    said = _patterns(language).get(pattern)
    if said is None or not isinstance(text, Worded):
        return said
    kept = _kept(pattern)
    values = {name: value if name in kept else _value(value, language) for name, value in text.values.items()}
    return fill_pattern(said, **values)


def _enumeration(text: Enumeration, language: str) -> str | None:
    """Parts that are ours, each said by itself; None where one is not listed."""
    parts = [said_in(part, language) for part in text.parts]
    return None if None in parts else _sign(text, language).join(part for part in parts if part is not None)


def _sign(text: Enumeration, language: str) -> str:
    """The sign between parts; " and " is a word too."""
    return _patterns(language).get(text.sign, text.sign)


def _value(value: object, language: str) -> object:
    if isinstance(value, Enumeration):
        return _sign(value, language).join(str(_value(part, language)) for part in value.parts)
    return (said_in(value, language) or value) if isinstance(value, str) else value


_MARK = re.compile(r"(.*) \((from memory|text, secondary|secondary)\)")
"""How a source of `rules/` was come by, after a citation."""


def source_in(text: str, language: str) -> str:
    """A source as a rules file writes it: citations stay as they are, our own words between them are said in the language."""
    return "; ".join(_source(part, language) for part in text.split("; "))


def _source(part: str, language: str) -> str:
    found = None if said_in(part, language) else _MARK.fullmatch(part)
    if found is None:
        return said_in(part, language) or part
    return f"{found[1]} ({said_in(found[2], language) or found[2]})"
