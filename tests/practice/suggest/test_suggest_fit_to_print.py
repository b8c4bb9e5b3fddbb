"""First forms and spellings over the whole word bank and the 925 words children say, for sixteen invented children, in both
languages: nothing rude first while a clean form is near, no spelling that is a word said otherwise, none that reads rudely.

The checks read the data with readers of their own (`rude_rows`), the dictionary through `pronunciations`, and look for a clean
form among far more forms than the program does.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

import pytest
from places import DATA

from approx.child.child_file import read_child_file
from approx.datafiles import read_tsv, rules_path
from approx.ipa.word import Word
from approx.lexicon import pronunciations
from approx.lexicon.frequency import zipf
from approx.lexicon.pronunciation import parse_ipa, same_segments
from approx.practice.suggest.input_targets import InputTarget, targets_in_list
from approx.practice.suggest.suggest import Suggester, SuggestOptions

CHILDREN = sorted((DATA / "profiles").glob("*.toml")) + sorted((DATA / "judged4" / "profiles").glob("*.toml"))
"""Nine made for edges of the rules, seven like children."""
LANGUAGES = ("en-US", "es-MX")
NEAR = 0.3
WIDE = 60
"""Forms among which the test looks for a clean one."""
RECORDED = ("strong form", "word list", "dictionary")


def sounds(form: str) -> str:
    return form.translate(str.maketrans("", "", "ˈˌ. "))


@cache
def rude_rows(language: str) -> tuple[tuple[str, str], ...]:
    rows = read_tsv(rules_path(f"lexicon/rude_{language[:2]}.tsv"))
    varieties = {"en-US": ("general", "US", "Southern US"), "es-MX": ("general", "Mexican")}.get(language, ())
    return tuple((sounds(row["form"]), row["match"]) for row in rows if not varieties or row["variety"] in varieties)


@cache
def is_rude(form: str, language: str) -> bool:
    said = sounds(form)
    tests = {"whole": str.__eq__, "start": str.startswith, "part": str.__contains__}
    return any(
        said in (rude, rude * 2) if match == "repeated" else tests[match](said, rude)
        for rude, match in rude_rows(language)
    )


@cache
def rude_letters(language: str) -> frozenset[str]:
    rows = read_tsv(rules_path("lexicon/rude_spellings.tsv"))
    return frozenset(row["spelling"] for row in rows if row["language"] == language[:2])


@cache
def bank_forms(language: str) -> dict[str, frozenset[str]]:
    """Every sound of each word of the bank."""
    out: dict[str, set[str]] = {}
    for row in read_tsv(rules_path(f"lexicon/{language[:2]}.tsv")):
        out.setdefault(row["word"].lower(), set()).add(heard_alike(row["ipa"]))
    return {word: frozenset(forms) for word, forms in out.items()}


def heard_alike(form: str) -> str:
    """A Spanish form with the sounds a family writes alike: a soft h as j, j as y."""
    return sounds(form).replace("h", "x").replace("j", "ʝ")


def words_of(language: str) -> tuple[str, ...]:
    bank = [row["word"] for row in read_tsv(rules_path(f"lexicon/{language[:2]}.tsv"))]
    said = (DATA / "child_words.tsv").read_text(encoding="utf-8").splitlines()[1:] if language == "en-US" else []
    return tuple(dict.fromkeys((*bank, *(line.split("\t")[0] for line in said))))


def known_sounds(plain: str, language: str) -> list[str]:
    """How a spelling is said that is a known word, [] for one that is none."""
    if language == "en-US":
        readings = pronunciations(plain) if plain and zipf(plain) else ()
        return [reading.ipa for reading in readings if reading.source in RECORDED]
    return sorted(bank_forms(language).get(plain, ()))


def said_so(form: str, known: list[str], language: str) -> bool:
    if language == "en-US":
        return any(same_segments(parse_ipa(each), parse_ipa(form)) for each in known)
    return heard_alike(form) in known


def faults_of(suggester: Suggester, target: InputTarget, adult: Word, language: str) -> Iterator[str]:
    forms, _ = suggester.forms(target, adult, 6, [])
    if (
        forms
        and forms[0].ipa != adult.ipa
        and is_rude(forms[0].ipa, language)
        and sounds(forms[0].ipa) != sounds(adult.ipa)
    ):
        wide = suggester.simplifier.run(adult, WIDE)
        cheapest = min(found.cost for found in wide)
        clean = [f.form.word.ipa for f in wide if f.cost <= cheapest + NEAR and not is_rude(f.form.word.ipa, language)]
        if clean:
            yield f"{target.typed}: {forms[0].ipa} is rude, {clean} is near"
    own = "".join(char for char in target.typed.lower() if char.isalpha())
    for form in forms:
        plain = "".join(char for char in form.spelled.lower() if char.isalpha())
        if plain == own:
            continue
        if plain in rude_letters(language) and not is_rude(form.ipa, language[:2]):
            yield f"{target.typed}: {form.ipa} is written {form.spelled}, which reads rudely"
        known = known_sounds(plain, language)
        if known and not said_so(form.ipa, known, language):
            yield f"{target.typed}: {form.ipa} is written {form.spelled}, a word said {known[0]}"


def check(child: int, language: str, every: int) -> None:
    profile, problems = read_child_file(CHILDREN[child])
    assert profile is not None, problems
    rows = [(word, "", 1) for at, word in enumerate(words_of(language)) if at % every == child % every]
    targets, _ = targets_in_list(rows, language, profile, "")
    suggester = Suggester(profile, SuggestOptions(language=language, top=6))
    faults = [
        fault
        for target in targets
        if target.adult is not None
        for fault in faults_of(suggester, target, target.adult, language)
    ]
    assert faults == [], "\n".join(faults[:40] + [str(len(faults))])


def test_there_are_words_and_children_enough() -> None:
    assert len(CHILDREN) >= 12 and len(words_of("en-US")) > 925 and len(words_of("es-MX")) > 700


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("child", range(0, 16, 4))
def test_a_sample_of_words(child: int, language: str) -> None:
    check(child, language, 40)


@pytest.mark.slow
@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("child", range(16))
def test_every_word(child: int, language: str) -> None:
    """Each word for three or four of the sixteen children."""
    check(child, language, 5)
