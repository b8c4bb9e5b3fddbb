"""Every option of the public functions, checked in one place for commands, pages and programs alike.

A refused option is a `Problem` whose code begins with `use.`; nothing is answered then, and the message says what fits.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import fields, replace
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal, TypedDict

from approx.datafiles import read_tsv, rules_path
from approx.problems import Problem
from approx.wording import enumerated, worded

if TYPE_CHECKING:
    from approx.processes.explain.opportunities import OpportunityOptions
    from approx.processes.rules.ruleset import RuleSet
    from approx.scoring.judging.options import ScoringOptions

Notation = Literal["ipa", "x-sampa"]
BOUNDS: dict[str, tuple[float, float]] = {
    "top": (1, 50),
    "probe": (0, 100),
    "count": (0, 500),
    "set_size": (0, 40),
    "known": (0, 1),
    "new": (0, 9),
    "length": (0, 3),
    "seed": (0, 2**32 - 1),
    "least_chances": (1, 1000),
    "active_percent": (0, 100),
    "frequent_percent": (0, 100),
    "instances": (1, 1000),
    "percent": (1, 100),
    "sessions": (1, 100),
    "minutes": (1, 600),
    "goal_trials": (1, 2000),
    "port": (0, 65_535),
}
"""The least and the most of every number that can be set; of measure options, `rules/measures.toml` says it."""
WHOLE_NUMBERS = frozenset(BOUNDS) - {"known", "active_percent", "frequent_percent", "percent"}
OPPORTUNITY_CHOICES = {
    "lost_sounds": ("count", "drop"),
    "weak_syllables": ("all", "pretonic and medial"),
    "criterion": ("percent", "instances"),
    "lost_r": ("deletion", "vocalization"),
}
_TAG = re.compile(r"[a-z]{2,3}([-_][a-z0-9]{1,8})*", re.IGNORECASE)


class ScoreOptions(TypedDict, total=False):
    """Choices that published measures leave open: meaning, default and source of each in `rules/measures.toml`."""

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


def number_problem(name: str, value: object, bounds: tuple[float, float] | None = None) -> list[Problem]:
    """What is wrong with a number: no number, or out of its bounds."""
    low, high = bounds or BOUNDS[name]
    whole = (
        bounds is None
        and name in WHOLE_NUMBERS
        or bounds is not None
        and isinstance(low, int)
        and isinstance(high, int)
    )
    kind = (int,) if whole else (int, float)
    if isinstance(value, kind) and not isinstance(value, bool) and low <= value <= high:
        return []
    sort = "a whole number" if whole else "a number"
    return [_refused(name, value, f"{sort} from {low:g} to {high:.10g}")]


def choice_problem(name: str, value: object, choices: Iterable[object], called: str = "") -> list[Problem]:
    """What is wrong with a choice: that it is none of those there are. `called`: what it is, where the name does not say it."""
    known = list(choices)
    if value in known:
        return []
    what = called or name.replace("_", " ")
    article = "an" if what[0] in "aeiou" else "a"
    return [
        Problem(
            _code(name),
            worded("{value} is not {article} {what}", value=_shown(value), article=article, what=what),
            _one_of(known),
            symbol=_shown(value),
        )
    ]


def _one_of(known: Sequence[object]) -> str:
    return worded("one of: {known}", known=", ".join(map(str, known)))


def _code(name: str) -> str:
    return "use." + name.replace("_", "-")


def _refused(name: str, value: object, fits: str) -> Problem:
    return Problem(
        _code(name),
        worded("{name} cannot be {value}", name=name.replace("_", "-"), value=_shown(value)),
        fits,
        symbol=_shown(value),
    )


def _shown(value: object) -> str:
    return f"'{value}'" if isinstance(value, str) else f"{value:g}" if isinstance(value, float) else str(value)


def language_problem(tag: object, name: str = "language") -> list[Problem]:
    """What is wrong with a language tag; "" stands for the usual one."""
    if tag == "":
        return []
    known = isinstance(tag, str) and _TAG.fullmatch(tag) is not None
    primary = str(tag).lower().replace("_", "-").split("-")[0]
    if known and (len(primary) == 3 or primary in _two_letter_codes()):
        return []
    return [
        Problem(
            f"use.{name}",
            worded("'{tag}' is no language", tag=tag),
            "a tag such as en-US, es-MX or deu-Latn",
            symbol=str(tag),
        )
    ]


@cache
def _two_letter_codes() -> frozenset[str]:
    return frozenset(row["code"] for row in read_tsv(rules_path("languages/iso-639-1.tsv")))


def accent_problems(accents: Sequence[str]) -> list[Problem]:
    """One problem for each variety that no file of `rules/accents/` has."""
    if not accents:
        return []
    from approx.processes.accept.accept_rules import ALWAYS, accent_names

    known = accent_names()
    unknown = [name for name in accents if tidy_accent(name) not in (*known, *ALWAYS)]
    hint = worded("one of: {known}", known=enumerated(", ", known))
    return [Problem("use.accent", worded("no variety '{name}'", name=name), hint, symbol=str(name)) for name in unknown]


def accents_of(accents: str | Iterable[str]) -> tuple[str, ...]:
    """Names of varieties as their files are called, each once, in alphabetical order."""
    names = [accents] if isinstance(accents, str) else list(accents)
    return tuple(sorted({tidy_accent(name) for name in names}))


def tidy_accent(name: str) -> str:
    """A variety as its file is called."""
    return "-".join(str(name).lower().split())


def notation_problem(notation: object) -> list[Problem]:
    """What is wrong with the name of a notation."""
    return choice_problem("notation", notation, ("ipa", "x-sampa"))


def folder(rules: str | Path | None) -> Path | None:
    """The folder of rule files of one's own."""
    return None if rules is None else Path(rules)


def loaded_rules(rules: str | Path | None) -> tuple[RuleSet, tuple[Problem, ...]]:
    """The rules, with those of a folder of one's own, and what is wrong with them."""
    from approx.processes.rules.ruleset import load_rules

    found = load_rules(folder(rules))
    return found, rule_problems(found, rules)


def rule_problems(found: RuleSet, own: str | Path | None) -> tuple[Problem, ...]:
    """What is wrong with loaded rules; the examples of one's own are tried."""
    if own is None:
        return found.problems
    from approx.processes.engine.proofs import examples_hold

    return (*found.problems, *examples_hold(found))


def score_options(accents: Sequence[str], changes: Mapping[str, Any]) -> tuple[ScoringOptions, list[Problem]]:
    """The defaults of `rules/measures.toml` with changes by name; every unknown name and unfit value is a problem."""
    from approx.scoring.judging.options import default_scoring_options, option_names, option_notes

    usual = default_scoring_options()
    problems = accent_problems(accents)
    fit: dict[str, Any] = {}
    for name, value in changes.items():
        if name not in option_names():
            hint = worded("name=value with one of: {known}", known=", ".join(option_names()))
            problems.append(Problem("use.set", worded("'{name}' is not an option", name=name), hint, symbol=str(name)))
            continue
        notes = option_notes(name)
        if "bounds" in notes:
            found = number_problem(name, value, tuple(notes["bounds"]))
        elif name == "language":
            found = language_problem(value)
        elif name == "accents":
            found, value = accent_problems(value), accents_of(value)  # noqa: PLW2901 - a value made clean keeps its name
        elif isinstance(getattr(usual, name), bool):
            found = [] if isinstance(value, bool) else [_refused(name, value, "yes or no")]
        else:
            found = [] if value in notes["choices"] else [_refused(name, value, _one_of(notes["choices"]))]
        problems += found
        if not found:
            fit[name] = value
    chosen = accents_of((*usual.accents, *fit.pop("accents", ()), *accents))
    return replace(usual, accents=chosen, **fit), problems


def read_settings(settings: Iterable[str]) -> tuple[dict[str, Any], list[Problem]]:
    """`name=value` texts as changes for `score_options`; what is no option of a measure is a problem."""
    from approx.scoring.judging.options import ScoringOptions, default_scoring_options, option_names

    usual = default_scoring_options()
    kinds = {field.name: getattr(usual, field.name) for field in fields(ScoringOptions)}
    changes: dict[str, Any] = {}
    problems: list[Problem] = []
    for setting in settings:
        name, equals, text = setting.partition("=")
        name = name.strip().replace("-", "_")
        if not equals or name not in kinds:
            hint = worded("name=value with one of: {known}", known=", ".join(option_names()))
            problems.append(
                Problem(
                    "use.set", worded("'{name}' is not an option", name=name if equals else setting), hint, symbol=name
                )
            )
            continue
        changes[name] = _typed(text.strip(), kinds[name])
    return changes, problems


def _typed(text: str, usual: object) -> object:
    """A text as a value of the option's kind; as it is where it is none, so that it is refused by its bounds."""
    if isinstance(usual, bool):
        return {"yes": True, "true": True, "no": False, "false": False}.get(text.lower(), text)
    if isinstance(usual, (int, float)):
        for kind in (int, float):
            try:
                return kind(text)
            except ValueError:
                continue
    if isinstance(usual, tuple):
        return tuple(part for part in text.split("+") if part)
    return text


def opportunity_options(**changes: object) -> tuple[OpportunityOptions, list[Problem]]:
    """The switches of `rules/chances.toml` with changes by name, and what does not fit."""
    from approx.processes.explain.opportunities import default_opportunity_options

    problems: list[Problem] = []
    fit: dict[str, Any] = {}
    for name, value in changes.items():
        choices = OPPORTUNITY_CHOICES.get(name)
        found = number_problem(name, value) if choices is None else choice_problem(name, value, choices)
        problems += found
        if not found:
            fit[name] = value
    return replace(default_opportunity_options(), **fit), problems
