"""Every choice that can change a score, with its default from `rules/measures.toml`, and the signature that names it.

A field of `ScoringOptions` is a key of `[option.*]` in that file; a test walks both and the signature, so that no choice can be
made without being seen beside the number it changed.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from functools import cache, lru_cache
from typing import Any, Literal

from approx.datafiles import data_hash, read_toml, rules_path
from approx.ipa.language import language


@dataclass(frozen=True, slots=True)
class ScoringOptions:
    """Choices for one run. Make one with `default_scoring_options()` and `dataclasses.replace`.

    What each field means, its choices and the source of its default: `rules/measures.toml`, same name.
    """

    language: str
    accents: tuple[str, ...]
    repeats: Literal["every", "first", "best"]
    runs: Literal["two, then changes", "every"]
    doubtful: Literal["wrong", "as heard"]
    unidentified: Literal["leave the word out", "wrong"]
    additions_wrong: bool
    vowel_epenthesis_is_addition: bool
    final_voicing_errors: bool
    unstressed_h_and_ng_right: bool
    lisp_is_distortion: bool
    coalescence: Literal["neither", "one"]
    metathesis: Literal["aligned", "slots"]
    syllabic: Literal["consonant", "vowel"]
    spanish_glides: Literal["vowel", "consonant"]
    pmlu_cap: bool
    pmlu_vowels: bool
    pmlu_distortions_right: bool
    pmlu_syllabic_point: bool
    pwp_of_sample: Literal["ratio", "mean"]
    pwc_distortions_right: bool
    pwv: Literal["shapes over tokens", "zero when all alike", "shapes less one over tokens less one"]
    variability: Literal["every difference", "no turns to the right form"]
    tokens_a_word: int
    h_is_fricative: bool
    w_is_velar: bool
    postvocalic_r: Literal["consonant", "vowel"]
    wcm_syllabic: Literal["vowel", "consonant"]
    ipc_variegation: Literal["word", "change"]
    ipc_clusters: Literal["contiguous", "syllable"]
    ipc_tr_homorganic: bool
    interval_words: int
    confidence: float


@cache
def _file() -> dict[str, Any]:
    return read_toml(rules_path("measures.toml"))


@cache
def default_scoring_options() -> ScoringOptions:
    """The defaults of `rules/measures.toml`."""
    entries: dict[str, Any] = _file()["option"]
    values: dict[str, Any] = {name: entry["default"] for name, entry in entries.items()}
    return ScoringOptions(**{**values, "accents": tuple(values["accents"])})


def measure_data(name: str) -> dict[str, Any]:
    """A table of `rules/measures.toml` that is not an option, such as the sound classes of `wcm`."""
    table: dict[str, Any] = _file()[name]
    return table


@lru_cache(maxsize=64)
def primary(tag: str) -> str:
    """Primary part of a language tag as the rules name it: en, es, und for any other ("eng-Latn" is en)."""
    return language(tag).code.split("-")[0]


def option_names() -> tuple[str, ...]:
    """Names of all options in the fixed order in which a signature gives them."""
    return tuple(field.name for field in fields(ScoringOptions))


def option_notes(name: str) -> dict[str, Any]:
    """Default, choices, measures it can change and source of one option."""
    entry: dict[str, Any] = _file()["option"][name]
    return entry


@lru_cache(maxsize=64)
def signature(options: ScoringOptions | None = None, short: bool = False) -> str:
    """Everything that made a score, `key:value` between bars in a fixed order, the program's version last.

    `short` leaves out options at their defaults; two scores with the same short signature were made the same way.
    """
    from approx.version import __version__

    chosen, usual = options or default_scoring_options(), default_scoring_options()
    parts = [
        f"{name}:{_value(getattr(chosen, name))}"
        for name in option_names()
        if not short or getattr(chosen, name) != getattr(usual, name)
    ]
    parts.append(f"align:{read_toml(rules_path('alignment.toml'))['version']}")
    parts.append(f"rules:{_rules_hash()}")
    parts.append(f"v:{__version__}")
    return "|".join(parts)


def _value(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        return "+".join(map(str, value)) or "none"
    return str(value).replace(" ", "-")


@cache
def _rules_hash() -> str:
    names = ("measures.toml", "alignment.toml", "ipa/features.tsv", "ipa/marks.tsv", "ipa/distance.toml")
    read_by_all = [path for folder in ("accents", "languages") for path in rules_path(folder).glob("*.toml")]
    return data_hash([*(rules_path(name) for name in names), *read_by_all])
