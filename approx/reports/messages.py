"""What the lower packages say in English, said in another language of the pages.

`rules/pages/messages_LANGUAGE.toml` pairs English sentences with others; what stands between braces is a value, taken out of
the one and put into the other; it is said in the other language too where it is listed, unless it stands in quotation marks
or its name begins with `word`. A name that begins with `sound` is one sign or more without a blank, with `column` the
heading of a column, such as target_ipa.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache

from approx.datafiles import read_toml, rules_path

_GAP = re.compile(r"\{(\w+)\}")
_QUOTED = re.compile(r"""['"“]\{(\w+)\}['"”]""")
_SHAPES = {"sound": r"\S+", "column": r"[a-z]+_[a-z_]+"}
"""What a value may be whose name begins so; any text for the others."""


@dataclass(frozen=True, slots=True)
class _Sentence:
    """An English sentence as a pattern, what is said for it, and the values that stay as they are."""

    pattern: re.Pattern[str]
    other: str
    kept: frozenset[str]


@cache
def _sentences(language: str) -> tuple[_Sentence, ...]:
    """Those with most fixed letters first."""
    pairs = read_toml(rules_path(f"pages/messages_{language}.toml"))["said"]
    found = sorted(pairs.items(), key=lambda pair: -len(_GAP.sub("", pair[0])))
    return tuple(_Sentence(_pattern(english), other, _kept(english)) for english, other in found)


def _kept(english: str) -> frozenset[str]:
    """What was typed is never put into another language: what stands in quotation marks, and words of a child."""
    return frozenset({*_QUOTED.findall(english), *(name for name in _GAP.findall(english) if name.startswith("word"))})


def _pattern(english: str) -> re.Pattern[str]:
    pieces, seen = [], set[str]()
    for number, piece in enumerate(_GAP.split(english)):
        if number % 2 == 0:
            pieces.append(re.escape(piece))
        else:
            shape = next((shape for name, shape in _SHAPES.items() if piece.startswith(name)), ".*?")
            pieces.append(f"(?P={piece})" if piece in seen else f"(?P<{piece}>{shape})")
            seen.add(piece)
    return re.compile("".join(pieces), re.DOTALL)


@cache
def said_in(text: str, language: str) -> str | None:
    """The sentence in a language, with or without its region; None where it is not listed. English is itself.

    Several sentences in a row, and lists, are said part by part where every part is listed.
    """
    language = language.partition("-")[0]
    if language == "en" or not text:
        return text
    return _listed(text, "; ", language) or _sentence(text, language) or _listed(text, ", ", language)


def _listed(text: str, sign: str, language: str) -> str | None:
    """Parts with a sign between them, where every part is listed."""
    parts = [said_in(part, language) for part in text.split(sign)] if sign in text else [None]
    return None if None in parts else sign.join(part for part in parts if part is not None)


def _sentence(text: str, language: str) -> str | None:
    for sentence in _sentences(language):
        found = sentence.pattern.fullmatch(text)
        if found:
            values = {
                name: value if name in sentence.kept else said_in(value, language) or value
                for name, value in found.groupdict().items()
            }
            return sentence.other.format(**values)
    return None
