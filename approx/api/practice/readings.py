"""How a word is read, and a reading of one's own remembered on this computer."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, ClassVar

from approx.api.options import language_problem, text_problems
from approx.api.result import OnProblem, Result, TableRows, joined_problems
from approx.api.write_table import TableKeys
from approx.problems import Problem
from approx.wording import worded

if TYPE_CHECKING:
    from approx.lexicon.pronunciation import Pronunciation


@dataclass(frozen=True)
class Readings(Result):
    """The readings of one word, the usual one first."""

    problems: tuple[Problem, ...] = ()
    word: str = ""
    readings: tuple[Pronunciation, ...] = ()

    table_keys: ClassVar[TableKeys] = TableKeys(("word",))

    def to_dict(self) -> dict[str, Any]:
        """What `approx words say WORD --json` prints."""
        rows = [{"ipa": r.ipa, "read_from": r.source, "sure": r.sure, "note": r.note} for r in self.readings]
        return {"word": self.word, "readings": rows, "problems": [problem.as_json() for problem in self.problems]}

    def to_table(self) -> TableRows:
        """A row a reading."""
        rows = [(self.word, r.ipa, r.source, "yes" if r.sure else "no", r.note) for r in self.readings]
        return ("word", "ipa", "read_from", "sure", "note"), rows

    def lines(self) -> list[str]:
        """A line a reading, with where it is from."""
        return [
            f"{r.ipa}\t{r.source}{'' if r.sure else ', check it'}" + (f"\t{r.note}" if r.note else "")
            for r in self.readings
        ]


def readings(word: str, *, language: str = "en-US", on_problem: OnProblem = "keep") -> Readings:
    """How a word is read in a language, readings of one's own first.

    >>> readings("key").readings[0].ipa
    'ki'
    """
    wrong = [*language_problem(language), *text_problems(word=word)]
    if wrong:
        return Readings(tuple(wrong), word).kept(on_problem)
    from approx.lexicon import pronunciations
    from approx.lexicon.own_words import load_own_words

    own, problems = load_own_words(language)
    found = tuple(pronunciations(word, language, own))
    said = joined_problems(problems)
    if not found:
        hint = worded("remember it: approx words say {word} /IPA/", word=word)
        said = joined_problems(
            said, [Problem("lexicon.unknown", worded("cannot read '{word}'", word=word), hint, symbol=word)]
        )
    return Readings(said, word, found).kept(on_problem)


def remember(word: str, ipa: str, *, language: str = "en-US", on_problem: OnProblem = "keep") -> Readings:
    """Keep a reading of one's own for good, on this computer; the answer has what is kept."""
    wrong = [*language_problem(language), *text_problems(word=word)]
    if wrong:
        return Readings(tuple(wrong), word).kept(on_problem)
    from approx.ipa import read
    from approx.lexicon.own_words import own_words_path, say
    from approx.lexicon.pronunciation import Pronunciation

    reading = read(ipa, language)
    problems = joined_problems(reading.problems or say(word, reading.ipa, language))
    kept = (
        ()
        if any(problem.fatal for problem in problems)
        else (Pronunciation(reading.ipa, "own words", True, own_words_path().name),)
    )
    return Readings(problems, word, kept).kept(on_problem)
