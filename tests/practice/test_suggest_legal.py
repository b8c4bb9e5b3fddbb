"""Every approximation is sayable, every ladder climbs one demand a rung to the adult word: 925 words, nine children.

The check is a slow obvious one of its own: it reads the answer's IPA text anew and looks every sound, cluster, shape,
length and repetition up in the child's file.
"""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from places import DATA

from approx.child import read_child_file
from approx.ipa import read
from approx.ipa.word import Word
from approx.lexicon import pronunciations
from approx.practice.suggest.suggest import Suggester, SuggestOptions

PROFILES = sorted((DATA / "profiles").glob("*.toml"))
POSITIONS = ("initial", "medial", "final")


def child_words() -> list[str]:
    rows = (DATA / "child_words.tsv").read_text(encoding="utf-8").splitlines()[1:]
    return list(dict.fromkeys(row.split("\t")[0] for row in rows))


def needs(form: str, language: str = "en-US") -> set[tuple[str, ...]]:
    """All that a form asks for, straight from its text."""
    word: Word = read(form, language).words[0]
    out: set[tuple[str, ...]] = {("length", str(len(word.syllables)))}
    count, vowels = 0, [at for at, segment in enumerate(word.segments) if segment.is_vowel]
    for syllable in word.syllables:
        out.add(("shape", syllable.shape))
        for part in (syllable.onset, syllable.nucleus, syllable.coda):
            places = []
            for segment in part:
                if segment.is_vowel:
                    out.add(("vowel", segment.text))
                else:
                    place = (
                        "initial" if not vowels or count < vowels[0] else "final" if count > vowels[-1] else "medial"
                    )
                    places.append(place)
                    out.add(("consonant", segment.text, place))
                count += 1
            if len(part) > 1 and not part[0].is_vowel:
                out.add(("cluster", "".join(segment.text for segment in part), places[0]))
    consonants = {segment.text for segment in word.segments if not segment.is_vowel}
    if len(consonants) > 1:
        out.add(("variety", "same consonant"))
    if len({tuple(s.text for s in (*y.onset, *y.nucleus, *y.coda)) for y in word.syllables}) > 1:
        out.add(("variety", "same"))
    return out


def has(table: dict[str, object]) -> set[tuple[str, ...]]:
    """All that a child's file gives, straight from its TOML."""
    consonants: dict = table.get("consonants", {})  # type: ignore[assignment]
    syllables: dict = table.get("syllables", {})  # type: ignore[assignment]
    out: set[tuple[str, ...]] = {("length", str(n)) for n in range(1, syllables.get("max_syllables", 9) + 1)}
    for position in POSITIONS:
        part = consonants.get(position, consonants.get("all", {}))
        out |= {("consonant", sound, position) for sound in part.get("established", "").split()}
    for entry in consonants.get("clusters", []):
        run, *rest = entry.split()
        out |= {("cluster", run, position) for position in rest or POSITIONS}
    vowels = set(table.get("vowels", {}).get("established", "").split())  # type: ignore[attr-defined]
    if vowels & {"ʌ", "ə"}:
        vowels |= {"ʌ", "ə"}  # one vowel by stress
    out |= {("vowel", sound) for sound in vowels}
    out |= {("shape", shape) for shape in syllables.get("established", [])}
    variety = syllables.get("variety", "any")
    free = {"any": ("same", "same consonant"), "same consonant": ("same",), "same": ("same consonant",)}[variety]
    return out | {("variety", kind) for kind in free}


@pytest.mark.parametrize("path", PROFILES, ids=lambda path: path.stem)
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
