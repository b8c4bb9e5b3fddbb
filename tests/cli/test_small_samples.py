"""What a report may say of little, of perfect and of ordinary adult speech: typed at the command, as a clinician would."""

from __future__ import annotations

import pytest
from conftest import CommandLine

ADULT = {
    "play": "ple", "boat": "bot", "go": "ɡo", "cake": "kek", "water": "ˈwɑdɚ", "little": "ˈlɪdəl", "better": "ˈbɛdɚ",
    "potty": "ˈpɑdi",
}  # fmt: skip


def sample(rows: list[str]) -> bytes:
    return "\n".join(["child,session_date,age,context,target_word,target_ipa,produced_ipa", *rows]).encode()


def test_ordinary_adult_words_are_right_and_have_no_process(cli: CommandLine) -> None:
    typed = sample([f"K1,2026-03-02,5;0,word,{word},,{said}" for word, said in ADULT.items()])
    (group,) = cli("score", "-", "--json", stdin=typed).json["groups"]
    for name, out_of in (("pcc", 16), ("pvc", 12), ("pwc", 8)):
        found = group["measures"][name]
        assert (found["hits"], found["out_of"], found["value"]) == (out_of, out_of, 100.0), name
    answer = cli("processes", "-", "--json", stdin=typed).json
    assert all(not token["processes"] and not token["unexplained"] for token in answer["tokens"])
    assert {each["word"] for each in answer["groups"][0]["accepted"]} == set(ADULT)


def test_perfect_talk_has_no_band_but_its_reason(cli: CommandLine) -> None:
    words = ["mæn", "doʊ", "bi", "kæt", "fɪʃ"] * 18
    typed = sample([f"K1,2026-03-02,5;0,talk,w{at},{word},{word}" for at, word in enumerate(words)])
    pcc = cli("score", "-", "--json", stdin=typed).json["groups"][0]["measures"]["pcc"]
    assert pcc["value"] == 100.0 and "band" not in pcc
    assert pcc["caution"] == "no band: no consonant in error"
    aci = cli("score", "-", "--json", stdin=typed).json["groups"][0]["measures"]["aci"]
    assert aci["value"] is None and aci["reason"] == "no consonant in error"


def test_three_single_words_have_neither_band_nor_interval(cli: CommandLine) -> None:
    typed = sample([f"K1,2026-03-02,5;0,word,,{pair}" for pair in ("kæt,tæt", "dɔɡ,dɔɡ", "su,tu")])
    for name, found in cli("score", "-", "--json", stdin=typed).json["groups"][0]["measures"].items():
        assert "band" not in found and found.get("low") is None and found.get("high") is None, name
    text = cli("score", "-", stdin=typed).out
    assert "60.0%  (3 of 5 in 3 words)  too few words for an interval  no band: " in text


@pytest.mark.parametrize("age", ["5;0"])
def test_a_hundred_words_with_three_late_sounds_say_so(cli: CommandLine, age: str) -> None:
    early = [f"{word},{word}" for word in ("mæn", "doʊ", "bi", "nu", "pæd")] * 19 + ["bæb,bæ", "hæm,hæ"]
    late = ["si,ti", "ʃu,tu", "zu,du"]
    typed = sample([f"K1,2026-03-02,{age},talk,w{at},{pair}" for at, pair in enumerate([*early, *late])])
    measures = cli("score", "-", "--json", stdin=typed).json["groups"][0]["measures"]
    assert (measures["pcc_late"]["hits"], measures["pcc_late"]["out_of"]) == (0, 3)
    assert measures["pcc_late"]["low"] is None and measures["pcc"]["low"] is not None
    text = cli("score", "-", stdin=typed).out
    assert "0.0%  (0 of 3 in 3 words)  too few words for an interval" in text


def test_the_table_of_sounds_comes_first(cli: CommandLine) -> None:
    """What was said for each sound, before any measure."""
    typed = sample([f"K1,2026-03-02,5;0,word,,{pair}" for pair in ("ti,ki", "tu,ku", "tæp,kæp", "toʊ,toʊ")])
    text = cli("score", "-", stdin=typed).out
    assert text.index("t initial  k 3 of 4; right 1") < text.index("Percentage of Consonants Correct")


def test_a_process_is_counted_only_where_the_change_could_show(cli: CommandLine) -> None:
    """t said k: measured on t and d, not on n and s."""
    typed = sample([f"K1,2026-03-02,5;0,word,,{pair}" for pair in ("ti,ki", "du,ɡu", "si,si", "noʊ,noʊ", "zu,zu")])
    tallies = cli("processes", "-", "--json", stdin=typed).json["groups"][0]["processes"]
    (backing,) = [each for each in tallies if each["process"] == "backing"]
    assert (backing["occurrences"], backing["chances"]) == (2, 2)


def test_a_lost_r_is_named_as_asked(cli: CommandLine) -> None:
    typed = sample([f"K1,2026-03-02,5;0,word,,{pair}" for pair in ("kɑɹ,kɑ", "fɔɹk,fɔk", "kæt,kæ", "tɛn,tɛn")])
    names = {"final consonant deletion": (2, 4), "cluster reduction": (1, 1), "vocalization": (0, 2)}
    other = {"final consonant deletion": (1, 3), "vocalization": (2, 2)}
    for more, expected in (((), names), (("--lost-r", "vocalization"), other)):
        answer = cli("processes", "-", "--json", *more, stdin=typed).json
        found = {each["process"]: (each["occurrences"], each["chances"]) for each in answer["groups"][0]["processes"]}
        assert {name: found.get(name) for name in names} == {name: expected.get(name) for name in names}
        assert f"lost-r:{'vocalization' if more else 'deletion'}" in answer["signature"]
    refused = cli("explain", "kɑɹ", "kɑ", "--lost-r", "gone")
    assert refused.code == 2 and "deletion, vocalization" in refused.err


def test_a_caution_stands_where_a_variety_has_it_in_some_descriptions_only(cli: CommandLine) -> None:
    typed = sample(["K1,2026-03-02,5;0,word,,θɪn,tɪn"])
    variety = ("--accent", "african-american-english")
    for command in ("score", "processes"):
        assert "listen to the adults of the family" in cli(command, "-", *variety, stdin=typed).out, command
        answer = cli(command, "-", *variety, "--json", stdin=typed).json
        assert answer["groups"][0]["accepted"][0]["cautions"], command
        assert not cli(command, "-", "--json", stdin=typed).json["groups"][0]["accepted"], command
    assert "listen to the adults of the family" in cli("explain", "θɪn", "tɪn", *variety).out
