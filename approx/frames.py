"""The same answers for programs: pandas DataFrames in, pandas DataFrames out.

For engines that work on parts of a frame (`tests/test_partitions.py` shows one): `count_table` on each part, `merge_counts`
of what came out, in any order, then `measures_of`: the measures of the whole, digit for digit.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from approx.scoring.judging.counts import Counts
from approx.scoring.judging.options import Options, options_with
from approx.scoring.judging.slots import Slot, Verdict
from approx.scoring.measures.bands import Setting

if TYPE_CHECKING:
    from pandas import DataFrame

    from approx.samples.token import Sample, Token
    from approx.scoring.sample_score import GroupScore

__all__ = ["count_table", "grouped", "measures_of", "merge_counts", "processes", "score", "score_frame"]


def score(
    frame: DataFrame, by: Sequence[str] = ("child", "session_date"), language: str = "en-US", **options: Any
) -> DataFrame:
    """Every measure per group: one row a group and measure, with hits, out_of, value, low, high, band, caution, reason.

    `frame` has the columns of a sample (`approx score --help`); `options` are those of `rules/measures.toml` by name.
    Problems with the data are in `result.attrs["problems"]`, the counting rules in `result.attrs["signature"]`.
    Needs pandas.
    """
    from approx.processes.accept.accents_used import Accents
    from approx.scoring.judging.options import signature
    from approx.scoring.sample_score import score_group

    picked = options_with(**options)
    sample, groups = grouped(frame, by, language)
    mark = signature(picked)
    accepted = Accents(picked.accents)
    scores = [score_group(labels, members, picked, accepted.others) for labels, members in groups]
    out = score_frame(scores, mark)
    out.attrs["problems"] = [str(problem) for problem in sample.problems]
    return out


def score_frame(scores: Sequence[GroupScore], mark: str) -> DataFrame:
    """Scores of groups as a data frame, with their signature in `attrs`."""
    from pandas import DataFrame as Frame

    from approx.reports.tables.scores import SCORE_COLUMNS, score_rows

    out = Frame(score_rows(scores, mark), columns=list(SCORE_COLUMNS)).drop(columns="signature")
    out.attrs["signature"] = mark
    return out


def processes(frame: DataFrame, by: Sequence[str] = ("child", "session_date"), language: str = "en-US") -> DataFrame:
    """Occurrences and chances of each process per group; words in which it happened and could have."""
    from pandas import DataFrame as Frame

    from approx.processes.accept.accents_used import Accents
    from approx.processes.explain.explain import Explainer
    from approx.processes.explain.opportunities import default_options
    from approx.processes.explain.sample_processes import explain_sample, pairs_of
    from approx.processes.rules.ruleset import load

    options, rules = default_options(), load()
    accepted = Accents(options_with().accents)
    sample, groups = grouped(frame, by, language)
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


def grouped(
    frame: DataFrame, by: Sequence[str], language: str
) -> tuple[Sample, list[tuple[dict[str, str], list[Token]]]]:
    """The frame read as a sample, its tokens by group and language. KeyError names a column that is not there."""
    from approx.samples.rows.sample import sample_of

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


COUNT_COLUMNS = ("language", "kind", "key", "times")
"""Columns beside those of the grouping. `kind` is row, slot, form, accepted, left out, token, context or age; `key` says in
JSON which one; `times` how often."""


def count_table(
    frame: DataFrame, by: Sequence[str] = ("child", "session_date"), language: str = "en-US", **options: Any
) -> DataFrame:
    """Everything that is counted in a sample, one row a thing that was counted, in each group.

    Arguments as of `frames.score`. ValueError where the option `repeats` is not "every": which attempt was the first is
    not known in a part. A frame without rows gives a table without rows. Give each part whole rows; which rows is free.
    """
    from pandas import DataFrame as Frame

    from approx.processes.accept.accents_used import Accents
    from approx.scoring.sample_score import count_group

    picked = _mergeable(options)
    accepted = Accents(picked.accents)
    rows: list[tuple[Any, ...]] = []
    for labels, members in grouped(frame, by, language)[1] if len(frame) else ():
        found = count_group(members, picked, accepted.others)
        head = (*(labels[name] for name in by), members[0].language)
        rows += [
            (*head, kind, json.dumps(key, ensure_ascii=False), times) for kind, key, times in _entries(found.counts)
        ]
        rows += [(*head, "left out", json.dumps(reason), 1) for _, reason in found.left_out]
        rows += [(*head, "context", json.dumps(token.context, ensure_ascii=False), 1) for token in found.kept]
        rows += [(*head, "age", json.dumps(token.age), 1) for token in found.kept]
        rows.append((*head, "token", "null", len(members)))
    table = Frame(rows, columns=[*by, *COUNT_COLUMNS])
    return merge_counts([table.astype({"times": "int64"})])


def merge_counts(tables: Iterable[DataFrame]) -> DataFrame:
    """One table of several, each thing once, in the order of the columns: the same whatever the parts were."""
    from pandas import concat

    table = concat(list(tables), ignore_index=True)
    names = [name for name in table.columns if name != "times"]
    return table.groupby(names, as_index=False, sort=True, dropna=False)["times"].sum()


def measures_of(counts: DataFrame, **options: Any) -> DataFrame:
    """The measures of a table of counts, as `frames.score` gives them, groups in the order of their labels.

    `options` as they were given to `count_table`.
    """
    from approx.scoring.judging.options import signature
    from approx.scoring.measures.catalogue import evaluate
    from approx.scoring.sample_score import GroupScore

    picked = _mergeable(options)
    by = [name for name in counts.columns if name not in COUNT_COLUMNS]
    several = counts["language"].nunique() > 1
    scores = []
    for key, part in counts.groupby([*by, "language"], sort=True, dropna=False):
        entries: dict[str, dict[Any, int]] = {}
        for kind, text, times in part[["kind", "key", "times"]].itertuples(index=False, name=None):
            entries.setdefault(kind, {})[text] = int(times)
        tag = key[-1]
        own = replace(picked, language=tag)
        found = _counts(entries)
        ages = {json.loads(text) for text in entries.get("age", ())}
        contexts = frozenset(filter(None, map(json.loads, entries.get("context", ()))))
        setting = Setting(found["words"], tag, contexts, ages.pop() if len(ages) == 1 else None)
        labels = dict(zip(by, key)) | ({"language": tag} if several else {})
        tokens = sum(entries["token"].values())
        scores.append(GroupScore(labels, tokens, found["words"], (), found, evaluate(found, own, setting)))
    return score_frame(scores, signature(picked))


def _mergeable(options: dict[str, Any]) -> Options:
    picked = options_with(**options)
    if picked.repeats != "every":
        raise ValueError("counts of parts add only where every attempt is counted: repeats='every'")
    return picked


def _entries(counts: Counts) -> Iterable[tuple[str, Any, int]]:
    """All that is counted: kind, key as JSON holds it, how often. A row of numbers is written in hexadecimal."""
    yield from (("row", f"{row:x}", times) for row, times in counts.rows.items())
    yield from (("slot", [*slot[:3], int(slot.verdict), slot.vowel], times) for slot, times in counts.slots.items())
    yield from (("form", list(key), times) for key, times in counts.forms.items())
    yield from (("accepted", list(key), times) for key, times in counts.accepted.items())


def _counts(entries: dict[str, dict[Any, int]]) -> Counts:
    """The counts that `_entries` wrote."""

    def read(kind: str) -> Iterable[tuple[Any, int]]:
        return ((json.loads(text), times) for text, times in entries.get(kind, {}).items())

    return Counts(
        {int(key, 16): times for key, times in read("row")},
        {Slot(key[0], key[1], key[2], Verdict(key[3]), key[4]): times for key, times in read("slot")},
        {(key[0], key[1], key[2]): times for key, times in read("form")},
        dict(read("left out")),
        {(key[0], key[1]): times for key, times in read("accepted")},
    )
