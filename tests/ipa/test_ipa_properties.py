"""What must hold for any text: nothing raised, nothing lost, no doubt made certain, no encoding that matters."""

from __future__ import annotations

from itertools import pairwise
from unicodedata import normalize

from drawn_examples import examples
from hypothesis import example, given
from hypothesis import strategies as st
from slow_syllables import LEGAL_ENGLISH, slow_starts

from approx.ipa import Reading, read
from approx.ipa import features as ft
from approx.ipa.language import language
from approx.ipa.word import Word

BASES = sorted({char for base in ft.bases() for char in normalize("NFD", base)} - set(ft.marks()) - {ft.TIE})
MARKS = sorted(ft.marks())
SIGNS = list("ˈˌ..?()CVVxxx*0∅--⃝͜͡ ,'’\"gr:ʧčñç𝼀@5!/;[]|") + ["xxx", "(.)", "\u200b", "\u0301", "á"]
PIECES = st.one_of(st.sampled_from(BASES), st.sampled_from(MARKS), st.sampled_from(SIGNS))
TYPED = st.lists(PIECES, max_size=12).map("".join)
HARD = st.one_of(
    TYPED,
    st.text(max_size=15),
    st.text(alphabet=st.characters(categories=["Mn", "Lm", "Sk", "Cf", "Cc", "Zs"]), max_size=8),
)
LANGUAGES = st.sampled_from(["en-US", "es-MX", "deu-Latn"])
NOTATIONS = st.sampled_from(["ipa", "x-sampa"])


@examples(250)
@given(HARD, LANGUAGES, NOTATIONS)
@example("x.xx", "en-US", "ipa")
@example("͡͡", "en-US", "ipa")
@example("İ", "en-US", "ipa")
@example("ǰ̌(", "es-MX", "ipa")
def test_any_text_is_read_without_raising_and_gives_whole_words(text: str, tag: str, notation: str) -> None:
    reading = read(text, tag, notation)
    assert reading.typed == text
    for problem in reading.problems:
        assert problem.code.startswith("ipa.")
        assert problem.hint
        assert problem.symbol
        assert problem.column is not None
        assert 1 <= problem.column <= len(text)
    kinds = [(change.typed, change.read, change.why) for change in reading.changes]
    assert len(kinds) == len(set(kinds)), "a change is reported once a kind"
    assert all(change.times >= 1 and change.why for change in reading.changes)
    assert not (reading.omitted and reading.words)
    for word in reading.words:
        assert word.phones
        assert all(word.phones)
        assert word.starts[0] == 0
        assert all(left < right < len(word.phones) for left, right in pairwise(word.starts))
        assert len(word.starts) == len(word.stress)
        assert max(word.doubtful, default=0) < len(word.phones)
        assert sum(syllable.shape.count("V") <= 1 for syllable in word.syllables) == len(word.starts)
        for at, phone in enumerate(word.phones):
            unknown = phone in ("C", "V", "*", "xxx")
            assert unknown <= (at in word.doubtful), "what was not identified is in doubt"
            assert unknown or ft.features(phone), f"{phone!r} has no features"


@examples(250)
@given(TYPED, LANGUAGES)
@example("čç\u0303ñ", "es")
@example("\u00e3\u00e7", "en-US")
def test_composed_and_decomposed_text_are_read_alike(text: str, tag: str) -> None:
    one, other = read(normalize("NFC", text), tag), read(normalize("NFD", text), tag)
    assert (one.words, one.changes, one.omitted) == (other.words, other.changes, other.omitted)
    assert [(p.code, p.symbol) for p in one.problems] == [(p.code, p.symbol) for p in other.problems]


def letters(reading: Reading) -> str:
    """Every sound read, decomposed as what was typed is."""
    return normalize("NFD", "".join(phone for word in reading.words for phone in word.phones))


@examples(250)
@given(TYPED, LANGUAGES)
@example("bərd tʃaɪ̯ (ma)", "en-US")
@example("xxxx", "en-US")
def test_every_base_symbol_and_every_mark_is_accounted_for(text: str, tag: str) -> None:
    """What was typed, and what changes put in its place, is in the sounds, in a change or in a problem; no more.

    Slashes, brackets and blanks are not counted: in pairs or alone they only say where a form begins and ends.
    """
    reading = read(text, tag)
    counted = {*BASES, *MARKS, ft.TIE, "g", "r", ":", "@", "5", "!", ";"} - {"\u0303"}
    typed, heard = normalize("NFD", text), letters(reading)
    for char in counted & set(typed + heard):
        came, went = typed.count(char), heard.count(char)
        for change in reading.changes:
            came += normalize("NFD", change.read).count(char) * change.times
            went += normalize("NFD", change.typed).count(char) * change.times
        went += sum(normalize("NFD", problem.symbol).count(char) for problem in reading.problems)
        assert came == went, f"{char!r}: {came} typed or put, {went} accounted for: {reading}"


@examples(250)
@given(TYPED, LANGUAGES)
def test_every_sign_of_doubt_and_omission_leaves_a_trace(text: str, tag: str) -> None:
    reading = read(text, tag)
    traces = "".join(change.typed for change in reading.changes) + "".join(
        problem.symbol for problem in reading.problems
    )
    doubted = any(word.doubtful for word in reading.words)
    left_off = reading.omitted or any(any(word.omitted) for word in reading.words)
    for sign in "?⃝(":
        assert sign not in text or doubted or sign in traces, f"{sign} is lost: {reading}"
    for sign in "0∅-":
        assert sign not in text or left_off or sign in traces, f"{sign} is lost: {reading}"
    for sign in "ˈˌ":
        stressed = any(any(word.stress) for word in reading.words)
        assert sign not in text or stressed or sign in traces, f"{sign} is lost: {reading}"


@examples(250)
@given(TYPED)
def test_doubt_never_becomes_certainty(text: str) -> None:
    """A question mark after a sound puts that sound in doubt, and changes nothing else."""
    sure, asked = read("mʌd" + text.strip()), read("mʌd?" + text.strip())
    assert asked.problems or asked.omitted or 2 in asked.words[0].doubtful, asked
    if not (sure.problems or asked.problems):
        assert [word.phones for word in sure.words] == [word.phones for word in asked.words]
        for one, other in zip(sure.words, asked.words, strict=True):
            assert one.doubtful <= other.doubtful


ENGLISH = language("en-US")
VOWELS = set(ENGLISH.vowels)
PHONES = st.lists(st.sampled_from([*ENGLISH.vowels, *ENGLISH.consonants]), min_size=1, max_size=9)


@examples(250)
@given(PHONES, st.data())
def test_a_word_of_english_sounds_is_written_and_read_back(phones: list[str], data: st.DataObject) -> None:
    starts = slow_starts(phones, VOWELS, LEGAL_ENGLISH)
    stress = data.draw(st.lists(st.sampled_from([0, 1, 2]), min_size=len(starts), max_size=len(starts)))
    stress[data.draw(st.integers(0, len(starts) - 1))] = 1
    before = Word(tuple(phones), starts, tuple(stress))
    text = before.ipa
    apart = any(
        char == "." and len(text[:at].translate(dict.fromkeys(map(ord, "ˈˌ.")))) not in offsets(before)
        for at, char in enumerate(text)
    )
    after = read(text).words[0]
    assert after.phones == before.phones
    if not apart:  # a dot between two sounds of one syllable cuts it, which no text can avoid
        assert (after.starts, after.stress) == (before.starts, before.stress)
        assert after.ipa == text


def offsets(word: Word) -> set[int]:
    """Where syllables start in the bare text of a word."""
    return {len("".join(word.phones[:start])) for start in word.starts}


@examples(250)
@given(st.lists(st.sampled_from([*ENGLISH.vowels, *ENGLISH.consonants, "ˈ", "ˌ", ".", ".", "ɹ", "ə"]), max_size=9))
@example(["t", "h", "i"])
@example(["ə", "ɹ", "ˈ", "æ"])
@example(["m", "ˈ", "m"])
@example(["."])
def test_the_quick_way_and_the_careful_way_give_one_answer(symbols: list[str]) -> None:
    """A blank at the end is all it takes to be read character by character."""
    quick, careful = read("".join(symbols)), read("".join(symbols) + " ")
    assert quick.words == careful.words
    assert quick.changes == careful.changes
    assert [p.code for p in quick.problems] == [p.code for p in careful.problems]
