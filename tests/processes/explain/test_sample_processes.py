"""Processes of a sample: what the words of one child decide together, chances, criteria, and counting by distinct pair."""

from __future__ import annotations

import csv
import io
import random
import sys
from collections import Counter
from dataclasses import fields, replace
from functools import cache

import pytest
import slow_counts
from explained_tokens import SampleProcesses, TokenToExplain, count_processes, explain_sample, hear
from places import ROOT

import approx
from approx.ipa import Word, read
from approx.ipa.features import is_vowel
from approx.processes.explain.explain import Explainer
from approx.processes.explain.opportunities import OpportunityOptions, ProcessTally, default_opportunity_options
from approx.processes.rules.ruleset import load_rules
from approx.samples.files.table import open_table

sys.path.append(str(ROOT / "tests" / "bench"))
from simulated_pairs import pairs as simulated  # noqa: E402
from simulated_pairs import targets  # noqa: E402


@cache
def explainer() -> Explainer:
    return Explainer(load_rules())


def sample(*tokens: str, **changes: object) -> SampleProcesses:
    """Tokens written `target>said`."""
    forms = [token.split(">") for token in tokens]
    pairs = [
        TokenToExplain(row, adult, read(adult).words[0], read(said).words[0])
        for row, (adult, said) in enumerate(forms, 2)
    ]
    return explain_sample(explainer(), pairs, replace(default_opportunity_options(), **changes))


def named(found: SampleProcesses) -> dict[str, tuple[str, ...]]:
    return {each.pair.word: each.reading.names for each in found.told}


# conventions 5 and 6: what one token cannot decide, words without a trigger do


def test_fronting_in_words_without_a_trigger_makes_it_fronting_everywhere() -> None:
    found = named(sample("ɡʌn>dʌn", "dɔɡ>dɔd", "ɡoʊ>doʊ", "pɪɡ>pɪd", "ɡeɪm>deɪm"))
    assert set(found.values()) == {("velar fronting",)}


def test_a_velar_that_is_right_without_a_trigger_makes_it_assimilation() -> None:
    found = named(sample("ɡʌn>dʌn", "dɔɡ>dɔd", "ɡoʊ>ɡoʊ", "pɪɡ>pɪɡ", "ɡeɪm>ɡeɪm", "ɡʌm>ɡʌm"))
    assert found["ɡʌn"] == found["dɔɡ"] == ("alveolar assimilation",)


def test_backing_in_words_without_a_trigger_makes_it_backing_everywhere() -> None:
    found = named(sample("dɔɡ>ɡɔɡ", "tæk>kæk", "ti>ki", "bɛd>bɛɡ", "naɪf>ŋaɪf", "toʊ>koʊ", "pɑt>pɑk"))
    assert set(found.values()) == {("backing",)}


def test_alveolars_that_are_right_without_a_trigger_make_it_assimilation() -> None:
    found = named(sample("dɔɡ>ɡɔɡ", "teɪk>keɪk", "ti>ti", "bɛd>bɛd", "toʊ>toʊ", "pɑt>pɑt"))
    assert found["dɔɡ"] == found["teɪk"] == ("velar assimilation",)


def test_one_slip_does_not_overturn_a_habit() -> None:
    """Nine words fronted without a trigger and one right: still fronting, in words with a trigger too."""
    free = ["ɡoʊ>doʊ", "pɪɡ>pɪd", "ɡeɪm>deɪm", "kʌp>tʌp", "bʊk>bʊt", "keɪk>teɪt", "bæɡ>bæd", "ki>ti", "ɡʌm>ɡʌm"]
    assert named(sample("ɡʌn>dʌn", *free))["ɡʌn"] == ("velar fronting",)


def test_a_longer_reading_is_never_borne_out() -> None:
    """Affricates said as fricatives do not make an affricate said as a stop deaffrication and stopping (convention 3)."""
    found = named(sample("wɑt͡ʃ>wɑʃ", "t͡ʃɪn>ʃɪn", "pit͡ʃ>piʃ", "t͡ʃɑp>tɑp"))
    assert found["t͡ʃɑp"] == ("stopping",)


def test_rows_may_stand_in_any_order() -> None:
    tokens = ["ɡʌn>dʌn", "dɔɡ>dɔd", "ɡoʊ>ɡoʊ", "spun>pun", "lif>wip", "ɡoʊ>doʊ", "pɪɡ>pɪɡ", "ɡʌn>dʌn"]
    first = sample(*tokens)
    for seed in range(4):
        shuffled = random.Random(seed).sample(tokens, len(tokens))
        again = sample(*shuffled)
        assert {name: (t.occurrences, t.chances) for name, t in again.tallies.items()} == {
            name: (t.occurrences, t.chances) for name, t in first.tallies.items()
        }


# counting


def test_counted_pairs_give_the_tallies_of_the_tokens() -> None:
    rows = list(csv.DictReader((ROOT / "tests/data/process_examples.csv").open(encoding="utf-8")))[:150]
    kinds = [
        (row["target_orthography"], read(row["target_ipa"]).words[0], read(row["produced_ipa"]).words[0])
        for row in rows
    ]
    rng = random.Random(4)
    tokens = [rng.choice(kinds) for _ in range(900)]
    one = explain_sample(
        explainer(), [TokenToExplain(row, *kind) for row, kind in enumerate(tokens)], default_opportunity_options()
    )
    times = Counter(tokens)
    heard = hear(explainer(), [word for word, _, _ in times], [(target, produced) for _, target, produced in times])
    _, tallies = count_processes(heard, dict(enumerate(times.values())), default_opportunity_options())
    assert tallies.keys() == one.tallies.keys()
    for name, tally in tallies.items():
        other = one.tallies[name]
        assert (tally.occurrences, tally.chances, tally.rules) == (other.occurrences, other.chances, other.rules), name
        assert tally.words.keys() == other.words.keys() and tally.not_in.keys() == other.not_in.keys(), name


@pytest.mark.slow
@pytest.mark.parametrize("changes", [{}, {"lost_sounds": "drop", "lost_r": "vocalization"}], ids=["usual", "dropping"])
@pytest.mark.parametrize("seed", [3, 13])
def test_readings_and_counts_are_those_of_the_slow_twin(seed: int, changes: dict[str, object]) -> None:
    """A simulated child, each word said several times; some of its readings are not the first ones."""
    options = replace(default_opportunity_options(), **changes)
    found = list(simulated([word for word in targets(60, 3) if _every_syllable_has_a_vowel(word)], 260, seed))
    forms = [(read(pair.target).words[0], read(pair.produced).words[0]) for pair in found]
    heard = hear(Explainer(load_rules(), "en-US", options.lost_r), [target.ipa for target, _ in forms], forms)
    chosen, tallies = count_processes(heard, Counter(range(len(heard))), options)
    readings = slow_counts.taken(heard)
    assert [chosen.get(number, each.readings[0]) for number, each in enumerate(heard)] == readings
    slow = slow_counts.counted(heard, tuple(readings), options)
    assert {
        name: (each.occurrences, each.chances, set(each.words), set(each.not_in), each.rules)
        for name, each in tallies.items()
    } == slow
    assert chosen, "nothing was left to the sample"


def _every_syllable_has_a_vowel(word: Word) -> bool:
    return all(any(map(is_vowel, word.phones[a:b])) for a, b in zip(word.starts, (*word.starts[1:], len(word.phones))))


@pytest.mark.parametrize(
    ("token", "process", "chances"),
    # measures 8.2, counted by hand
    [
        ("ˈpɛnsəl>ˈpɛnsəl", "prevocalic voicing", 2),  # p and s; only s + consonant is out
        ("spun>spun", "prevocalic voicing", 0),  # p after s
        ("ˈbæskət>ˈbæskət", "cluster reduction", 1),
        ("splæʃ>splæʃ", "cluster reduction", 1),  # a cluster, not its consonants
        ("bəˈnænə>bəˈnænə", "weak syllable deletion", 2),
        ("t͡ʃiz>t͡ʃiz", "stopping", 2),
        ("kʌp>kʌp", "velar fronting", 1),
        ("ˈlɪtəl>ˈlɪtəl", "gliding", 1),  # the last l is not before a vowel
        ("ˈlɪtəl>ˈlɪtəl", "vocalization", 1),
        ("mun>mun", "denasalization", 2),
        ("bɛdz>bɛdz", "final devoicing", 1),
    ],
)
def test_chances_by_hand(token: str, process: str, chances: int) -> None:
    tally = sample(token).tallies.get(process, ProcessTally())
    assert (tally.occurrences, tally.chances) == (0, chances)


def test_a_sound_left_off_is_a_chance_unless_it_is_asked_otherwise() -> None:
    """Measures 8.3 and its switch."""
    assert sample("bʌs>bʌ", "sʌn>tʌn").tallies["stopping"].chances == 2
    dropped = sample("bʌs>bʌ", "sʌn>tʌn", lost_sounds="drop").tallies
    assert (dropped["stopping"].occurrences, dropped["stopping"].chances) == (1, 1)
    assert dropped["final consonant deletion"].chances == 2


# criteria (measures 8, published criteria; rows W183 to W189 of the worked examples)


def standing(occurrences: int, chances: int, **changes: object) -> bool:
    return ProcessTally(occurrences, chances).active(replace(default_opportunity_options(), **changes))


def test_the_usual_criterion() -> None:
    assert [standing(3, 3), standing(1, 4), standing(2, 10), standing(1, 10), standing(5, 20)] == [
        False, True, True, False, True,
    ]  # fmt: skip


def test_five_instances_are_a_criterion_of_their_own() -> None:
    """W188: stopping, five tokens in the sample, is present (Dodd et al. 2003); four are not, whatever the chances."""
    assert standing(5, 100, criterion="instances") and standing(5, 5, criterion="instances")
    assert not standing(4, 4, criterion="instances")
    assert standing(1, 50, criterion="instances", instances=1)  # Hodson & Paden 1981, as cited
    assert ProcessTally(4, 4).standing(replace(default_opportunity_options(), criterion="instances")) == "seen"
    assert ProcessTally(0, 4).standing(replace(default_opportunity_options(), criterion="instances")) == "not seen"


def test_every_option_is_in_the_signature() -> None:
    usual = default_opportunity_options()
    others = {"lost_sounds": "drop", "weak_syllables": "pretonic and medial", "criterion": "instances"}
    for each in fields(OpportunityOptions):
        value = others.get(each.name, 7)
        assert replace(usual, **{each.name: value}).signature != usual.signature, each.name


# tokens of a sample


def test_tokens_go_by_language_and_against_the_nearest_adult_form() -> None:
    rows = (
        "child,session_date,target_word,target_ipa,produced_ipa,language\n"
        "A,2026-01-01,singing,ˈsɪŋɪŋ,ˈsɪŋɪn,en-US\nA,2026-01-01,cat,kæt,,en-US\nA,2026-01-01,casa,ˈkasa,ˈtasa,es-419\n"
        "A,2026-01-01,,,ma,en-US\n"
    )
    found = approx.processes(open_table(io.BytesIO(rows.encode())))
    english, spanish = found.groups
    assert (english.language, english.tokens, spanish.language, spanish.tokens) == ("en-US", 1, "es-419", 1)
    assert [token.row for token in found.each_token()] == [2, 4]
    assert [form.form for form in english.accepted] == ["ˈsɪŋɪn"], "casual speech is right"
    assert not any(tally.occurrences for tally in english.tallies.values())


def test_only_the_kinds_of_chances_count_in_which_the_change_was_seen() -> None:
    """A child who says k for t is not measured on n and s; ə after a last consonant has chances of its own."""
    backing = sample("tu>ku", "toʊ>koʊ", "tɑp>tɑp", "noʊ>noʊ", "si>si", "sʌn>sʌn").tallies["backing"]
    assert (backing.occurrences, backing.chances) == (2, 3)
    added = sample("bɪɡ>ˈbɪɡə", "dɔɡ>dɔɡ", "bi>bi", "blu>blu", "ʌp>ʌp").tallies["epenthesis"]
    assert (added.occurrences, added.chances) == (1, 3), "three words end in a consonant"
    onset = sample("ʌp>hʌp", "ɛɡ>ɛɡ", "bi>bi", "blu>blu").tallies["epenthesis"]
    assert (onset.occurrences, onset.chances) == (1, 2), "two words begin with a vowel"
    seen_in_none = sample("tu>tu", "noʊ>noʊ", "si>si").tallies["backing"]
    assert (seen_in_none.occurrences, seen_in_none.chances) == (0, 3)


_BACKED = ("tu>ku", "ti>ki", "toʊ>koʊ", "teɪ>keɪ", "tɔ>kɔ", "taɪ>taɪ", "mi>mi", "paɪ>paɪ", "boʊ>boʊ", "maɪ>maɪ")


@pytest.mark.parametrize(
    ("tokens", "process", "occurrences", "chances"),
    # measures 8.1: times it applied by times it could have, counted by hand; backing is anything to the velum or farther back
    # (conventions 7), and alveolars are its opportunities where it was not seen (measures 8.2)
    [
        (("fæn>hæn", "fɪʃ>fɪʃ", "vɛst>vɛst", "lif>lif", "tu>tu"), "backing", 1, 3),  # h stands before vowels alone
        (("pu>ku", "paɪ>paɪ", "ʌp>ʌp", "bi>bi", "tu>tu"), "backing", 1, 4),
        (("ʃu>hu", "ʃip>ʃip", "t͡ʃu>t͡ʃu", "si>si"), "backing", 1, 3),
        (("lif>hif", "lʌk>lʌk", "ɹʌn>ɹʌn", "bɔl>bɔl"), "backing", 1, 3),
        (("jɛs>hɛs", "ju>ju", "noʊ>noʊ"), "backing", 1, 2),
        (("pu>pu", "ʃu>ʃu", "lif>lif", "tu>tu"), "backing", 0, 1),
        (("ɹɛd>ʋɛd", "ɹʌn>ɹʌn", "lif>lif", "ti>ti", "bɔl>bɔl"), "labialization", 1, 3),
        # six alveolars and six labials: one slip of six backings hides none, two labials are a habit
        ((*_BACKED, "pu>ku", "bi>bi"), "backing", 6, 7),
        ((*_BACKED, "pu>ku", "bi>ɡi"), "backing", 7, 12),
        (("ɹɛd>ɹɛd", "ti>ti", "bɔl>bɔl"), "labialization", 0, 2),
    ],
)
def test_a_rare_change_is_measured_on_every_sound_that_it_could_have_changed(
    tokens: tuple[str, ...], process: str, occurrences: int, chances: int
) -> None:
    tally = sample(*tokens).tallies[process]
    assert (tally.occurrences, tally.chances) == (occurrences, chances)


@pytest.mark.parametrize(
    ("said", "process", "chances"),
    [
        # r after a vowel three times, and l once, which tables count always
        (("ˈflor,ˈfloj", "ˈmar,ˈmar", "saˈlir,saˈlir", "ˈsol,ˈsol", "ˈpero,ˈpero"), "vocalization", 4),
        (("ˈʝo,ˈdo", "ˈʝelo,ˈʝelo", "ˈoʝa,ˈoʝa", "ˈsol,ˈsol"), "stopping", 4),  # ʝ three times, s once
        # by hand: four codas inside words, and of last consonants, which tables count always, two
        (
            ("manˈsana,maˈsana", "ˈfalda,ˈfalda", "ˈkaɾta,ˈkaɾta", "ˈpweɾta,ˈpweɾta", "ˈsol,ˈsol", "ˈpan,ˈpan"),
            "final consonant deletion",
            6,
        ),
    ],
)
def test_a_change_of_a_spanish_sound_is_measured_on_every_such_sound(
    said: tuple[str, ...], process: str, chances: int
) -> None:
    rows = "target_ipa,produced_ipa,language\n" + "".join(f"{pair},es-MX\n" for pair in said)
    (group,) = approx.processes(open_table(io.BytesIO(rows.encode()))).groups
    assert (group.tallies[process].occurrences, group.tallies[process].chances) == (1, chances)
