"""A sample as the commands take it: a file or stdin, adult forms looked up where they are missing, rows in groups."""

from __future__ import annotations

from typing import TYPE_CHECKING

from approx.problems import Problem
from approx.samples.rows.sample import Sample, Token, read_sample

if TYPE_CHECKING:
    from approx.samples.token import PairCounts


def look_up(word: str, language: str) -> str | None:
    """The first reading of a gloss, from the lexicon; None if it has none."""
    from approx.lexicon import pronunciations

    readings = pronunciations(word, language)
    return readings[0].ipa if readings else None


def read_input(file: str, language: str) -> Sample:
    """Read FILE ("-" is stdin)."""
    return read_sample(file, language or "en-US", look_up=look_up)


def count_input(file: str, language: str, by: str) -> PairCounts:
    """Distinct pairs of FILE counted by some columns and by language, context and age; long files say how far they are."""
    from approx.cli.output import opened
    from approx.samples.rows.sample import count_pairs
    from approx.scoring.sample_score import INNER

    names = [name.strip() for name in by.split(",") if name.strip()]
    return count_pairs(opened(file), (*dict.fromkeys(names), *INNER), language or "en-US", look_up=look_up)


def grouped(sample: Sample, by: str) -> tuple[list[tuple[dict[str, str], list[Token]]], list[Problem]]:
    """Tokens by the values of some columns, in order of first sight; by default child and session."""
    names = [name.strip() for name in by.split(",") if name.strip()]
    known = (*sample.columns, "child", "session_date", "language")
    wrong = [name for name in names if name not in known]
    problems = [
        Problem("use.by", f"no column '{name}' to group by", "columns: " + ", ".join(sample.columns)) for name in wrong
    ]
    names = [name for name in names if name not in wrong]
    groups: dict[tuple[str, ...], list[Token]] = {}
    for token in sample.tokens:
        groups.setdefault(tuple(sample.value(token, name) for name in names), []).append(token)
    return [(dict(zip(names, key)), members) for key, members in groups.items()], problems
