"""No sentence says "1 words": every pattern with a number before a noun, in source and in rules, English and Spanish, is fed 1."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest
from parsed_source import nodes_of
from places import ROOT
from source_sentences import data_texts, sentences

from approx.datafiles import read_toml, rules_path
from approx.wording import counted, fill_pattern, worded

PAGES = (
    "report_words",
    "progress",
    *(f"pages/{name}_{tag}" for name in ("desk", "desk_frame") for tag in ("en", "es")),
)
PAGES += ("pages/en", "pages/es", "pages/messages_es")

BOUND = (
    r"(?:more than|at least|fewer than|up to|has at least|to|más de|menos de|al menos|hasta|máximo de|de menos de|a) "
)
"""A number behind these is a bound or the end of a range; bounds of the program are above 1."""
NOT_PLURAL = r"(?:is|was|has|does|needs|says|makes|gets|sounds|finds|leaves|this|minus|involves|exists|belongs|uses|asks|rules|bytes|less|its|as|across|always|phrases of|es|más|menos|dos|tras|antes|veces o)"
"""Words in s that are no plural nouns."""
OVER_ONE = r"most_|longest|shortest"
"""Gaps that bounds of the program are put into."""
FEWEST_TWO = {
    "a cell of {body} characters is too long for a form",
    "una celda de {body} caracteres es demasiado larga para una forma",
    "a cell of {sounds} sounds is too long for a form",
    "una celda de {sounds} sonidos es demasiado larga para una forma",
    "{targets} words are a lot for one week at home: printed on {value} {value:page|pages}",
    "{targets} palabras son muchas para una semana en casa: salen en {value} {value:hoja|hojas}",
    " ({uses} rows, this is the first)",
    " ({uses} filas, esta es la primera)",
    "there are {many} pictures of this child",
    "hay {many} imágenes de este niño",
    "{words} words at once. For a child who says very few words, up to {few} are advised.",
    "{words} palabras a la vez. Para quien dice muy pocas palabras se aconsejan hasta {few}.",
}
"""Sentences that are said of two or more only: over a bound of the program, or where several are found."""


def _texts(table: object) -> Iterator[str]:
    if isinstance(table, str):
        yield table
    elif isinstance(table, dict):
        for each in table.values():
            yield from _texts(each)
    elif isinstance(table, list):
        for each in table:
            yield from _texts(each)


@cache
def _source(path: Path) -> frozenset[str]:
    """F-strings of a file as patterns ({} for each value that is put in), and its texts that have gaps."""
    found = set()
    for node in nodes_of(path.read_text(encoding="utf-8")):
        if isinstance(node, ast.JoinedStr):
            parts = (
                "{n}"
                if isinstance(part, ast.FormattedValue)
                else re.sub(r"([{}])", r"\1\1", str(getattr(part, "value", "")))
                for part in node.values
            )
            found.add("".join(parts))
        elif (
            isinstance(node, ast.Constant)
            and isinstance(node.value, str)
            and re.search(r"\{\w+(:[^{}]*\|[^{}]*)?\}", node.value)
        ):
            found.add(node.value)
    return frozenset(found)


@cache
def patterns() -> tuple[str, ...]:
    """Every pattern that a person may read."""
    found = [*sentences(), *data_texts()]
    for name in PAGES:
        found += _texts(read_toml(rules_path(f"{name}.toml")))
    for folder in (
        "reports/text",
        "reports/tables",
        "reports/documents",
        "reports/charts",
        "progress",
        "scoring/measures",
    ):
        for path in sorted((ROOT / "approx" / folder).glob("*.py")):
            found += _source(path)
    return tuple(dict.fromkeys(text for text in found if "{" in text and not text.startswith("not worded")))


def with_one(pattern: str) -> str:
    """The sentence with 1 in each gap."""
    return fill_pattern(
        pattern, **{gap: 2 if re.match(OVER_ONE, gap) else 1 for gap in re.findall(r"\{(\w+)", pattern)}
    )


def plural_after_one(said: str) -> str | None:
    """A plural noun that follows a 1, with at most two words between, or None."""
    bare = re.sub(BOUND + r"1\b", "", said)
    found = re.search(
        rf"(?<![\w.,'/-])1 (?!of |de )(?:(?!{NOT_PLURAL}\b|of\b|de\b|in\b|en\b|and\b|y\b|o\b|or\b|que\b|at\b|al\b|have\b)[a-záéíóúñ]+ )?"
        rf"(?!{NOT_PLURAL}\b)(?:[a-záéíóúñ]{{2,}}s|children|people)\b",
        bare,
    )
    return found[0] if found else None


def test_the_patterns_are_found() -> None:
    assert len(patterns()) > 1400
    assert len([each for each in patterns() if re.search(r"\{\w+:[^{}]*\|", each)]) > 120


def test_a_count_of_one_takes_the_singular() -> None:
    said = {each: plural_after_one(with_one(each)) for each in patterns() if each not in FEWEST_TWO}
    assert {each: found for each, found in said.items() if found} == {}


@pytest.mark.parametrize(
    "wrong",
    [
        "{n} words of the bank",
        "of {n} different words",
        "{n} palabras distintas",
        "hay {n} niños",
        "in {n} words: {m}",
        "{n} children",
    ],
)
def test_a_new_pattern_without_a_singular_is_found(wrong: str) -> None:
    assert plural_after_one(with_one(wrong))


def test_nouns_follow_their_number() -> None:
    assert [counted(n, "word") for n in (0, 1, 2)] == ["0 words", "1 word", "2 words"]
    assert counted("1", "opportunity", "opportunities") == "1 opportunity"
    assert worded("{n} {n:word is|words are} left", n=1) == "1 word is left"
    assert worded("{n} {n:word is|words are} left", n="1,000") == "1,000 words are left"
    assert fill_pattern("{n:one|each of {n} sessions}", n=3) == "each of 3 sessions"
