"""Words a person has decided: they win, they are stems, and their file survives."""

from __future__ import annotations

from pathlib import Path

import pytest

from approx.lexicon import load_own_words, own_words_path, pronunciations, say


def test_an_own_word_wins_over_everything() -> None:
    for word in ("dog", "the", "Zibby", "woof"):
        first = pronunciations(word, own={word: "ˈpɑpə"})
        assert [(reading.ipa, reading.source, reading.sure) for reading in first] == [("ˈpɑpə", "own words", True)]


@pytest.mark.parametrize(
    ("word", "own", "ipa"),
    [
        ("dogs", {"dog": "dɔ"}, "dɔz"),
        ("Zibbed", {"Zib": "zɪp"}, "zɪpt"),
        ("Nonosaurs", {"nonosaur": "ˈnoʊnəˌsɔɹ"}, "ˈnoʊnəˌsɔɹz"),
        ("dogbog", {"bog": "boʊɡ"}, "ˈdɔɡˌboʊɡ"),
        ("Bers", {"ber": "bɛɹ"}, "bɛɹz"),
        ("dog-bog", {"bog": "boʊɡ"}, "ˈdɔɡˌboʊɡ"),
    ],
)
def test_an_own_word_serves_as_stem(word: str, own: dict[str, str], ipa: str) -> None:
    assert pronunciations(word, own=own)[0].ipa == ipa


def test_a_word_that_only_looks_like_a_form_is_left_alone() -> None:
    assert pronunciations("his", own={"hi": "hɑ"})[0].ipa == "hɪz"
    assert pronunciations("does", own={"do": "da"})[0].ipa == "dʌz"


def test_what_is_said_once_is_remembered(tmp_path: Path) -> None:
    path = tmp_path / "new" / "words.tsv"
    assert load_own_words(path=path) == ({}, ())
    assert say("Zibby", "/ˈzibi/", path=path) == ()
    assert say("pan", "pan", "es-419", path=path) == ()
    assert say("ZIBBY", "ˈzaɪbi", path=path) == ()
    assert load_own_words(path=path) == ({"zibby": "ˈzaɪbi"}, ())
    assert load_own_words("es", path=path) == ({"pan": "pan"}, ())
    assert [name.name for name in path.parent.iterdir()] == ["words.tsv"]


def test_remarks_and_other_lines_stay(tmp_path: Path) -> None:
    path = tmp_path / "words.tsv"
    path.write_text("word\tlanguage\tipa\n# of the family\nnona\ten\tˈnoʊnə\nbroken line\n", encoding="utf-8")
    words, problems = load_own_words(path=path)
    assert words == {"nona": "ˈnoʊnə"}
    assert [(problem.code, problem.line) for problem in problems] == [("lexicon.own-word", 4)]
    say("bo", "boʊ", path=path)
    assert "# of the family\nnona\ten\tˈnoʊnə\nbroken line\nbo\ten\tboʊ\n" in path.read_text(encoding="utf-8")


@pytest.mark.parametrize(("word", "ipa"), [("", "pa"), ("pa", " "), ("a\tb", "pa"), ("pa", "p\na")])
def test_nothing_to_remember_is_a_problem(tmp_path: Path, word: str, ipa: str) -> None:
    path = tmp_path / "words.tsv"
    assert [problem.code for problem in say(word, ipa, path=path)] == ["lexicon.own-word"]
    assert not path.exists()


def test_an_unusable_place_is_a_problem(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    assert [problem.code for problem in say("pa", "pɑ", path=tmp_path / "file" / "words.tsv")] == ["lexicon.own-file"]
    (tmp_path / "words.tsv").write_bytes(b"\xff\xfe\x00")
    assert [problem.code for problem in load_own_words(path=tmp_path / "words.tsv")[1]] == ["lexicon.own-file"]


def test_the_folder_can_be_named(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("APPROX_HOME", str(tmp_path))
    assert own_words_path() == tmp_path / "words.tsv"
    monkeypatch.delenv("APPROX_HOME")
    assert own_words_path().name == "words.tsv"
