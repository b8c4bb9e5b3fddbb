"""A stored sample scored and explained by the very calls of `approx score`, so that both give the same digits."""

from __future__ import annotations

from dataclasses import dataclass, replace

from markupsafe import Markup

from approx.child.inventory import inventory
from approx.child.write_profile import write_profile
from approx.cli.inventory_command import said
from approx.cli.sample_input import grouped, look_up
from approx.cli.score_command import by_language
from approx.problems import Problem
from approx.processes.accents_used import Accents
from approx.processes.chances import default_options as default_chances
from approx.processes.explain import Explainer
from approx.processes.ruleset import load
from approx.processes.sample_processes import explain_sample, pairs_of
from approx.records.rows import Child, StoredSample
from approx.reports.sample_page import SamplePart, sample_page
from approx.scoring.options import default_options, signature
from approx.scoring.sample import Sample, sample_of
from approx.scoring.sample_score import score_group

GROUPS = "child,session_date"
"""The groups of `approx score` without --by."""


@dataclass(frozen=True, slots=True)
class Analysis:
    """What the page of one sample shows. `body` is the printed page of `approx score --page` without its head."""

    body: Markup
    parts: tuple[SamplePart, ...]
    problems: tuple[Problem, ...]


def read_again(stored: StoredSample, child: Child) -> Sample:
    """The sample read from what was typed, by today's rules."""
    return sample_of(stored.header, stored.cells(), child.languages[0], look_up=look_up)


def analysis(stored: StoredSample, child: Child) -> Analysis:
    """Scores, processes and inventory of each group of a sample; the child's accents count as right."""
    sample = read_again(stored, child)
    groups, problems = grouped(sample, GROUPS)
    options = replace(default_options(), accents=tuple(sorted(child.accents)))
    accepted, rules, chances = Accents(options.accents), load(), default_chances()
    parts = []
    for labels, members in by_language(groups):
        tag = members[0].language
        score = score_group(labels, members, options, accepted.others)
        found = explain_sample(Explainer(rules, tag), pairs_of(members, accepted).get(tag, ()), chances)
        parts.append(SamplePart(score, found, inventory(said(members), None, tag)))
    page = sample_page(parts, sample.changes, chances, signature(options))
    # every value in that page was escaped when it was made
    body = Markup(page.partition("<body>")[2].rpartition("</body>")[0])
    return Analysis(body, tuple(parts), (*sample.problems, *problems, *accepted.problems.values()))


def profile_from(stored: StoredSample, child: Child) -> str | None:
    """The child file of what was heard in the child's main language; None where nothing was."""
    primary = child.languages[0].split("-")[0]
    tokens = [token for token in read_again(stored, child).tokens if token.language.split("-")[0] == primary]
    if not tokens:
        return None
    return write_profile(inventory(said(tokens), None, child.languages[0]), child.code, child.age)
