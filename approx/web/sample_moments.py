"""The samples of a child by day, so that two of them can be put side by side: what `approx report` compares."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from approx.problems import Problem
from approx.records.rows import Child, Refused
from approx.scoring.sample_token import Token
from approx.web.desk import Desk
from approx.web.sample_analysis import read_again

if TYPE_CHECKING:
    from approx.practice.now_then import NowThen


@dataclass(frozen=True, slots=True)
class Moment:
    """One day of one sample in one language. `key` names it in an address."""

    key: str
    date: str
    title: str
    language: str
    tokens: tuple[Token, ...]


def moments(desk: Desk, child: Child) -> tuple[Moment, ...]:
    """Every day of every sample, earliest first. What was heard is read anew by today's rules."""
    there = desk.caseload.samples(child.code)
    out = []
    for info in () if isinstance(there, Refused) else there:
        stored = desk.caseload.sample(info.id)
        if isinstance(stored, Refused):
            continue
        days: dict[tuple[str, str], list[Token]] = {}
        for token in read_again(stored, child).tokens:
            date = token.session_date or info.date
            own = replace(token, child=child.code, session_date=date)
            days.setdefault((date, token.language), []).append(own)
        for number, ((date, tag), tokens) in enumerate(days.items()):
            out.append(Moment(f"{info.id}-{number}", date, info.title, tag, tuple(tokens)))
    return tuple(sorted(out, key=lambda each: each.date))


def picked(there: Sequence[Moment], then: str, now: str) -> tuple[Moment, Moment] | None:
    """The two named; where none is named the first and the last; None where there are no two."""
    by_key = {each.key: each for each in there}
    if len(there) < 2:
        return None
    return by_key.get(then, there[0]), by_key.get(now, there[-1])


def compared(pair: tuple[Moment, Moment], child: Child) -> tuple[NowThen | None, tuple[Problem, ...]]:
    """Both under the same rules, the child's accents right in both; one sample against itself is no comparison."""
    from approx.practice.compare_tokens import compare_tokens

    if pair[0].key == pair[1].key:
        return None, (Problem("desk.same_sample", "the two samples are the same one", "choose two"),)
    found, problems = compare_tokens(pair[0].tokens, pair[1].tokens, child.accents)
    return found, (*problems, *found.problems)
