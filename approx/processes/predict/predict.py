"""Predict: how this child, with the rates seen in a sample, will likely say a word; and which words to ask next: those where one
more answer would teach most about the rates.

The same rules that explain a sample are asked forward: each place of the adult word once a process, with the rate of
the sample, structure first and then each sound that is left, independently of one another. Numbers: `rules/predict.toml`.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import repeat
from math import log

from approx.datafiles import data_hash, rules_path
from approx.ipa.word import Word
from approx.processes.engine.apply import apply, match_at
from approx.processes.engine.form import Form
from approx.processes.engine.pooling import RatePlace, estimate, prevalence, prior, settings
from approx.processes.explain.choose_reading import choose_readings
from approx.processes.explain.explain import Explanation, opened_syllabics
from approx.processes.explain.explained_pairs import ExplainedPairs
from approx.processes.predict.forms import ChildForms
from approx.processes.predict.rates import Rate, Rates, ReplayCounts
from approx.processes.predict.sites import OTHER, Sites, SiteState, position_in, sound_place
from approx.processes.rules.ruleset import RuleSet

__all__ = [
    "LikelyForm",
    "Prediction",
    "Predictor",
    "ProbeWord",
    "Rate",
    "Rates",
    "with_readings_chosen",
    "probe_next",
    "rates",
]


@dataclass(frozen=True, slots=True)
class LikelyForm:
    """One form in IPA and its probability; `processes`: of the likeliest way to it, sorted; () for the adult form."""

    ipa: str
    p: float
    processes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Prediction:
    """Likely forms of a word, likeliest first. `other`: the probability of all forms not named; all add up to 1."""

    target: Word
    forms: tuple[LikelyForm, ...]
    other: float


@lru_cache(maxsize=8)
def _sites(rules: RuleSet, tag: str) -> Sites:
    return Sites(rules, tag)


def rates(
    explained: Iterable[Explanation], rules: RuleSet, tag: str = "en-US", times: Iterable[int] = repeat(1)
) -> Rates:
    """Rates of every rule from explained pairs; of no pair, the prior alone. Order of pairs does not matter.

    Of each pair the reading counts that the whole sample bears out, as it does for the processes of the sample.
    `times`: how often each was said.
    """
    sites = _sites(rules, tag)
    counts = ReplayCounts(sites)
    chances: Counter[tuple[str, str, str]] = Counter()
    for each, often in with_readings_chosen(explained, times):
        counts.add(each, often)
        for key in _chances(sites, opened_syllabics(each.target)[0]):
            chances[key] += often
    return _made(counts, chances, sites)


def with_readings_chosen(
    explained: Iterable[Explanation], times: Iterable[int] = repeat(1)
) -> list[tuple[Explanation, int]]:
    """Each different pair with the reading that the others of the sample bear out first (as of the processes of a sample),
    and how often it was said. `times`: how often each of `explained` was."""
    made = ExplainedPairs()
    numbers: dict[tuple[Word, Word], int] = {}
    different: list[Explanation] = []
    said: Counter[int] = Counter()
    for each, often in zip(explained, times):
        pair = each.target, each.produced
        number = numbers.get(pair)
        if number is None:
            number = numbers[pair] = made.add("", *pair, (each.best, *each.readings))
            different.append(each)
        said[number] += often
    chosen = choose_readings(made, said)
    return [
        (replace(each, best=chosen[number]) if number in chosen else each, said[number])
        for number, each in enumerate(different)
    ]


def _made(counts: ReplayCounts, chances: Counter[tuple[str, str, str]], sites: Sites) -> Rates:
    """The counts as rows, rule by rule and by sound and position."""
    names = {rule.id: rule.process for rule in sites.rules.rules}
    extra = {rule: process for rule, process in counts.processes.items() if rule not in names}
    process_of = names | extra
    cells: list[Rate] = []
    total: Counter[str] = Counter()
    applied: Counter[str] = Counter()
    for key in sorted(chances.keys() | counts.uses.keys()):
        rule, sound, position = key
        used = counts.uses[key]
        # a change that no rule describes (a vowel's, a distortion) could happen wherever its sound stands
        possible = max(counts.attempted[sound, position] if rule in extra else chances[key], used)
        total[rule] += possible
        applied[rule] += used
        cells.append(_rate(rule, process_of[rule], sound, position, used, possible, sites))
    whole = [_rate(rule, process_of[rule], "", "", applied[rule], total[rule], sites) for rule in total]
    whole.sort(key=lambda row: (-row.applied, -row.rate, row.rule))
    settled = data_hash([rules_path("predict.toml")])
    return Rates(
        tuple(whole), tuple(cells), counts.counts(), dict(counts.outcomes), dict(counts.others), dict(counts.attempted),
        counts.pairs, counts.unread, f"rules:{sites.rules.hash}|predict:{settled}|lang:{sites.tag}", sites.prevalences,
    )  # fmt: skip


def _rate(rule: str, process: str, sound: str, position: str, used: int, possible: int, sites: Sites) -> Rate:
    known = sites.prevalences.get(process) or prevalence(process, 1.0, sites.tag)
    mean, spread = estimate(used, possible, *prior(known))
    return Rate(rule, process, sound, position, used, possible, mean, spread)


@lru_cache(maxsize=16384)
def _chances(sites: Sites, adult: Form) -> tuple[tuple[str, str, str], ...]:
    """(rule, sound, position) for each place of an adult form where a rule's own description matches.

    The sound is the first one the rule stands on; of a rule that puts a sound in, the one before.
    """
    out = []
    for rule in sites.rules.rules:
        if "explain" not in rule.uses:
            continue
        if rule.change.of_syllables or not rule.change.focus:
            places = [first for first, _, _ in apply(rule.change, adult, sites.tag)]
        else:
            places = [at for at in range(len(adult.phones)) if match_at(rule.change, adult, at) is not None]
        for at in places:
            here = max(0, min(at, len(adult.phones)) - (not rule.change.focus))
            out.append((rule.id, adult.phones[here], position_in(adult, adult.origins[here])))
    return tuple(out)


class Predictor:
    """One child's rates, ready for many words of one language."""

    def __init__(self, found: Rates, rules: RuleSet, tag: str = "en-US") -> None:
        self.rates = found
        self.forms = ChildForms(found.model, _sites(rules, tag), found.pairs)

    def predict(self, target: Word, most: int | None = None) -> Prediction:
        """The likeliest forms of a word, `most` of them (by default as `rules/predict.toml` says)."""
        most = settings()["bounds"]["forms"] if most is None else most
        named = tuple(
            LikelyForm(ipa, each.p, tuple(sorted(each.processes))) for ipa, each in self.forms.named(target, most)
        )
        return Prediction(target, named, max(0.0, 1.0 - sum(form.p for form in named)))


def probe_next(
    found: Rates, candidates: Sequence[tuple[str, Word]], rules: RuleSet, most: int = 10, tag: str = "en-US"
) -> tuple[ProbeWord, ...]:
    """Of candidate (word, adult form), those whose answers would teach most, best first."""
    return choose_probes(found, _sites(rules, tag), candidates, most)


@dataclass(frozen=True, slots=True)
class ProbeWord:
    """A word to ask next. `bits`: what its answer is expected to teach, given the probes before it, with what is added for
    sounds not heard yet (`rules/predict.toml`, [probe]).

    `about`: processes it teaches most of, with the place. `untested`: (sound, position) that no word of the sample had.
    """

    word: str
    target: Word
    bits: float
    about: tuple[tuple[str, str], ...]
    untested: tuple[tuple[str, str], ...]


def choose_probes(
    rates: Rates, sites: Sites, candidates: Sequence[tuple[str, Word]], most: int
) -> tuple[ProbeWord, ...]:
    """Up to `most` words, each the one that teaches most beside those already chosen (greedy)."""
    rows = [
        (word, target, tuple(_places(sites, opened_syllabics(target)[0])))
        for word, target in candidates
        if target.phones
    ]
    asked: dict[RatePlace, int] = {}
    chosen: list[ProbeWord] = []
    heard = {key for key, times in rates.attempted.items() if times}
    coverage = settings()["probe"]["coverage"]
    new = [[key for key in _sounds(target) if key not in heard] for _, target, _ in rows]
    while rows and len(chosen) < most:
        scored = []
        for at, (_, _, places) in enumerate(rows):
            worth = {place: _bits(rates, place, asked.get(place, 0)) for place in dict.fromkeys(places)}
            fresh = sum(key not in heard for key in new[at])
            scored.append((sum(worth.values()) + coverage * fresh, -at, worth))
        bits, back, worth = max(scored, key=lambda row: row[:2])
        word, target, places = rows.pop(-back)
        heard.update(new.pop(-back))
        about = sorted(worth, key=lambda place: (-worth[place], place))[:3]
        untested = tuple(key for key in _sounds(target) if not rates.attempted.get(key))
        chosen.append(ProbeWord(word, target, bits, tuple((place.process, str(place)) for place in about), untested))
        for place in places:
            asked[place] = asked.get(place, 0) + 1
    return tuple(chosen)


def _places(sites: Sites, adult: Form) -> Iterator[RatePlace]:
    """Every place of a word where a process is asked, in the adult form as it stands."""
    state = SiteState(adult)
    while True:
        state, site = sites.upcoming(state)
        if site is None:
            break
        yield site.place
        state = sites.decided(state, site, None)
    for at, phone in enumerate(adult.phones):
        for number in sites.asked_of(phone):
            options = sites.sound_options(number, adult, at, phone, adult)
            if options:
                yield sites.rated(sites.sounds[number][0], sound_place("", adult, at, adult), options, adult, at, adult)


def _sounds(target: Word) -> tuple[tuple[str, str], ...]:
    adult = opened_syllabics(target)[0]
    return tuple(
        dict.fromkeys((phone, position_in(adult, origin)) for phone, origin in zip(adult.phones, adult.origins))
    )


def _bits(rates: Rates, place: RatePlace, asked: int) -> float:
    """Information (bits) that one answer is expected to give about the rate at a place; less for each one asked."""
    if place.process == OTHER:
        return 0.0
    a, b = rates.model.beta(place)
    total = a + b
    return information(a * (1 + asked / total), b * (1 + asked / total))


def information(a: float, b: float) -> float:
    """Expected information of one yes-or-no answer about a rate with a Beta(a, b), in bits.

    The entropy of the answer less its mean entropy once the rate is known (mutual information; ordinary statistics).
    """
    mean = a / (a + b)
    if not 0 < mean < 1:
        return 0.0
    answer = -mean * log(mean) - (1 - mean) * log(1 - mean)
    known = _digamma(a + b + 1) - mean * _digamma(a + 1) - (1 - mean) * _digamma(b + 1)
    return max(0.0, (answer - known) / log(2))


def _digamma(x: float) -> float:
    """Derivative of log gamma, for x > 0 (recurrence and asymptotic series; Abramowitz & Stegun 1964, 6.3.5, 6.3.18)."""
    value = 0.0
    while x < 8:
        value -= 1 / x
        x += 1
    square = 1 / (x * x)
    return value + log(x) - 1 / (2 * x) - square * (1 / 12 - square * (1 / 120 - square / 252))
