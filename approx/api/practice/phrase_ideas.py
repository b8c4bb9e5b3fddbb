"""Phrases and frames a child can say today, and steps of grammar."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, ClassVar, Literal

from approx.api.options import (
    PHRASE_LENGTHS,
    PhraseLength,
    choice_problem,
    folder,
    language_problem,
    number_problem,
    path_problems,
    rule_problems,
    switch_problems,
    text_problems,
)
from approx.api.practice.children import ChildSource, child_of
from approx.api.practice.suggesting import Words, file_of_words, list_of_words_problems, ready, rows_of_list
from approx.api.result import OnProblem, Result, TableRows, fatal, joined_problems, made_of
from approx.api.write_table import TableKeys
from approx.child.profile import PRONOUNS, Pronoun
from approx.practice.phrases.phrase_types import PhraseAnswer
from approx.problems import Problem

PhraseRelation = Literal[
    "", "nomination", "notice", "greeting", "recurrence", "nonexistence", "disappearance", "rejection", "negation",
    "demonstrative-entity", "possessor-possession", "attribute-entity", "entity-location", "place", "action-location",
    "agent-action", "action-object", "agent-object", "agent-action-object", "svo", "agent-action-location",
    "action-object-location", "compound", "question-where", "question-who", "question-what", "set-phrase",
]  # fmt: skip
"""Kinds of phrases, by the names that `rules/phrases/` gives them in English or Spanish; "" for a mix."""
FrameName = Literal[
    "more", "my", "no", "no-more", "hi", "bye", "big", "hot", "in", "on", "i-want", "want", "up", "off", "wear-on", "two", "down",
    "go-in", "go", "all-gone", "gone", "is-all-gone", "give-me", "this", "where", "open", "eat", "help", "i-see", "get", "uh-oh",
    "night-night", "bye-bye", "its", "put-in", "wet", "ow",
    "mas", "no-mas", "dos", "mi", "dame", "quiero", "mira", "se-fue", "hola", "adios", "en", "otro", "donde", "abre", "no-hay", "es",
    "grande", "arriba", "toma", "ven",
]  # fmt: skip
"""Frames with one open slot, English and Spanish, by the names of `rules/phrases/`."""
GrammarOrder = Literal["", "development", "everyday", "brown", "sounds"]
"""Orders of grammar steps, by the names of `rules/phrases/grammar_*.toml`; "" for the usual one."""


@dataclass(frozen=True)
class PhraseIdeas(PhraseAnswer, Result):
    """Phrases with the adult's sentences, frames with one open slot, or a ladder of grammar."""

    table_keys: ClassVar[TableKeys] = TableKeys(("kind", "number", "phrase"), wide=True)

    def to_dict(self) -> dict[str, Any]:
        """What `approx phrases --json` prints."""
        from approx.reports.tables.phrases import phrases_json

        return phrases_json(self)

    def to_table(self) -> TableRows:
        """A row a phrase, filler or rung."""
        from approx.reports.tables.phrases import PHRASE_COLUMNS, phrases_rows

        return PHRASE_COLUMNS, ([row.get(name) for name in PHRASE_COLUMNS] for row in phrases_rows(self))

    def lines(self) -> list[str]:
        """A block a phrase, frame or ladder."""
        from approx.reports.text.phrases import phrases_lines

        return phrases_lines(self)


def phrases(
    child: ChildSource | None,
    *,
    words: Words | None = None,
    frames: bool = False,
    relation: PhraseRelation | FrameName = "",
    grammar: str = "",
    order: GrammarOrder = "",
    count: int = 0,
    seed: int = 0,
    length: PhraseLength = 0,
    pronoun: Pronoun | Literal[""] = "",
    language: str = "",
    emerging: bool = False,
    rules: str | Path | None = None,
    on_problem: OnProblem = "keep",
) -> PhraseIdeas:
    """Phrases and frames this child can say today, each with the full adult sentence; or one phrase built up step by step.

    Args:
        child: what `read_child` returns, or the path of a child file.
        words: vocabulary to use: a list, a text with commas between the words, or a file (`Words`); None for the word bank.
        frames: frames with one open slot instead of whole phrases.
        relation: only this kind of phrase, such as "agent-action-object", or only this frame.
        grammar: a phrase to build up one grammar step at a time ("dig mud").
        order: order of the grammar steps; "" for the usual one.
        count: number of phrases; 0 for the usual number of that kind.
        seed: random seed; the same number gives the same choice.
        length: words per phrase, 2 or 3; 0 for both.
        pronoun: she, he or they for the names in the phrases; "" as the child's file says.
        language: language tag, if it is not the child's.
        emerging: also use emerging sounds and syllable shapes, ranked lower.
        rules: a folder of your own rule files.
        on_problem: "keep" problems in the answer, or "raise" one `ProblemsError` with all of them if any is fatal.

    >>> import approx
    >>> made = approx.phrases("samples/m12.toml", count=2)
    >>> len(made.phrases), all(phrase.adult_sentence for phrase in made.phrases)
    (2, True)
    """
    known = child_of(child)
    profile, said = known.profile, known.problems
    empty = PhraseIdeas(problems=(), child=known.code, language=language, signature="")
    wrong = [
        *number_problem("phrases.count", count),
        *number_problem("phrases.seed", seed),
        *choice_problem("length", length, PHRASE_LENGTHS),
        *language_problem(language),
        *choice_problem("pronoun", pronoun, ("", *PRONOUNS)),
        *switch_problems(frames=frames, emerging=emerging),
        *path_problems(rules=rules),
        *text_problems(relation=relation, grammar=grammar, order=order),
        *(list_of_words_problems("words", words) if words is not None else ()),
        *_conflicts(frames, relation, grammar, order, length),
    ]
    if wrong or profile is None or fatal(said):
        return replace(empty, problems=joined_problems(wrong or said)).kept(on_problem)
    from approx.practice.phrases.phrases import PhraseRequest, make_phrases
    from approx.practice.suggest.suggest import SuggestOptions

    rows, source = None, ""
    if words is not None:
        listed, more, source = rows_of_list(_scene(words) if isinstance(words, str) else words)
        rows, said = tuple(listed), joined_problems(said, more)
    with ready(profile, SuggestOptions(2, language, emerging, rules=folder(rules))) as suggester:
        said = joined_problems(said, rule_problems(suggester.rules, rules))
        if fatal(said):
            return replace(empty, problems=said).kept(on_problem)
        request = PhraseRequest(
            rows, source, frames, relation, grammar, order or PhraseRequest().order, count, seed, length, pronoun
        )
        answer = make_phrases(suggester, request)
    return made_of(PhraseIdeas, answer, problems=joined_problems(said, answer.problems)).kept(on_problem)


def _conflicts(frames: bool, relation: str, grammar: str, order: str, length: object) -> Iterable[Problem]:
    if grammar and (frames or relation or length):
        hint = "leave out --frames, --relation and --length"
        yield Problem("use.grammar", "--grammar builds up one phrase", hint)
    if order and not grammar:
        yield Problem("use.order", "--order is the order of grammar steps", 'give a phrase with --grammar "dig mud"')


def _scene(typed: str) -> str:
    """A scene as typed; without commas or semicolons its words are set apart by blanks."""
    return typed if file_of_words(typed) or "," in typed or ";" in typed else ", ".join(typed.split())
