"""What the lower packages say in English, said in another language of the pages.

`rules/pages/messages_LANGUAGE.toml` pairs English sentences with others; what stands between braces is a value, taken out of
the one and put into the other.
"""

from __future__ import annotations

import re
from functools import cache

from approx.datafiles import read_toml, rules_path

_GAP = re.compile(r"\{(\w+)\}")


@cache
def _patterns(language: str) -> tuple[tuple[re.Pattern[str], str], ...]:
    """English sentences as patterns, those with most fixed letters first, each with what is said for it."""
    pairs = read_toml(rules_path(f"pages/messages_{language}.toml"))["said"]
    found = sorted(pairs.items(), key=lambda pair: -len(_GAP.sub("", pair[0])))
    return tuple((_pattern(english), other) for english, other in found)


def _pattern(english: str) -> re.Pattern[str]:
    pieces, seen = [], set[str]()
    for number, piece in enumerate(_GAP.split(english)):
        if number % 2 == 0:
            pieces.append(re.escape(piece))
        else:
            pieces.append(f"(?P={piece})" if piece in seen else f"(?P<{piece}>.*?)")
            seen.add(piece)
    return re.compile("".join(pieces), re.DOTALL)


@cache
def said_in(text: str, language: str) -> str | None:
    """The sentence in a language, None where it is not listed. English is itself."""
    if language == "en" or not text:
        return text
    for pattern, other in _patterns(language):
        found = pattern.fullmatch(text)
        if found:
            values = {name: said_in(value, language) or value for name, value in found.groupdict().items()}
            return other.format(**values)
    return None
