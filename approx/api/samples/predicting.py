"""How a child will likely say new words, by the rates of a sample, and the words that would teach most."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, ClassVar, NamedTuple

from approx.api.options import accents_named, language_problem, loaded_rules, number_problem, path_problems
from approx.api.practice.suggesting import Words, list_of_words_problems, rows_of_list
from approx.api.result import OnProblem, Result, TableRows, fatal, joined_problems
from approx.api.samples.processes import not_looked_into
from approx.api.samples.sample_input import SampleSource, open_tokens
from approx.api.write_table import TableKeys
from approx.problems import Problem

if TYPE_CHECKING:
    from approx.ipa import Word
    from approx.processes.accept.accept import Accents
    from approx.processes.explain.derivation import Explanation
    from approx.processes.explain.explain import Explainer
    from approx.processes.predict.predict import Prediction


@dataclass(frozen=True)
class PredictedWord:
    """One word with its likely forms, likeliest first, and what is left for all others."""

    word: str
    prediction: Prediction


@dataclass(frozen=True)
class Predictions(Result):
    """Likely forms of each word. `tokens`: how many of the sample the rates are of. `probe_next`: words most worth trying."""

    problems: tuple[Problem, ...] = ()
    child: str = ""
    tokens: int = 0
    words: tuple[PredictedWord, ...] = ()
    probe_next: tuple[str, ...] = ()

    table_keys: ClassVar[TableKeys] = TableKeys(("word", "target"), ("rank",))

    def to_dict(self) -> dict[str, Any]:
        """What `approx predict --json` prints."""
        from approx.reports.tables.suggestions import prediction_json

        return {
            "child": self.child,
            "tokens": self.tokens,
            "problems": [problem.as_json() for problem in self.problems],
            "words": [prediction_json(each.word, each.prediction) for each in self.words],
            "probe_next": list(self.probe_next),
        }

    def to_table(self) -> TableRows:
        """A row a form."""
        from approx.reports.tables.suggestions import PREDICTION_COLUMNS, prediction_rows

        return PREDICTION_COLUMNS, [row for each in self.words for row in prediction_rows(each.word, each.prediction)]

    def lines(self) -> list[str]:
        """A line a word, and what to try next."""
        from approx.reports.tables.suggestions import prediction_lines

        listed = [(each.word, each.prediction) for each in self.words]
        return prediction_lines(self.tokens, listed, self.probe_next) if self.tokens else []


def predict(
    sample: SampleSource,
    words: Words,
    *,
    language: str = "",
    accents: str | Iterable[str] = (),
    top: int = 5,
    probe: int = 5,
    rules: str | Path | None = None,
    on_problem: OnProblem = "keep",
) -> Predictions:
    """How this child will likely say new words, with probabilities.

    Args:
        sample: a file, pairs or a data frame, as in `score`, to learn from; up to a million rows are read.
        words: new words or phrases: a list, a text with commas between them, or a file (`Words`). A phrase is split
            into its words.
        language: language tag, if it is not the sample's.
        accents: dialects or accents (files of `rules/accents/`) whose forms count as correct.
        top: number of forms to list per word, 1 to 50.
        probe: number of words most worth probing next, 0 to 100.
        rules: a folder of your own rule files.
        on_problem: "keep" problems in the answer, or "raise" one `ProblemsError` with all of them if any is fatal.

    >>> import approx
    >>> key = approx.predict("samples/m12.csv", ["key"]).words[0]
    >>> key.prediction.forms[0].ipa
    'ti'
    """
    names, unknown = accents_named(accents)
    wrong = [
        *number_problem("predict.top", top),
        *number_problem("predict.probe", probe),
        *language_problem(language),
        *unknown,
        *list_of_words_problems("words", words),
        *path_problems(rules=rules),
    ]
    if wrong:
        return Predictions(tuple(wrong)).kept(on_problem)
    from approx.child.profile import Profile
    from approx.practice.suggest.input_targets import targets_in_list
    from approx.processes.accept.accept import Accents
    from approx.processes.explain.explain import Explainer
    from approx.processes.predict.predict import Predictor, probe_next, rates

    said = _said(sample, language)
    rows, more, source = rows_of_list(words)
    ruleset, faults = loaded_rules(rules)
    problems = joined_problems(said.problems, more, faults)
    if not said.children or not rows:
        none = Problem("predict.none", "no token to learn from", "see `approx score`")
        return Predictions(problems if fatal(problems) else joined_problems(problems, [none])).kept(on_problem)
    tag, accepted = said.language, Accents(names)
    told, left = _explained(list(said.times), Explainer(ruleset, tag), accepted)
    found = rates(told, ruleset, tag, said.times.values())
    typed, unread = targets_in_list(rows, tag, Profile(language=tag), source)
    targets = [(target.typed, target.adult) for target in typed if target.adult is not None]
    predictor = Predictor(found, ruleset, tag)
    listed = tuple(PredictedWord(word, predictor.predict(target, top)) for word, target in targets)
    probes = probe_next(found, list(dict.fromkeys(targets)), ruleset, probe, tag) if probe else ()
    problems = joined_problems(problems, not_looked_into(left), unread, accepted.problems.values())
    codes = ", ".join(said.children)
    return Predictions(problems, codes, found.pairs, listed, tuple(each.word for each in probes)).kept(on_problem)


class _Said(NamedTuple):
    """What was said in a sample, in the language that rates are learned of: how often each (adult form, production, word)."""

    problems: tuple[Problem, ...]
    children: tuple[str, ...]
    language: str
    times: Counter[tuple[Word, Word, str]]


def _said(sample: SampleSource, language: str) -> _Said:
    """`language`: the tag asked for; "" for that of the first token."""
    from approx.samples.rows.reader import TOKENS

    tokens = open_tokens(sample, language or "en-US", TOKENS)
    tag, children = language, dict[str, None]()
    times: Counter[tuple[Word, Word, str]] = Counter()
    for token in tokens:
        if not token.counted:
            continue
        tag = tag or token.language
        children[token.child] = None
        if token.target is not None and token.produced is not None and token.language == tag:
            times[token.target, token.produced, token.target_word] += 1
    return _Said(tokens.reader.log.problems(), tuple(children), tag, times)


def _explained(
    asked: Sequence[tuple[Word, Word, str]], explainer: Explainer, accepted: Accents
) -> tuple[list[Explanation], int]:
    """Each different (adult form, production, word) explained from the accepted adult form that is nearest, in order, as
    `processes` does; and how many were too strange to be looked into."""
    from approx.processes.explain.derivation import Explanation
    from approx.processes.explain.explain_many import explain_many
    from approx.scoring.bulk import linker_for

    linker = linker_for(len(asked))
    nearest = accepted.accepted_of_many(asked, explainer.tag, linker)
    pairs = [(near.word, produced) for near, (_, produced, _) in zip(nearest, asked, strict=True)]
    readings = explain_many(explainer, pairs, linker)
    told = [Explanation(*pair, best, tuple(others)) for pair, (best, *others) in zip(pairs, readings, strict=True)]
    return told, explainer.strange.left
