"""A narrow transcription of what every adult says makes no changes of the child's own: flaps, syllabic consonants, dark l,
glottal t before syllabic n (Kenyon & Knott 1944, A pronouncing dictionary of American English, from memory)."""

from __future__ import annotations

from pathlib import Path

import approx

ADULT = [
    ("water", "ˈwɔtɚ", "ˈwɔɾɚ"), ("butter", "ˈbʌtɚ", "ˈbʌɾɚ"), ("kitty", "ˈkɪti", "ˈkɪɾi"), ("ball", "bɔl", "bɔɫ"),
    ("doll", "dɑl", "dɑɫ"), ("kitten", "ˈkɪtən", "ˈkɪʔn̩"), ("button", "ˈbʌtən", "ˈbʌʔn̩"), ("bottle", "ˈbɑtəl", "ˈbɑɾl̩"),
]  # fmt: skip
OWN = [("go", "ɡoʊ", "doʊ"), ("gum", "ɡʌm", "dʌm"), ("gate", "ɡeɪt", "deɪt")]


def written(tmp_path: Path, rows: list[tuple[str, str, str]]) -> approx.api.practice.children.Child:
    sample, file = tmp_path / "sample.csv", tmp_path / "child.toml"
    lines = ["child,target_word,target_ipa,produced_ipa", *(",".join(("F01", *row)) for row in rows)]
    sample.write_text("\n".join(lines) + "\n", encoding="utf-8")
    assert not approx.inventory(sample).to_child(file)
    return approx.read_child(file)


def test_what_adults_say_is_no_change_of_the_child_s_own(tmp_path: Path) -> None:
    profile = written(tmp_path, ADULT).profile
    assert profile is not None and profile.changes == {}


def test_a_change_of_the_child_s_own_stays_one_beside_them(tmp_path: Path) -> None:
    profile = written(tmp_path, ADULT + OWN).profile
    assert profile is not None
    assert {sound: said for (sound, _), said in profile.changes.items()} == {"ɡ": ("d",)}


def test_what_adults_say_counts_as_the_sound_that_was_aimed_at(tmp_path: Path) -> None:
    """[o] for oʊ is right (rules/accents/allophones.american-vowels.toml): a child who says it in three words, and a in one, says a for
    oʊ in one word of four, not in each."""
    rows = [("go", "ɡoʊ", "ɡo"), ("no", "noʊ", "no"), ("toe", "toʊ", "to"), ("bow", "boʊ", "ba")]
    profile = written(tmp_path, rows).profile
    assert profile is not None and profile.changes["oʊ", ""] == ("oʊ", "a")


def test_a_syllabic_consonant_is_the_schwa_and_the_consonant_that_were_aimed_at(tmp_path: Path) -> None:
    """Said as kitten and button are said, n and the weak vowel are there, and no t was asked for; all three were called absent."""
    for rows in (ADULT, [row for row in ADULT if "ʔ" in row[2]]):
        (group,) = approx.inventory([(target, said) for _, target, said in rows]).groups
        cells = group.inventory
        found = {(cell.item, cell.place): cell.status for cell in (*cells.consonants, *cells.vowels)}
        assert (found["n", "final"], found["ə", ""]) == ("established", "established")
        assert not [item for (item, _), status in found.items() if status == "absent" or "\u0329" in item]


def test_a_flap_counts_as_the_t_that_was_aimed_at() -> None:
    (group,) = approx.inventory([(target, said) for _, target, said in ADULT]).groups
    cells = {(cell.item, cell.place): cell.tokens for cell in group.inventory.consonants}
    assert cells["t", "medial"] == 4
