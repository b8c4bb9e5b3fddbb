"""Words most worth asking next: where one more answer would teach most about the child's rates."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import log

from approx.ipa.word import Word
from approx.processes.engine.form import Form
from approx.processes.engine.pooling import RatePlace, settings
from approx.processes.explain.explain import opened_syllabics
from approx.processes.predict.rates import Rates
from approx.processes.predict.sites import OTHER, Sites, SiteState, position_in, sound_place


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
