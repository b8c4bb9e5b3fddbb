"""What must hold of whole samples: in text of either normal form, in any order of rows, for processes as for measures."""

from __future__ import annotations

import io
import random
import unicodedata

import pytest
from drawn_examples import examples
from explained_tokens import TokenToExplain, explain_sample
from hypothesis import given
from hypothesis import strategies as st
from scoring_options import options_with

from approx.processes.explain.explain import Explainer
from approx.processes.explain.opportunities import default_opportunity_options as default_opportunities
from approx.processes.rules.ruleset import load_rules
from approx.samples.rows.sample import count_pairs, read_sample
from approx.scoring.judging.options import default_scoring_options
from approx.scoring.measures.accuracy import count_pairs as count_words
from approx.scoring.measures.catalogue import MEASURES, evaluate
from approx.scoring.sample_score import SCORING_COLUMNS, score_counts

FORMS = [
    "spun",
    "pun",
    "kæt",
    "tæt",
    "hæ̃t",
    "ʃu",
    "su",
    "s̪ʌn",
    "ˈɹæbɪt",
    "ˈwæbɪt",
    "ɡoʊt",
    "doʊt",
    "t͡ʃu",
    "ĩ",
    "çu",
    "bl̩",
    "ˈæpəl",
]
pair_lists = st.lists(st.tuples(st.sampled_from(FORMS), st.sampled_from(FORMS)), min_size=1, max_size=9)
QUICK = default_scoring_options()


def sheet(pairs: list[tuple[str, str]], form: str = "NFC") -> io.BytesIO:
    lines = ["child,target_word,target_ipa,produced_ipa", *(f"A,,{one},{other}" for one, other in pairs)]
    return io.BytesIO(unicodedata.normalize(form, "\n".join(lines)).encode())


@examples(40)
@given(pair_lists)
def test_composed_and_decomposed_files_give_the_same_scores(pairs: list[tuple[str, str]]) -> None:
    apart, composed = (
        score_counts(count_pairs(sheet(pairs, form), ("child", *SCORING_COLUMNS)), QUICK) for form in ("NFD", "NFC")
    )
    assert apart == composed
    assert unicodedata.normalize("NFC", "ĩ") != unicodedata.normalize("NFD", "ĩ")


@examples(40)
@given(pair_lists, st.integers(0, 999))
def test_rows_in_any_order_give_the_same_measures(pairs: list[tuple[str, str]], seed: int) -> None:
    mixed = random.Random(seed).sample(pairs, len(pairs))
    one, other = (score_counts(count_pairs(sheet(rows), ("child", *SCORING_COLUMNS)), QUICK) for rows in (pairs, mixed))
    assert [(group.tokens, group.measures) for group in one] == [(group.tokens, group.measures) for group in other]


EXPLAINER = Explainer(load_rules(), "en-US")


@examples(25)
@given(pair_lists, st.integers(0, 999))
def test_rows_in_any_order_give_the_same_processes(pairs: list[tuple[str, str]], seed: int) -> None:
    tokens = [token for token in read_sample(sheet(pairs)).tokens if token.target and token.produced]
    rows = [TokenToExplain(token.row, "", token.target, token.produced) for token in tokens]  # type: ignore[arg-type]
    mixed = random.Random(seed).sample(rows, len(rows))
    one, other = (explain_sample(EXPLAINER, each, default_opportunities()) for each in (rows, mixed))
    assert {name: (t.occurrences, t.chances, set(t.words)) for name, t in one.tallies.items()} == {
        name: (t.occurrences, t.chances, set(t.words)) for name, t in other.tallies.items()
    }
    assert sorted(one.unexplained) == sorted(other.unexplained)
    readings = [{told.pair.key: told.reading for told in found.told} for found in (one, other)]
    assert readings[0] == readings[1]


SAME = {name for name, measure in MEASURES.items() if measure.unit == "percent"} - {"inconsistency", "aci"}


@pytest.mark.parametrize("form", [form for form in FORMS if form != "s̪ʌn"])
def test_an_identical_pair_is_whole_in_every_measure(form: str) -> None:
    """Everything in percent is 100 or undefined, but inconsistency, which is 0, and the ACI, half of which counts errors."""
    word = read_sample(sheet([(form, form)])).tokens[0]
    assert word.target is not None
    scores = evaluate(count_words([(form, form), (form, form)], options_with(runs="every")), default_scoring_options())
    assert {scores[name].value for name in SAME} <= {100.0, None}
    assert scores["pcc"].value == 100.0 or scores["pcc"].reason == "no target consonants"
    assert (scores["pwp"].value, scores["pwc"].value, scores["error_consistency"].value) in (
        (1.0, 100.0, 0),
        (1.0, 100.0, None),
    )
    assert scores["pmlu"].value == scores["pmlu_target"].value
    assert scores["wcm_produced"].value == scores["wcm_target"].value
    assert scores["ipc_produced"].value == scores["ipc_target"].value
    assert scores["wcm_ratio"].value in (1.0, None)
