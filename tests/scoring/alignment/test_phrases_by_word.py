"""A phrase is read, aligned and explained word by word: nothing is compared over the edge of a word."""

from __future__ import annotations

import pytest

import approx
from approx.ipa import read
from approx.ipa.word import Word, words_of
from approx.processes.explain.explain import Explainer
from approx.processes.rules.ruleset import load_rules
from approx.samples.cells.forms import joined_words
from approx.scoring.alignment.align import align_forms, word_pairs


def form(text: str) -> Word:
    return joined_words(read(text).words, text.split())


@pytest.mark.parametrize(
    ("target", "produced", "parts"),
    [
        ("ɹɛd sɑk", "wɛ tɑt", ["ɹɛd-wɛ", "sɑk-tɑt"]),
        ("wɑnt ˈkʊki", "ɑ ˈtʊti", ["wɑnt-ɑ", "ˈkʊki-ˈtʊti"]),
        ("wɑnt ˈkʊki", "ɑˈtʊti", ["wɑnt-ɑ", "ˈkʊki-ˈtʊti"]),
        ("ɡɪv mi ðæt", "dɪmi dæ", ["ɡɪv-dɪ", "mi-mi", "ðæt-dæ"]),
        ("ɡɪv mi ðæt", "dɪmidæ", ["ɡɪv-dɪ", "mi-mi", "ðæt-dæ"]),
        ("mɔɹ d͡ʒus", "du", ["mɔɹ-", "d͡ʒus-du"]),
        ("ˈbʌtɚˌflaɪ naʊ", "ˈbʌdə faɪ naʊ", ["ˈbʌtɚˌflaɪ-ˈbʌdəˈfaɪ", "naʊ-naʊ"]),
    ],
)
def test_words_of_a_phrase_meet_their_own_part(target: str, produced: str, parts: list[str]) -> None:
    """Judged by hand before the function was written."""
    found = word_pairs(form(target), form(produced))
    assert [f"{pair.target.ipa}-{pair.produced.ipa}" for pair in found] == parts


def test_links_stay_inside_their_words() -> None:
    target, produced = form("ɹɛd sɑk"), form("wɛ tɑt")
    assert align_forms(target, produced).links == ((0, 0), (1, 1), (2, None), (3, 2), (4, 3), (5, 4))


@pytest.mark.parametrize(
    ("target", "produced", "names"),
    [
        ("ɹɛd sɑk", "wɛ tɑt", {"gliding", "final consonant deletion", "stopping", "velar fronting"}),
        ("mɔɹ d͡ʒus", "mɔ du", {"final consonant deletion", "stopping"}),
        ("wɑnt ˈkʊki", "ɑ ˈtʊti", {"initial consonant deletion", "final consonant deletion", "velar fronting"}),
    ],
)
def test_phrases_of_the_issue_read_as_a_clinician_would(target: str, produced: str, names: set[str]) -> None:
    best = Explainer(load_rules()).explain(form(target), form(produced)).best
    assert set(best.names) == names and not best.unexplained
    phones = form(target).phones
    assert all(0 <= t < len(phones) for use in best.uses for t in use.targets)


def test_words_keep_their_stress_and_text() -> None:
    assert form("ˈfid hɚ").ipa == "ˈfid hɚ" and [word.stress for word in words_of(form("ˈfid hɚ"))] == [(1,), (0,)]
    assert form("ʌ oʊ").ipa == "ʌ oʊ"


@pytest.mark.parametrize(
    ("target", "produced", "links"),
    [
        ("bɔl ɑp", "bɑʊ ɑp", "b-b ɔ-ɑ l-ʊ ɑ-ɑ p-p"),
        ("kɔl mi", "kɑʊ mi", "k-k ɔ-ɑ l-ʊ m-m i-i"),
        ("pɑ lʊk", "paʊ ʊk", "p-p ɑ-aʊ l-0 ʊ-ʊ k-k"),
    ],
)
def test_a_vowel_for_a_lost_liquid_is_found_at_the_end_of_a_word_of_a_phrase(
    target: str, produced: str, links: str
) -> None:
    """Drawn by hand: the liquid belongs to its own word, whatever the next one begins with."""
    said = approx.align(target, produced).to_dict()
    one, other = said["target"], said["produced"]
    drawn = [f"{'0' if i is None else one[i]}-{'0' if j is None else other[j]}" for i, j in said["links"]]
    assert " ".join(drawn) == links


def test_one_word_typed_as_several_is_explained_as_the_one_it_is() -> None:
    """*banana* with a blank in what was said: by itself and in a sample, which once asked for its words without end."""
    assert approx.explain("bəˈnænə", "bə ˈnænə").processes == ()
    assert approx.explain("bəˈnænə", "ə ˈnænə").processes == ("initial consonant deletion",)
    (token,) = approx.processes([("bəˈnænə", "ə ˈnænə")]).each_token()
    assert token.reading.names == ("initial consonant deletion",) and token.reading.uses[0].targets == (0,)
