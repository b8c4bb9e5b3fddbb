"""A sample of forty words written to a child's file: nothing farther than what was heard, and how often `suggest` and `predict`
put the same form first."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import pandas as pd
import pytest
from simulated_children import child, target, words

import approx
from approx.child import Profile, limits, read_child_file
from approx.child.demands import sayable
from approx.ipa import read
from approx.practice.suggest.suggest import Suggester, SuggestOptions
from approx.processes.simplify.nearness import apart, as_heard

WORDS = 40


@dataclass(frozen=True)
class Sampled:
    """A simulated child: its sample as a frame, the file made of it, and words it was not heard to say."""

    frame: pd.DataFrame
    profile: Profile
    others: tuple[tuple[str, str], ...]


@cache
def sampled(seed: int) -> Sampled:
    said = dict(child(seed).tokens[:WORDS])
    rows = [
        {
            "child": "X01",
            "session_date": "2026-03-02",
            "target_word": f"word{at}",
            "target_ipa": adult,
            "produced_ipa": form,
        }
        for at, (adult, form) in enumerate(said.items())
    ]
    frame = pd.DataFrame(rows)
    with TemporaryDirectory() as folder:
        path = Path(folder) / "child.toml"
        assert not approx.inventory(frame).to_child(path)
        profile, problems = read_child_file(path)
    assert profile is not None and not [problem for problem in problems if problem.fatal]
    left = [target(word) for word in words() if target(word) not in said]
    return Sampled(frame, profile, tuple((f"other{at}", adult) for at, adult in enumerate(left[:100])))


SEEDS = [seed if seed < 4 else pytest.param(seed, marks=pytest.mark.slow) for seed in (*range(4), *range(4, 30, 2))]


@pytest.mark.parametrize("seed", SEEDS)
def test_no_suggestion_is_farther_than_what_was_heard(seed: int) -> None:
    found = sampled(seed)
    assert len(found.profile.heard) == len(found.frame) >= WORDS - 2
    rows = list(zip(found.frame["target_word"], found.frame["target_ipa"], range(1, WORDS + 1)))
    for answer in Suggester(found.profile, SuggestOptions(top=5)).list(rows).words:
        assert answer.adult is not None
        heard = read(found.profile.heard[answer.word].form).words[0]
        assert any(form.heard for form in answer.approximations), answer.word
        farther = [
            form.ipa for form in answer.approximations if apart(answer.adult, form.word) > apart(answer.adult, heard)
        ]
        assert farther == [], f"{answer.adult.ipa} heard {heard.ipa}"
        if as_heard(heard) == as_heard(answer.adult):
            assert [form.ipa for form in answer.approximations] == [answer.adult.ipa]


STEADY = {
    "fish": ("fɪʃ", "pɪt"), "sock": ("sɑk", "tɑt"), "shoe": ("ʃu", "tu"), "cheese": ("t͡ʃiz", "tid"), "nose": ("noʊz", "noʊd"),
    "thumb": ("θʌm", "tʌm"), "van": ("væn", "bæn"), "yes": ("jɛs", "jɛt"), "bath": ("bæθ", "bæt"), "house": ("haʊs", "haʊt"),
    "zebra": ("ˈzibɹə", "ˈdibə"), "jump": ("d͡ʒʌmp", "dʌmp"), "cup": ("kʌp", "tʌp"), "goat": ("ɡoʊt", "doʊt"), "dog": ("dɔɡ", "dɔd"),
}  # fmt: skip
"""An invented child who stops every fricative and fronts every velar: word -> adult form, what was heard."""


def test_only_the_adult_form_has_a_closeness_of_1(tmp_path: Path) -> None:
    """However sure it is that the child says something else: pages say that 1.00 is the adult form."""
    rows = [{"target_word": word, "target_ipa": adult, "produced_ipa": form} for word, (adult, form) in STEADY.items()]
    assert not approx.inventory(pd.DataFrame(rows)).to_child(tmp_path / "child.toml")
    answer = approx.suggest("see the touch sun soap show bite bat", tmp_path / "child.toml")
    forms = [form for word in answer.words for form in word.approximations]
    assert [form.ipa for form in forms if form.closeness == 1] == ["bæt"]
    said = {word.word: word.approximations[0].ipa for word in answer.words if word.approximations}
    assert said["see"] == "ti"


def agreement(seeds: range) -> tuple[int, int, int, int]:
    """Of words never heard: how often suggest's first is the first of predict's forms that the child's file allows, of how
    many; and both where that form has a probability of .5 or more."""
    same = compared = likely_same = likely = 0
    for seed in seeds:
        found = sampled(seed)
        limit = limits(found.profile)
        rows = [(label, adult, at) for at, (label, adult) in enumerate(found.others, 1)]
        suggested = {
            word.word: word.approximations[0].word
            for word in Suggester(found.profile, SuggestOptions(top=1)).list(rows).words
            if word.approximations
        }
        for predicted in approx.predict(found.frame, list(found.others), top=10).words:
            forms = [(read(form.ipa).words[0], form.p) for form in predicted.prediction.forms]
            legal = next((form for form in forms if sayable(form[0], limit)), None)
            if legal is not None and predicted.word in suggested:
                agree = as_heard(legal[0]) == as_heard(suggested[predicted.word])
                compared, same = compared + 1, same + agree
                likely, likely_same = likely + (legal[1] >= 0.5), likely_same + (agree and legal[1] >= 0.5)
    return same, compared, likely_same, likely


@pytest.mark.slow
def test_suggest_and_predict_put_the_same_form_first() -> None:
    """Measured for six: 234 of 328, and 102 of 115 of the likely ones; floors stand below. The rest differ because `suggest` keeps
    what the child can say (a last consonant, a syllable), though the child will likely leave it off."""
    same, compared, likely_same, likely = agreement(range(6))
    assert compared >= 41 * 6 and same / compared >= 0.7
    assert likely >= 15 * 6 and likely_same / likely >= 0.88
