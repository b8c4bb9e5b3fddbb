"""Plain spelling: what a parent should see, and the way back for any form."""

from __future__ import annotations

from subprocess import run
from sys import executable
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from places import DATA

from approx.datafiles import read_toml, read_tsv, rules_path
from approx.ipa.symbols import read
from approx.lexicon.respelling.respelling import WHERE, read_back, respell, respell_word

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
def test_a_spelled_form_reads_back(language: str, odd: bool) -> None:
    @settings(max_examples=150, deadline=None, database=None)
    @given(forms(language, odd=odd))
    def reads_back(form: str) -> None:
        assert read_back(respell(form, language), language) == form

    reads_back()


def test_examples_are_spelled_as_a_parent_should_see_them() -> None:
    wrong = [
        f"{row['ipa']}: {seen}, not {row['spelled']}"
        for row in read_tsv(DATA / "respelling_examples.tsv")
        if (seen := respell(row["ipa"], row["language"])) != row["spelled"]
    ]
    assert not wrong, "\n".join(wrong)


def test_examples_read_back_by_hand_written_spelling() -> None:
    for row in read_tsv(DATA / "respelling_examples.tsv"):
        assert read_back(row["spelled"], row["language"]) == row["ipa"], row["spelled"]


@pytest.mark.parametrize("language", TABLES)
def test_two_sounds_never_share_a_spelling_in_one_place(language: str) -> None:
    seen: dict[tuple[str, str], str] = {}
    for row in lines(language):
        if row.get("variety"):
            continue
        assert row.get("where", "") in WHERE
        key = (row["spelling"], row.get("where", ""))
        assert key not in seen, f"{row['sounds']} and {seen[key]} are both {key}"
        seen[key] = row["sounds"]


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
    assert respell("mæmə bæ̃") == "MAM-uh baaⁿ"
    assert respell("") == ""
    assert read_back("") == ""


def test_stress_that_letters_cannot_show_is_kept_as_its_mark() -> None:
    form = read("ˌyˈba", "es-MX").ipa
    assert respell(form, "es-MX") == "ˌ/y/-BA"
    assert read_back("ˌ/y/-BA", "es-MX") == form


def test_word_processor_apostrophes_are_read() -> None:
    assert read_back("UH-’oh") == "ˈʌʔoʊ"


def test_spain_writes_z_for_its_theta() -> None:
    assert respell("θaˈpato", "es-ES") == "za-PA-to"
    assert respell("θaˈpato", "es-MX") == "tha-PA-to"
    assert read_back("za-PA-to", "es-ES") == "θaˈpato"


@settings(max_examples=200, deadline=None)
@given(st.text(max_size=20), st.sampled_from(["en-US", "es-MX", "deu-Latn"]))
def test_any_text_goes_both_ways_without_a_traceback(text: str, language: str) -> None:
    assert bool(respell(text, language)) == bool(text.split())
    assert isinstance(read_back(text, language), str)


def test_import_reads_no_file_and_loads_nothing_heavy() -> None:
    code = "import sys, approx.lexicon.respelling.respelling as r; print(r._table.cache_info().currsize, *sys.modules)"
    done = run([executable, "-c", code], capture_output=True, text=True, check=True)
    size, *modules = done.stdout.split()
    assert size == "0"
    assert not {"pandas", "panphon", "epitran", "wordfreq"} & set(modules)


def test_a_word_is_spelled_as_its_text_is() -> None:
    words = [word for row in read_tsv(rules_path("lexicon/en.tsv")) for word in read(row["ipa"]).words]
    assert len(words) > 2000
    assert [respell_word(word) for word in words] == [respell(word.ipa) for word in words]
