"""The blind list of phrases: what a family says is offered where it can be made, what nobody says never is."""

from __future__ import annotations

from functools import cache

import pytest
from places import DATA

from approx.child.profile import Profile
from approx.practice.phrases.phrases import PhraseRequest, make_phrases
from approx.practice.suggest.suggest import Suggester, SuggestOptions

CONSONANTS = "p b t d k ɡ m n ŋ w j h f v s z ʃ t͡ʃ d͡ʒ l ɹ θ ð x ɾ r ɲ ʝ"
CLUSTERS = """p l initial/b l initial/b ɾ initial/f l initial/ɡ ɾ initial/d ɹ initial/t ɹ initial/b ɾ medial/n t final/l k final"""


@cache
def everything(language: str) -> Suggester:
    """A child with every sound, so that only what is natural decides."""
    places = ("initial", "medial", "final")
    clusters = (line.split() for line in CLUSTERS.split("/"))
    child = Profile(
        consonants={place: dict.fromkeys(CONSONANTS.split(), "established") for place in places},
        clusters={(tuple(sounds), place): "established" for *sounds, place in clusters},
        vowels=dict.fromkeys("i ɪ ɛ æ ɑ ɔ ʌ ə u ʊ oʊ eɪ aɪ aʊ ɔɪ ɝ ɚ a e o".split(), "established"),
        shapes=dict.fromkeys("V CV VC CVC CCV CCVC CVCC VCC".split(), "established"),
        max_syllables=4,
    )
    return Suggester(child, SuggestOptions(language=language))


def offered(phrase: str, language: str) -> bool:
    """Whether the words of a phrase, as a scene, give the phrase, by itself or in a frame."""
    rows = tuple((word, "", at) for at, word in enumerate(phrase.split(), 1))
    made = [
        make_phrases(everything(language), PhraseRequest(rows=rows, frames=each, count=200)) for each in (False, True)
    ]
    texts = {found.telegraphic for answer in made for found in answer.phrases}
    texts |= {found.telegraphic for answer in made for frame in answer.frames for found in frame.phrases}
    return phrase.lower() in {text.lower() for text in texts}


@pytest.mark.parametrize(("language", "least"), [("en-US", 51), ("es-MX", 27)])
def test_blind_list_of_phrases(language: str, least: int) -> None:
    lines = (DATA / "judged4" / "phrases.tsv").read_text(encoding="utf-8").splitlines()[1:]
    names = lines[0].split("\t")
    rows = [row for row in (dict(zip(names, line.split("\t"))) for line in lines[1:]) if row["language"] == language]
    natural = [row["phrase"] for row in rows if row["natural"] == "yes"]
    assert [row["phrase"] for row in rows if row["natural"] == "no" and offered(row["phrase"], language)] == []
    assert sum(offered(phrase, language) for phrase in natural) >= least
