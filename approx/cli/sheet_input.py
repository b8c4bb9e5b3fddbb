"""What a page is made of: children, words and phrases as named on the command line."""

from __future__ import annotations

from pathlib import Path

from approx.child import read_child
from approx.practice.child_targets import ChildTargets, chosen_words, targets_for
from approx.practice.suggest import Options, Suggester
from approx.practice.word_file import Row, read_words, typed_rows
from approx.problems import Problem, exit_code

_FILES = (".txt", ".csv", ".tsv")


def child_targets(
    child: Path, words: str | None, phrases: str | None, options: Options, seed: int, with_frames: bool = False
) -> tuple[ChildTargets | None, list[Problem]]:
    """A child's targets: the words named, or eight chosen for this child; then the phrases. None if something is wrong.

    `with_frames`: where no frame is named, some that go with the words. `words`: a file, "-" or words with commas between; a word with its IPA is written word=/ipa/.
    """
    profile, found = read_child(child)
    problems = list(found)
    if profile is None or exit_code(problems):
        return None, problems
    suggester = Suggester(profile, options)
    problems += suggester.rules.problems
    if words is None and phrases is None:
        rows, said = chosen_words(suggester, seed, problems), []
    else:
        rows = [] if words is None else named_words(words, problems)
        said = [] if phrases is None else named_words(phrases, problems)
    if exit_code(problems):
        return None, problems
    made, more = targets_for(suggester, rows, said, _source(words) or _source(phrases), with_frames)
    return made, [*problems, *more]


def named_words(named: str, problems: list[Problem]) -> list[Row]:
    """Rows of a list as typed: a file by its name, "-" for stdin, or words with commas between. Faults go to `problems`."""
    if named == "-" or Path(named).suffix.lower() in _FILES or _is_file(named):
        rows, more = read_words(named)
        problems += more
        return rows
    rows = typed_rows(named)
    if not rows:
        problems.append(Problem("words.empty", "no word in the list", 'write words with commas between: "mud, hat"'))
    return rows


def _is_file(name: str) -> bool:
    try:
        return Path(name).is_file()
    except OSError:  # a long list is no file name
        return False


def _source(named: str | None) -> str:
    """The name of the file that words come from, "" where they were typed."""
    if named is None or named == "-":
        return ""
    return named if Path(named).suffix.lower() in _FILES or _is_file(named) else ""
