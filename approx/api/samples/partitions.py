"""Counts of a sample in parts, for engines that work on parts of a data frame: they merge to the counts of the whole.

`count_table` on each part, `merge_counts` of what came out, in any order, then `measures_of`: the measures of the whole,
digit for digit. Tables of counts are pandas DataFrames, as such engines (dask) pass them about.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any, Unpack

from approx.api.options import ScoreOptions, language_problem, list_problems, score_options
from approx.api.result import joined_problems
from approx.api.samples.sample_input import BY, SampleSource, columns_of, grouped_tokens, read_tokens
from approx.api.samples.scores import Scores
from approx.problems import Problem, ProblemsError

if TYPE_CHECKING:
    from pandas import DataFrame

    from approx.scoring.judging.counts import Counts
    from approx.scoring.judging.options import ScoringOptions

COUNT_COLUMNS = ("language", "kind", "key", "times")
"""Columns beside those of the grouping. `kind` is row, slot, form, accepted, left out, token, context, age or problem; `key`
says in JSON which one; `times` how often. A problem belongs to no group and names no row, for a part does not know its place."""


def count_table(
    sample: SampleSource,
    by: str | Iterable[str] = BY,
    language: str = "en-US",
    accents: str | Iterable[str] = (),
    **options: Unpack[ScoreOptions],
) -> DataFrame:
    """Everything that is counted in a sample, one row a thing that was counted, in each group.

    Arguments as of `score`. ValueError where the option `repeats` is not "every": which attempt was the first is not
    known in a part; `ProblemsError` for an option that does not fit, a column to group by that is not there among them. A frame without rows gives a table without rows. Give
    each part whole rows; which rows is free.
    """
    from pandas import DataFrame as Frame

    from approx.processes.accept.accept import Accents
    from approx.scoring.sample_score import count_group

    picked = _mergeable(accents, options, [*language_problem(language), *list_problems(by=by)])
    accepted, names = Accents(picked.accents), columns_of(by)
    read = read_tokens(sample, language or "en-US")
    listed, refused = grouped_tokens(read, names)
    if refused:
        raise ProblemsError(refused)
    rows: list[tuple[Any, ...]] = []
    for labels, members in listed:
        found = count_group(members, picked, accepted.others)
        head = (*(labels[name] for name in names), members[0].language)
        rows += [
            (*head, kind, json.dumps(key, ensure_ascii=False), times) for kind, key, times in _entries(found.counts)
        ]
        rows += [(*head, "left out", json.dumps(reason), 1) for _, reason in found.left_out]
        rows += [(*head, "context", json.dumps(token.context, ensure_ascii=False), 1) for token in found.kept]
        rows += [(*head, "age", json.dumps(token.age), 1) for token in found.kept]
        rows.append((*head, "token", "null", len(members)))
    for problem in (*read.problems, *accepted.problems.values()):
        if problem.code != "sample.empty":  # a part may have no row
            known = problem.as_json() | {"fatal": problem.fatal}
            plain = {name: value for name, value in known.items() if name not in ("line", "column")}
            rows.append((*[""] * len(names), "", "problem", json.dumps(plain, ensure_ascii=False), 1))
    table = Frame(rows, columns=[*names, *COUNT_COLUMNS])
    return merge_counts([table.astype({"times": "int64"})])


def merge_counts(tables: Iterable[DataFrame]) -> DataFrame:
    """One table of several, each thing once, in the order of the columns: the same whatever the parts were."""
    from pandas import concat

    table = concat(list(tables), ignore_index=True)
    names = [name for name in table.columns if name != "times"]
    return table.groupby(names, as_index=False, sort=True, dropna=False)["times"].sum()


def measures_of(counts: DataFrame, accents: str | Iterable[str] = (), **options: Unpack[ScoreOptions]) -> Scores:
    """The measures of a table of counts, as `score` gives them, groups in the order of their labels; and the problems of all
    parts, each once.

    Options as they were given to `count_table`.
    """
    from approx.scoring.judging.options import signature
    from approx.scoring.measures.bands import Setting
    from approx.scoring.measures.catalogue import evaluate
    from approx.scoring.sample_score import GroupScore

    picked = _mergeable(accents, options)
    by = [name for name in counts.columns if name not in COUNT_COLUMNS]
    told = counts["kind"] == "problem"
    problems = [Problem(**json.loads(text)) for text in counts.loc[told, "key"]]
    parts = list(counts[~told].groupby([*by, "language"], sort=True, dropna=False))
    several = Counter(key[:-1] for key, _ in parts)
    groups = []
    for key, part in parts:
        entries: dict[str, dict[Any, int]] = {}
        for kind, text, times in part[["kind", "key", "times"]].itertuples(index=False, name=None):
            entries.setdefault(kind, {})[text] = int(times)
        tag = key[-1]
        own = replace(picked, language=tag)
        found = _counts(entries)
        ages = {json.loads(text) for text in entries.get("age", ())}
        contexts = frozenset(filter(None, map(json.loads, entries.get("context", ()))))
        setting = Setting(found["words"], tag, contexts, ages.pop() if len(ages) == 1 else None)
        labels = dict(zip(by, key)) | ({"language": tag} if several[key[:-1]] > 1 else {})
        tokens = sum(entries["token"].values())
        # each scored token has one context; its words may be several
        scored = sum(entries.get("context", {}).values())
        groups.append(GroupScore(labels, tokens, scored, (), found, evaluate(found, own, setting)))
    return Scores(joined_problems(problems), tuple(groups), signature(picked))


def _mergeable(accents: object, options: ScoreOptions, wrong: Sequence[Problem] = ()) -> ScoringOptions:
    picked, problems = score_options(accents, dict(options))
    if problems or wrong:
        raise ProblemsError([*problems, *wrong])
    if picked.repeats != "every":
        raise ValueError("counts of parts add only where every attempt is counted: repeats='every'")
    return picked


def _entries(counts: Counts) -> Iterable[tuple[str, Any, int]]:
    """All that is counted: kind, key as JSON holds it, how often. A row of numbers is in the order of `COUNT_FIELDS`."""
    yield from (("row", list(row), times) for row, times in counts.rows.items())
    yield from (("slot", [*slot[:3], int(slot.verdict), slot.vowel], times) for slot, times in counts.slots.items())
    yield from (("form", list(key), times) for key, times in counts.forms.items())
    yield from (("accepted", list(key), times) for key, times in counts.accepted.items())


def _counts(entries: dict[str, dict[Any, int]]) -> Counts:
    """The counts that `_entries` wrote."""
    from approx.scoring.judging.counts import CountRow, Counts
    from approx.scoring.judging.slots import Slot, Verdict

    def read(kind: str) -> Iterable[tuple[Any, int]]:
        return ((json.loads(text), times) for text, times in entries.get(kind, {}).items())

    return Counts(
        {CountRow(*key): times for key, times in read("row")},
        {Slot(key[0], key[1], key[2], Verdict(key[3]), key[4]): times for key, times in read("slot")},
        {(key[0], key[1], key[2]): times for key, times in read("form")},
        dict(read("left out")),
        {(key[0], key[1]): times for key, times in read("accepted")},
    )
