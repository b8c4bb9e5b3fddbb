"""Phrases made for a child: sense, variety, seeds, frames with their own cost, wishes, and what is said when little fits."""

from __future__ import annotations

from pathlib import Path

import pytest
from fast_cases import only
from places import ROOT

from approx.child import read_child_file
from approx.datafiles import read_toml, read_tsv, rules_path
from approx.practice.grammar.kinds import Referent, is_of, verbs
from approx.practice.grammar.phrase_words import bank, compounds, scene
from approx.practice.grammar.recipes import attributes, frames, place_prepositions, relations
from approx.practice.phrases.phrase_types import PhraseAnswer
from approx.practice.phrases.phrases import PhraseRequest, make_phrases
from approx.practice.suggest.suggest import Suggester, SuggestOptions

LANGUAGES = ("en", "es")


@pytest.fixture(scope="module")
def children() -> dict[str, Suggester]:
    out = {}
    for name in ("k07", "m12", "t03", "t03_es"):
        profile, _ = read_child_file(ROOT / "samples" / f"{name}.toml")
        assert profile is not None
        out[name] = Suggester(profile, SuggestOptions(2))
    return out


def rows(*words: str) -> tuple[tuple[str, str, int], ...]:
    return tuple((word, "", 0) for word in words)


def codes(answer: PhraseAnswer) -> list[str]:
    return [problem.code for problem in answer.problems]


@pytest.mark.parametrize("name", only(("k07", "m12", "t03", "t03_es"), "m12", "t03_es"))
def test_ten_phrases_for_each_sample_child(name: str, children: dict[str, Suggester]) -> None:
    """Ten, all different to say, of many kinds, no verb or thing in more than a few of them."""
    answer = make_phrases(children[name], PhraseRequest())
    assert len(answer.phrases) == 10
    assert len({phrase.today_ipa for phrase in answer.phrases}) == 10
    assert len({phrase.relation for phrase in answer.phrases}) >= 8
    assert all(2 <= len(phrase.words) <= 4 for phrase in answer.phrases)
    assert all(phrase.telegraphic == " ".join(phrase.words) and phrase.use for phrase in answer.phrases)


def test_one_relation_gives_many_verbs_and_things(children: dict[str, Suggester]) -> None:
    answer = make_phrases(children["m12"], PhraseRequest(relation="svo", count=12))
    assert len(answer.phrases) == 12 and {phrase.relation for phrase in answer.phrases} == {"agent-action-object"}
    assert len({phrase.words[1] for phrase in answer.phrases}) >= 10
    assert len({phrase.words[2] for phrase in answer.phrases}) >= 9


def test_verbs_and_objects_go_together(children: dict[str, Suggester]) -> None:
    """By the table as it is written, looked up anew."""
    table = {row["verb"]: row for row in read_tsv(rules_path("lexicon/verbs_en.tsv"))}
    for phrase in make_phrases(children["m12"], PhraseRequest(relation="action-object", count=20)).phrases:
        verb, noun = phrase.words[0], phrase.words[-1]
        named = [part.strip() for part in table[verb]["objects"].split(",")]
        found = [word for word in bank("en").all_of(noun) if word.part in ("noun", "name")]
        assert any(is_of(word.thing, named) for word in found), phrase.telegraphic


def test_the_same_seed_gives_the_same_phrases_and_another_seed_others(children: dict[str, Suggester]) -> None:
    asked = {seed: make_phrases(children["m12"], PhraseRequest(relation="svo", seed=seed)).phrases for seed in (1, 2)}
    again = make_phrases(children["m12"], PhraseRequest(relation="svo", seed=1)).phrases
    assert again == asked[1]
    assert {phrase.telegraphic for phrase in asked[1]} != {phrase.telegraphic for phrase in asked[2]}


@pytest.mark.parametrize("length", [2, 3])
def test_length_is_the_number_of_words(length: int, children: dict[str, Suggester]) -> None:
    answer = make_phrases(children["m12"], PhraseRequest(length=length))
    plain = [phrase for phrase in answer.phrases if phrase.relation != "compound"]
    assert plain and all(len(phrase.words) == length for phrase in plain)


def test_a_scene_keeps_to_its_words(children: dict[str, Suggester]) -> None:
    """Words of the scenario; beside them only the fixed words of a relation and a place word."""
    words = ("Bo", "Mama", "eat", "hoe", "pea", "mud", "tub", "wet", "bean")
    answer = make_phrases(children["m12"], PhraseRequest(rows(*words), count=12))
    used = {
        part.word for phrase in answer.phrases for part in phrase.parts if part.role not in ("fixed", "preposition")
    }
    assert used <= set(words) and len(answer.phrases) >= 8
    assert "Mama is eating the peas." in {phrase.adult_sentence for phrase in answer.phrases} | {
        phrase.adult_sentence
        for phrase in make_phrases(children["m12"], PhraseRequest(rows(*words), relation="svo")).phrases
    }


def test_frames_are_costed_and_the_cheapest_comes_first(children: dict[str, Suggester]) -> None:
    """By the scenario: "more" ends in ɹ and "big" in ɡ, so for M12 they cost, while "my", "no" and "in" do not."""
    made = {frame.text: frame for frame in make_phrases(children["m12"], PhraseRequest(frames=True)).frames}
    assert len(made) == len(frames("en"))
    for text in ("my ___", "no ___", "hi ___", "in ___", "___ up"):
        assert made[text].cost == 0 and not made[text].new, text
    assert made["more ___"].new == ("ɹ (final) in 'more'",) and made["more ___"].cost > 0
    assert made["big ___"].new == ("ɡ (final) in 'big'",)
    costs = [frame.cost for frame in made.values() if frame.phrases]
    assert costs == sorted(costs)
    assert all(
        phrase.adult_sentence and phrase.frame == frame.id for frame in made.values() for phrase in frame.phrases
    )


def test_every_frame_of_the_scenario_is_there() -> None:
    wanted = {
        "more ___",
        "my ___",
        "no ___",
        "hi ___",
        "bye ___",
        "big ___",
        "in ___",
        "I want ___",
        "___ up",
        "___ go in",
    }
    assert wanted <= {recipe.text for recipe in frames("en")}


def test_compounds_of_the_scenario_are_known() -> None:
    demo = read_tsv(ROOT / "tests" / "data" / "demo_phrases.tsv")
    listed = {word.word for word in compounds("en")} | {word.word for word in bank("en").words}
    assert [row["phrase"] for row in demo if row["type"] == "compound" and row["phrase"] not in listed] == []


def test_a_wish_is_said_as_it_can_be_today(children: dict[str, Suggester]) -> None:
    answer = make_phrases(children["m12"], PhraseRequest(rows("more juice", "I want the blue truck", "pea")))
    wishes = {phrase.telegraphic: phrase for phrase in answer.phrases if phrase.relation == "wish"}
    assert wishes["more juice"].adult_sentence == "I want more juice."
    assert wishes["I want the blue truck"].adult_sentence == "I want the blue truck."
    assert all(phrase.today_ipa for phrase in wishes.values())


ONE_SYLLABLE = """
code = "Z1"
[consonants]
initial.established = "m"
[vowels]
established = "u"
[syllables]
established = ["CV"]
max_syllables = 1
"""


def test_a_wish_that_cannot_be_said_names_the_nearest(tmp_path: Path) -> None:
    """A child of one syllable, mu: no form of "open" is within reach; "eat egg" is, but far from the adult words."""
    file = tmp_path / "z1.toml"
    file.write_text(ONE_SYLLABLE, encoding="utf-8")
    profile, _ = read_child_file(file)
    assert profile is not None
    answer = make_phrases(Suggester(profile), PhraseRequest(rows("open", "eat egg", "open pod", "moo")))
    silent = [problem for problem in answer.problems if problem.code == "phrases.unsayable"]
    assert {problem.symbol for problem in silent} == {"open"} and all("nearest that can: " in p.hint for p in silent)
    named = silent[0].hint.removeprefix("nearest that can: ").split(", ")
    assert len(named) == 3 and all(bank("en").find(word, "verb") for word in named)
    far = [problem for problem in answer.problems if problem.code == "phrases.far"]
    assert [problem.symbol for problem in far] == ["eat egg"] and "begin with its easiest word" in far[0].hint


@pytest.mark.parametrize(
    ("request_", "code", "part"),
    [
        (PhraseRequest(relation="svoo"), "use.relation", "did you mean svo?"),
        (PhraseRequest(relation="ownership of things"), "use.relation", "there are: "),
        (PhraseRequest(relation="svo", length=2), "use.length", "lengths there are: 3"),
        (PhraseRequest(rows("....")), "phrases.scene", "write one word per line"),
        (PhraseRequest(rows("mud")), "phrases.few", "no action word"),
        (PhraseRequest(rows("mud", "pea"), relation="svo"), "phrases.none", "needs an action word"),
    ],
)
def test_what_cannot_be_done_is_told_with_a_way_out(
    request_: PhraseRequest, code: str, part: str, children: dict[str, Suggester]
) -> None:
    answer = make_phrases(children["m12"], request_)
    found = [problem for problem in answer.problems if problem.code == code]
    assert len(found) == 1 and part in found[0].hint


def test_an_unknown_word_is_named_and_a_misspelt_one_recognised(children: dict[str, Suggester]) -> None:
    answer = make_phrases(children["m12"], PhraseRequest(rows("Bo", "eat", "pea", "bananna")))
    unknown = next(problem for problem in answer.problems if problem.symbol == "bananna")
    assert "did you mean banana?" in unknown.hint and not unknown.fatal and answer.phrases


def test_a_language_without_phrases_says_so(children: dict[str, Suggester]) -> None:
    profile = children["m12"].profile
    answer = make_phrases(Suggester(profile, SuggestOptions(2, "de-DE")), PhraseRequest())
    assert codes(answer) == ["phrases.language"] and "English and Spanish" in answer.problems[0].hint


def test_words_of_a_scene_bring_their_own_sounds() -> None:
    made, wishes, problems = scene((("Lulu", "/ˈlulu/", 1), ("gizmo", "", 2), ("mud", "/mʊd/", 3)), "en-US")
    by_word = {word.word: word for word in made.words}
    assert by_word["Lulu"].part == "name" and by_word["gizmo"].part == "noun" and by_word["mud"].ipa == "mʊd"
    assert not wishes and [problem.symbol for problem in problems] == ["Lulu", "gizmo"]


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_kind_and_word_that_data_name_is_known(language: str) -> None:
    """Verbs, frames, relations, describing words and places name kinds or words of the bank; kinds name words of the bank."""
    kinds, words = set(read_toml(rules_path(f"phrases/kinds_{language}.toml"))), bank(language)
    named = [name for verb in verbs(language).values() for name in (*verb.agents, *verb.objects)]
    named += [name for verb in verbs(language).values() for _, places in verb.places for name in places]
    named += [
        name
        for recipe in (*frames(language), *relations(language))
        for group in recipe.kinds.values()
        for name in group
    ]
    named += [name for group in attributes(language).values() for name in group] + list(attributes(language))
    named += [name for group in place_prepositions(language).values() for name in group]
    unknown = {name for name in named if name != "anything" and name not in kinds and words.find(name) is None}
    for row in read_toml(rules_path(f"phrases/kinds_{language}.toml")).values():
        text = f"{row.get('words', '')} {row.get('without', '')}"
        unknown |= {word for word in text.split() if words.find(word) is None}
        unknown |= {name for name in row.get("kinds", ()) if name not in kinds}
    assert not unknown


@pytest.mark.parametrize("language", LANGUAGES)
def test_verbs_are_in_the_bank_and_have_something_to_do(language: str) -> None:
    for verb in verbs(language).values():
        assert bank(language).find(verb.verb, "verb") or verb.verb == "necesitar", verb.verb
        assert verb.agents and (verb.alone or verb.objects), verb.verb
        assert verb.marking in ("is", "s") and verb.article in ("the", "a", "plain"), verb.verb


@pytest.mark.parametrize("language", LANGUAGES)
def test_frames_and_relations_have_use_and_source(language: str) -> None:
    for recipe in (*frames(language), *relations(language)):
        assert recipe.use and recipe.source and recipe.adult, recipe.id
        assert not recipe.frame or len(recipe.roles) == 1, recipe.id
    ids = [recipe.id for recipe in frames(language)] + [f"relation {recipe.id}" for recipe in relations(language)]
    assert len(ids) == len(set(ids))


def test_kinds_keep_apart_what_is_eaten_and_worn() -> None:
    def thing(word: str) -> Referent:
        found = bank("en").find(word, "noun")
        assert found is not None
        return found.thing

    assert is_of(thing("pea"), ("food",)) and not is_of(thing("pea"), ("clothes",))
    assert is_of(thing("hat"), ("clothes",)) and not is_of(thing("hat"), ("food", "drink"))
    assert is_of(thing("tea"), ("drink",)) and not is_of(thing("flour"), ("food",))
    assert verbs("en")["eat"].takes(thing("pea")) and not verbs("en")["eat"].takes(thing("boot"))
    assert verbs("en")["wash"].takes(thing("boot")) and verbs("en")["wash"].takes(thing("hand"))
