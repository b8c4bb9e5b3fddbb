"""Plain spelling: what a parent should see, and the way back for any form."""

from __future__ import annotations

import re
from subprocess import run
from sys import executable
from typing import Any

import pytest
from drawn_examples import examples
from hypothesis import given, settings
from hypothesis import strategies as st
from places import DATA
from respelled import read_back, respell

from approx.datafiles import read_toml, read_tsv, rules_path
from approx.ipa import read
from approx.lexicon.respelling.respelling import respell_word
from approx.lexicon.respelling.spelling_table import WHERE

TABLES = {"en-US": "lexicon/respelling.toml", "es-MX": "lexicon/respelling_es.toml"}
INVENTORY = {"en-US": "languages/en-us.toml", "es-MX": "languages/es.toml"}
MARKS = ["", "", "", "ː", "\u0303", "ʰ", "\u0325"]


def lines(language: str) -> list[dict[str, str]]:
    rows: list[dict[str, str]] = read_toml(rules_path(TABLES[language]))["spellings"]
    return rows


def sounds(language: str, kind: str) -> list[str]:
    """The sounds of a language, from the inventory in `rules/languages`, which the speller does not read."""
    table: dict[str, Any] = read_toml(rules_path(INVENTORY[language]))
    listed: str = table["consonants"] if kind == "C" else table["vowels"] + " " + table["diphthongs"]
    return listed.split()


@st.composite
def forms(draw: st.DrawFn, language: str, *, odd: bool) -> str:
    """A canonical form of one to four syllables; `odd` adds marks and every sound of the table."""
    consonants, vowels = sounds(language, "C"), sounds(language, "V")
    if odd:
        singles = [row["sounds"] for row in lines(language) if " " not in row["sounds"]]
        consonants = consonants + [sound for sound in singles if sound not in vowels] + ["ʙ", "q", "c", "y", "ø"]
    marks = st.sampled_from(MARKS if odd else [""])
    run_of = st.lists(st.builds(str.__add__, st.sampled_from(consonants), marks), max_size=3).map("".join)
    count = draw(st.integers(1, 4))
    stressed = draw(st.integers(0, count - 1))
    text = ""
    for i in range(count):
        text += "" if count == 1 else "ˈ" if i == stressed else draw(st.sampled_from(["", "ˌ", ""])) if i else ""
        text += draw(run_of) + draw(st.sampled_from(vowels)) + draw(marks) + draw(run_of)
    return read(text, language).ipa


@pytest.mark.parametrize("language", ["en-US", "es-MX"])
@pytest.mark.parametrize("odd", [False, True], ids=["own sounds", "any sounds"])
@pytest.mark.parametrize("drawn", [20, pytest.param(500, marks=pytest.mark.slow)])
def test_a_spelled_form_reads_back(language: str, odd: bool, drawn: int) -> None:
    @settings(max_examples=drawn, database=None)
    @given(forms(language, odd=odd))
    def reads_back(form: str) -> None:
        assert as_heard(read_back(respell(form, language), language), language) == as_heard(form, language)

    reads_back()


def as_heard(form: str, language: str) -> str:
    """What a family hears of a form: no second stress, but the syllable it began.

    In Spanish one j sound and one y sound, a glide after a vowel too (soy); in English one r vowel, and the vowel of ear.
    A stop and a fricative that meet sound like their affricate.
    """
    alike = {"h": "x", "j": "ʝ"} if language.startswith("es") else {"ɝ": "ɚ"}
    (word,) = read(form.translate(str.maketrans({"ˌ": ".", **alike})).lstrip("."), language).words
    heard = word.ipa.replace("\u0361", "")
    return re.sub(r"i$", "ʝ", heard) if language.startswith("es") else heard.replace("ɪɹ", "iɹ")


def test_examples_are_spelled_as_a_parent_should_see_them() -> None:
    wrong = [
        f"{row['ipa']}: {seen}, not {row['spelled']}"
        for row in read_tsv(DATA / "respelling_examples.tsv")
        if (seen := respell(row["ipa"], row["language"])) != row["spelled"]
    ]
    assert not wrong, "\n".join(wrong)


def test_examples_read_back_by_hand_written_spelling() -> None:
    for row in read_tsv(DATA / "respelling_examples.tsv"):
        back = as_heard(read_back(row["spelled"], row["language"]), row["language"])
        assert back == as_heard(row["ipa"], row["language"]), row["spelled"]


@pytest.mark.parametrize("language", TABLES)
def test_two_sounds_never_share_a_spelling_in_one_place(language: str) -> None:
    seen: dict[tuple[str, str], str] = {}
    for row in lines(language):
        if row.get("variety") or row.get("reads"):
            continue
        assert row.get("where", "") in WHERE
        for spelling in (row["spelling"], *row.get("also", "").split()):
            key = (spelling, row.get("where", ""))
            assert seen.setdefault(key, row["sounds"]) == row["sounds"], f"{row['sounds']} and {seen[key]}: {key}"


@pytest.mark.parametrize("language", TABLES)
def test_every_sound_of_the_language_has_a_spelling_and_every_line_a_reason(language: str) -> None:
    spelled = {row["sounds"] for row in lines(language) if not row.get("where") and not row.get("variety")}
    assert not [sound for kind in "CV" for sound in sounds(language, kind) if sound not in spelled]
    if language == "en-US":
        assert all(row.get("key_word") or row.get("remark") for row in lines(language))


def test_pairs_a_family_must_tell_apart_differ() -> None:
    for one, other in [("pʊl", "pul"), ("θaɪ", "ðaɪ"), ("bʌd", "bɝd"), ("sɪn", "sɪŋ"), ("kɑt", "kɔt"), ("bɪt", "bit"),
                       ("mɪʃ", "mɪʒ"), ("t͡ʃɪn", "ʃɪn"), ("sɪŋ", "sɪnɡ"), ("bɛd", "bæd"), ("mʌ", "mə")]:  # fmt: skip
        assert respell(one) != respell(other)


def test_nothing_is_dropped() -> None:
    assert respell("ba§") == "ba§"
    assert respell("yt") == "/y/t"
    assert read_back("/y/t") == "yt"
    assert respell("xxx pun") == "xxx poon"
    assert respell("nænə pæ̃") == "NAN-uh paaⁿ"
    assert respell("") == ""
    assert read_back("") == ""


def test_stress_that_letters_cannot_show_is_kept_as_its_mark() -> None:
    form = read("ˈyba", "es-MX").ipa
    assert respell(form, "es-MX") == "ˈ/y/-ba"
    assert read_back("ˈ/y/-ba", "es-MX") == form


def test_word_processor_apostrophes_are_read() -> None:
    assert read_back("UH-’oh") == "ˈʌʔoʊ"


def test_spain_writes_z_for_its_theta() -> None:
    assert respell("θaˈpato", "es-ES") == "za-PA-to"
    assert respell("θaˈpato", "es-MX") == "tha-PA-to"
    assert read_back("za-PA-to", "es-ES") == "θaˈpato"


@examples(200)
@given(st.text(max_size=20), st.sampled_from(["en-US", "es-MX", "deu-Latn"]))
def test_any_text_goes_both_ways_without_a_traceback(text: str, language: str) -> None:
    assert bool(respell(text, language)) == bool(text.split())
    assert isinstance(read_back(text, language), str)


def test_import_reads_no_file_and_loads_nothing_heavy() -> None:
    code = "import sys, approx.lexicon.respelling.respelling as r; print(r.spelling_table.cache_info().currsize, *sys.modules)"
    done = run([executable, "-c", code], capture_output=True, text=True, check=True)
    size, *modules = done.stdout.split()
    assert size == "0"
    assert not {"pandas", "panphon", "epitran", "wordfreq"} & set(modules)


def test_a_word_is_spelled_as_its_text_is() -> None:
    words = [word for row in read_tsv(rules_path("lexicon/en.tsv")) for word in read(row["ipa"]).words]
    assert len(words) > 2000
    assert [respell_word(word) for word in words] == [respell(word.ipa) for word in words]


# --- what a parent reads


def plain(spelled: str) -> str:
    """A spelling without hyphens, capitals and signs."""
    return "".join(char for char in spelled.lower() if char not in " -·.'’")


@pytest.mark.parametrize(("language", "least_good"), [("en-US", 78), ("es-MX", 30)])
def test_blind_list_of_spellings(language: str, least_good: int) -> None:
    """`judged4/spelling.tsv`: spellings a parent reads right, and spellings that must not be printed, none of those."""
    lines = (DATA / "judged4" / "spelling.tsv").read_text(encoding="utf-8").splitlines()[1:]
    names = lines[0].split("\t")
    rows = [row for row in (dict(zip(names, line.split("\t"))) for line in lines[1:]) if row["language"] == language]
    seen = [(plain(respell(row["ipa"], language)), row) for row in rows]
    good = [text in map(plain, row["good"].split()) for text, row in seen]
    never = [text for (text, row), fine in zip(seen, good) if not fine and text in map(plain, row["never"].split())]
    assert never == []
    assert sum(good) >= least_good


@pytest.mark.parametrize(
    "form",
    ["pʊt", "paɪp", "waɪt", "ˈkʊki", "wɔn", "ful", "fʊl", "ɡeɪ", "pʊʃ", "dus", "pʌt", "hɪz", "ɡɪv", "ɡɪt", "wɑs"],
)
def test_no_spelling_is_a_word_said_otherwise(form: str) -> None:
    """Every reading that the dictionary or the list has of the printed word is the form."""
    from approx.lexicon import pronunciations
    from approx.lexicon.pronunciation import parse_ipa, same_segments

    readings = pronunciations(plain(respell(form)))
    known = [reading for reading in readings if reading.source in ("word list", "dictionary", "strong form")]
    assert all(same_segments(parse_ipa(reading.ipa), parse_ipa(form)) for reading in known), respell(form)


@pytest.mark.parametrize(
    ("form", "spelled"), [("ɡɛɹ", "gair"), ("ˈɡɛɹət", "GAIR-uht"), ("ɡɪɹ", "gheer"), ("ɡiɹ", "ghear")]
)
def test_a_g_before_a_front_vowel_and_r_is_not_read_as_j(form: str, spelled: str) -> None:
    """By hand: what a child says for care and carrot whose first sound is voiced; ger and geer read as j."""
    assert respell(form) == spelled


def test_the_word_aimed_at_is_printed_before_another_with_its_sounds() -> None:
    bee, tea = read("bi").words[0], read("ti").words[0]
    assert respell_word(bee, "en-US", "bee") == "bee"
    assert respell_word(tea, "en-US", "key") == "tea"
    assert [respell(form) for form in ("noʊ", "tu", "aɪ")] == ["no", "too", "eye"]


@pytest.mark.parametrize(
    ("form", "aimed", "printed"),
    [
        ("no", "no", "no"), ("ɡo", "go", "go"), ("tek", "take", "take"), ("pəˈteto", "potato", "potato"),
        ("so", "so", "so"), ("nʌ", "no", "nuh"), ("bo", "ball", "boe"), ("no", "nose", "noe"),
    ],
)  # fmt: skip
def test_a_held_vowel_prints_the_word_aimed_at(form: str, aimed: str, printed: str) -> None:
    """Written before it was run: [no] is heard as no; a sound left off or another vowel is not the word."""
    assert respell_word(read(form).words[0], "en-US", aimed) == printed


def test_a_child_with_o_and_without_its_glide_reads_as_saying_no() -> None:
    from places import SAMPLES

    from approx.api.practice.sheets import sheet

    html = sheet("family", str(SAMPLES / "k07.toml"), words="no, go, mud").html()
    assert "noe" not in html and html.count("Your child can say it too.") >= 1


@pytest.mark.parametrize(("ipa", "spelled"), [
    ("ˈmaːma", "MAH-mah"), ("ˈoːpa", "OH-pah"), ("teː", "tay"), ("ɡryːn", "grewn"), ("ʃøːn", "shurn"), ("haʊ̯s", "howss"),
    ("ˈap͡fəl", "AH-pfuhl"), ("bɛːɐ̯", "bair"), ("ˈfoːɡl̩", "FOH-gl"),
])  # fmt: skip
def test_a_word_of_a_language_without_letters_is_spelled_as_english_says_it(ipa: str, spelled: str) -> None:
    """German as a phrase book for English readers has it: by hand. Its long vowel is no vowel held long."""
    assert respell(ipa, "deu-Latn") == respell(ipa, "de") == spelled


def test_a_held_vowel_of_english_and_spanish_is_shown() -> None:
    assert (respell("bɑː"), respell("ˈmɑːmɑ"), respell("ˈmaːma", "es-MX")) == ("bah~", "MAH~-mah", "MA~-ma")
    assert respell("ˈmama") == "MAHH-mahh"
