"""X-SAMPA, the open ASCII spelling of the IPA (Wells 1995): the whole table, and whole words."""

from __future__ import annotations

from unicodedata import normalize

import pytest

from approx.datafiles import read_tsv, rules_path
from approx.ipa import ReadingChange, read
from approx.ipa import features as ft
from approx.ipa.reader import from_xsampa

TONE = {"_T", "_H", "_M", "_L", "_B", "_R", "_/", "_F", "_\\", "!", "^", "<R>", "<F>"}
BOUNDARIES = {'"': "ˈ", "%": "ˌ", ".": ".", "-\\": "‿", "|": "|", "||": "‖"}


def table() -> dict[str, str]:
    return {row["xsampa"]: row["ipa"] for row in read_tsv(rules_path("ipa/xsampa.tsv"))}


def test_the_table_spells_every_symbol_of_the_standard() -> None:
    letters = set("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ")
    with_backslash = {f"{sign}\\" for sign in "BGHJKLMNORXhjlprsvxz@3?<>!|="}
    retroflex = {f"{sign}`" for sign in "tdnrszl@3"} | {"r\\`"}
    marks = {f"_{sign}" for sign in '"+-/0=>AFGHLMNORTXacdehjklmnoqrtvwx}^~B'} | {"_?\\", "=", "~", "'", "`"}
    signs = set("123456789@{}&?") | {":", ":\\", "|\\|\\", "b_<", "d_<", "g_<", "J\\_<", "G\\_<", "_"}
    missing = (letters | with_backslash | retroflex | marks | signs) - set(table())
    assert not missing, missing


def test_the_whole_table_reads() -> None:
    """A sound is itself, a mark stands on a sound, a boundary cuts; tone is refused with a reason."""
    wrong = []
    for typed, ipa in table().items():
        if typed in TONE:
            reading = read("ma" + typed, notation="x-sampa")
            good = [problem.code for problem in reading.problems] == ["ipa.tone"]
        elif typed in BOUNDARIES:
            reading = read(f"ma{typed}ma", notation="x-sampa")
            syllables = sum(len(word.starts) for word in reading.words)
            good = ipa == BOUNDARIES[typed] and not reading.problems and syllables == 2
        elif typed == "_":
            reading = read("t_s", notation="x-sampa")
            good = reading.words[0].phones == ("t͡s",)
        elif ipa in ft.marks():
            reading = read("m" + typed, notation="x-sampa")
            good = reading.words[0].phones == ("m" + ipa,) and not reading.problems
        else:
            reading = read(typed, notation="x-sampa")
            good = reading.words[0].phones == (normalize("NFC", ipa),) and not reading.problems
            good = good and ft.features(ipa) is not None
        if not good:
            wrong.append(f"{typed} {ipa}: {reading}")
    assert not wrong, "\n".join(wrong)


@pytest.mark.parametrize(
    ("typed", "phones"),
    [  # the standard's own examples (Wells 1995), then English words by hand
        ("G", "ɣ"), ("G\\", "ɢ"), ("d_G", "dˠ"), ("t_d", "t̪"), ("n_d", "n̪"), ("t_h", "tʰ"), ("t'", "tʲ"), ("k_w", "kʷ"),
        ("n=", "n̩"), ("e~", "e\u0303"), ("p_>", "pʼ"), ("b_<", "ɓ"), ("|\\|\\", "ǁ"), ("k_p", "k͡p"), ("t_S", "t͡ʃ"),
        ("tSVNk", "t͡ʃ ʌ ŋ k"), ("dZus", "d͡ʒ u s"), ("r\\Ed", "ɹ ɛ d"), ("w_0", "w\u0325"), ("bI@", "b ɪ ə"),
        ("T3`st", "θ ɝ s t"), ("haI", "h aɪ"), ("%p@\"teItoU", "p ə t eɪ t oʊ"), ("{p@l", "æ p ə l"), ("bVt@`", "b ʌ t ɚ"),
        ("bakpak", "b a k p a k"), ("ragbi", "r a ɡ b i"), ("m?", "m ʔ"), ("?V?oU", "ʔ ʌ ʔ oʊ"), ("CV", "ç ʌ"),
    ],
)  # fmt: skip
def test_x_sampa_is_read(typed: str, phones: str) -> None:
    reading = read(typed, notation="x-sampa")
    assert not reading.problems
    assert " ".join(" ".join(word.phones) for word in reading.words) == phones


def test_every_symbol_means_what_it_says() -> None:
    """No habit of writing is looked for: r is a trill, y a front rounded vowel, th two sounds."""
    reading = read("yrth", notation="x-sampa")
    assert reading.words[0].phones == ("y", "r", "t", "h")
    assert not reading.words[0].doubtful
    assert reading.changes == (), "what was read is what was typed"


def test_stress_and_cuts_are_read() -> None:
    assert read('p@"teI%toU', notation="x-sampa").words[0].stress == (0, 1, 2)
    assert read("mA.mA", notation="x-sampa").words[0].starts == (0, 2)


def test_the_change_says_what_was_read() -> None:
    reading = read("spun@", notation="x-sampa")
    assert reading.changes[-1] == ReadingChange("spun@", "ˈspunə", "X-SAMPA", 1)
    assert reading.typed == "spun@"


def test_doubt_is_read_as_in_ipa() -> None:
    reading = read("(m)V 0 *V", notation="x-sampa")
    assert reading.words[0].doubtful == {0}
    assert reading.words[1].phones == ("*", "ʌ")
    assert read("0", notation="x-sampa").omitted


def test_what_is_no_x_sampa_is_a_problem_with_its_place_in_what_was_typed() -> None:
    assert from_xsampa("t_S$m_0") == "t͡ʃ$m\u0325"
    (problem,) = read('"mA:m_0$V', notation="x-sampa").problems
    assert (problem.symbol, problem.column) == ("$", 8)
    assert read("m$V", notation="x-sampa").words[0].phones == ("m", "*", "ʌ")
