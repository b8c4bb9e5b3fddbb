"""The reader puts forms together from pieces it has read: the slow twin reads each form whole, and nothing is kept."""

from __future__ import annotations

from itertools import pairwise
from unicodedata import normalize

import pytest
from drawn_examples import examples
from hypothesis import example, given
from hypothesis import strategies as st

from approx.datafiles import read_tsv, rules_path
from approx.ipa import Reading, read
from approx.ipa import features as ft
from approx.ipa.language import language
from approx.ipa.reader import IpaReader, read_text, reader_of, seconds_of_vowels

TAGS = ("en-US", "es-MX", "de")
READERS = {tag: IpaReader(tag) for tag in TAGS}
"""Kept over all examples, as that of a program is: what came first must not change what comes later."""
SYLLABLES = """bʌ tə ˈkæt ˌpun ɹi ɪŋ stɹɔ n̩ oʊ aɪ ə ɚ sə ˈt͡ʃɪp .na d̪a ɑ̃ ul æmp ɪ əɹ ɜɹ ah oh wh th kh nɡ ˈə .i ɹə hə l̩t ɪə
    ki̯ i̯ a̯ɪ aɪ̯ a͡ɪ t͡ t͡s tʃ ʰ ⁿd kʰ ˈ ˌ . xa xx y ø r g ñ ç e o c q h V""".split()
BASES = sorted({char for base in ft.bases() for char in normalize("NFD", base)} - set(ft.marks()) - {ft.TIE})
SIGNS = [*BASES, *sorted(ft.marks()), *"ˈˌ..͡?()Cx*0- ,'/[]# \u00ad"]
LIKELY = st.lists(st.sampled_from(SYLLABLES), min_size=1, max_size=5).map("".join)
NEARLY = st.lists(st.one_of(st.sampled_from(SYLLABLES), st.sampled_from(SIGNS)), max_size=7).map("".join)


def whole(text: str, tag: str) -> Reading:
    return read_text(text, language(tag), "ipa")


@examples(2500)
@given(st.one_of(LIKELY, LIKELY, NEARLY), st.sampled_from(TAGS))
@example("aˈə", "en-US")
@example("ə.ɹi", "en-US")
@example("əˈɹa", "en-US")
@example("aki̯a", "en-US")
@example("ai̯ta", "en-US")
@example("a#t", "en-US")
@example("#t", "en-US")
@example("", "en-US")
@example("wahata", "en-US")
@example("n̩ɡæŋ", "es-MX")
def test_a_form_put_together_from_pieces_is_as_one_read_whole(text: str, tag: str) -> None:
    found, slow = READERS[tag].read(text), whole(text, tag)
    assert found == slow
    assert [word.ipa for word in found.words] == [word.ipa for word in slow.words]


@examples(300)
@given(st.lists(LIKELY, min_size=2, max_size=6), st.sampled_from(TAGS))
def test_what_a_reader_has_read_before_changes_nothing(texts: list[str], tag: str) -> None:
    forwards, backwards = IpaReader(tag), IpaReader(tag)
    one = [forwards.read(text) for text in texts]
    other = [backwards.read(text) for text in reversed(texts)]
    assert one == other[::-1] == [whole(text, tag) for text in texts]


def test_most_forms_are_put_together() -> None:
    """The twin would compare nothing if every form were read whole: of plain syllables nearly none is but the first of a kind."""
    reader, calls = IpaReader(), list[str]()
    careful = reader._whole

    def counted(text: str) -> Reading:
        calls.append(text)
        return careful(text)

    reader._whole = counted  # type: ignore[method-assign]
    plain = ["bʌ", "tə", "ˈkæt", "ˌpun", "ɹi", "stɹɔ", "oʊ", "sə", "ˈt͡ʃɪp", "æmp", "e", "ɑ̃"]
    texts = [one + other + third for one in plain for other in plain for third in plain if not other.startswith("ɹ")]
    for text in texts:
        reader.read(text)
    assert len(texts) > 1500
    assert len(calls) < len(texts) / 4


@pytest.mark.parametrize("tag", TAGS)
def test_what_a_table_has_as_a_pair_stands_in_one_piece(tag: str) -> None:
    """A form is cut where a vowel follows what is none, and before a consonant that no table has after a vowel."""
    lang = language(tag)
    ties = str.maketrans("", "", ft.TIE)
    alike = {normalize("NFD", row["typed"]) for row in read_tsv(rules_path("ipa/lookalikes.tsv"))}
    entries = {text.translate(ties) for text in (*lang.affricates, *lang.respelled, *lang.rhotic, *lang.doubtful)}
    entries |= lang.diphthongs | alike
    pairs = {pair for text in entries for pair in pairwise(text)}
    assert pairs
    assert [pair for pair in pairs if not ft.is_vowel(pair[0]) and ft.is_vowel(pair[1])] == []
    after = {second for first, second in pairs if ft.is_vowel(first) and not ft.is_vowel(second)} - set(ft.marks())
    assert after - {"\u0301", "\u0300", "\u0302", "\u030c", "\u0308"} <= seconds_of_vowels(lang)


def test_the_vowel_that_stands_for_a_neighbour_is_plain_everywhere() -> None:
    for tag in TAGS:
        assert whole("æ", tag).changes == whole("tæ", tag).changes == whole("æt", tag).changes == ()
        assert whole("æ", tag).words[0].phones == ("æ",)


def test_tags_of_one_language_have_one_reader() -> None:
    assert reader_of("en-US") is reader_of("en-GB") is reader_of("eng-Latn")
    assert reader_of("es-MX") is not reader_of("en-US")
    assert reader_of("en-US", "x-sampa") is not reader_of("en-US")


def test_equal_parts_of_words_are_one_object() -> None:
    """A sample of a million rows has few different sounds and rows of syllables."""
    one, other = read("ˈstɹɪŋi").words[0], read("ˈplɪŋi").words[0]
    typed, doubted = read("ˈt͡ʃɪŋɡi").words[0], read("ˈt͡ʃ?ɪŋɡi").words[0]
    assert one.stress is other.stress is typed.stress is doubted.stress
    assert typed.phones[0] is doubted.phones[0]
