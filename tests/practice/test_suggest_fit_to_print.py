"""First forms and spellings over the whole word bank for sixteen invented children: nothing rude first while a clean form is near,
no spelling that is a word said otherwise, none that reads rudely.

The checks read the data with readers of their own (`rude_rows`), and the dictionary through `pronunciations`.
"""

from __future__ import annotations

from functools import cache

import pytest
from places import DATA

from approx.child.child_file import read_child
from approx.datafiles import read_tsv, rules_path
from approx.lexicon import pronunciations
from approx.lexicon.frequency import zipf
from approx.lexicon.sounds import agree, parse_ipa
from approx.practice.suggest.answer import Suggestion
from approx.practice.suggest.suggest import Options, Suggester

CHILDREN = sorted((DATA / "profiles").glob("*.toml")) + sorted((DATA / "judged4" / "profiles").glob("*.toml"))
"""Nine made for edges of the rules, seven like children."""
LANGUAGES = ("en-US", "es-MX")
NEAR = 0.3
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


def answers(child: int, language: str, every: int) -> tuple[Suggestion, ...]:
    profile, problems = read_child(CHILDREN[child])
    assert profile is not None, problems
    words = dict.fromkeys(row["word"] for row in read_tsv(rules_path(f"lexicon/{language[:2]}.tsv")))
    rows = [(word, "", at) for at, word in enumerate(words) if at % every == child % every]
    return Suggester(profile, Options(language=language, top=6)).list(rows).words


def check(child: int, language: str, every: int) -> None:
    faults = []
    for word in answers(child, language, every):
        forms = [form for form in word.approximations if form.ipa != (word.adult.ipa if word.adult else "")]
        if len(forms) == len(word.approximations) and forms and is_rude(forms[0].ipa, language):
            cheapest = min(form.cost for form in forms)
            clean = [f.ipa for f in forms if not is_rude(f.ipa, language) and f.cost <= cheapest + NEAR]
            faults += [f"{word.word}: {forms[0].ipa} is rude, {clean} is near"] if clean else []
        own = "".join(char for char in word.word.lower() if char.isalpha())
        for form in word.approximations:
            plain = "".join(char for char in form.spelled.lower() if char.isalpha())
            if plain in rude_letters(language) and not is_rude(form.ipa, language[:2]) and plain != own:
                faults.append(f"{word.word}: {form.ipa} is written {form.spelled}, which reads rudely")
            if language == "en-US" and plain != own:
                known = [r for r in pronunciations(plain) if r.source in RECORDED] if plain and zipf(plain) else []
                said = parse_ipa(form.ipa)
                if known and not any(agree(parse_ipa(reading.ipa), said) for reading in known):
                    faults.append(f"{word.word}: {form.ipa} is written {form.spelled}, a word said {known[0].ipa}")
    assert faults == [], "\n".join(faults[:40] + [str(len(faults))])


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("child", range(0, 16, 4))
def test_a_sample_of_words(child: int, language: str) -> None:
    check(child, language, 40)


@pytest.mark.slow
@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("child", range(16))
def test_every_word(child: int, language: str) -> None:
    check(child, language, 1)
