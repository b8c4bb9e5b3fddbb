"""What a page is made of: children, words and phrases as named on the command line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from approx.child import read_child
from approx.practice.card_frames import frames_for
from approx.practice.practice_targets import PracticeTarget, practice_targets
from approx.practice.suggest import Options, Suggester
from approx.practice.word_file import Row, read_words
from approx.problems import Problem, exit_code
from approx.reports.sheets.card_pages import is_frame

CHOSEN = 8
"""Words chosen for a child where none are named."""
_FILES = (".txt", ".csv", ".tsv")


@dataclass(frozen=True, slots=True)
class ChildTargets:
    """One child with what is to be practised. `frames`: phrases with an open slot, as typed."""

    code: str
    language: str
    targets: tuple[PracticeTarget, ...]
    frames: tuple[str, ...]


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
    frames = tuple(text for text, _, _ in said if is_frame(text))
    rows = [*rows, *(row for row in said if not is_frame(row[0]))]
    source = _source(words) or _source(phrases)
    targets, more = practice_targets(suggester, _once(rows, problems), source)
    # words typed on the command line have no lines to point at
    problems += more if source else [replace(problem, line=None) for problem in more]
    if with_frames and not frames:
        frames = frames_for(suggester, [target.word for target in targets])
    return ChildTargets(profile.code, suggester.language, targets, frames), problems


def named_words(named: str, problems: list[Problem]) -> list[Row]:
    """Rows of a list as typed: a file by its name, "-" for stdin, or words with commas between. Faults go to `problems`."""
    if named == "-" or Path(named).suffix.lower() in _FILES or _is_file(named):
        rows, more = read_words(named)
        problems += more
        return rows
    rows = []
    for number, part in enumerate(named.split(","), 1):
        word, equals, ipa = part.strip().partition("=")
        if word.strip():
            rows.append((" ".join(word.split()), ipa.strip() if equals else "", number))
    if not rows:
        problems.append(Problem("words.empty", "no word in the list", 'write words with commas between: "mud, hat"'))
    return rows


def chosen_words(suggester: Suggester, seed: int, problems: list[Problem]) -> list[Row]:
    """Eight words that go together for this child, from the word bank."""
    from approx.practice.word_set import choose_set

    found = choose_set(suggester.profile, CHOSEN, seed=seed, language=suggester.language, suggester=suggester)
    if not found.words:
        hint = 'name some: --words "mud, hat"'
        problems.append(Problem("words.none", "no word of the bank fits what this child has yet", hint))
        return []
    names = ", ".join(word.word for word in found.words)
    problems.append(
        Problem("words.chosen", f"words chosen for this child: {names}", "--words names others", fatal=False)
    )
    return [(word.word, word.adult.ipa, number) for number, word in enumerate(found.words, 1)]


def _once(rows: Sequence[Row], problems: list[Problem]) -> list[Row]:
    """Each word once; the second of two is named."""
    out: dict[tuple[str, str], Row] = {}
    for row in rows:
        key = (row[0].lower(), row[1])
        if key in out:
            problems.append(
                Problem("words.twice", f"'{row[0]}' is named twice", "printed once", symbol=row[0], fatal=False)
            )
        out.setdefault(key, row)
    return list(out.values())


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
