"""The same answers for programs: pandas DataFrames in, pandas DataFrames out."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from pandas import DataFrame

    from approx.scoring.sample_token import Sample, Token


def score(
    frame: DataFrame, by: Sequence[str] = ("child", "session_date"), language: str = "en-US", **options: Any
) -> DataFrame:
    """Every measure per group: one row a group and measure, with hits, out_of, value, low, high, band, caution, reason.

    `frame` has the columns of a sample (`approx score --help`); `options` are those of `rules/measures.toml` by name.
    Problems with the data are in `result.attrs["problems"]`, the counting rules in `result.attrs["signature"]`.
    Needs pandas (`pip install approx[frames]`).
    """
    from pandas import DataFrame as Frame

    from approx.processes.accents_used import Accents
    from approx.reports.score_data import SCORE_COLUMNS, score_rows
    from approx.scoring.options import options_with, signature
    from approx.scoring.sample_score import score_group

    picked = options_with(**options)
    sample, groups = _grouped(frame, by, language)
    mark = signature(picked)
    accepted = Accents(picked.accents)
    scores = [score_group(labels, members, picked, accepted.others) for labels, members in groups]
    out = Frame(score_rows(scores, mark), columns=list(SCORE_COLUMNS)).drop(columns="signature")
    out.attrs |= {"signature": mark, "problems": [str(problem) for problem in sample.problems]}
    return out


def processes(frame: DataFrame, by: Sequence[str] = ("child", "session_date"), language: str = "en-US") -> DataFrame:
    """Occurrences and chances of each process per group; words in which it happened and could have."""
    from pandas import DataFrame as Frame

    from approx.processes.accents_used import Accents
    from approx.processes.chances import default_options
    from approx.processes.explain import Explainer
    from approx.processes.ruleset import load
    from approx.processes.sample_processes import explain_sample, pairs_of
    from approx.scoring.options import options_with

    options, rules = default_options(), load()
    accepted = Accents(options_with().accents)
    sample, groups = _grouped(frame, by, language)
    rows: list[dict[str, Any]] = []
    for labels, members in groups:
        tag = members[0].language
        found = explain_sample(Explainer(rules, tag), pairs_of(members, accepted).get(tag, ()), options)
        for name, tally in found.tallies.items():
            rows.append(
                {**labels, "process": name, "occurrences": tally.occurrences, "chances": tally.chances,
                 "percent": tally.percent, "standing": tally.standing(options), "words": list(tally.words),
                 "not_in": list(tally.not_in)}
            )  # fmt: skip
    out = Frame(rows)
    out.attrs |= {"signature": f"{options.signature}|rules:{rules.hash}", "problems": [str(p) for p in sample.problems]}
    return out


def _grouped(
    frame: DataFrame, by: Sequence[str], language: str
) -> tuple[Sample, list[tuple[dict[str, str], list[Token]]]]:
    """The frame read as a sample, its tokens by group and language. KeyError names a column that is not there."""
    from approx.scoring.sample import sample_of

    missing = [name for name in by if name not in frame.columns]
    if missing:
        raise KeyError(f"no column {missing[0]!r} to group by; columns: {', '.join(map(str, frame.columns))}")
    rows = frame.astype(object).where(frame.notna(), None).itertuples(index=False, name=None)
    sample = sample_of([str(name) for name in frame.columns], rows, language, look_up=_look_up)
    groups: dict[tuple[str, ...], list[Token]] = {}
    for token in sample.tokens:
        groups.setdefault((*(sample.value(token, name) for name in by), token.language), []).append(token)
    several = len({token.language for token in sample.tokens}) > 1
    return sample, [
        (dict(zip(by, key)) | ({"language": key[-1]} if several else {}), members) for key, members in groups.items()
    ]


def _look_up(word: str, language: str) -> str | None:
    from approx.lexicon import pronunciations

    readings = pronunciations(word, language)
    return readings[0].ipa if readings else None
