"""A child file: read whole when it is right, and every fault named with its line and column when it is not."""

from __future__ import annotations

from pathlib import Path

import pytest

from approx.child import Profile, read_child_file, read_table
from approx.child.write_profile import template
from approx.problems import Problem

GOOD = """\
code     = "K07"          # never a name
age      = "3;2"
language = "en-US"
accent   = []

[consonants]              # status = by position
all.established     = "m b p t d n h w"
all.emerging        = "k"
final.established   = "p t m n d"
clusters            = ["nd final", "nt final emerging"]

[vowels]   # remark with = and [brackets]
established = "i ɪ ɛ æ ɑ ʌ ə u oʊ eɪ aɪ"
emerging    = "ʊ"

[syllables]
established   = ["V", "CV", "VC", "CVC", "CVCC"]
emerging      = []
max_syllables = 2
variety       = "same consonant"

[chosen]
spoon = "pun"
"ice cream" = "aɪ kim"

[readings]
read = "ɹid"
"""


def child(tmp_path: Path, text: str | bytes) -> tuple[Profile | None, tuple[Problem, ...]]:
    """What is read from a file with this text."""
    path = tmp_path / "child.toml"
    path.write_bytes(text.encode() if isinstance(text, str) else text)
    return read_child_file(path)


def edited(old: str, new: str) -> str:
    """The good file with one line changed."""
    assert GOOD.count(old) == 1, old
    return GOOD.replace(old, new)


def place_of(text: str, part: str) -> tuple[int, int]:
    """Line and column of the only place where `part` stands."""
    assert text.count(part) == 1, part
    before = text[: text.index(part)]
    return before.count("\n") + 1, len(before) - (before.rfind("\n") + 1) + 1


def test_the_template_reads_clean(tmp_path: Path) -> None:
    profile, problems = child(tmp_path, template("X07", "es-MX"))
    assert problems == ()
    assert profile is not None
    assert (profile.code, profile.language, profile.age) == ("X07", "es-MX", "3;0")
    assert profile.consonants["final"] == {}
    assert set(profile.shapes) == {"V", "CV"}


def test_a_good_file_is_read_whole(tmp_path: Path) -> None:
    profile, problems = child(tmp_path, GOOD)
    assert problems == ()
    assert profile is not None
    assert (profile.code, profile.age, profile.language, profile.accent) == ("K07", "3;2", "en-US", ())
    assert profile.consonants["initial"] == dict.fromkeys("mbptdnhw", "established") | {"k": "emerging"}
    assert profile.consonants["medial"] == profile.consonants["initial"]
    assert profile.consonants["final"] == dict.fromkeys("ptmnd", "established")
    assert profile.clusters == {(("n", "d"), "final"): "established", (("n", "t"), "final"): "emerging"}
    assert profile.vowels["oʊ"] == "established"
    assert profile.vowels["ʊ"] == "emerging"
    assert set(profile.shapes) == {"V", "CV", "VC", "CVC", "CVCC"}
    assert (profile.max_syllables, profile.variety) == (2, "same consonant")
    assert profile.chosen == {"spoon": "pun", "ice cream": "aɪ kim"}
    assert profile.readings == {"read": "ɹid"}


def test_what_is_not_said_has_a_default(tmp_path: Path) -> None:
    profile, _ = child(tmp_path, 'code = "X01"\n')
    assert profile == Profile(code="X01", consonants=dict.fromkeys(("initial", "medial", "final"), {}))


@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_windows_text_reads_as_any_other(tmp_path: Path, mark: bytes, end: str) -> None:
    text = edited('all.emerging        = "k"', 'all.emerging        = "k qq"')
    _, problems = child(tmp_path, mark + text.replace("\n", end).encode())
    assert [(problem.line, problem.column) for problem in problems] == [(8, 26)]


def test_a_position_of_its_own_wins_over_all_and_is_no_contradiction(tmp_path: Path) -> None:
    text = edited('final.established   = "p t m n d"', 'final.established   = "p t m n d"\nfinal.emerging = "b"')
    profile, problems = child(tmp_path, text)
    assert problems == ()
    assert profile is not None
    assert profile.consonants["final"]["b"] == "emerging"
    assert profile.consonants["initial"]["b"] == "established"
    assert "k" not in profile.consonants["final"], "the line of the position stands alone"


def test_sounds_may_stand_in_lists_and_with_commas(tmp_path: Path) -> None:
    text = edited('all.emerging        = "k"', 'all.emerging = ["k ɡ", "f, v"]')
    profile, problems = child(tmp_path, text)
    assert problems == ()
    assert profile is not None
    assert [sound for sound, status in profile.consonants["initial"].items() if status == "emerging"] == [
        "k", "ɡ", "f", "v",
    ]  # fmt: skip


FAULTS = {  # what is wrong: (line as it was, as it is, code, text that stands where the problem points, words in it)
    "code is a number": ('code     = "K07" ', "code     = 7 ", "value", "code     = 7", "must be text"),
    "age in words": ('age      = "3;2"', 'age      = "three"', "age", "age  ", "3;2"),
    "age as a decimal": ('age      = "3;2"', 'age      = "3.2"', "age", "age  ", "years;months"),
    "thirteen months": ('age      = "3;2"', 'age      = "3;13"', "age", "age  ", "3;13"),
    "language by name": ('"en-US"', '"english"', "language", "language", "en-US"),
    "language is a number": ('"en-US"', "5", "value", "language", "must be text"),
    "accent is a text": ("accent   = []", 'accent   = "x"', "value", "accent", "list of names"),
    "key not known": ("age      =", "agee     =", "key", "agee", "did you mean 'age'?"),
    "key in the wrong place": ("accent   = []", "variety  = 1", "key", "variety  = 1", "under [syllables]"),
    "section not known": ("[readings]", "[reading]", "key", "[reading]", "did you mean 'readings'?"),
    "position not known": ("final.est", "finall.est", "key", "finall", "did you mean 'final'?"),
    "status not known": ("all.emerging ", "all.emergent ", "status", "all.emergent", "did you mean 'emerging'?"),
    "status of no position": ("all.emerging ", "emerging ", "key", 'emerging        = "k"', "all.emerging"),
    "vowel status not known": ('emerging    = "ʊ"', 'soon = "ʊ"', "key", "soon", "known: established"),
    "position without status": ("final.established   =", "medial =", "value", "medial", "medial.established"),
    "status is a number": ('all.emerging        = "k"', "all.emerging = 3", "value", "all.emerging", "m b p"),
    "status is a list of numbers": ('emerging    = "ʊ"', "emerging = [1]", "value", "emerging = [1]", "texts"),
    "sound not known": ('"k"', '"k @"', "sound", "@", "'@' U+0040"),
    "two sounds in one": ('"k"', '"k tp"', "sound", "tp", "with spaces between"),
    "sound in doubt": ('"k"', '"k ɡ?"', "sound", "ɡ?", "untested"),
    "sound in parentheses": ('"k"', '"k (ɡ)"', "sound", "(ɡ)", "untested"),
    "unidentified consonant": ('"k"', '"k C"', "sound", 'C"\nfinal', "not a known sound"),
    "sound left off": ('"k"', '"k -"', "sound", '-"\nfinal', "one sound"),
    "vowel among consonants": ('"k"', '"k eɪ"', "sound", 'eɪ"\nfinal', "[vowels]"),
    "y among consonants": ('"k"', '"k y"', "sound", 'y"\nfinal', "write j"),
    "syllabic consonant among consonants": ('"k"', '"k n̩"', "sound", 'n̩"', "[vowels]"),
    "consonant among vowels": ('"ʊ"', '"ʊ ɡ"', "sound", "ɡ", "[consonants]"),
    "X-SAMPA sound": ('"ʊ"', '"ʊ {"', "sound", "{", "X-SAMPA"),
    "same vowel twice": ('"ʊ"', '"ʊ æ"', "contradiction", 'æ"', "established (line 13) and emerging"),
    "same consonant twice": ('"k"', '"k d"', "contradiction", 'd"\nfinal', "established (line 7) and emerging"),
    "shape not known": ('"VC",', '"VX",', "shape", "VX", "such as CVC"),
    "shape in small letters": ('"VC",', '"vc",', "shape", "vc", "in capitals: VC"),
    "shape of a word": ('"VC",', '"CVCV",', "shape", "CVCV", "one V"),
    "shape twice": ("emerging      = []", 'emerging      = ["VC"]', "contradiction", 'VC"]', "(line 17)"),
    "clusters is a text": ('["nd final", "nt final emerging"]', '"nd final"', "value", "clusters", "list of texts"),
    "cluster of one": ('"nt final', '"n final', "cluster", "n final", "two or more consonants"),
    "cluster with a vowel": ('"nt final', '"nʌ final', "cluster", "nʌ final", "two or more consonants"),
    "affricate is no cluster": ('"nt final', '"tʃ final', "cluster", "tʃ final", "two or more consonants"),
    "cluster with an unknown sound": ('"nt final', '"n@ final', "cluster", "n@ final", "U+0040"),
    "cluster at no position": ('"nt final', '"nt end', "cluster", "nt end", "initial, medial, final"),
    "cluster with too many words": ('"nt final', '"nt final medial', "cluster", "nt final medial", "and where"),
    "empty cluster": ('"nt final emerging"', '""', "cluster", "clusters", "and where"),
    "cluster twice": ('"nt final', '"nd final', "contradiction", "nd final emerging", "established (line 10)"),
    "length in words": ("max_syllables = 2", 'max_syllables = "three"', "value", "max_syllables", "max_syllables = 3"),
    "length as a decimal": ("max_syllables = 2", "max_syllables = 2.5", "value", "max_syllables", "from 1 to 9"),
    "length of nothing": ("max_syllables = 2", "max_syllables = 0", "value", "max_syllables", "from 1 to 9"),
    "length is true": ("max_syllables = 2", "max_syllables = true", "value", "max_syllables", "from 1 to 9"),
    "variety not known": ('"same consonant"', '"some"', "variety", "variety", '"same consonant"'),
    "variety is a list": ('"same consonant"', '["any"]', "variety", "variety", '"any"'),
    "chosen form not IPA": ('"pun"', '"p@n"', "symbol", "@n", "U+0040"),
    "chosen form in doubt": ('"pun"', '"p?un"', "form", "p?un", "known sounds"),
    "chosen form unidentified": ('"pun"', '"Cun"', "form", "Cun", "known sounds"),
    "chosen form empty": ('"pun"', '""', "form", "spoon", "is not IPA text"),
    "chosen form left off": ('"pun"', '"0"', "form", "spoon", "is not IPA text"),
    "chosen form is a number": ('"pun"', "1", "form", "spoon", "is not IPA text"),
    "chosen form with a phrase as key": ('"aɪ kim"', '"aɪ k@m"', "symbol", "@m", "U+0040"),
    "reading not IPA": ('"ɹid"', '"ɹ5d"', "symbol", "5d", "U+0035"),
    "two forms of one word": ('spoon = "pun"', 'spoon = "pun"\nSpoon = "spun"', "contradiction", "Spoon", "line 23"),
}  # fmt: skip


@pytest.mark.parametrize("name", FAULTS)
def test_one_fault_is_one_problem_at_its_place(tmp_path: Path, name: str) -> None:
    old, new, code, part, said = FAULTS[name]
    text = edited(old, new)
    _, problems = child(tmp_path, text)
    assert len(problems) == 1, [str(problem) for problem in problems]
    problem = problems[0]
    assert problem.fatal
    assert problem.code.partition(".")[2] == code
    assert (problem.line, problem.column) == place_of(text, part)
    assert said in str(problem)
    assert problem.hint
    assert problem.file.endswith("child.toml")


def test_one_sound_in_two_spellings_is_one_sound(tmp_path: Path) -> None:
    text = edited('"m b p t d n h w"', '"m b p t d n h w ɡ"').replace('"k"', '"k g"')
    _, problems = child(tmp_path, text)
    (problem,) = [problem for problem in problems if problem.fatal]
    assert (problem.code, problem.line, problem.column) == ("child.contradiction", 8, 26)
    assert "'g' is established (line 7) and emerging" in problem.message


@pytest.mark.parametrize("name", ["consonants", "vowels", "syllables", "chosen", "readings"])
def test_a_section_that_is_a_value_is_named(tmp_path: Path, name: str) -> None:
    _, problems = child(tmp_path, f'code = "X01"\n{name} = 1\n')
    (problem,) = [problem for problem in problems if problem.fatal]
    assert (problem.code, problem.line, problem.column) == ("child.section", 2, 1)
    assert f"[{name}] on a line of its own" in problem.hint


def test_all_faults_of_a_file_are_named_in_one_run_in_the_order_of_lines(tmp_path: Path) -> None:
    text = GOOD
    for old, new in (('"3;2"', '"3"'), ('"k"', '"k @"'), ('"ʊ"', '"ʊ p"'), ('"VC",', '"X",'), ('"pun"', "2")):
        text = text.replace(old, new)
    profile, problems = child(tmp_path, text)
    assert [(problem.code, problem.line) for problem in problems] == [
        ("child.age", 2), ("child.sound", 8), ("child.sound", 14), ("child.shape", 17), ("child.form", 23),
    ]  # fmt: skip
    assert profile is not None, "what can be read is read"
    assert profile.vowels["ʊ"] == "emerging"


@pytest.mark.parametrize(
    ("text", "line", "column", "said"),
    [
        ('code = "a"\ncode = "b"\n', 2, 11, "stands twice"),
        ('[vowels]\nestablished = "i"\nestablished = "u"\n', 3, 18, "stands twice"),
        ("[vowels]\n\n[vowels]\n", 3, 8, "stands twice"),
        ('code = "a\n', 1, 10, "not valid TOML"),
        ("code = a\n", 1, 8, "not valid TOML"),
        ("[vowels\n", 1, 8, "not valid TOML"),
        ("clusters = [", 1, None, "not valid TOML"),
        ('a = 1\n\nb = """never closed\n', 4, None, "not valid TOML"),
    ],
)
def test_what_is_not_toml_is_named_with_its_place(
    tmp_path: Path, text: str, line: int, column: int | None, said: str
) -> None:
    profile, (problem,) = child(tmp_path, text)
    assert profile is None
    assert (problem.code, problem.line, problem.column) == ("child.syntax", line, column)
    assert said in problem.message


def test_a_file_in_another_encoding_is_named_with_its_line(tmp_path: Path) -> None:
    profile, (problem,) = child(tmp_path, 'code = "x"\n[vowels]\nestablished = "é"\n'.encode("latin-1"))
    assert profile is None
    assert (problem.code, problem.line) == ("child.encoding", 3)
    assert child(tmp_path, GOOD.encode("utf-16"))[1][0].code == "child.encoding"


@pytest.mark.parametrize("text", ["", "\n\n", "# only a remark\n"])
def test_an_empty_file_says_how_to_start(tmp_path: Path, text: str) -> None:
    profile, (problem,) = child(tmp_path, text)
    assert profile is None
    assert problem.code == "child.empty"
    assert "approx child new" in problem.hint


def test_a_file_that_cannot_be_opened_is_one_problem(tmp_path: Path) -> None:
    for path in (tmp_path, tmp_path / "nowhere.toml"):
        profile, (problem,) = read_child_file(path)
        assert profile is None
        assert problem.code == "child.file"
        assert problem.file == str(path)
        assert "approx child new" in problem.hint


def test_a_parsed_table_needs_no_text(tmp_path: Path) -> None:
    profile, problems = read_table({"age": "x", "vowels": {"established": "i"}})
    assert profile.vowels == {"i": "established"}
    assert [(problem.code, problem.line) for problem in problems] == [("child.age", None)]


def test_people_and_interests_are_read_and_kept_by_the_desk(tmp_path: Path) -> None:
    from approx.web.forms.profile_form import profile_of, profile_toml

    path = tmp_path / "child.toml"
    lines = ('interests = ["truck", " animals ", "truck"]', "[vowels]", 'established = "i a"', "[syllables]",
             'established = ["CV"]', "[people]", 'Ana = "she"', '"Mary Ann" = "They"')  # fmt: skip
    path.write_text("\n".join(lines), encoding="utf-8")
    profile, problems = read_child_file(path)
    assert profile is not None and problems == ()
    assert profile.interests == ("truck", "animals") and profile.people == {"Ana": "she", "Mary Ann": "they"}
    again = profile_of(profile_toml(profile))
    assert (again.interests, again.people) == (profile.interests, profile.people)


@pytest.mark.parametrize(
    ("text", "code", "line"),
    [
        ('[people]\nAna = "her"', "child.pronoun", 2),
        ("[people]\nAna = 3", "child.pronoun", 2),
        ('[people]\nAna = "she"\nANA = "he"', "child.contradiction", 3),
        ('interests = "truck"', "child.value", 1),
    ],
)
def test_people_and_interests_that_cannot_be_read_are_named(tmp_path: Path, text: str, code: str, line: int) -> None:
    path = tmp_path / "child.toml"
    path.write_text(text, encoding="utf-8")
    _, problems = read_child_file(path)
    found = [problem for problem in problems if problem.fatal]
    assert [(problem.code, problem.line) for problem in found] == [(code, line)] and found[0].hint
