"""Features, natural classes and distance. Oracle: panphon's own table, over every segment it knows."""

from __future__ import annotations

from unicodedata import normalize

import pytest
from drawn_examples import examples
from hypothesis import given
from hypothesis import strategies as st
from test_panphon_table import panphons_own

from approx.datafiles import read_toml, rules_path
from approx.ipa import features as ft
from approx.ipa.language import language
from approx.ipa.syllables import syllable_starts

Table = dict[str, tuple[int, ...]]
TONES = set("˩˨˧˦˥")
"""Tone letters are no sounds: the only segments of panphon left out."""
ENGLISH = (*language("en-US").consonants, *language("en-US").vowels)


@pytest.fixture(scope="module")
def panphon_table() -> Table:
    """Every segment panphon knows, but the tone letters."""
    table = panphons_own()
    assert tuple(table.names) == ft.FEATURES
    known = {name: tuple(segment.numeric()) for name, segment in table.segments}
    left_out = {name for name in known if name[0] in TONES}
    assert left_out == TONES | {tone + "ˤ" for tone in TONES}
    return {name: values for name, values in known.items() if name not in left_out}


@pytest.mark.slow
def test_features_are_panphons_for_every_segment(panphon_table: Table) -> None:
    assert len(panphon_table) > 6000
    wrong = [name for name, values in panphon_table.items() if ft.features(name) != values]
    assert not wrong, wrong


@pytest.mark.parametrize("every", [7, pytest.param(1, marks=pytest.mark.slow)])
def test_features_do_not_depend_on_the_encoding(panphon_table: Table, every: int) -> None:
    for name, values in list(panphon_table.items())[::every]:
        assert ft.features(normalize("NFC", name)) == ft.features(normalize("NFD", name)) == values


def test_what_carries_a_syllable_is_panphons_syllabic(panphon_table: Table) -> None:
    place = ft.FEATURES.index("syl")
    wrong = [name for name, values in panphon_table.items() if ft.is_nucleus(name) != (values[place] == 1)]
    assert not wrong, wrong


def test_a_vowel_is_syllabic_without_a_mark_that_says_so(panphon_table: Table) -> None:
    place = ft.FEATURES.index("syl")
    marked = {"\u0329", "\u032f"}  # syllabic, non-syllabic
    plain = {name: values for name, values in panphon_table.items() if not marked & set(name)}
    wrong = [name for name, values in plain.items() if ft.is_vowel(name) != (values[place] == 1)]
    assert not wrong, wrong
    assert not ft.is_vowel("l̩")
    assert ft.is_vowel("i̯")


@pytest.mark.parametrize(("symbol", "spelled"), [("ɚ", "ə˞"), ("ɝ", "ɜ˞")])
def test_r_coloured_vowels_are_panphons_vowel_with_the_hook(panphon_table: Table, symbol: str, spelled: str) -> None:
    assert ft.features(symbol) == panphon_table[spelled]
    assert ft.is_vowel(symbol)
    assert ft.is_nucleus(symbol)


@pytest.mark.parametrize("diphthong", ["eɪ", "oʊ", "aɪ", "aʊ", "ɔɪ", "ai", "eu", "a͡ɪ", "ea̯"])
def test_a_diphthong_is_one_vowel_with_the_features_of_its_first_half(panphon_table: Table, diphthong: str) -> None:
    assert ft.is_vowel(diphthong)
    assert ft.is_nucleus(diphthong)
    assert ft.features(diphthong) == panphon_table[diphthong[0]]
    assert ft.halves(diphthong) == (diphthong[0], diphthong[1:].lstrip("͡"))


def test_marks_on_a_diphthong_stay_with_their_half() -> None:
    assert ft.halves("a\u0303ɪ\u0303") == ("a\u0303", "ɪ\u0303")
    assert ft.features("a\u0303ɪ") == ft.features("a\u0303")
    assert ft.features("aɪ\u0303") == ft.features("a")
    assert ft.bare("a\u0303ɪ\u0303") == ("aɪ", "\u0303\u0303")
    assert ft.bare("\u00e3") == ("a", "\u0303")
    assert ft.halves("s̪ʷ") == ("s̪ʷ", "s̪ʷ")


@pytest.mark.parametrize("tied", ["t͡s", "d͡z", "b͡v", "k͡x", "t͡θ", "k͡s", "p͡s", "d͡v"])
def test_a_tied_stop_and_fricative_is_that_fricative_begun_with_a_closure(panphon_table: Table, tied: str) -> None:
    """The first four are panphon's own, the rest have no row of their own and follow them."""
    closed = dict(zip(ft.FEATURES, panphon_table[tied[-1]], strict=True)) | {"cont": -1, "delrel": 1}
    assert (tied in panphon_table) is (tied in ("t͡s", "d͡z", "b͡v", "k͡x"))
    assert ft.features(tied) == tuple(closed.values())


def test_any_other_tied_pair_has_the_features_of_its_first_half() -> None:
    assert ft.features("m͡b") == ft.features("m")
    assert ft.features("s͡f") == ft.features("s")


@pytest.mark.parametrize("text", ["", "xxx", "pt", "ab", "ba", "@", "C", "*", "͡", "t͡", "t͡a", "˥", "ʰ"])
def test_what_is_not_one_known_sound_has_no_features(text: str) -> None:
    assert ft.features(text) is None


def test_an_unidentified_vowel_carries_a_syllable_and_nothing_else_is_known() -> None:
    assert ft.is_nucleus("V")
    assert ft.is_vowel("V")
    assert not ft.is_nucleus("C")
    assert ft.features("V") is None


HAND_CLASSES = {  # judged by hand over the consonants and vowels of General American
    "[-son -cont]": "p b t d k ɡ t͡ʃ d͡ʒ",
    "[+nas]": "m n ŋ",
    "[-son +cont]": "f v θ ð s z ʃ ʒ",
    "[+lat]": "l",
    "[+strid -syl]": "f v s z ʃ ʒ t͡ʃ d͡ʒ",
    "[+delrel]": "t͡ʃ d͡ʒ",
    "[-voi]": "p t k f θ s ʃ t͡ʃ h",
    "[+syl +hi]": "i ɪ ʊ u ɝ ɚ",  # panphon's hook sets +hi
    "[+syl +lo]": "æ ɑ aɪ aʊ",
    "stop": "p b t d k ɡ",
    "fricative": "f v θ ð s z ʃ ʒ",
    "affricate": "t͡ʃ d͡ʒ",
    "nasal": "m n ŋ",
    "liquid": "l ɹ",
    "glide": "w j",
    "velar": "k ɡ ŋ",
    "labial": "p b m f v w",
    "alveolar": "t d n s z l",
    "obstruent": "p b t d k ɡ f v θ ð s z ʃ ʒ t͡ʃ d͡ʒ",
}


@pytest.mark.parametrize("name", HAND_CLASSES)
def test_natural_classes_of_english(name: str) -> None:
    assert {sound for sound in ENGLISH if ft.in_class(sound, name)} == set(HAND_CLASSES[name].split())


def test_every_named_class_is_a_bundle_of_known_features_or_known_sounds() -> None:
    for name, spec in ft.classes().items():
        members = spec.split()
        known = bool(ft.parse_bundle(spec)) if spec[0] == "[" else all(map(ft.features, members))
        assert known, name


def test_a_class_looks_at_the_sound_without_its_marks() -> None:
    assert ft.in_class("tʰ", "stop")
    assert not ft.in_class("tʰ", "fricative")


def test_an_unknown_feature_is_named() -> None:
    with pytest.raises(KeyError, match="lips"):
        ft.parse_bundle("[+son -lips]")
    with pytest.raises(KeyError, match="son"):
        ft.parse_bundle("[son]")


def test_a_natural_class_of_nothing_known_is_empty() -> None:
    assert not ft.has("@", ft.parse_bundle("[+son]"))


def test_every_mark_has_a_name_and_a_kind() -> None:
    kinds = ft.mark_kinds()
    assert set(kinds) == set(ft.marks())
    assert {kind for _, kind in kinds.values()} == {"allophone", "clinical", "distortion"}
    assert kinds["ʰ"] == ("aspirated", "allophone")
    assert kinds["̪"] == ("dental", "clinical")


# Distance

BASES = sorted(base for base in ft.bases())
SOUNDS = st.builds(
    str.__add__, st.sampled_from(BASES), st.sampled_from(["", "", "", "ː", "ʰ", "\u0303", "\u0325", "ʷ"])
)
ANY_SOUNDS = SOUNDS | st.sampled_from(["eɪ", "oʊ", "aɪ", "aʊ", "ɔɪ"])


@examples(250)
@given(SOUNDS, SOUNDS)
def test_distance_is_zero_exactly_for_equal_features(one: str, other: str) -> None:
    assert (ft.distance(one, other) == 0) is (ft.features(one) == ft.features(other))


@examples(250)
@given(ANY_SOUNDS, ANY_SOUNDS, ANY_SOUNDS)
def test_distance_is_symmetric_and_no_detour_is_shorter(one: str, other: str, third: str) -> None:
    assert ft.distance(one, one) == 0
    assert ft.distance(one, other) == ft.distance(other, one) >= 0
    assert ft.distance(one, other) <= ft.distance(one, third) + ft.distance(third, other) + 1e-9


@examples(200)
@given(ANY_SOUNDS)
def test_a_symbol_not_known_is_far_from_every_sound(sound: str) -> None:
    unknown: float = read_toml(rules_path("ipa/distance.toml"))["unknown"]["distance"]
    assert ft.distance(sound, "@") == ft.distance("@", sound) >= unknown
    assert ft.distance("@", "C") == unknown


@pytest.mark.parametrize(
    ("sound", "near", "far"),
    [  # judged by hand: voicing before place before manner of the great classes
        ("p", "b", "t"), ("t", "d", "k"), ("s", "z", "t"), ("s", "ʃ", "f"), ("m", "n", "p"), ("f", "v", "h"),
        ("t͡ʃ", "d͡ʒ", "k"), ("i", "ɪ", "ɑ"), ("eɪ", "ɛ", "aʊ"), ("aɪ", "ɑ", "i"), ("l", "ɹ", "t"), ("ɝ", "ɚ", "i"),
    ],
)  # fmt: skip
def test_near_sounds_are_nearer(sound: str, near: str, far: str) -> None:
    assert ft.distance(sound, near) < ft.distance(sound, far)


# The language files


@pytest.mark.parametrize("tag", ["en-US", "es-MX", "deu-Latn"])
def test_every_sound_of_a_language_is_known(tag: str) -> None:
    lang = language(tag)
    assert all(ft.is_vowel(sound) for sound in lang.vowels)
    assert not any(ft.is_vowel(sound) for sound in lang.consonants)
    assert all(map(ft.features, (*lang.vowels, *lang.consonants, *lang.affricates)))
    spoken = {*lang.vowels, *lang.consonants}
    assert set(lang.respelled.values()) | set(lang.rhotic.values()) <= spoken
    assert not set(lang.doubtful) & spoken
    assert not set(lang.noted) & spoken


@pytest.mark.parametrize("tag", ["en-US", "es-MX", "deu-Latn"])
def test_every_end_of_a_legal_onset_is_legal(tag: str) -> None:
    """The search for a syllable's start stops at the first run that is not legal."""
    lang = language(tag)
    for onset in lang.onsets:
        assert all(ft.features(sound) and not ft.is_nucleus(sound) for sound in onset), onset
        assert all(onset[at:] in lang.onsets for at in range(1, len(onset) - 1)), onset
        assert onset[-1] not in lang.never_first, onset
        starts = syllable_starts(("ɑ", *onset, "ɑ"), (), lang)
        assert starts == (0, 1), onset
