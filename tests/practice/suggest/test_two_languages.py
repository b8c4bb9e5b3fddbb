"""Words of a child's other language inside a phrase, and first names: which reading they get, and that it is said."""

from __future__ import annotations

import pytest
from places import DATA

from approx.child import read_child_file
from approx.child.profile import Profile
from approx.lexicon import pronunciations
from approx.lexicon.word_lists import name_reading
from approx.practice.phrases.child_pronouncer import ChildPronouncer
from approx.practice.suggest.input_targets import language_of, targets_in_list, targets_in_phrase
from approx.practice.suggest.suggest import Suggester, SuggestOptions


@pytest.mark.parametrize(
    ("word", "language", "others", "read_in"),
    [
        ("agua", "en-US", ["es-MX"], "es-MX"), ("leche", "en-US", ["es-MX"], "es-MX"), ("perros", "en-US", ["es-MX"], "es-MX"),
        ("quiero", "en-US", ["es-MX"], "es-MX"), ("niña", "en-US", ["es-MX"], "es-MX"), ("Mateo", "en-US", ["es-MX"], "es-MX"),
        ("bunny's", "en-US", ["es-MX"], "en-US"), ("kitties", "en-US", ["es-MX"], "en-US"), ("Nana's", "en-US", ["es-MX"], "en-US"),
        ("potty’s", "en-US", ["es-MX"], "en-US"), ("binkies", "en-US", ["es-MX"], "en-US"), ("boo-boos", "en-US", ["es-MX"], "en-US"),
        ("froggie", "en-US", ["es-MX"], "en-US"), ("bathtime", "en-US", ["es-MX"], "en-US"), ("night-nights", "en-US", ["es-MX"], "en-US"),
        ("zib=/zɪb/", "en-US", ["es-MX"], "en-US"), ("mamá's", "en-US", ["es-MX"], "en-US"),
        ("camisas", "en-US", ["es-MX"], "es-MX"), ("luces", "en-US", ["es-MX"], "es-MX"), ("sillones", "en-US", ["es-MX"], "es-MX"),
        ("ranas", "en-US", ["es-MX"], "es-MX"), ("lunas", "en-US", ["es-MX"], "es-MX"), ("peces", "en-US", ["es-MX"], "es-MX"),
        ("more", "en-US", ["es-MX"], "en-US"), ("no", "en-US", ["es-MX"], "en-US"), ("pan", "en-US", ["es-MX"], "en-US"),
        ("agua", "en-US", [], "en-US"), ("Daniel", "en-US", ["es-MX"], "en-US"),
        ("juice", "es-MX", ["en-US"], "en-US"), ("cookie", "es-MX", ["en-US"], "en-US"), ("come", "es-MX", ["en-US"], "es-MX"),
        ("no", "es-MX", ["en-US"], "es-MX"), ("mano", "es-MX", ["en-US"], "es-MX"), ("quiero", "es-MX", ["en-US"], "es-MX"),
    ],
)  # fmt: skip
def test_which_language_a_word_is_read_in(word: str, language: str, others: list[str], read_in: str) -> None:
    assert language_of(word, language, others) == read_in


def test_a_phrase_of_two_languages_is_read_and_said_so() -> None:
    both = Profile(code="K07", language="en-US", languages=("es-MX",))
    targets, problems = targets_in_phrase("more agua", "en-US", both)
    assert [target.adult.ipa for target in targets if target.adult] == ["mɔɹ", "ˈaɡwa"]
    assert [target.language for target in targets] == ["", "es-MX"]
    assert [(problem.code, problem.symbol, problem.fatal) for problem in problems] == [
        ("lexicon.language", "agua", False)
    ]
    alone, _ = targets_in_phrase("more agua", "en-US", Profile(code="K07", language="en-US"))
    assert [target.language for target in alone] == ["", ""]


def test_a_list_and_the_reverse() -> None:
    both = Profile(code="K07", language="es-MX", languages=("en-US",))
    targets, _ = targets_in_list([("quiero", "", 1), ("juice", "", 2)], "es-MX", both, "")
    assert [target.adult.ipa for target in targets if target.adult] == ["ˈkjeɾo", "d͡ʒus"]


def test_what_the_child_or_the_clinician_says_of_a_word_wins() -> None:
    both = Profile(code="K07", language="en-US", languages=("es-MX",), readings={"agua": "ˈɑɡwə"})
    targets, problems = targets_in_phrase("agua", "en-US", both)
    assert targets[0].adult is not None and targets[0].adult.ipa == "ˈɑɡwə" and not problems
    typed, _ = targets_in_phrase("/pun/", "en-US", both)
    assert typed[0].language == ""


@pytest.mark.parametrize(
    ("name", "ipa"), [("Aiden", "ˈeɪdən"), ("aiden", "ˈeɪdən"), ("Isla", "ˈaɪlə"), ("Sadie", "ˈseɪdi")]
)
def test_first_names_the_dictionary_has_wrong(name: str, ipa: str) -> None:
    first = pronunciations(name)[0]
    assert (first.ipa, first.source, first.sure) == (ipa, "name list", True)


@pytest.mark.parametrize("word", ["sky", "teddy", "Mimi"])
def test_a_word_the_dictionary_says_as_the_name_list_does_is_the_dictionarys(word: str) -> None:
    """The CMU dictionary has S K AY1, T EH1 D IY0 and M IY1 M IY0 first."""
    assert [(found.source, found.sure) for found in pronunciations(word)][:1] == [("dictionary", True)]


def test_names_of_the_other_language_keep_their_own_stress() -> None:
    assert pronunciations("Miriam", "es-MX")[0].ipa == "ˈmiɾjam"
    assert name_reading("Zibby") == ""


def test_a_word_of_the_other_language_is_simplified_by_its_own_rules() -> None:
    """In a list, in a phrase, and in a phrase of the family's, as where the whole list is in that language."""
    profile, _ = read_child_file(DATA / "judged4" / "profiles" / "Q04.toml")
    assert profile is not None
    rows = [(word, "", 1) for word in "perro zapato silla galleta carro leche niña fresa abuela pez".split()]
    mixed, own = (
        Suggester(profile, SuggestOptions(language=tag, top=5)).list(rows).words for tag in ("en-US", "es-MX")
    )
    assert [[form.ipa for form in word.approximations] for word in mixed] == [
        [form.ipa for form in word.approximations] for word in own
    ]
    assert [[step.ipa for step in word.ladder] for word in mixed] == [
        [step.ipa for step in word.ladder] for word in own
    ]
    pronouncer = ChildPronouncer(Suggester(profile, SuggestOptions(language="en-US")))
    assert [pronouncer.say(word.word).today_ipa for word in own] == [word.approximations[0].ipa for word in own]
