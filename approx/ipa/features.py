"""Features of sounds: 24 per sound, natural classes, and how far two sounds are apart.

The features are panphon's (Mortensen et al. 2016, Proc COLING 2016, 3475-3484). A sound is a base symbol from
`rules/ipa/features.tsv` with the changes of its marks from `rules/ipa/marks.tsv`. A symbol that our table lacks is looked up
in the table of the panphon that is installed; the package itself is not imported (its constructor costs 750 ms), it is the oracle
in the tests, and `approx doctor` compares the two tables.
"""

from __future__ import annotations

from functools import cache, lru_cache
from unicodedata import normalize

from approx.datafiles import read_toml, read_tsv, rules_path

Features = tuple[int, ...]
"""24 values in the order of `FEATURES`: 1 has it, -1 lacks it, 0 does not apply."""

FEATURES = (
    "syl", "son", "cons", "cont", "delrel", "lat", "nas", "strid", "voi", "sg", "cg", "ant",
    "cor", "distr", "lab", "hi", "lo", "back", "round", "velaric", "tense", "long", "hitone", "hireg",
)  # fmt: skip
TIE = "͡"
"""Binds two symbols into one sound."""
BEFORE = "ˀʰⁿ"
"""Marks that may also stand before their sound: preglottalized, preaspirated, prenasalized."""
UNKNOWN_VOWEL = "V"
"""A vowel that was heard but not identified: it carries a syllable, and nothing else is known of it."""
_PLACE_OF = {name: at for at, name in enumerate(FEATURES)}
_SYL, _SON, _CONT, _DELREL = (_PLACE_OF[name] for name in ("syl", "son", "cont", "delrel"))
_SIGN = {"+": 1, "-": -1, "0": 0}
_LONGEST_BASE = 5


@cache
def bases() -> dict[str, Features]:
    """Every base symbol with its features."""
    rows = read_tsv(rules_path("ipa/features.tsv"))
    return {row["symbol"]: tuple(_SIGN[sign] for sign in row["features"]) for row in rows}


@cache
def base_features(symbol: str) -> Features | None:
    """Features of a base symbol: those of our table, else of one symbol that panphon knows. None for what neither has."""
    own = bases().get(symbol)
    if own is not None or len(symbol) != 1 or symbol.isascii() or not symbol.isalpha():
        return own
    from approx.ipa.panphon_table import panphon_segments  # noqa: PLC0415 - only a sound that our table lacks needs it

    found = panphon_segments().get(symbol)
    return tuple(found[name] for name in FEATURES) if found else None


@cache
def marks() -> dict[str, tuple[tuple[int, int], ...]]:
    """Every mark that may follow a base, with the (feature number, value) pairs it sets."""
    rows = read_tsv(rules_path("ipa/marks.tsv"))
    return {row["mark"]: tuple(_pair(item) for item in row["change"].split()) for row in rows}


@cache
def mark_kinds() -> dict[str, tuple[str, str]]:
    """Every mark with its name and its kind: allophone, clinical or distortion."""
    return {row["mark"]: (row["name"], row["kind"]) for row in read_tsv(rules_path("ipa/marks.tsv"))}


def _pair(item: str) -> tuple[int, int]:
    return _PLACE_OF[item[1:]], _SIGN[item[0]]


@lru_cache(maxsize=65536)
def features(symbol: str) -> Features | None:
    """Features of one sound; of a diphthong, those of its first half. None for what is not one known sound.

    A tied pair without a row of its own: stop and fricative have the features of the fricative as an
    affricate has them (as in the table's own rows; common practice, no source), others those of the first.
    """
    before, base, rest = _parts(symbol)
    if not base:
        return None
    change = marks()
    values = list(base_features(base) or ())
    for at, mark in enumerate(before + rest, -len(before)):
        if mark not in change:
            return _with_second(tuple(values), is_vowel(base), rest[at:])
        for place, value in change[mark]:
            values[place] = value
    return tuple(values)


def _with_second(first: Features, vowel: bool, rest: str) -> Features | None:
    """Features of two symbols that are one sound; `rest` is what follows the first with its marks."""
    symbol = rest.removeprefix(TIE)
    second = features(symbol)
    if second is None or is_vowel(symbol) != vowel or not (vowel or rest.startswith(TIE)):
        return None
    if not vowel and (first[_SON], first[_CONT], second[_SON], second[_CONT]) == (-1, -1, -1, 1):
        affricate = list(second)
        affricate[_CONT], affricate[_DELREL] = -1, 1
        return tuple(affricate)
    return first


@lru_cache(maxsize=65536)
def split(symbol: str) -> tuple[str, str]:
    """Longest base symbol at the start and what follows it; ("", symbol) if there is none."""
    _, base, rest = _parts(symbol)
    return base, rest


@lru_cache(maxsize=65536)
def _parts(symbol: str) -> tuple[str, str, str]:
    """Marks that stand before the sound, its longest base symbol, and what follows."""
    symbol = _decomposed(symbol)
    table, start = bases(), 0
    while start < len(symbol) and symbol[start] in BEFORE:
        start += 1
    for end in range(min(len(symbol), start + _LONGEST_BASE), start, -1):
        if symbol[start:end] in table:
            return symbol[:start], symbol[start:end], symbol[end:]
    if base_features(symbol[start : start + 1]) is not None:
        return symbol[:start], symbol[start], symbol[start + 1 :]
    return "", "", symbol


def _decomposed(symbol: str) -> str:
    """A letter and its marks as single characters; ç is a letter of its own."""
    return normalize("NFD", symbol).replace("c\u0327", "\u00e7")


@lru_cache(maxsize=65536)
def is_vowel(symbol: str) -> bool:
    """True for vowels and diphthongs; a syllabic consonant is a consonant."""
    base = base_features(split(symbol)[0])
    return base[_SYL] == 1 if base else symbol == UNKNOWN_VOWEL


@lru_cache(maxsize=65536)
def is_nucleus(symbol: str) -> bool:
    """True for what can carry a syllable: vowels, known or not, and syllabic consonants."""
    found = features(symbol)
    return found[_SYL] == 1 if found else symbol == UNKNOWN_VOWEL


@lru_cache(maxsize=65536)
def bare(symbol: str) -> tuple[str, str]:
    """The sound without any mark, and its marks; unlike `split`, a dental s is s and the mark. Tie bars stay."""
    signs, symbol = marks(), _decomposed(symbol)
    return "".join(c for c in symbol if c not in signs), "".join(c for c in symbol if c in signs)


@lru_cache(maxsize=65536)
def halves(symbol: str) -> tuple[str, str]:
    """The two vowels of a diphthong, each with its marks; a single vowel or a consonant twice."""
    symbol = _decomposed(symbol)
    base, rest = split(symbol)
    start = next((at for at, char in enumerate(rest) if char not in marks()), None)
    if start is None or not is_vowel(base):
        return symbol, symbol
    return symbol[: len(symbol) - len(rest) + start], rest[start:].removeprefix(TIE)


@cache
def classes() -> dict[str, str]:
    """Named natural classes of `rules/ipa/classes.toml`: a bundle in brackets, or symbols between blanks."""
    table: dict[str, str] = read_toml(rules_path("ipa/classes.toml"))["classes"]
    return table


def parse_bundle(text: str) -> tuple[tuple[int, int], ...]:
    """`[+son -cont]` or `+son -cont` as (feature number, value) pairs. KeyError names an unknown feature."""
    items = text.strip("[] ").split()
    for item in items:
        if item[0] not in _SIGN or item[1:] not in _PLACE_OF:
            raise KeyError(item)
    return tuple(_pair(item) for item in items)


def has(symbol: str, bundle: tuple[tuple[int, int], ...]) -> bool:
    """True if the sound has every value of the bundle."""
    found = features(symbol)
    return found is not None and all(found[at] == value for at, value in bundle)


@lru_cache(maxsize=65536)
def in_class(symbol: str, name: str) -> bool:
    """True if the sound (without its marks) belongs to a named class or a bundle in brackets."""
    spec = classes().get(name, name)
    if spec.startswith("["):
        return has(symbol, parse_bundle(spec))
    return split(symbol)[0] in spec.split()


@cache
def _weights() -> tuple[tuple[float, ...], float, float, float]:
    table = read_toml(rules_path("ipa/distance.toml"))
    diphthong = table["diphthong"]
    weights = tuple(table["weights"][name] for name in FEATURES)
    return weights, diphthong["offglide"], diphthong["movement"], table["unknown"]["distance"]


@lru_cache(maxsize=65536)
def distance(one: str, other: str) -> float:
    """Weighted sum of feature differences, 0 for sounds of equal features; symmetric.

    A diphthong is compared half by half. A symbol that is not known is far from every other. Weights:
    `rules/ipa/distance.toml`.
    """
    if one == other:
        return 0.0
    weights, share, movement, unknown = _weights()
    (a, a2), (b, b2) = halves(one), halves(other)
    if a2 != a or b2 != b:
        return (1 - share) * distance(a, b) + share * distance(a2, b2) + movement
    left, right = features(one), features(other)
    if left is None or right is None:
        return unknown
    return sum(weight * abs(x - y) for weight, x, y in zip(weights, left, right, strict=True)) / 2
