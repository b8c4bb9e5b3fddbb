"""Words told apart, and ways round a rude form; expected by hand."""

from __future__ import annotations

import pytest

from approx.datafiles import read_toml, rules_path
from approx.ipa import read
from approx.ipa.word import Word
from approx.practice.suggest.clashes import clean_first, first_offer, is_worse_than_alike, keep_apart
from approx.processes.simplify.nearness import as_a_listener_hears


def word(ipa: str) -> Word:
    return read(ipa, "en-US").words[0]


def never(number: int, at: int) -> bool:
    return False


def test_the_second_of_two_alike_takes_its_next_form() -> None:
    forms = [[("kɑ", 0.5), ("kɑp", 0.6)], [("kɑ", 0.3), ("ɡɑ", 0.4)]]
    assert keep_apart(forms, ["sɑk", "kɑɹ"], never) == [0, 1]
    assert keep_apart(forms, ["kɑɹ", "kɑɹ"], never) == [0, 0]
    assert keep_apart([forms[0], [("kɑ", 0.3), ("ɡɑ", 0.6)]], ["sɑk", "kɑɹ"], lambda number, at: True) == [0, 0]


def test_the_first_moves_where_the_second_has_no_other_form() -> None:
    """A form 0.2 dearer is as good; one dearer still is not."""
    assert keep_apart([[("kɑ", 0.5), ("kɑp", 0.6)], [("kɑ", 0.3)]], ["sɑk", "kɑɹ"], never) == [1, 0]
    assert keep_apart([[("kɑ", 0.5), ("kɑp", 0.8)], [("kɑ", 0.3)]], ["sɑk", "kɑɹ"], never) == [0, 0]
    three = [[("kɑ", 0.5), ("ɡɑk", 0.5), ("kɑp", 0.6)], [("ɡɑk", 0.3)], [("kɑ", 0.3)]]
    assert keep_apart(three, ["sɑk", "dɔɡ", "kɑɹ"], never) == [2, 0, 0]


def test_no_word_is_told_apart_by_a_core_word_or_a_rude_one() -> None:
    for form, adult in (("ɡoʊ", "noʊ"), ("mɑ", "mɔɹ"), ("pu", "tu")):
        assert is_worse_than_alike(form, "en-US", adult), form
    for form, adult in (("ɡoʊ", "ɡoʊ"), ("moʊ", "noʊ"), ("kɑp", "sɑk")):
        assert not is_worse_than_alike(form, "en-US", adult), form


def test_a_rude_form_is_gone_round_by_its_end() -> None:
    """The last consonant goes before another vowel, that before another first consonant; the dearer form is taken for it."""
    rude, off, end, vowel, first = (word(form) for form in ("kɑk", "kɑ", "kɑp", "kʌk", "ɡɑk"))

    def taken(*forms: tuple[Word, float], adult: str = "sɑk", opens: int = 0) -> int:
        costs = [(form, cost, opens if at else 0) for at, (form, cost) in enumerate(forms)]
        return clean_first(costs, "en-US", adult)

    assert taken((rude, 0.4), (first, 0.7), (off, 1.3)) == 2
    assert taken((rude, 0.4), (end, 1.0), (off, 1.1)) == 1
    assert taken((rude, 0.4), (first, 0.7), (vowel, 0.9)) == 2
    assert taken((rude, 0.4), (first, 0.7), (off, 1.6)) == 1
    assert taken((word("fʊk"), 0.1), (word("fʊɡ"), 0.4), (word("fʊ"), 0.9), adult="fʊt") == 2
    assert taken((word("kaɪk"), 0.5), (word("waɪk"), 1.0), (word("kaɪp"), 1.4), adult="slaɪd", opens=1) == 1
    assert taken((word("pu"), 0.1), (word("bu"), 0.5), adult="tu") == 0  # laughed at only, and too far


def test_a_weak_end_is_one_vowel_to_a_listener() -> None:
    same = [("ˈbɑbə", "ˈbɑˌbɑ"), ("ˈpʌpə", "ˈpʌpʌ")]
    assert all(as_a_listener_hears(word(one)) == as_a_listener_hears(word(other)) for one, other in same)
    apart = [("bɑ", "bə"), ("ˈbɑbi", "ˈbɑbə"), ("bəˈbɑ", "bəˈbʌ")]
    assert all(as_a_listener_hears(word(one)) != as_a_listener_hears(word(other)) for one, other in apart)


def test_how_much_dearer_a_form_may_be_stands_in_the_rules(monkeypatch: pytest.MonkeyPatch) -> None:
    """With other numbers in rules/search.toml another form is offered first: to keep two targets apart, and for a rude one."""
    two = [[("kɑ", 0.5), ("kɑp", 0.6)], [("kɑ", 0.3)]]
    rude = [(word(form), cost, 0) for form, cost in (("kɑk", 0.4), ("ɡɑk", 0.7), ("kɑ", 1.3))]

    def answers() -> tuple[list[int], int]:
        return keep_apart(two, ["sɑk", "kɑɹ"], never), clean_first(rude, "en-US", "sɑk")

    assert answers() == ([1, 0], 2)
    table = read_toml(rules_path("search.toml"))
    changed = table | {"first": dict.fromkeys(table["first"], 0.0)}
    monkeypatch.setattr("approx.practice.suggest.clashes.read_toml", lambda path: changed)
    first_offer.cache_clear()
    try:
        assert answers() == ([0, 0], 1)
    finally:
        first_offer.cache_clear()
