"""The words phrases are made of: the word bank, or the words of a scene the clinician names, each with what it is; and the one
thing that a plural is more of.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache

from approx.datafiles import read_tsv, rules_path
from approx.lexicon.reading import pronunciations
from approx.lexicon.spelling import base_language
from approx.practice.grammar.kinds import Referent
from approx.practice.suggest.input_targets import ListRow
from approx.problems import Problem
from approx.wording import enumerated, worded

PHRASE_LANGUAGES = ("en", "es")
"""Languages with phrases of their own."""
LONGEST, LONGEST_RUN = 40, 8
"""Letters of the longest word that is read, and of the longest run without a vowel: "Knightsbridge" has six."""


@dataclass(frozen=True, slots=True)
class SceneWord:
    """One word as one part of speech. `ipa`: the adult form said alone; a compound of two words has a blank in both.

    `pronoun`: she, he or they, for a person of whom it is known; "" where the lists of the language say it.
    """

    word: str
    ipa: str
    part: str
    category: str
    own: bool = False
    pronoun: str = ""

    @property
    def thing(self) -> Referent:
        """What it stands for, for the checks of sense."""
        return Referent(self.word, self.part, self.category)


class Vocabulary:
    """Words by spelling and by part of speech, in file order. `pronoun`: what a name is called by that is on no list."""

    def __init__(self, words: Sequence[SceneWord], pronoun: str = "") -> None:
        self.words = tuple(words)
        self.pronoun = pronoun
        self._by_spelling: dict[str, list[SceneWord]] = {}
        for word in words:
            self._by_spelling.setdefault(word.word.lower(), []).append(word)

    def find(self, spelled: str, *parts: str) -> SceneWord | None:
        """The first entry of a spelling with one of these parts of speech (any, if none is named)."""
        found = self._by_spelling.get(spelled.lower(), ())
        return next((word for word in found if not parts or word.part in parts), None)

    def all_of(self, spelled: str) -> tuple[SceneWord, ...]:
        """Every entry of a spelling."""
        return tuple(self._by_spelling.get(spelled.lower(), ()))

    def of(self, *parts: str) -> tuple[SceneWord, ...]:
        """Words of these parts of speech."""
        return tuple(word for word in self.words if word.part in parts)


def with_people(
    words: Vocabulary, people: Mapping[str, str], readings: Mapping[str, str], pronoun: str = "", *, whole_bank: bool
) -> Vocabulary:
    """A vocabulary that knows the people of one child's life, each by she, he or they.

    `people`: name -> pronoun; `readings`: name -> adult form. `pronoun`: taken for every name, whatever the file says.
    `whole_bank`: the words are the bank's, so that the people take the place of its example names; of a scene only those
    named in it are meant.
    """
    if not people and not pronoun:
        return words
    called = {name.lower(): pronoun or own for name, own in people.items()}
    kept = []
    for word in words.words:
        is_example = word.part == "name" and word.category == "names"
        if is_example and whole_bank and people:
            continue
        kept.append(replace(word, pronoun=called.get(word.word.lower(), pronoun)) if is_example else word)
    if whole_bank:
        kept = [
            *(SceneWord(name, readings[name], "name", "names", True, called[name.lower()])
              for name in people if readings.get(name)),
            *kept,
        ]  # fmt: skip
    return Vocabulary(kept, pronoun)


def bank(language: str) -> Vocabulary:
    """Every word of the shipped bank; none for a language without one."""
    return _bank(base_language(language))


def scene(
    rows: Sequence[ListRow], language: str, own: Mapping[str, str] | None = None, file: str = ""
) -> tuple[Vocabulary, tuple[str, ...], tuple[Problem, ...]]:
    """Words of a scene, phrases wished for (lines of several words that are no compound), and what could not be used.

    A word the bank has is taken as all it can be there; another is a name if it has a capital letter, else a thing.
    """
    words: list[SceneWord] = []
    wishes: list[str] = []
    problems: list[Problem] = []
    known = bank(language)
    for typed, ipa, at in rows:
        line = at or None
        parts = typed.split()
        if len(parts) > 1 and not ipa:
            compound = compound_of(typed, language)
            wishes += [] if compound else [typed]
            words += [compound] if compound else []
            continue
        entries = (*known.all_of(typed), *known.all_of(plain_form(typed, language)))
        if not entries:
            one = (entry for form in singulars(typed, language) for entry in known.all_of(form))
            entries = tuple(entry for entry in one if entry.part == "noun")
        if entries:
            words += [SceneWord(e.word, ipa.strip("/[] ") or e.ipa, e.part, e.category, True) for e in entries]
            continue
        readings = pronunciations(typed, language, own) if may_be_a_word(typed) else ()
        said = ipa.strip("/[] ") if may_be_a_word(ipa) else ""
        said = said or (readings[0].ipa if readings else "")
        if not said:
            near = _near(typed, language)
            hint = worded("{near}give its sounds in a column target_ipa, or leave it out", near=near)
            problems.append(
                Problem(
                    "phrases.word",
                    worded("'{typed}' is not a word this program can read", typed=typed[:40]),
                    hint,
                    file,
                    line,
                    symbol=typed[:40],
                )
            )
            continue
        part = "name" if typed[:1].isupper() else "noun"
        what = "a name" if part == "name" else "a thing"
        guess = "" if ipa or readings[0].sure else "its sounds are guessed from its spelling; "
        hint = worded("{typed}{guess}check how it is said and written", typed=_near(typed, language), guess=guess)
        problems.append(Problem("phrases.part", worded("'{token}' is not in the word bank: taken as {what}", token=typed[:40], what=what), hint, file, line, symbol=typed[:40], fatal=False))  # fmt: skip
        words.append(SceneWord(typed, said, part, "names" if part == "name" else "things", True))
    return Vocabulary(list(dict.fromkeys(words))), tuple(wishes), tuple(problems)


def plain_form(typed: str, language: str) -> str:
    """The form a Spanish verb has in the bank, of one as it is said in a phrase: "come" gives comer; "" for others."""
    if base_language(language) != "es":
        return ""
    from approx.practice.grammar.es.forms import infinitive_of

    return infinitive_of(typed.lower())


def may_be_a_word(typed: str) -> bool:
    """False for what is too long to be one word, or has more consonants in a row than any word."""
    run = max((len(part) for part in re.split(r"[aeiouyáéíóúüæɑɒɔəɚɛɜɝɪʊʌ\W]+", typed.lower())), default=0)
    return len(typed) <= LONGEST and run <= LONGEST_RUN


def compounds(language: str) -> tuple[SceneWord, ...]:
    """Two-part compounds of the shipped list (`rules/lexicon/compounds_*.tsv`)."""
    return _compounds(base_language(language))


def compound_of(typed: str, language: str) -> SceneWord | None:
    """A typed compound if it is on the list."""
    form = " ".join(typed.lower().split())
    return next((word for word in compounds(language) if word.word.lower() == form), None)


def _near(typed: str, language: str) -> str:
    """Words of the bank that look like a misspelt one, as the start of a hint."""
    from difflib import get_close_matches

    close = get_close_matches(typed.lower(), [word.word for word in bank(language).words], 3, 0.8)
    return worded("did you mean {near}? Otherwise: ", near=enumerated(" or ", dict.fromkeys(close))) if close else ""


@cache
def _bank(language: str) -> Vocabulary:
    if language not in PHRASE_LANGUAGES:
        return Vocabulary(())
    rows = read_tsv(rules_path(f"lexicon/{language}.tsv"))
    return Vocabulary([SceneWord(row["word"], row["ipa"], row["part_of_speech"], row["category"]) for row in rows])


@cache
def _compounds(language: str) -> tuple[SceneWord, ...]:
    if language not in PHRASE_LANGUAGES:
        return ()
    rows = read_tsv(rules_path(f"lexicon/compounds_{language}.tsv"))
    known = _bank(language)
    out = []
    for row in rows:
        parts = [known.find(part, "noun", "adjective", "verb", "preposition") for part in row["word"].split()]
        ipa = " ".join(part.ipa for part in parts if part)
        if all(parts):
            out.append(SceneWord(row["word"], ipa, "noun", row["category"]))
    return tuple(out)


def singulars(spelled: str, language: str) -> Iterator[str]:
    """Words whose plural a spelling is, in small letters; none for what is no plural. Whether they are words is not asked."""
    low = spelled.lower()
    if not low.endswith("s") or len(low) < 3:
        return
    if base_language(language) == "es":
        from approx.practice.grammar.es.forms import plural

        yield from (word for word in (low[:-1], low[:-2], low[:-3] + "z") if plural(word) == low)
        return
    from approx.practice.grammar.en.forms import spelled_form

    candidates = (low[:-1], low[:-2], low[:-3] + "y", low[:-3] + "f", low[:-3] + "fe")
    yield from (word for word in candidates if word and spelled_form(word, "plural") == low)
