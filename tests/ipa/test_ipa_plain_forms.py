"""Plainly typed forms: the quick reader gives what the careful one gives, or leaves the form to it."""

from __future__ import annotations

from itertools import pairwise
from random import Random

import pytest

from approx.ipa import read
from approx.ipa.features import is_vowel
from approx.ipa.language import language
from approx.ipa.plain_forms import quick_reader

SIGNS = [
    *"ˈˌ.ptkbdɡszʃʒmnŋlɹwjhiɪeɛæaɑɔoʊuʌəɚɝɜxrʔ",
    "t͡ʃ",
    "d͡ʒ",
    "aɪ",
    "oʊ",
    "ɔɪ",
    *"̩̯̃̊̚ːˑʰʷ˞",
    "st",
    "ˈpl",
    "ŋk",
    "ñ",
    "V",
]
SYLLABLES = "bʌ tə ˈkæt ˌpun ɹi ɪŋ stɹɔ n̩ oʊ aɪ ə ɚ sə ˈt͡ʃɪp .na d̪a ɑ̃ ul æmp ɪ".split()  # noqa: SIM905


def forms(seed: int) -> list[str]:
    """Texts that are forms and texts that are nearly so."""
    draw = Random(seed)
    likely = ["".join(draw.choices(SYLLABLES, k=draw.randint(1, 4))) for _ in range(300)]
    return [*likely, *["".join(draw.choices(SIGNS, k=draw.randint(1, 9))) for _ in range(1500)]]


@pytest.mark.parametrize("tag", ["en-US", "es-MX", "de"])
def test_the_quick_reader_reads_as_the_careful_one(tag: str) -> None:
    plainly = 0
    for text in forms(len(tag)):
        found = quick_reader(tag).word(text)
        if found is None:
            continue
        plainly += 1
        slow = read(text, tag)
        assert (slow.words, slow.problems) == ((found[0],), ()), text
        assert [note for note in slow.changes for _ in range(note.times)] or not found[1], text
        notes = [(note.typed, note.read, note.why) for note in slow.changes for _ in range(note.times)]
        assert notes == list(found[1]), text
    assert plainly > 300


@pytest.mark.parametrize("tag", ["en-US", "es-MX", "de"])
def test_what_is_read_as_one_sound_stands_in_one_piece(tag: str) -> None:
    """A form is cut before each vowel that follows a consonant: nothing that reading joins or doubts may lie there."""
    lang = language(tag)
    ties = str.maketrans("", "", "͡")
    joined = {text.translate(ties) for text in (*lang.affricates, *lang.respelled, *lang.rhotic, *lang.doubtful)}
    joined |= lang.diphthongs
    assert joined
    assert [text for text in joined if any(is_vowel(b) and not is_vowel(a) for a, b in pairwise(text))] == []
