"""What a reading says of itself: changes once a kind, problems with their place, languages, long text."""

from __future__ import annotations

import unicodedata

import pytest

from approx.datafiles import read_tsv, rules_path
from approx.ipa import ReadingChange, Segment, read, segments
from approx.ipa import features as ft
from approx.ipa.language import language


def test_a_change_is_reported_once_a_kind_with_its_count() -> None:
    reading = read("gʌg rʌg ʧʌʧ")
    assert reading.ipa == "ɡʌɡ ɹʌɡ t͡ʃʌt͡ʃ"
    assert reading.changes == (
        ReadingChange("g", "ɡ", "keyboard g", 3),
        ReadingChange("r", "ɹ", "the English r", 1),
        ReadingChange("ʧ", "t͡ʃ", "one-letter affricate", 2),
    )
    assert reading.typed == "gʌg rʌg ʧʌʧ"


def test_a_canonical_form_needs_no_change() -> None:
    for text in ("spun", "təˈmeɪtoʊ", "ˈwɔtɚ", "d͡ʒəˈɹæf", "ˈlaɪtˌhaʊs", "ˈsɔ.ɪŋ", "ˈmʌd ˌpaɪ"):
        reading = read(text)
        assert (reading.changes, reading.problems, reading.omitted) == ((), (), False), text
    assert read("ˈmʌd ˌpaɪ").ipa == "mʌd paɪ"


def test_an_unknown_symbol_is_named_with_code_point_place_and_the_way_out() -> None:
    (problem,) = read("  mʌ@d").problems
    assert problem.code == "ipa.symbol"
    assert problem.symbol == "@"
    assert problem.column == 5
    assert problem.message == "'@' U+0040 in 'mʌ@d' is not an IPA symbol"
    assert problem.hint == "write ə, or read the text as X-SAMPA (--notation x-sampa)"
    assert problem.fatal


def test_an_unknown_symbol_is_kept_as_an_unknown_sound() -> None:
    (word,) = read("mʌ@d").words
    assert word.phones == ("m", "ʌ", "*", "d")
    assert word.doubtful == {2}


def test_every_problem_of_a_text_is_named_in_one_run() -> None:
    found = [(problem.column, problem.symbol) for problem in read("m@ 5ʌ ma˥").problems]
    assert found == [(2, "@"), (4, "5"), (9, "˥")]


def test_a_long_text_is_shown_shortened_in_a_problem() -> None:
    (problem,) = read("@" + "mʌ" * 100).problems
    assert len(problem.message) < 100


@pytest.mark.parametrize("sign", ["\x00", "\u0378", "\U000e0fff"])
def test_a_character_without_a_picture_is_named_by_its_number(sign: str) -> None:
    (problem,) = read(f"m{sign}ʌ").problems
    assert f"U+{ord(sign):04X}" in problem.message


def test_the_whole_left_off_is_told_from_nothing_typed() -> None:
    assert read("∅").omitted
    assert read("[0]").omitted
    assert not read("").omitted
    assert read("").words == ()
    assert read(" \t ").words == ()


def test_r_depends_on_the_language() -> None:
    assert segments("rɑ", "en-GB") == ("ɹ", "ɑ")
    assert segments("ra", "es") == ("r", "a")
    assert segments("ra", "deu-Latn") == ("r", "a")


def test_a_language_tag_finds_its_file() -> None:
    assert language("en_US") is language("eng-Latn") is language("EN")
    assert language("es-419") is language("spa-Latn")
    assert language("fr-FR").code == "und"


def test_diphthongs_are_those_of_the_language() -> None:
    assert segments("haɪ") == ("h", "aɪ")
    assert segments("ai", "es") == ("ai",)
    assert segments("aɪ", "es") == ("ai",)
    assert segments("aɪ", "deu-Latn") == ("a", "ɪ")


def test_segments_refuses_what_is_not_one_certain_word() -> None:
    with pytest.raises(ValueError, match=r"U\+0040"):
        segments("m@")
    with pytest.raises(ValueError, match="not one word"):
        segments("mʌ bʌ")
    with pytest.raises(ValueError, match="not one word"):
        segments("")


def test_a_sound_knows_its_base_and_its_doubt() -> None:
    word = read("tʰaɪ\u0303(m)").words[0]
    assert word.segments == (Segment("tʰ"), Segment("aɪ\u0303"), Segment("m", doubtful=True))
    assert [segment.base for segment in word.segments] == ["t", "aɪ", "m"]
    assert [segment.is_vowel for segment in word.segments] == [False, True, False]
    assert str(word) == word.ipa == "tʰaɪ\u0303m"


def test_syllables_have_onset_nucleus_and_coda() -> None:
    first, second = read("ˈbʌtl̩").words[0].syllables
    assert (first.shape, first.stress) == ("CV", 1)
    assert (second.shape, second.stress) == ("CV", 0)
    assert [segment.text for segment in second.nucleus] == ["l̩"]
    (only,) = read("stɹɛŋkθs").words[0].syllables
    assert only.shape == "CCCVCCCC"
    (hush,) = read("ʃː").words[0].syllables
    assert hush.shape == "C"
    assert [syllable.shape for syllable in read("CVCV").words[0].syllables] == ["CV", "CV"]


def test_a_word_without_a_mark_is_stressed_at_its_start() -> None:
    assert read("ˈmɑmə").words == read("mɑmə").words
    assert read("mɑmə").words[0].stress == (1, 0)
    assert read("mɑˌmə").words[0].stress == (0, 1), "the only mark is the main stress"


def test_a_form_of_ten_thousand_sounds_is_read() -> None:
    assert len(read("mʌ" * 5000).words[0].phones) == 10_000
    assert len(read("mʌ " * 5000).words) == 5000
    assert len(read("ma" * 5000).words[0].phones) == 10_000
    assert len(read("@" * 10_000).problems) == 10_000
    assert len(read("m" + "\u0303" * 10_000).words[0].phones) == 1
    assert len(read("(" * 10_000).problems) == 10_000


# The data files


def test_a_lookalike_is_no_symbol_itself_and_is_read_as_known_ones() -> None:
    known = {*ft.bases(), *ft.marks(), ft.TIE, "ˈ", "ˌ", "(", ")", "*", "C", "V"}
    for row in read_tsv(rules_path("ipa/lookalikes.tsv")):
        assert row["typed"] not in ft.bases() or row["language"], row
        letters = [ft.bases().get(row["read"]) is None and char for char in row["read"]]
        assert all(char in known for char in letters if char), row
        assert row["why"], row
        assert not read("ʌ" + row["typed"] + "ʌ", row["language"] or "und").problems or row["read"] in "()", row


def test_every_lookalike_is_reported_when_it_is_read() -> None:
    for row in read_tsv(rules_path("ipa/lookalikes.tsv")):
        typed = unicodedata.normalize("NFD", row["typed"])
        changes = read("bʌ" + row["typed"] + "ʌ", row["language"] or "und").changes
        assert (typed, row["read"], row["why"]) in {(c.typed, c.read, c.why) for c in changes}, row


def test_every_refused_symbol_is_refused_with_its_hint() -> None:
    for row in read_tsv(rules_path("ipa/refused.tsv")):
        (problem,) = read("mʌ" + row["symbol"] + "ʌ").problems
        assert problem.symbol == row["symbol"]
        assert problem.hint == row["hint"]


def test_data_files_hold_each_symbol_once() -> None:
    for name, key in (
        ("lookalikes", "typed"),
        ("refused", "symbol"),
        ("features", "symbol"),
        ("marks", "mark"),
    ):
        symbols = [row[key] for row in read_tsv(rules_path(f"ipa/{name}.tsv"))]
        assert len(symbols) == len(set(symbols)), name
    typed = {row["typed"] for row in read_tsv(rules_path("ipa/lookalikes.tsv"))}
    assert not typed & {row["symbol"] for row in read_tsv(rules_path("ipa/refused.tsv"))}


def test_the_code_point_beside_a_mark_is_its_own() -> None:
    for row in read_tsv(rules_path("ipa/marks.tsv")):
        assert row["code"] == f"U+{ord(row['mark']):04X}", row


def test_a_habit_of_writing_is_kept_and_noted_or_doubted() -> None:
    for tag in ("en-US", "es-MX"):
        lang = language(tag)
        for typed, why in (lang.noted | lang.doubtful).items():
            reading = read(typed, tag)
            assert ReadingChange(typed, typed, why) in reading.changes, (tag, typed)
            assert bool(reading.words[0].doubtful) == (typed in lang.doubtful), (tag, typed)
