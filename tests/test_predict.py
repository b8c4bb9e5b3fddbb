"""Predict: judged on simulated children whose true rates are known, and on what must hold for any sample.

The children below are written apart from the rules of the package: nine changes of syllables, clusters and sounds, each
at a rate of its own, over words typed here. Because every form's true probability can be worked out, the forecast is
judged without the noise of another draw: by its expected log-likelihood and how often its first form is right.
"""

from __future__ import annotations

import math
import random
from collections.abc import Iterator
from functools import cache
from itertools import product
from pathlib import Path

import pytest

from approx.ipa import Word, read
from approx.processes.explain import Explainer, Explanation
from approx.processes.predict import Predictor, Rates, predict, probe_next, rates
from approx.processes.predict_probe import information
from approx.processes.predict_rates import estimate
from approx.processes.predict_sites import settings
from approx.processes.ruleset import load
from approx.scoring.sample import read_sample

SAMPLES = Path(__file__).resolve().parent.parent / "samples"
SAMPLE_WORDS = """kʌp keɪk ˈbʌkət ˈwæɡən fɪɡ bʌɡ ɡɛt ɡoʊ sup soʊp sid bʌs hoʊz t͡ʃiz fʌn lif waɪf væn ˈʃʌvəl ʃu fɪʃ dɪʃ t͡ʃɛɹ
wɑt͡ʃ d͡ʒus d͡ʒɑɹ ɹʌn ˈkɛɹət lɛɡ ˈlɛmən ˈjɛloʊ spun stɑp sneɪk skaɪ pleɪt bɹum kloʊz fɹɔɡ tɹi sliv hænd læmp tɛnt dɛsk təˈmeɪtoʊ
bəˈnænə pəˈteɪtoʊ bəˈlun bɝd ˈwɔtɚ ˈæpəl θʌm ðɪs pɪɡ bɛd mʌd dɔɡ tʌb naɪn""".split()
NEW_WORDS = """kɪŋ ˈkʊki ɡʌn tæɡ ˈsæləd ˈsɪzɚz zu fʊt naɪf vɛst ʃip bɹʌʃ ˈt͡ʃɪkən mæt͡ʃ ˈd͡ʒækət peɪd͡ʒ ɹɪŋ lɑk ˈpɛpɚ ˈteɪbəl skul
smaɪl stoʊn blu ɡɹeɪp swɪm pɑnd pənˈt͡ʃoʊ ɡəˈɹɑʒ d͡ʒəˈɹæf nɝs kaʊ""".split()
STOPS = {"f": "p", "v": "b", "θ": "t", "ð": "d", "s": "t", "z": "d", "ʃ": "t", "ʒ": "d", "t͡ʃ": "t", "d͡ʒ": "d"}
FRONT = {"k": "t", "ɡ": "d", "ŋ": "n"}
VOICED = {"p": "b", "t": "d", "k": "ɡ", "f": "v", "s": "z"}
HUSHED = {said: meant for meant, said in VOICED.items()}
HABITS = ("weak", "cluster", "final", "stop", "front", "glide", "voice", "devoice", "vocalize")
UNNAMED = 1e-3
"""Share of the remaining probability that one form not named is given, for every forecaster alike."""
Habits = dict[str, float]


@cache
def word(ipa: str) -> Word:
    return read(ipa).words[0]


def chain(sound: str, habits: Habits, before_vowel: bool, last: bool) -> dict[str, float]:
    """What one consonant comes out as: stopping, fronting, gliding, then voice; each asked once."""
    steps = [(STOPS, "stop"), (FRONT, "front")]
    steps += [({"ɹ": "w", "l": "w"}, "glide"), (VOICED, "voice")] if before_vowel else []
    steps += [(HUSHED, "devoice")] if last else []
    spread = {sound: 1.0}
    for table, habit in steps:
        after: dict[str, float] = {}
        for phone, p in spread.items():
            rate = habits[habit] if phone in table else 0.0
            for outcome, share in ((phone, 1 - rate), (table.get(phone, phone), rate)):
                after[outcome] = after.get(outcome, 0.0) + p * share
        spread = after
    return {phone: p for phone, p in spread.items() if p > 0}


def structures(meant: Word, habits: Habits) -> Iterator[tuple[float, list[tuple[list[str], str, list[str], int]]]]:
    """Syllables that are left, each with onset, vowel, coda and stress, and the chance of this structure."""
    main = meant.stress.index(1)
    parts = []
    for number, syllable in enumerate(meant.syllables):
        onset, vowel, coda = ([s.text for s in part] for part in (syllable.onset, syllable.nucleus, syllable.coda))
        gone = habits["weak"] if number < main and syllable.stress == 0 else 0.0
        onsets = ways(onset, [onset[1]] if onset[:1] == ["s"] and onset[1:2] not in (["l"], ["w"]) and onset[1:] else onset[:1], habits)
        codas = ways(coda, coda[:1] if coda[:1] != ["n"] or coda[1:] == ["d"] else coda[1:], habits)
        if number == len(meant.syllables) - 1 and coda:
            codas = [(p * (1 - habits["final"]), kept) for p, kept in codas] + [(habits["final"], [])]
        kept_syllables = [(p * q * (1 - gone), (o, vowel[0], c, syllable.stress)) for p, o in onsets for q, c in codas]
        parts.append([*kept_syllables, (gone, None)])
    for choice in product(*parts):
        p = math.prod(chance for chance, _ in choice)
        if p > 0:
            yield p, [syllable for _, syllable in choice if syllable is not None]


def ways(run: list[str], reduced: list[str], habits: Habits) -> list[tuple[float, list[str]]]:
    """A run of consonants whole or reduced."""
    return [(1 - habits["cluster"], run), (habits["cluster"], reduced)] if len(run) > 1 else [(1.0, run)]


def truth(ipa: str, habits: Habits) -> dict[str, float]:
    """Every form of a word with its probability for this child."""
    out: dict[str, float] = {}
    for p, syllables in structures(word(ipa), habits):
        slots: list[dict[str, float]] = []
        for number, (onset, vowel, coda, stress) in enumerate(syllables):
            final = number == len(syllables) - 1
            mark = "ˈˌ"[stress - 1] if stress and len(syllables) > 1 else "." if number else ""
            slots.append({mark: 1.0})
            slots += [chain(c, habits, at == len(onset) - 1, False) for at, c in enumerate(onset)]
            plain = {"ɝ": "ʌ", "ɚ": "ə"}.get(vowel)
            slots.append({vowel: 1 - habits["vocalize"], plain: habits["vocalize"]} if plain else {vowel: 1.0})
            slots += [chain(c, habits, False, final and at == len(coda) - 1) for at, c in enumerate(coda)]
        for choice in product(*(slot.items() for slot in slots)):
            form = "".join(text for text, _ in choice)
            out[form] = out.get(form, 0.0) + p * math.prod(share for _, share in choice)
    spoken: dict[str, float] = {}
    for form, p in out.items():
        spoken[word(form).ipa] = spoken.get(word(form).ipa, 0.0) + p
    return spoken


def child(seed: int) -> Habits:
    """Each habit is out of use, in use always or nearly so, or in use at some rate."""
    rng = random.Random(seed)
    kinds = {name: rng.random() for name in HABITS}
    return {n: 0.0 if k < 0.4 else rng.uniform(0.85, 1.0) if k < 0.65 else rng.uniform(0.1, 0.85) for n, k in kinds.items()}


@cache
def explainer() -> Explainer:
    return Explainer(load())


@cache
def explained(target: str, produced: str) -> Explanation:
    return explainer().explain(word(target), word(produced))


def heard(habits: Habits, seed: int) -> list[Explanation]:
    """One try at each word of the sample, drawn with the child's true chances."""
    rng = random.Random(seed)
    pairs = []
    for ipa in SAMPLE_WORDS:
        forms = truth(ipa, habits)
        pairs.append(explained(word(ipa).ipa, rng.choices(list(forms), list(forms.values()))[0]))
    return pairs


def judged(true: dict[str, float], named: dict[str, float]) -> tuple[float, float]:
    """Expected log-likelihood of a forecast, and the chance that its first form is what the child says."""
    rest = max(1e-6, 1 - sum(named.values()))
    score = sum(p * math.log(named.get(form, rest * UNNAMED)) for form, p in true.items() if p > 0)
    return score, true.get(max(named, key=lambda form: named[form]), 0.0)


@cache
def scores(children: tuple[int, ...]) -> dict[str, tuple[float, float]]:
    """Mean log-likelihood and first-form accuracy over children and new words, for each forecaster."""
    rows: dict[str, list[tuple[float, float]]] = {"predict": [], "oracle": [], "target": []}
    for seed in children:
        habits = child(seed)
        sample = heard(habits, seed)
        predictor = Predictor(rates(sample, load()), load())
        right = (1 + sum(pair.produced.ipa == pair.target.ipa for pair in sample)) / (2 + len(sample))
        for ipa in NEW_WORDS:
            true = truth(ipa, habits)
            forms = predictor.predict(word(ipa), most=400).forms
            rows["predict"].append(judged(true, {form.ipa: form.p for form in forms}))
            rows["oracle"].append(judged(true, true))
            rows["target"].append(judged(true, {word(ipa).ipa: right}))
    return {name: (sum(a for a, _ in each) / len(each), sum(b for _, b in each) / len(each)) for name, each in rows.items()}


CHILDREN = tuple(range(100, 115))


def test_beats_repeating_the_target_and_comes_close_to_the_oracle() -> None:
    found = scores(CHILDREN)
    print({name: tuple(round(x, 3) for x in each) for name, each in found.items()})
