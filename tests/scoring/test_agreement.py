"""Agreement of two transcribers, counted by hand."""

from __future__ import annotations

import pytest
from drawn_examples import examples
from hypothesis import given
from hypothesis import strategies as st

from approx.ipa import Word, read
from approx.scoring.agreement import Difference, agreement, kappa


def words(*texts: str) -> list[Word]:
    return [read(text).words[0] for text in texts]


def test_slots_are_counted_apart_for_consonants_and_vowels_broad_and_narrow() -> None:
    found = agreement(
        [
            tuple(words("tʌk", "tʌt")),  # type: ignore[list-item]  # k and t differ
            tuple(words("bəlu", "blu")),  # type: ignore[list-item]  # ə in one only
            tuple(words("s̪ʌn", "sʌn")),  # type: ignore[list-item]  # a mark in one only
        ]
    )
    assert (found.broad.hits, found.broad.out_of) == (8, 10)
    assert (found.narrow.hits, found.narrow.out_of) == (7, 10)
    assert (found.consonants_broad.hits, found.consonants_broad.out_of) == (5, 6)
    assert (found.consonants_narrow.hits, found.consonants_narrow.out_of) == (4, 6)
    assert (found.vowels_broad.hits, found.vowels_broad.out_of) == (3, 4)
    assert found.vowels_narrow == found.vowels_broad


def test_differences_are_listed_with_token_and_place() -> None:
    found = agreement([tuple(words("pɪɡ", "pɪɡ")), tuple(words("s̪ʌn", "sʌd"))])  # type: ignore[list-item]
    assert found.differences == (
        Difference(1, "s̪", "s", False, True, 0, 0),
        Difference(1, "n", "d", False, False, 2, 2),
    )


def test_a_sound_in_one_transcription_only_is_listed_with_nothing_beside_it() -> None:
    (difference,) = agreement([tuple(words("bəlu", "blu"))]).differences  # type: ignore[list-item]
    assert (difference.one, difference.other, difference.at_one, difference.at_other) == ("ə", "", 1, None)
    assert difference.vowel and not difference.narrow_only


def test_kappa_is_on_right_and_wrong_against_the_target() -> None:
    # Target consonants k t, s n, f ʃ; first judge: right right, wrong right, right right; second: right wrong, wrong
    # right, right right. Both right 4, first only 1, second only 0, neither 1: agreement 5/6, chance 5/6*4/6 + 1/6*2/6.
    found = agreement(
        [tuple(words("kæt", "kæ")), tuple(words("tʌn", "tʌn")), tuple(words("fɪʃ", "fɪʃ"))],  # type: ignore[list-item]
        words("kæt", "sʌn", "fɪʃ"),
    )
    chance = 5 / 6 * 4 / 6 + 1 / 6 * 2 / 6
    assert found.kappa == pytest.approx((5 / 6 - chance) / (1 - chance))


def test_kappa_is_undefined_where_chance_alone_agrees_or_nothing_is_judged() -> None:
    assert kappa(10, 0, 0, 0) is None
    assert kappa(0, 0, 0, 0) is None
    assert kappa(5, 0, 0, 5) == 1.0
    assert kappa(0, 5, 5, 0) == -1.0
    assert agreement([tuple(words("kæt", "kæt"))], [None]).kappa is None  # type: ignore[list-item]


def test_nothing_to_compare_is_undefined_with_a_reason() -> None:
    found = agreement([])
    assert found.broad.value is None
    assert found.broad.reason == "no sounds to compare"


forms = st.sampled_from(["spun", "pun", "kæt", "tæ", "bəˈnænə", "ˈnænə", "s̪ʌn", "sʌn", "ˈbɑtl̩", "ˈbɑtəl", "a"])


@examples(60)
@given(st.lists(st.tuples(forms, forms), max_size=5))
def test_agreement_is_whole_with_oneself_and_every_slot_is_agreed_or_listed(pairs: list[tuple[str, str]]) -> None:
    alike = agreement([tuple(words(one, one)) for one, _ in pairs])  # type: ignore[misc]
    assert alike.broad.hits == alike.broad.out_of and not alike.differences
    found = agreement([tuple(words(one, other)) for one, other in pairs])  # type: ignore[misc]
    assert found.narrow.out_of - found.narrow.hits == len(found.differences)
    assert found.broad.hits >= found.narrow.hits
    assert found.consonants_broad.out_of + found.vowels_broad.out_of == found.broad.out_of
