"""Measures against hand counts: the invented scenario's totals, the counting rules one by one, and what must always hold."""

from __future__ import annotations

import csv

import pytest
from places import SAMPLES
from read_words import SILENCE, phrase
from scoring_options import options_with

from approx.ipa import Word, read
from approx.scoring.judging.counts import Counts, TokenTally, chosen, total
from approx.scoring.judging.options import ScoringOptions, default_scoring_options
from approx.scoring.judging.scored_word import left_out_reason, one_stretch, score_token, score_word
from approx.scoring.judging.structure import class_of_eight
from approx.scoring.measures.accuracy import (
    count_pairs,
    pcc,
    pcc_a,
    pcc_of_class,
    pcc_r,
    ppc,
    ppc_r,
    pvc,
    pvc_r,
)
from approx.scoring.measures.bands import Setting
from approx.scoring.measures.catalogue import MEASURES, evaluate
from approx.scoring.measures.variability import error_forms, inconsistency, pwv
from approx.scoring.measures.whole_word import pmlu, pwc, stress_match


def word(text: str) -> Word:
    return read(text).words[0]


def slots(target: str, produced: str, options: ScoringOptions | None = None) -> list[str]:
    """Each target sound with what was said and the verdict, for reading."""
    return [
        f"{slot.target}:{slot.said}:{slot.verdict.name}"
        for slot in score_word(word(target), word(produced), options).slots
    ]


def sample(name: str, language: str = "") -> Counts:
    """Counts of one of the invented samples, straight from its cells."""
    tally = TokenTally()
    with (SAMPLES / name).open(encoding="utf-8-sig", newline="") as lines:
        for row in csv.DictReader(lines):
            tag = row.get("language") or "en-US"
            if language and tag != language:
                continue
            targets, said = phrase(read(row["target_ipa"], tag)), phrase(read(row["produced_ipa"], tag))
            options = options_with(language=tag)
            reason = left_out_reason(one_stretch(targets), one_stretch(said), options)
            if reason:
                tally.left_out[reason] = tally.left_out.get(reason, 0) + 1
                continue
            for one in score_token(targets, said, options, row["target_word"]):
                tally.add(one)
    return tally.counts()


# ---- the invented scenario -------------------------------------------------------------------------------------------


def test_m12_has_the_totals_of_the_scenario() -> None:
    counts = sample("m12.csv")
    assert (pcc(counts).hits, pcc(counts).out_of, pcc(counts).value) == (27, 60, 45.0)
    assert (pwc(counts).hits, pwc(counts).out_of) == (3, 25)
    consonants = {slot: times for slot, times in counts.slots.items() if not slot.vowel}
    lost = sum(times for slot, times in consonants.items() if not slot.said)
    right = sum(times for slot, times in consonants.items() if slot.said == slot.target)
    assert (lost, right, sum(consonants.values()) - lost - right) == (8, 27, 25)


def test_k07_and_t03_have_the_inconsistent_words_of_the_scenario() -> None:
    k07, t03 = inconsistency(sample("k07.csv")), inconsistency(sample("t03.csv", "en-US"))
    assert (k07.hits, k07.out_of) == (16, 21)
    assert (t03.hits, t03.out_of) == (15, 18)


def test_what_is_left_out_of_k07_is_counted_with_its_reason() -> None:
    assert sample("k07.csv").left_out == {"no gloss": 4, "not all of it was identified": 1}


# ---- counting rules, one by one (measures.md section 1; hand counts) -------------------------------------------------

HAND_COUNTS = [
    ("kæt", "kæ", 1, 2, "a lost consonant"),
    ("ɔn", "hɔn", 1, 1, "a consonant before a vowel target is not scored"),
    ("kɑɹz", "kɑɹks", 2, 3, "an addition to a consonant that is wrong anyway takes no other with it"),
    ("bʌs", "bʌst", 1, 2, "an addition makes its consonant wrong"),
    ("kʌp", "ˈkʌpi", 2, 2, "an added vowel is no addition to a consonant"),
    ("blu", "bəˈlu", 2, 2, "nor is a vowel within a cluster"),
    ("baɪ", "baɪn", 1, 1, "a consonant after a vowel target is not scored"),
    ("hi", "i", 0, 1, "h lost in a stressed syllable"),
    ("əˈhɛd", "əˈɛd", 1, 2, "h lost in a stressed syllable of a longer word"),
    ("ˈmeɪhɛm", "ˈmeɪɛm", 3, 3, "h lost in an unstressed syllable"),
    ("ɹɪŋ", "ɹɪn", 1, 2, "n for ŋ in a stressed syllable"),
    ("ˈɹʌnɪŋ", "ˈɹʌnɪn", 3, 3, "n for ŋ at the end of an unstressed syllable"),
    ("ˈmʌŋki", "ˈmʌnki", 2, 3, "n for ŋ elsewhere"),
    ("ˈwɔtɚ", "ˈwɔɾɚ", 2, 2, "a flap within the word"),
    ("tu", "ɾu", 0, 1, "a flap at the start"),
    ("teɪl", "teɪɫ", 2, 2, "dark l"),
    ("tæp", "tʰæp̚", 2, 2, "aspiration and no release"),
    ("bæd", "bæt", 1, 2, "a voicing cognate"),
    ("kʌp", "kʌʔ", 1, 2, "a glottal stop"),
    ("spun", "fun", 1, 3, "coalescence: neither target"),
    ("spəˈɡɛti", "pəsˈɡɛti", 3, 4, "metathesis: one consonant out of place, and not charged as an addition"),
    ("ˈbɑtəl", "ˈbɑtl̩", 3, 3, "əl said as l̩"),
    ("ˈbɑtl̩", "ˈbɑtəl", 3, 3, "l̩ said as əl"),
    ("ˈbɑtl̩", "ˈbɑtoʊ", 2, 3, "l̩ vocalized"),
    ("hɛlp", "hɛʊp", 2, 3, "l vocalized"),
    ("tɛn̪θ", "tɛnθ", 3, 3, "dental n before θ is an allophone, either way"),
    ("tɛnθ", "tɛn̪θ", 3, 3, "dental n before θ"),
    ("t͡ʃɪp", "ʃɪp", 1, 2, "an affricate is one target"),
]


def test_consonants_are_counted_as_by_hand() -> None:
    wrong = []
    for target, produced, hits, out_of, about in HAND_COUNTS:
        found = pcc(count_pairs([(target, produced)]))
        if (found.hits, found.out_of) != (hits, out_of):
            wrong.append(f"{target} {produced}: {found.hits}/{found.out_of}, by hand {hits}/{out_of} ({about})")
    assert not wrong, "\n".join(wrong)


DISTORTIONS = [
    ("sʌn", "s̪ʌn", (1, 2, 2), "dentalized sibilant"),
    ("sʌn", "ɬʌn", (1, 2, 2), "lateralized sibilant"),
    ("sʌn", "θʌn", (1, 1, 1), "another phoneme"),
    ("sʌn", "s̃ʌn", (1, 1, 2), "an uncommon distortion"),
    ("ɹʌn", "ɹʷʌn", (1, 2, 2), "labialized ɹ"),
    ("lʌn", "lˠʌn", (1, 2, 2), "velarized l"),
    ("tʌn", "t̪ʌn", (1, 1, 2), "dental t is no common clinical distortion"),
    ("pɪɡ", "p̬ɪɡ", (1, 1, 2), "partial voicing"),
]


def test_distortions_are_right_or_wrong_by_measure() -> None:
    wrong = []
    for target, produced, hits, about in DISTORTIONS:
        counts = count_pairs([(target, produced)])
        found = tuple(measure(counts).hits for measure in (pcc, pcc_a, pcc_r))
        if found != hits:
            wrong.append(f"{target} {produced}: {found}, by hand {hits} ({about})")
    assert not wrong, "\n".join(wrong)


def test_vowels_and_their_distortions() -> None:
    counts = count_pairs([("bɝd", "bɜd"), ("bɝd", "bʊd"), ("hæt", "hæ̃t"), ("kaɪt", "kat")])
    assert (pvc(counts).hits, pvc(counts).out_of) == (1, 4)
    assert pvc_r(counts).hits == 2
    assert (ppc(counts).hits, ppc_r(counts).hits, ppc(counts).out_of) == (9, 10, 12)


@pytest.mark.parametrize(
    ("changes", "target", "produced", "hits", "out_of"),
    [
        ({"additions_wrong": False}, "bʌs", "bʌst", 2, 2),
        ({"vowel_epenthesis_is_addition": True}, "blu", "bəˈlu", 1, 2),
        ({"final_voicing_errors": False}, "bæd", "bæt", 2, 2),
        ({"final_voicing_errors": False}, "bæd", "pæd", 1, 2),
        ({"final_voicing_errors": False}, "bæd", "bæs", 1, 2),
        ({"unstressed_h_and_ng_right": False}, "ˈɹʌnɪŋ", "ˈɹʌnɪn", 2, 3),
        ({"coalescence": "one"}, "spun", "fun", 2, 3),
        ({"metathesis": "slots"}, "spəˈɡɛti", "pəsˈɡɛti", 2, 4),
        ({"metathesis": "slots"}, "æsk", "æks", 0, 2),
        ({"syllabic": "vowel"}, "ˈbɑtəl", "ˈbɑtəl", 2, 2),
        ({"syllabic": "vowel"}, "ˈbɑtl̩", "ˈbɑtl̩", 2, 2),
        ({"doubtful": "as heard"}, "bɛd", "bɛd?", 2, 2),
        ({"doubtful": "wrong"}, "bɛd", "bɛd?", 1, 2),
        ({"language": "es"}, "ˈfwente", "ˈfwente", 3, 3),
        ({"language": "es"}, "ˈfwente", "ˈfente", 3, 3),
        ({"language": "es", "spanish_glides": "consonant"}, "ˈfwente", "ˈfente", 3, 4),
        ({"language": "es"}, "ˈloðo", "ˈlodo", 2, 2),
        ({"language": "es"}, "ˈwebo", "ˈebo", 1, 2),
    ],
)
def test_options_change_the_count_as_by_hand(
    changes: dict[str, object], target: str, produced: str, hits: int, out_of: int
) -> None:
    found = pcc(count_pairs([(target, produced)], options_with(**changes)))
    assert (found.hits, found.out_of) == (hits, out_of)


def test_spanish_diphthong_with_a_lost_glide_is_one_vowel_wrong() -> None:
    found = pvc(count_pairs([("ˈfwente", "ˈfente")], options_with(language="es")))
    assert (found.hits, found.out_of) == (1, 2)


def test_a_lisp_is_a_distortion_only_where_that_is_said() -> None:
    counts = count_pairs([("sʌn", "θʌn"), ("zu", "ðu")], options_with(lisp_is_distortion=True))
    assert (pcc(counts).hits, pcc_a(counts).hits, pcc_r(counts).hits) == (1, 3, 3)


def test_a_word_left_off_has_every_sound_wrong() -> None:
    scored = score_word(word("spun"), SILENCE)
    assert [slot.said for slot in scored.slots] == ["", "", "", ""]
    assert pcc(total([scored])).hits == 0
    assert not scored.right


def test_words_not_wholly_identified_are_left_out_or_wrong_by_option() -> None:
    mud, said = word("mʌd"), word("mʌC")
    assert left_out_reason(mud, said) == "not all of it was identified"
    assert left_out_reason(mud, said, options_with(unidentified="wrong")) == ""
    assert left_out_reason(None, said) == "no gloss"
    assert left_out_reason(mud, None) == "no response"
    assert pcc(count_pairs([("mʌd", "mʌC")], options_with(unidentified="wrong"))).hits == 1


def test_an_unstressed_word_of_a_phrase_may_lose_its_h() -> None:
    targets, said = phrase(read("ˈfid hɚ")), phrase(read("ˈfidɚ"))
    found = pcc(total(score_token(targets, said)))
    assert (found.hits, found.out_of) == (3, 3)


def test_an_accepted_form_is_scored_and_shown() -> None:
    car, other = word("kɑɹ"), word("kɑː")
    scored = score_word(car, word("kɑː"), accepted=[other])
    assert scored.accepted == "kɑː"
    assert pcc(total([scored])).value == 100.0
    assert total([scored]).accepted == {("kɑɹ", "kɑː"): 1}
    assert score_word(car, word("kɑɹ"), accepted=[other]).accepted == ""


def test_points_of_pmlu_follow_the_rule_of_pcc_on_unstressed_syllables_but_not_that_on_additions() -> None:
    bag, running = count_pairs([("bæɡ", "bæɡt")]), count_pairs([("ˈɹʌnɪŋ", "ˈɹʌnɪn")])
    assert pmlu(bag).hits == 5  # three sounds at most, b and ɡ right
    assert pmlu(running).hits == 8  # five sounds; ɹ, n and n for ŋ right
    assert pwc(running).hits == 1
    strict = options_with(unstressed_h_and_ng_right=False)
    running = count_pairs([("ˈɹʌnɪŋ", "ˈɹʌnɪn")], strict)
    assert (pmlu(running).hits, pwc(running).hits) == (7, 0)


def test_distorted_consonants_keep_their_point_unless_the_option_says_otherwise() -> None:
    assert pmlu(count_pairs([("sʌn", "s̪ʌn")])).hits == 5
    assert pmlu(count_pairs([("sʌn", "s̪ʌn")], options_with(pmlu_distortions_right=False))).hits == 4


def test_stress_is_matched_by_its_place() -> None:
    assert stress_match(count_pairs([("təˈmeɪtoʊ", "ˈtoʊ.ˈmeɪ.to")])).hits == 0
    assert stress_match(count_pairs([("təˈmeɪtoʊ", "dəˈmeɪdoʊ")])).hits == 1


def test_variability_counts_forms_and_not_allophones() -> None:
    for target, one, other in [("ˈwɔtɚ", "ˈwɔtɚ", "ˈwɔɾɚ"), ("tæp", "tæp", "tʰæp"), ("ˈbɑtəl", "ˈbɑtl̩", "ˈbɑtəl")]:
        assert pwv(count_pairs([(target, one), (target, other)])).hits == 1
    turning = [("kʌp", said) for said in ("kʌp", "tʌp", "kʌp")]
    assert inconsistency(count_pairs(turning)).hits == 1
    assert inconsistency(count_pairs(turning), options_with(variability="no turns to the right form")).out_of == 0
    assert pwv(count_pairs([("kʌp", "kʌp")] * 3), options_with(pwv="zero when all alike")).value == 0


def test_error_forms_name_loss_and_addition() -> None:
    counts = count_pairs([("sup", "tup"), ("spun", "pun"), ("bʌs", "bʌst")])
    assert error_forms(counts) == {"s": {"t": 1, "": 1, "+": 1}}
    assert set(error_forms(counts, by_position=True)) == {"s initial", "s final"}


def test_repeats_may_be_reduced_to_the_first_or_the_best() -> None:
    scored = [score_word(word("kʌp"), word(said)) for said in ("tʌ", "kʌp", "tʌp")]
    assert [one.form for one in chosen(scored, options_with(repeats="first"))] == ["t ʌ"]
    assert [one.form for one in chosen(scored, options_with(repeats="best"))] == ["k ʌ p"]
    assert len(chosen(scored, default_scoring_options())) == 3


def test_positions_of_consonants() -> None:
    assert [(slot.target, slot.position) for slot in score_word(word("ˈbæskət"), word("ˈbæskət")).slots] == [
        ("b", "initial"), ("æ", "medial"), ("s", "medial"), ("k", "medial"), ("ə", "medial"), ("t", "final"),
    ]  # fmt: skip
    assert slots("ˈbɑtl̩", "ˈbɑtoʊ") == ["b:b:RIGHT", "ɑ:ɑ:RIGHT", "t:t:RIGHT", "ə:oʊ:WRONG", "l::WRONG"]


def test_classes_of_eight_are_english_only() -> None:
    assert class_of_eight("b", "es") is None
    assert (
        pcc_of_class(Counts(), "early", options_with(language="es")).reason
        == "the classes are defined for English only"
    )


def test_undefined_values_have_a_reason_and_no_number() -> None:
    for name, score in evaluate(Counts()).items():
        assert score.value is None and score.reason, name
        assert score.low is None


def test_json_has_the_promised_keys() -> None:
    counts = sample("m12.csv")
    scores = evaluate(counts)
    promised = {
        "pcc",
        "pcc_r",
        "pvc",
        "ppc",
        "pwc",
        "pmlu",
        "pmlu_target",
        "pwp",
        "wcm_target",
        "wcm_produced",
        "inconsistency",
    }
    assert promised <= set(scores)
    shown = scores["pcc"].as_json()
    assert {"hits", "out_of", "value", "low", "high", "words", "caution"} <= set(shown)
    assert "band" not in shown and str(shown["caution"]).startswith("no band: ")
    assert scores["inconsistency"].as_json()["value"] is None
    talk = Setting(90, contexts=frozenset({"talk"}), age=60)
    assert evaluate(counts, None, talk)["pcc"].as_json()["band"] == "severe"


def test_the_whole_numbers_stand_only_where_they_make_the_value() -> None:
    """A percentage is their share, a mean or a proportion their quotient; where it is neither, they are not there."""
    scores = evaluate(sample("m12.csv"))
    for name, score in scores.items():
        shown = score.as_json()
        if score.value is None or "hits" not in shown:
            assert name in ("aci", "error_consistency") or score.value is None
        else:
            scale = 100 if MEASURES[name].unit == "percent" else 1
            assert score.value == pytest.approx(scale * score.hits / score.out_of), name
    assert "hits" not in scores["aci"].as_json()


def test_every_measure_has_a_docstring_with_its_source() -> None:
    from approx.scoring.measures import accuracy as measures
    from approx.scoring.measures import variability, whole_word

    functions = [
        function
        for module in (measures, variability, whole_word)
        for name, function in vars(module).items()
        if callable(function)
        and getattr(function, "__module__", "") == module.__name__
        and "Counts" in str(function.__annotations__)
    ]
    public = [function for function in functions if function.__name__.isidentifier() and function.__name__ in MEASURES]
    assert len(public) >= 20
    for function in public:
        text = function.__doc__ or ""
        assert ">>>" in text and ("ource" in text or "As `" in text), function.__name__
