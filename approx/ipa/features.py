"""Features of sounds: 24 per sound, natural classes, and how far two sounds are apart.

The features are panphon's (Mortensen et al. 2016, Proc COLING 2016, 3475-3484). A sound is a base symbol from
`rules/ipa/features.tsv` with the changes of its marks from `rules/ipa/marks.tsv`; panphon itself is not imported
(its constructor costs 750 ms), it is the oracle in the tests.
"""

from __future__ import annotations

from functools import cache, lru_cache

from approx.datafiles import read_toml, read_tsv, rules_path

Features = tuple[int, ...]
"""24 values in the order of `FEATURES`: 1 has it, -1 lacks it, 0 does not apply."""

FEATURES = (
    "syl son cons cont delrel lat nas strid voi sg cg ant cor distr lab hi lo back round velaric tense long hitone hireg"
).split()
_PLACE_OF = {name: at for at, name in enumerate(FEATURES)}
_SIGN = {"+": 1, "-": -1, "0": 0}


@cache
def bases() -> dict[str, Features]:
    """Every base symbol with its features."""
    rows = read_tsv(rules_path("ipa/features.tsv"))
    return {row["symbol"]: tuple(_SIGN[sign] for sign in row["features"]) for row in rows}


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


@lru_cache(maxsize=None)
def features(symbol: str) -> Features | None:
    """Features of one sound; of a diphthong, those of its first half. None for a symbol not known."""
    table, change = bases(), marks()
    base, rest = split(symbol)
    if not base:
        return None
    values = list(table[base])
    if symbol[0] == "ˀ":
        values[_PLACE_OF["cg"]] = 1
    for mark in rest:
        if mark in change:
            for at, value in change[mark]:
                values[at] = value
        elif mark in table:
            break  # second half of a diphthong; its own marks do not change the first
        else:
            return None
    return tuple(values)


@lru_cache(maxsize=None)
def split(symbol: str) -> tuple[str, str]:
    """Longest base symbol at the start and what follows it; ("", symbol) when there is none."""
    start = 1 if symbol[:1] == "ˀ" else 0
    table = bases()
    for end in range(min(len(symbol), start + 5), start, -1):
        if symbol[start:end] in table:
            return symbol[start:end], symbol[end:]
    return "", symbol


@lru_cache(maxsize=None)
def is_vowel(symbol: str) -> bool:
    """True for vowels and diphthongs; a syllabic consonant is a consonant."""
    base = bases().get(split(symbol)[0])
    return base is not None and base[0] == 1


@lru_cache(maxsize=None)
def is_nucleus(symbol: str) -> bool:
    """True for what can carry a syllable: vowels and syllabic consonants."""
    found = features(symbol)
    return found is not None and found[0] == 1


@lru_cache(maxsize=None)
def halves(symbol: str) -> tuple[str, str]:
    """The two vowels of a diphthong; a single vowel or a consonant twice."""
    base, rest = split(symbol)
    second = rest.lstrip("".join(marks()))
    return (symbol[: len(symbol) - len(second)], second) if base and split(second)[0] else (symbol, symbol)


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


@lru_cache(maxsize=None)
def in_class(symbol: str, name: str) -> bool:
    """True if the sound (without its marks) belongs to a named class or a bundle in brackets."""
    spec = classes().get(name, name)
    if spec.startswith("["):
        return has(symbol, parse_bundle(spec))
    return split(symbol)[0] in spec.split()


@cache
def _weights() -> tuple[tuple[float, ...], float]:
    table = read_toml(rules_path("ipa/distance.toml"))
    return tuple(table["weights"][name] for name in FEATURES), table["diphthong"]["offglide"]


@lru_cache(maxsize=None)
def distance(one: str, other: str) -> float:
    """Weighted sum of feature differences, 0 for the same sound; symmetric. Unknown symbols are 10 apart.

    A diphthong is compared half by half. Weights: `rules/ipa/distance.toml`.
    """
    if one == other:
        return 0.0
    weights, share = _weights()
    (a, a2), (b, b2) = halves(one), halves(other)
    if a2 != a or b2 != b:
        return (1 - share) * distance(a, b) + share * distance(a2, b2) + 0.1
    left, right = features(one), features(other)
    if left is None or right is None:
        return 10.0
    return sum(weight * abs(x - y) for weight, x, y in zip(weights, left, right)) / 2
