"""Every approximation is sayable, every ladder climbs one demand a rung to the adult word: 925 words, nine children.

The check is a slow obvious one of its own: it reads the answer's IPA text anew and looks every sound, cluster, shape,
length and repetition up in the child's file.
"""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from fast_cases import one_in
from places import DATA
from sayable import has, needs

from approx.child import read_child_file
from approx.lexicon import pronunciations
from approx.practice.suggest.suggest import Suggester, SuggestOptions

PROFILES = sorted((DATA / "profiles").glob("*.toml"))


def child_words() -> list[str]:
    rows = (DATA / "child_words.tsv").read_text(encoding="utf-8").splitlines()[1:]
    return list(dict.fromkeys(row.split("\t")[0] for row in rows))


@pytest.mark.parametrize("path", one_in(3, PROFILES), ids=lambda path: path.stem)
def test_every_form_is_sayable_and_every_ladder_climbs(path: Path) -> None:
    """Every sixteenth word; every third in the slow set."""
    check(path, child_words()[::16])


@pytest.mark.slow
@pytest.mark.parametrize("path", PROFILES, ids=lambda path: path.stem)
def test_all_words(path: Path) -> None:
    """Each word for a third of the children."""
    check(path, child_words()[PROFILES.index(path) % 3 :: 3])


def check(path: Path, words: list[str]) -> None:
    profile, problems = read_child_file(path)
    assert profile is not None and not [problem for problem in problems if problem.fatal]
    suggester = Suggester(profile, SuggestOptions(clash_words=False))
    in_hand = has(tomllib.loads(path.read_text(encoding="utf-8")))
    wrong: list[str] = []
    for text in words:
        answer = suggester.list([(text, pronunciations(text)[0].ipa, 1)])
        for word in answer.words:
            assert word.adult is not None, text
            for form in word.approximations:
                over = needs(form.ipa) - in_hand
                if over:
                    wrong.append(f"{text} {form.ipa}: {sorted(over)}")
            if word.approximations:
                wrong += climbs(text, word.adult.ipa, [step.ipa for step in word.ladder], [s.adds for s in word.ladder])
            else:
                assert word.note and not word.ladder
                said = [problem for problem in answer.problems if problem.code == "suggest.nothing"]
                assert said, text
    assert not wrong, f"{len(wrong)} wrong:\n" + "\n".join(wrong[:40])


def climbs(text: str, adult: str, rungs: list[str], adds: list[str | None]) -> list[str]:
    wrong = []
    if rungs[-1] != adult:
        wrong.append(f"{text}: ladder ends at {rungs[-1]}, not {adult}")
    if len(set(rungs)) != len(rungs):
        wrong.append(f"{text}: a rung comes twice: {rungs}")
    if adds[0] is not None or any(not added for added in adds[1:]):
        wrong.append(f"{text}: rungs without a reason: {adds}")
    return wrong
