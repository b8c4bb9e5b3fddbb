"""The optional second reader, stood in for by a small module with its interface."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from types import ModuleType, SimpleNamespace

import pytest

from approx.lexicon import pronunciations
from approx.lexicon.english import sources as english
from approx.lexicon.pronunciation import parse_ipa, same_segments

ANSWERS = {
    "snorple": ["s", "n", "ˈɔ", "ɹ", "p", "ə", "l"],
    "glimp": ["ɡ", "l", "ˈaɪ", "m", "p"],
    "vurg": ["v", "ˈɚ", "ɡ"],
}


@pytest.fixture
def reader(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    module = ModuleType("gruut")

    def sentences(text: str, lang: str) -> list[list[SimpleNamespace]]:
        assert lang == "en-us"
        return [[SimpleNamespace(text=text, phonemes=ANSWERS[text])]]  # KeyError stands for its failures

    module.sentences = sentences  # type: ignore[attr-defined]
    monkeypatch.setitem(sys.modules, "gruut", module)
    monkeypatch.setattr(english, "is_installed", lambda: True)
    english._read.cache_clear()
    yield
    english._read.cache_clear()


@pytest.mark.usefixtures("reader")
def test_two_readers_that_agree_make_it_probable() -> None:
    (only,) = pronunciations("Snorple")
    assert (only.ipa, only.source, only.sure) == ("ˈsnɔɹpəl", "reader", False)
    assert only.note.startswith("probably")


@pytest.mark.usefixtures("reader")
def test_two_readers_that_differ_are_both_shown() -> None:
    assert [(reading.ipa, reading.source) for reading in pronunciations("Glimp")] == [
        ("ɡlaɪmp", "reader"),
        ("ɡlɪmp", "spelling rules"),
    ]


@pytest.mark.usefixtures("reader")
def test_a_stressed_rhotic_is_written_as_here() -> None:
    assert pronunciations("Vurg")[0].ipa == "vɝɡ"


@pytest.mark.usefixtures("reader")
def test_its_failure_leaves_the_spelling_rules() -> None:
    assert [reading.source for reading in pronunciations("Frindle")] == ["spelling rules"]


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        ("kɔt", "kɑt", True),
        ("ˈbʌkɪt", "ˈbʌkət", True),
        ("bɝd", "bəɹd", True),
        ("fiɹ", "fɪɹ", True),
        ("ˈdɔɡi", "ˈdɔɡu", False),
        ("bit", "bɪt", False),
        ("pun", "spun", False),
    ],
)
def test_what_counts_as_agreement(one: str, other: str, same: bool) -> None:
    assert same_segments(parse_ipa(one), parse_ipa(other)) is same
