"""What stands beside the scores of a sample where it is asked for: processes and inventory of each group, and what was typed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from approx.api.samples.inventories import inventory_of
from approx.api.samples.processes import Processes
from approx.api.samples.sample_input import grouped_tokens

if TYPE_CHECKING:
    from approx.processes.explain.sample_processes import GroupProcesses
    from approx.reports.documents.sample_blocks import SamplePart
    from approx.samples.token import Sample, Token
    from approx.scoring.sample_score import GroupScore


@dataclass(frozen=True)
class SampleEvidence:
    """`parts`: each group scored, with its processes and inventory; `sample`: every token."""

    parts: tuple[SamplePart, ...]
    sample: Sample


def evidence_of(
    sample: Sample, scores: Iterable[GroupScore], explained: Processes, by: Sequence[str], age: str
) -> SampleEvidence:
    """The evidence of the groups of `score` and `processes`, each with the inventory of its tokens."""
    from approx.processes.explain.sample_processes import GroupProcesses

    members = {tuple(labels.items()): tokens for labels, tokens in grouped_tokens(sample, by)[0]}
    changes = {tuple(group.labels.items()): group for group in explained.groups}
    parts = []
    for score in scores:
        key = tuple(score.labels.items())
        tokens = members[key]
        mine = changes.get(key) or GroupProcesses(score.labels, tokens[0].language)
        parts.append(_part(score, mine, tokens, age))
    return SampleEvidence(tuple(parts), sample)


def _part(score: GroupScore, changes: GroupProcesses, members: Sequence[Token], age: str) -> SamplePart:
    """One group with what is known of how it was taken."""
    from approx.reports.documents.sample_blocks import SamplePart

    named = [token for token in members if token.counted and token.target_word]
    by_form: dict[str, dict[str, None]] = {}
    for token in named:
        if token.produced is not None:
            by_form.setdefault(token.produced.ipa, {})[token.target_word] = None
    return SamplePart(
        score,
        changes,
        inventory_of(members),
        len({token.target_word.casefold() for token in named}),
        tuple((tuple(words), form) for form, words in by_form.items() if len(words) > 1),
        age_of(members) or age,
        tuple(dict.fromkeys(token.context for token in members if token.context)),
        tuple(dict.fromkeys(token.transcriber for token in members if token.transcriber)),
    )


def age_of(tokens: Iterable[Token]) -> str:
    """The age that all tokens agree on, as "4;5"; "" where there is none."""
    ages = {token.age for token in tokens if token.age is not None}
    months = ages.pop() if len(ages) == 1 else None
    return f"{months // 12};{months % 12}" if months is not None else ""
