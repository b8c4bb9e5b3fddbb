"""What a child can be asked to say today for a phrase or a list of words, and the ladders back to the adult words.

A child made ready for many questions is kept, the last few of them, so that the next phrase comes at once."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from os import PathLike, fspath
from pathlib import Path
from threading import RLock
from typing import TYPE_CHECKING, Any, ClassVar, TypeAlias, cast

from approx.api.options import (
    Notation,
    folder,
    language_problem,
    notation_problem,
    number_problem,
    path_problems,
    refused,
    rule_problems,
    switch_problems,
)
from approx.api.practice.children import ChildSource, child_of
from approx.api.result import OnProblem, OnProgress, Result, TableRows, fatal, joined_problems, made_of
from approx.api.write_table import TableKeys
from approx.child.profile import Profile
from approx.practice.suggest.answer import Answer
from approx.practice.suggest.suggest import Suggester, SuggestOptions
from approx.problems import Problem
from approx.wording import worded

if TYPE_CHECKING:
    from approx.practice.suggest.input_targets import ListRow


Words: TypeAlias = "str | PathLike[str] | Iterable[str | tuple[str, str]]"
"""Words: a list of words or of (word, IPA); or a file with one word per line, or with the columns target_word and
target_ipa; or a text that names such a file ("-" is standard input), or holds words separated by commas."""
_LIST_FILES = (".txt", ".csv", ".tsv")


@dataclass(frozen=True)
class Suggestions(Answer, Result):
    """Forms to accept for each word, nearest to the adult form first, and the ladder back; `phrase` is None for a list."""

    table_keys: ClassVar[TableKeys] = TableKeys(
        ("word", "adult", "adult_spelled", "read_from", "sure", "adult_wcm", "adult_ipc", "ladder", "note"), ("rank",)
    )

    def to_dict(self) -> dict[str, Any]:
        """What `approx suggest --json` prints."""
        from approx.reports.tables.suggestions import answer_json

        return answer_json(self)

    def to_table(self) -> TableRows:
        """A row a form."""
        from approx.reports.tables.suggestions import SUGGESTION_COLUMNS, answer_rows

        return SUGGESTION_COLUMNS, ([row[name] for name in SUGGESTION_COLUMNS] for row in answer_rows(self))

    def lines(self) -> list[str]:
        """Every word with its forms, why, and the ladder."""
        from approx.reports.text.suggestions import suggestions_lines

        return suggestions_lines(self) if self.words else []


def suggest(
    phrase: str | Words,
    child: ChildSource | None,
    *,
    top: int = 3,
    language: str = "",
    emerging: bool = False,
    short: bool = False,
    notation: Notation = "ipa",
    rules: str | Path | None = None,
    on_problem: OnProblem = "keep",
    on_progress: OnProgress | None = None,
) -> Suggestions:
    """Simpler forms of each word that this child can say now, why, and the ladder back to the adult form.

    Args:
        phrase: a phrase (a word between slashes is IPA: "/spun/"); or a list of words or of (word, IPA) pairs; or the
            `Path` of a file with one word per line, or with the columns target_word and target_ipa.
        child: what `read_child` returns, or the path of a child file.
        top: number of forms to list per word, 1 to 20.
        language: language tag, if it is not the child's.
        emerging: also use emerging sounds and syllable shapes, ranked lower.
        short: drop function words, as in telegraphic speech.
        notation: how words between slashes are typed: "ipa" or "x-sampa".
        rules: a folder of your own rule files.
        on_problem: "keep" problems in the answer, or "raise" one `ProblemsError` with all of them if any is fatal.
        on_progress: called with what is counted, how many are done, and out of how many.

    >>> import approx
    >>> answer = approx.suggest("big spoon", approx.read_child("samples/m12.toml"))
    >>> [word.approximations[0].ipa for word in answer.words]
    ['bɪd', 'pun']
    """
    typed = phrase if isinstance(phrase, str) else None
    known = child_of(child)
    profile, said = known.profile, known.problems
    empty = Suggestions(phrase=typed, child=known.code, signature="", words=(), phrase_forms=(), problems=())
    wrong = [
        *list_of_words_problems("phrase", phrase),
        *number_problem("suggest.top", top),
        *language_problem(language),
        *notation_problem(notation),
        *switch_problems(emerging=emerging, short=short),
        *path_problems(rules=rules),
    ]
    if wrong or profile is None or fatal(said):
        return replace(empty, problems=joined_problems(wrong or said)).kept(on_problem)
    with ready(profile, SuggestOptions(top, language, emerging, short, folder(rules), notation)) as suggester:
        said = joined_problems(said, rule_problems(suggester.rules, rules))
        if fatal(said):
            return replace(empty, problems=said).kept(on_problem)
        if typed is not None:
            answer = suggester.phrase(" ".join(typed.split()))
            said = joined_problems(said, _not_text(typed))
        else:
            rows, remarks, source = rows_of_list(phrase)
            if on_progress is not None:
                on_progress("words", 0, len(rows))
            answer = suggester.list(rows, source)
            said = joined_problems(said, remarks)
    return made_of(Suggestions, answer, problems=joined_problems(said, answer.problems)).kept(on_problem)


def _not_text(phrase: str) -> list[Problem]:
    if "\ufffd" not in phrase and "\0" not in phrase:
        return []
    return [Problem("suggest.encoding", "the phrase is not UTF-8 text", "save or type it as UTF-8", "stdin")]


def list_of_words_problems(option: str, words: object) -> list[Problem]:
    """What is wrong with a list of words: an entry that is neither a word nor (word, IPA). A source that can be gone through
    only once is looked at when it is read."""
    fits = worded("words, (word, IPA) pairs, or the path of a file")
    if isinstance(words, (str, PathLike)):
        return []
    if not isinstance(words, Iterable) or isinstance(words, (bytes, Mapping)):
        return [refused(option, words, fits)]
    listed = words if isinstance(words, Collection) else ()
    return [refused(option, entry, fits) for entry in listed if not _is_word(entry)][:1]


def _is_word(entry: object) -> bool:
    pair = isinstance(entry, (tuple, list)) and len(entry) == 2
    return isinstance(entry, str) or pair and all(isinstance(part, str) for part in cast("Sequence[object]", entry))


_NO_WORD = Problem("words.empty", "no word in the list", 'write words separated by commas: "mud, hat"')
"""A list of words without a word."""


def rows_of_list(source: Words) -> tuple[list[ListRow], tuple[Problem, ...], str]:
    """Rows of a list (word, IPA or "", line), what is wrong with it, and the name of the file it is from ("" for none)."""
    from approx.practice.suggest.input_targets import read_words, typed_rows

    if name := file_of_words(source):
        rows, problems = read_words(name)
        return rows, problems, "stdin" if name == "-" else name
    if isinstance(source, str):
        rows = [(word, ipa, 0) for word, ipa, _ in typed_rows(source)]  # what is typed in one line has no lines
        return rows, () if rows else (_NO_WORD,), ""
    rows = []
    for number, entry in enumerate(cast("Iterable[str | tuple[str, str]]", source), 1):
        word, ipa = (entry, "") if isinstance(entry, str) else entry
        rows.append((word, ipa, number))
    return rows, () if rows else (_NO_WORD,), ""


def file_of_words(words: object) -> str:
    """The name of the file that words are to be read from; "" for a list, and for a text that holds the words themselves.

    A text names a file that is there, one that ends as lists do (.txt, .csv, .tsv), or, as "-", standard input.
    """
    if not isinstance(words, str):
        return fspath(words) if isinstance(words, PathLike) else ""
    return words if words == "-" or Path(words).suffix.lower() in _LIST_FILES or is_file(words) else ""


def is_file(name: str) -> bool:
    """True where a text is the name of a file that is there; a long list of words is none."""
    try:
        return Path(name).is_file()
    except (OSError, ValueError):
        return False


def typed_words(typed: str) -> list[tuple[str, str]]:
    """(word, IPA or "") of a text: words with commas, semicolons or new lines between; word=/ipa/ gives the IPA too."""
    from approx.practice.suggest.input_targets import typed_rows

    return [(word, ipa) for word, ipa, _ in typed_rows(typed)]


_KEPT = 8
_lock = RLock()
_suggesters: dict[tuple[str, SuggestOptions], Suggester] = {}


@contextmanager
def ready(profile: Profile, options: SuggestOptions) -> Iterator[Suggester]:
    """A suggester of the profile, for one thread at a time: it keeps what it has worked out.

    With a folder of own rules it is made anew each time, for somebody may be editing them.
    """
    with _lock:
        if options.rules is not None:
            yield Suggester(profile, options)
            return
        key = (repr(profile), options)
        found = _suggesters.pop(key, None) or Suggester(profile, options)
        _suggesters[key] = found  # last used stands last
        while len(_suggesters) > _KEPT:
            del _suggesters[next(iter(_suggesters))]
        yield found


def forget() -> None:
    """Keep nothing of any child."""
    with _lock:
        _suggesters.clear()
