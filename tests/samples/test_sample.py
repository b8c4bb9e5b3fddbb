"""Reading a sample: the invented children, streams and standard input, several attempts, dictionaries, groups."""

from __future__ import annotations

import io
import subprocess
import sys
from collections import Counter
from pathlib import Path

import pytest
from places import SAMPLES

from approx.samples.rows.sample import Sample, count_pairs, grouped_rows, open_reader, read_sample, sample_of

HEADING = "child,session_date,target_word,target_ipa,produced_ipa"


def sheet(*rows: str, heading: str = HEADING) -> Sample:
    return read_sample(io.BytesIO("\n".join((heading, *rows, "")).encode()))


@pytest.mark.parametrize(
    ("name", "tokens", "words", "left_out"),
    [
        # the totals of the invented scenario, sections 6 (K07, M12, T03)
        ("m12.csv", 25, 25, {}),
        ("k07.csv", 75, 25, {"no gloss": 4, "unintelligible": 1}),
        ("t03.csv", 63, 23, {}),
    ],
)
def test_invented_children(name: str, tokens: int, words: int, left_out: dict[str, int]) -> None:
    sample = read_sample(SAMPLES / name)
    assert len(sample.tokens) == sample.rows == tokens
    assert len({token.target_word for token in sample.tokens if token.target_word}) == words
    assert Counter(reason for _, reason in sample.left_out) == left_out
    assert sample.problems == () and sample.refused == ()
    assert all(token.note.startswith("invented example") for token in sample.tokens)


def test_m12_inventory_is_that_of_the_scenario() -> None:
    consonants = Counter(
        segment.text
        for token in read_sample(SAMPLES / "m12.csv").tokens
        if token.produced
        for segment in token.produced.segments
        if not segment.is_vowel
    )
    assert consonants == {"t": 19, "d": 10, "p": 9, "b": 4, "w": 4, "m": 3, "n": 2, "h": 1}


def test_k07_has_21_words_in_three_tokens_of_which_16_vary() -> None:
    forms: dict[str, list[str]] = {}
    for token in read_sample(SAMPLES / "k07.csv").tokens:
        if token.counted and token.context != "talk" and token.produced:
            forms.setdefault(token.target_word, []).append(token.produced.ipa)
    three = {word: said for word, said in forms.items() if len(said) == 3}
    assert (len(forms), len(three)) == (24, 21)
    assert sum(map(len, forms.values())) == 69


def test_t03_keeps_its_two_languages_apart() -> None:
    counted = count_pairs(SAMPLES / "t03.csv", by=("child", "language"))
    totals = {group: sum(pairs.values()) for group, pairs in counted.groups.items()}
    assert totals == {("T03", "en-US"): 54, ("T03", "es"): 9}


def test_what_was_typed_stays_beside_what_was_read() -> None:
    token = sheet("X01,2026-03-02,go,goʊ,ga ").tokens[0]
    assert (token.typed_target, token.typed_produced) == ("goʊ", "ga ")
    assert token.produced is not None and token.produced.ipa == "ɡa"


def test_each_change_is_told_once_with_number_and_first_row() -> None:
    sample = sheet(*["X01,2026-03-02,pea,pi,pi", *["X01,2026-03-02,go,ɡoʊ,gu"] * 3])
    assert [(c.column, c.typed, c.read, c.times, c.row) for c in sample.changes] == [("produced_ipa", "g", "ɡ", 3, 3)]


def test_a_refused_row_is_named_with_file_row_column_and_symbol() -> None:
    data = f"{HEADING}\nX01,2026-03-02,pea,pi,pi\nX01,2026-03-02,pea,pi,p§i\n".encode()
    sample = read_sample(io.BytesIO(data), file="visit.csv")
    (problem,) = sample.problems
    assert (problem.file, problem.line, problem.column, problem.symbol) == ("visit.csv", 3, 5, "§")
    assert "produced_ipa" in problem.message
    assert [token.row for token in sample.tokens] == [2]


def test_attempts_in_one_cell_are_numbered_tokens_of_one_row() -> None:
    sample = sheet("X01,2026-03-02,mama,ˈmɑmə,ma / mʌ", "X01,2026-03-02,pea,pi,pi")
    assert [(token.row, token.attempt, str(token.produced)) for token in sample.tokens] == [
        (2, 1, "ma"),
        (2, 2, "mʌ"),
        (3, 1, "pi"),
    ]


@pytest.mark.parametrize(
    ("cell", "forms"),
    [
        ("ma / mʌ", ["ma", "mʌ"]),
        ("ma/mʌ", ["ma", "mʌ"]),
        ("ma > mʌ", ["ma", "mʌ"]),
        ("ma → mʌ", ["ma", "mʌ"]),
        ("ma; mʌ ;mə", ["ma", "mʌ", "mə"]),
        ('"ma, mʌ"', ["ma", "mʌ"]),
        ('"ˈmama,ˈmʌma"', ["ˈmama", "ˈmʌma"]),
        ('"ˈmama,mʌ"', ["ˈmamaˌmʌ"]),  # a comma inside a word is secondary stress
        ("/ma/ /mʌ/", ["ma", "mʌ"]),
        ("/ma / mʌ/", ["ma", "mʌ"]),
        ("[ma][mʌ]", ["ma", "mʌ"]),
        ("[ma] > [mʌ]", ["ma", "mʌ"]),
        ("ma x3", ["ma"] * 3),
        ("ma ×2", ["ma"] * 2),
        ("ma²", ["ma"] * 2),
        ("ma /", ["ma"]),
    ],
)
def test_writings_of_several_attempts(cell: str, forms: list[str]) -> None:
    assert [str(token.produced) for token in sheet(f"X01,2026-03-02,mama,ˈmɑmə,{cell}").tokens] == forms


def test_a_raised_number_is_no_count_where_it_may_be_a_tone() -> None:
    sample = sheet("X01,2026-03-02,ma,ma,ma²,zh", heading=f"{HEADING},language")
    assert sample.refused == (2,)


@pytest.mark.parametrize(
    ("row", "kind"),
    [
        ("pea,pi,pi", "scored"),
        ("pea,pi,0", "omitted"),
        ("pea,pi,∅", "omitted"),
        ("pea,pi,-", "omitted"),
        ("pea,pi,", "no response"),
        ("pea,pi,no response", "no response"),
        ("pea,pi,xxx", "unintelligible"),
        ("pea,pi,pV", "unintelligible"),
        (",,pV", "no gloss"),
        (",,xxx", "unintelligible"),
        (",,pi", "no gloss"),
        (",,0", "no response"),
        ("pea?,pi,bi", "no gloss"),
    ],
)
def test_kinds_of_tokens(row: str, kind: str) -> None:
    (token,) = sheet(f"X01,2026-03-02,{row}").tokens
    assert token.kind == kind
    assert token.counted == (kind in ("scored", "omitted"))


def test_a_doubtful_sound_is_kept_doubtful_and_an_omitted_edge_is_kept() -> None:
    first, second = sheet("X01,2026-03-02,mud,mʌd,mʌd?", "X01,2026-03-02,pea,pi,-i").tokens
    assert first.produced is not None and first.produced.doubtful == {2}
    assert second.produced is not None and second.produced.omitted == (True, False)


def test_a_word_without_ipa_is_looked_up_once() -> None:
    asked = []

    def look_up(word: str, language: str) -> str | None:
        asked.append((word, language))
        return {"pea": "pi", "uh": "ʌ", "oh": "oʊ"}.get(word)

    rows = [["pea", "pi"], ["pea", "bi"], ["uh oh", "ʌ o"], ["blick", "bɪk"]]
    sample = sample_of(["word", "produced"], rows, look_up=look_up)
    assert [token.target and token.target.ipa for token in sample.tokens] == ["pi", "pi", "ʌ oʊ", None]
    assert asked == [(word, "en-US") for word in ("pea", "uh oh", "uh", "oh", "blick")]
    assert [(problem.code, problem.line, problem.symbol) for problem in sample.problems] == [
        ("sample.unknown_word", 5, "blick")
    ]
    assert sample.left_out == ((5, "adult form not known"),)


def test_rows_in_memory_may_hold_numbers_dates_and_nothing() -> None:
    from datetime import date

    sample = sample_of(HEADING.split(","), [[7, date(2026, 3, 2), "pea", "pi", None], [7.0, None, "pea", "pi", "bi"]])
    assert [(token.child, token.session_date, token.kind) for token in sample.tokens] == [
        ("7", "2026-03-02", "no response"),
        ("7", "", "scored"),
    ]


def test_other_columns_are_kept_and_can_group() -> None:
    data = f"{HEADING},room\nX01,2026-03-02,pea,pi,pi,blue\nX01,2026-03-02,pie,paɪ,pa,red\n".encode()
    sample = read_sample(io.BytesIO(data))
    assert [sample.value(token, "room") for token in sample.tokens] == ["blue", "red"]
    assert set(count_pairs(io.BytesIO(data), by=("room",)).groups) == {("blue",), ("red",)}
    missing = count_pairs(io.BytesIO(data), by=("weather",))
    assert not missing.groups
    assert [problem.symbol for problem in missing.problems if problem.code == "use.by"] == ["weather"]


def test_order_of_columns_does_not_matter() -> None:
    rows = [dict(zip(HEADING.split(","), line.split(","), strict=True)) for line in ("X01,2026-03-02,pea,pi,bi",)]
    turned = list(reversed(HEADING.split(",")))
    there = sample_of(turned, [[row[name] for name in turned] for row in rows])
    assert there.tokens == sheet("X01,2026-03-02,pea,pi,bi").tokens


def test_composed_and_decomposed_text_is_the_same() -> None:
    import unicodedata

    rows = ["niño,2026-03-02,piñón,piˈɲon,piˈɲõ", "X01,2026-03-02,pan,pãn,pɛ̃"]
    forms = [
        read_sample(io.BytesIO(unicodedata.normalize(form, "\n".join((HEADING, *rows))).encode()), "es")
        for form in ("NFC", "NFD")
    ]
    read = [[(t.child, t.target_word, t.target, t.produced) for t in sample.tokens] for sample in forms]
    assert read[0] == read[1]


def test_pairs_are_one_object_for_all_tokens_that_share_them() -> None:
    data = f"{HEADING}\n{'X01,2026-03-02,pea,pi,bi' + chr(10)}{'X02,2026-03-02,pea,pi,bi' + chr(10)}".encode()
    pairs = [pairs for _, _, pairs in grouped_rows(open_reader(io.BytesIO(data)), ("child",))]
    assert pairs[0][0] is pairs[1][0]


def test_standard_input_that_cannot_be_wound_back() -> None:
    code = (
        "from approx.samples.rows.sample import read_sample\n"
        "s = read_sample('-')\n"
        "print(len(s.tokens), s.tokens[0].produced.ipa.encode('unicode_escape').decode(), s.problems)"
    )
    data = f"{HEADING}\nX01,2026-03-02,pea,pi,bɪ\n".encode()
    done = subprocess.run([sys.executable, "-c", code], input=data, capture_output=True, check=True)
    assert done.stdout.decode().split() == ["1", "b\\u026a", "()"]


def test_a_stream_we_were_given_is_left_open() -> None:
    stream = io.BytesIO((SAMPLES / "m12.csv").read_bytes())
    read_sample(stream)
    assert not stream.closed


def test_a_missing_file_is_a_problem() -> None:
    sample = read_sample(Path("no such file.csv"))
    assert [problem.code for problem in sample.problems] == ["sample.file"]


def test_reading_csv_loads_no_heavy_library() -> None:
    code = (
        "import sys; from pathlib import Path; from approx.samples.rows.sample import read_sample;"
        f"read_sample(Path({str(SAMPLES / 'm12.csv')!r}));"
        "print([m for m in ('pandas', 'numpy', 'openpyxl', 'xlsxwriter', 'charset_normalizer') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True, text=True)
    assert done.stdout.strip() == "[]"


def test_many_problems_of_one_kind_are_summed_up_with_their_rows() -> None:
    sample = sheet(*["X01,2026-03-02,pea,pi,p§"] * 1500)
    assert len(sample.refused) == 1500
    assert len(sample.problems) == 1001
    assert "500 more rows" in sample.problems[-1].message and "1002-1501" in sample.problems[-1].message


def test_control_characters_do_not_reach_the_terminal() -> None:
    sample = sheet("X01,2026-03-02,pea,pi,p\x1b[31mi")
    assert sample.refused == (2,)
    assert all("\x1b" not in problem.message for problem in sample.problems)


def test_no_sign_that_turns_a_line_round_reaches_the_terminal() -> None:
    from approx.problems import Problem

    said = str(Problem("a.b", "'\u202egnp.exe\u2066' is not a sound", "a\x1b[31m\nb", "c\x9b.csv"))
    assert said == "c<U+009B>.csv: '<U+202E>gnp.exe<U+2066>' is not a sound; a<U+001B>[31m<U+000A>b [a.b]"


def test_a_whole_file_survives_one_open_quotation_mark() -> None:
    rows = ["X01,2026-03-02,pea,pi,bi"] * 2000
    rows[3] = 'X01,2026-03-02,"pea,pi,bi'
    sample = sheet(*rows)
    assert len(sample.tokens) == 2000
    assert [(change.typed, change.row) for change in sample.changes] == [('"', 5)]
