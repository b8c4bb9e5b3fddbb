"""Every option of the public functions, checked in one place for commands, pages and programs alike; and what can be chosen,
for the lists of a page.

A refused option is a `Problem` whose code begins with `use.`; nothing is answered then, and the message says what fits."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import fields, replace
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal, TypeAlias, TypedDict, cast, get_args

from approx.datafiles import ALWAYS_RIGHT, accent_names, read_tsv, rules_path, tidy_accent
from approx.problems import Problem, ProblemsError
from approx.wording import enumerated, worded

if TYPE_CHECKING:
    from approx.processes.explain.opportunities import OpportunityOptions
    from approx.processes.rules.ruleset import RuleSet
    from approx.scoring.judging.options import ScoringOptions


Notation = Literal["ipa", "x-sampa"]
NumberBounds: TypeAlias = tuple[float, float]
"""The least and the most of a number; where both are whole numbers, only whole numbers fit."""
SEEDS: NumberBounds = (0, 2**32 - 1)
BOUNDS: dict[str, NumberBounds] = {
    "suggest.top": (1, 20),
    "words.count": (1, 500),
    "words.set_size": (0, 40),
    "words.seed": SEEDS,
    "words.known": (0.0, 1.0),
    "words.new": (0, 9),
    "phrases.count": (0, 200),
    "phrases.seed": SEEDS,
    "sheet.seed": SEEDS,
    "processes.least_opportunities": (1, 1000),
    "processes.active_percent": (0.0, 100.0),
    "processes.frequent_percent": (0.0, 100.0),
    "processes.instances": (1, 1000),
    "predict.top": (1, 50),
    "predict.probe": (0, 100),
    "progress.percent": (1.0, 100.0),
    "progress.sessions": (1, 100),
    "desk.port": (0, 65_535),
    "answer.allow_problems": (0, 10**9),
}
"""Bounds of every number that can be set, by function and option. Those of measure options stand in `rules/measures.toml`,
those of a session in `rules/session_plan.toml`."""
PhraseLength = Literal[0, 2, 3]
PHRASE_LENGTHS: tuple[PhraseLength, ...] = get_args(PhraseLength)
"""Words in a phrase; 0 for both."""
_TAG = re.compile(r"[a-z]{2,3}([-_][a-z0-9]{1,8})*", re.IGNORECASE)
_NO_LANGUAGE = frozenset({"mis", "mul", "und", "zxx"})
"""Codes of ISO 639-3 for what is not one language."""
_PRIVATE = re.compile(r"q[a-t][a-z]")
"""Codes of ISO 639-3 that anybody may use for a language of their own."""
_LONGEST = 60
"""Letters of a refused value that are shown."""
_AS_TYPED = {
    "set_size": "--set", "measures": "--measure", "accents": "--accent", "page": "PAGE", "what": "WHAT", "schema": "NAME",
    "phrase": "PHRASE", "word": "WORD", "file": "FILE", "target": "TARGET", "produced": "PRODUCED", "name": "NAME",
}  # fmt: skip
"""Options and arguments that the command line calls otherwise than the function does."""
_NO_COMMAND_HAS = frozenset({"evidence", "word_lists", "forms", "latest_session"})
"""Options of functions alone, which stand in a problem as a program writes them."""


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


def number_problem(option: str, value: object, bounds: NumberBounds | None = None) -> list[Problem]:
    """What is wrong with a number: no number, or out of its bounds.

    `option`: function and option, as `BOUNDS` has them ("words.count"); or, with `bounds`, any name.
    """
    low, high = bounds or BOUNDS[option]
    whole = isinstance(low, int) and isinstance(high, int)
    kind = (int,) if whole else (int, float)
    if isinstance(value, kind) and not isinstance(value, bool) and low <= value <= high:
        return []
    return [refused(option, value, range_text(low, high))]


def range_text(low: float, high: float) -> str:
    """What fits between two bounds, in words."""
    ends = {"low": f"{low:g}", "high": f"{high:.10g}"}
    if isinstance(low, int) and isinstance(high, int):
        return worded("a whole number from {low} to {high}", **ends)
    return worded("a number from {low} to {high}", **ends)


def typed_number(text: str) -> object:
    """A text as the number it is; as it is where it is none, so that it is refused by its bounds."""
    for kind in (int, float):
        try:
            return kind(text)
        except ValueError:
            continue
    return text


def choice_problem(option: str, value: object, choices: Iterable[object]) -> list[Problem]:
    """What is wrong with a choice: that it is none of those there are."""
    known = list(choices)
    if any(value == each and type(value) is type(each) for each in known):
        return []
    return [refused(option, value, one_of(known))]


def switch_problems(**switches: object) -> list[Problem]:
    """One problem for each switch that is neither True nor False."""
    return [
        refused(name, value, worded("True or False")) for name, value in switches.items() if not isinstance(value, bool)
    ]


def text_problems(**texts: object) -> list[Problem]:
    """One problem for each option that is no text."""
    return [refused(name, value, worded("a text")) for name, value in texts.items() if not isinstance(value, str)]


def path_problems(**paths: object) -> list[Problem]:
    """One problem for each option that names no file or folder; None is no name and fits, "" would be the folder one is in."""
    from os import PathLike

    fits = worded("the path of a file or folder")
    return [
        refused(name, value, fits)
        for name, value in paths.items()
        if value is not None and (value == "" or not isinstance(value, (str, PathLike)))
    ]


def list_problems(**lists: object) -> list[Problem]:
    """One problem for each option that is neither a text nor several of them."""
    from os import PathLike

    wrong = []
    for name, value in lists.items():
        if isinstance(value, (str, Iterator)):  # an iterator can be gone through only once
            continue
        several = isinstance(value, Iterable) and not isinstance(value, (bytes, Mapping))
        if several and all(isinstance(each, (str, PathLike)) for each in cast("Iterable[object]", value)):
            continue
        wrong.append(refused(name, value, worded("a text, or a list of texts")))
    return wrong


def one_of(known: Iterable[object]) -> str:
    """What there is to choose from."""
    return worded("one of: {known}", known=", ".join(str(each) for each in known if each != ""))


def refused(option: str, value: object, fits: str) -> Problem:
    """An option that cannot have the value it was given, and what it can have: the one sentence for all of them.

    `option`: with its function before it, or alone; "set.NAME" for an option of a measure.
    """
    where, _, name = option.rpartition(".")
    shown = name if where == "set" or name in _NO_COMMAND_HAS else _AS_TYPED.get(name) or "--" + name.replace("_", "-")
    return Problem(
        "use." + name.replace("_", "-"),
        worded("{option} cannot be {value}", option=shown, value=_shown(value)),
        fits,
        symbol=_shown(value).strip("'"),
    )


def _shown(value: object) -> str:
    """A value as it is typed; of a long one the beginning."""
    if isinstance(value, float):
        return f"{value:g}"
    text = f"'{value}'" if isinstance(value, str) else str(value)
    return text if len(text) <= _LONGEST else text[:_LONGEST] + " ..."


def language_problem(tag: object) -> list[Problem]:
    """What is wrong with a language tag; "" stands for the usual one. A language is known if ISO 639-1 has its two
    letters, or the registry of language subtags (IANA; Phillips & Davis 2009, RFC 5646; from memory) its three."""
    if tag == "":
        return []
    if isinstance(tag, str) and _TAG.fullmatch(tag) and _is_language(tag.lower().replace("_", "-").split("-")[0]):
        return []
    return [refused("language", tag, worded("a tag such as en-US, es-MX or deu-Latn"))]


@cache
def _is_language(primary: str) -> bool:
    if len(primary) == 2:
        return primary in _two_letter_codes()
    from langcodes import tag_is_valid

    return primary not in _NO_LANGUAGE and not _PRIVATE.fullmatch(primary) and tag_is_valid(primary)


def paper_problem(paper: object) -> list[Problem]:
    """What is wrong with the name of a paper; "" stands for the usual one."""
    from approx.reports.sheets.page_types import PAPERS

    return [] if paper == "" else choice_problem("paper", paper, PAPERS)


def page_language_problem(tag: object, option: str = "language") -> list[Problem]:
    """What is wrong with the language of a page; with a region or without one."""
    from approx.reports.report_words import PAGE_LANGUAGES, page_language

    if isinstance(tag, str) and page_language(tag) is not None:
        return []
    fits = worded("{languages}, or with a region (es-MX)", languages=enumerated(" or ", PAGE_LANGUAGES))
    return [refused(option, tag, fits)]


def page_tag(tag: str) -> str:
    """The language of a page as the pages call it: "es_mx" is es-MX. `ProblemsError` where there are no pages in it."""
    from approx.reports.report_words import page_language

    if wrong := page_language_problem(tag):
        raise ProblemsError(wrong)
    regions = [part for part in tag.replace("_", "-").split("-")[1:] if part]
    return "-".join([page_language(tag) or "", *(part.upper() if len(part) == 2 else part for part in regions)])


def age_problem(age: object) -> list[Problem]:
    """What is wrong with an age as typed; "" stands for none."""
    return typed_age_in_months(age)[1]


def typed_age_in_months(age: object) -> tuple[int | None, list[Problem]]:
    """An age as typed ("3;2") in months; None where none is given, and a problem where it cannot be read."""
    from approx.samples.cells.dates import read_age

    if age == "":
        return None, []
    months, problem = read_age(age) if isinstance(age, str) else (None, None)
    if months is not None:
        return months, []
    return None, [refused("age", age, problem.hint if problem else worded("write years;months (3;2), or '38 months'"))]


def checked_age(age: str) -> str:
    """The age as it was typed; `ProblemsError` where it is none."""
    if wrong := age_problem(age):
        raise ProblemsError(wrong)
    return age


@cache
def _two_letter_codes() -> frozenset[str]:
    return frozenset(row["code"] for row in read_tsv(rules_path("languages/iso-639-1.tsv")))


def accent_problems(accents: object) -> list[Problem]:
    """One problem for each variety that no file of `rules/accents/` has."""
    if wrong := list_problems(accent=accents):
        return wrong
    names: list[str] = [accents] if isinstance(accents, str) else list(cast("Iterable[str]", accents))
    if not names:
        return []
    known = accent_names()
    unknown = [name for name in names if tidy_accent(name) not in (*known, *ALWAYS_RIGHT)]
    return [refused("accent", name, one_of(known)) for name in unknown]


def accents_named(accents: object) -> tuple[tuple[str, ...], list[Problem]]:
    """Varieties as their files are called, each once, in alphabetical order; none of them where one is refused."""
    listed = list(accents) if isinstance(accents, Iterator) else accents
    wrong = accent_problems(listed)
    return () if wrong else accents_of(cast("str | Iterable[str]", listed)), wrong


def accents_of(accents: str | Iterable[str]) -> tuple[str, ...]:
    """Names of varieties as their files are called, each once, in alphabetical order."""
    names = [accents] if isinstance(accents, str) else list(accents)
    return tuple(sorted({tidy_accent(name) for name in names}))


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


def score_options(accents: object, changes: Mapping[str, Any]) -> tuple[ScoringOptions, list[Problem]]:
    """The defaults of `rules/measures.toml` with changes by name; every unknown name and unfit value is a problem."""
    from approx.scoring.judging.options import default_scoring_options, option_names, option_notes

    usual = default_scoring_options()
    named, problems = accents_named(accents)
    fit: dict[str, Any] = {}
    for name, value in changes.items():
        if name not in option_names():
            hint = worded("name=value with one of: {known}", known=", ".join(option_names()))
            problems.append(Problem("use.set", worded("'{name}' is not an option", name=name), hint, symbol=str(name)))
            continue
        notes = option_notes(name)
        if "bounds" in notes:
            found = number_problem(f"set.{name}", value, tuple(notes["bounds"]))
        elif name == "language":
            found = language_problem(value)
        elif name == "accents":
            value, found = accents_named(value)  # noqa: PLW2901 - a value made clean keeps its name
        elif isinstance(getattr(usual, name), bool):
            found = (
                []
                if isinstance(value, bool)
                else [refused(f"set.{name}", value, worded("yes or no; in Python, True or False"))]
            )
        else:
            found = [] if value in notes["choices"] else [refused(f"set.{name}", value, one_of(notes["choices"]))]
        problems += found
        if not found:
            fit[name] = value
    chosen = accents_of((*usual.accents, *fit.pop("accents", ()), *named))
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
        return typed_number(text)
    if isinstance(usual, tuple):
        return tuple(part for part in text.split("+") if part)
    return text


def opportunity_options(**changes: object) -> tuple[OpportunityOptions, list[Problem]]:
    """The switches of `rules/opportunities.toml` with changes by name, and what does not fit."""
    from approx.processes.explain.opportunities import OPPORTUNITY_CHOICES, default_opportunity_options

    problems: list[Problem] = []
    fit: dict[str, Any] = {}
    for name, value in changes.items():
        choices = OPPORTUNITY_CHOICES.get(name)
        found = choice_problem(name, value, choices) if choices else number_problem(f"processes.{name}", value)
        problems += found
        if not found:
            fit[name] = value
    return replace(default_opportunity_options(), **fit), problems


def accents() -> dict[str, str]:
    """Varieties that `accents` of `score` may name, each with the primary tag of its language: that of its first rule."""
    from approx.datafiles import read_toml

    files = {name: read_toml(rules_path(f"accents/{name}.toml")) for name in accent_names()}
    return {name: str(file["rule"][0].get("language", "")) for name, file in files.items()}


def word_orders() -> tuple[str, ...]:
    """Values of `order` of `words`."""
    from approx.practice.words.word_weights import sound_orders

    return tuple(order.name for order in sound_orders())


def word_kinds(language: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Everyday categories and parts of speech of the word bank of a language; none where it has no bank."""
    from approx.practice.words.word_bank import load_bank

    bank = load_bank(language)
    return tuple(sorted({word.category for word in bank})), tuple(sorted({word.part_of_speech for word in bank}))


def phrase_relations(language: str) -> tuple[tuple[str, str], ...]:
    """(name, what for) of each `relation` of `phrases`; none in a language without phrases."""
    from approx.practice.grammar.recipes import RELATION, relations

    if not _has_phrases(language):
        return ()
    return (*((each.id, each.use) for each in relations(language)), (RELATION, ""))


def grammar_orders(language: str) -> Mapping[str, object]:
    """Values of `order` of `phrases`, the usual one first, each with its steps."""
    from approx.practice.phrases.grammar_ladder import step_orders

    return step_orders(language) if _has_phrases(language) else {}


def trial_orders() -> tuple[str, ...]:
    """Values of `order` of a session's page."""
    from approx.practice.session.plan import ORDERS

    return tuple(ORDERS)


def _has_phrases(language: str) -> bool:
    from approx.lexicon.spelling import base_language
    from approx.practice.grammar.phrase_words import PHRASE_LANGUAGES

    return base_language(language) in PHRASE_LANGUAGES
