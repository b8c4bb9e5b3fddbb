"""One child with what is to be practised on a page: words and phrases as named, or eight chosen for this child."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from approx.practice.card_frames import frames_for, is_frame
from approx.practice.practice_targets import PracticeTarget, practice_targets
from approx.practice.suggest import Suggester
from approx.practice.word_file import Row
from approx.problems import Problem

CHOSEN = 8
"""Words chosen for a child where none are named."""


@dataclass(frozen=True, slots=True)
class ChildTargets:
    """One child with what is to be practised. `frames`: phrases with an open slot, as typed."""

    code: str
    language: str
    targets: tuple[PracticeTarget, ...]
    frames: tuple[str, ...]


def targets_for(
    suggester: Suggester, words: Sequence[Row], phrases: Sequence[Row] = (), source: str = "", with_frames: bool = False
) -> tuple[ChildTargets, list[Problem]]:
    """Words, then phrases, each once. `source`: the file they come from, "" where they were typed: those have no lines.

    `with_frames`: where no frame is among the phrases, some that go with the words.
    """
    problems: list[Problem] = []
    frames = tuple(text for text, _, _ in phrases if is_frame(text))
    rows = [*words, *(row for row in phrases if not is_frame(row[0]))]
    targets, more = practice_targets(suggester, _once(rows, problems), source)
    problems += more if source else [replace(problem, line=None) for problem in more]
    if with_frames and not frames:
        frames = frames_for(suggester, [target.word for target in targets])
    return ChildTargets(suggester.profile.code, suggester.language, targets, frames), problems


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
