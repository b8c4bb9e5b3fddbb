"""What a good set of words is, written down: parts that add, each with its weight in `rules/words.toml`.

Per word: use, share in hand, whether it can be drawn, what is new. Over the set: different vowels, movements, places,
shapes, categories, parts of speech and goals, a second of a kind counting less; few different new things; and pairs that
sound alike, or nearly so, in the child's mouth, which cost.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

from approx.ipa.features import FEATURES, features, halves, is_nucleus
from approx.ipa.word import Word
from approx.practice.load import place_of
from approx.practice.word_bank import RankedWord, shape_of
from approx.practice.word_facts import cautions
from approx.practice.word_weights import SetWeights, set_weights

_HI, _LO, _BACK = FEATURES.index("hi"), FEATURES.index("lo"), FEATURES.index("back")
FADING = ("vowels", "movements", "places", "shapes", "categories", "parts", "goals", "learning")
"""Parts in which a second word of one kind still gives something, though less."""
Kind = tuple[str, object]
"""A part of the objective and what is counted in it: ("vowels", "i")."""


@dataclass(frozen=True, slots=True)
class Member:
    """One word that could be in the set: what it is worth by itself, and the kinds it adds to."""

    word: RankedWord
    form: Word
    worth: float
    kinds: tuple[Kind, ...]


def member(word: RankedWord, form: Word, place: float = 0.0) -> Member:
    """A word with the form the child says today; `place` 1 for the first in a chosen order, 0 for the last or none."""
    w = set_weights()
    worth = w.use * word.bank.use + w.in_hand * word.in_hand + w.picture * word.bank.picturable
    worth += w.caution * len(cautions(word.bank))
    return Member(word, form, worth + w.new_load * len(word.things) + w.order * place, tuple(_kinds(word, form)))


def _kinds(word: RankedWord, form: Word) -> Iterator[Kind]:
    stressed = form.starts[form.stress.index(1)] if 1 in form.stress else 0
    nuclei = [at for at, phone in enumerate(form.phones) if is_nucleus(phone)]
    main = next((form.phones[at] for at in nuclei if at >= stressed), None)
    if main is not None:
        yield "vowels", main
    for pair in dict.fromkeys(movements(form)):
        yield "movements", pair
    yield "places", place_of(form.phones[0]) if nuclei and nuclei[0] > 0 else "none"
    yield "shapes", shape_of(form)
    yield "categories", word.category
    yield "parts", word.part_of_speech
    for goal in word.goals:
        yield "goals", goal
    if word.things:
        yield "learning", "something new"
    for thing in word.things:
        yield "new_kinds", thing.text


def movements(form: Word) -> Iterator[tuple[str, str]]:
    """What the mouth goes through: (place, vowel quality) and (vowel quality, place) of neighbours, glottal sounds aside."""
    stations = [_quality(phone) if is_nucleus(phone) else place_of(phone) for phone in form.phones]
    for (one, there), (other, here) in zip(zip(form.phones, stations), list(zip(form.phones, stations))[1:]):
        if is_nucleus(one) != is_nucleus(other) and "glottal" not in (there, here):
            yield there, here


def _quality(vowel: str) -> str:
    """Height and backness of a vowel, of a diphthong's first half: "high front"."""
    values = features(halves(vowel)[0])
    if values is None:
        return "unknown"
    height = "high" if values[_HI] == 1 else "low" if values[_LO] == 1 else "mid"
    return f"{height} {'back' if values[_BACK] == 1 else 'front'}"


def fixed_share(part: str, count: int, w: SetWeights) -> float:
    """What the next word of a kind gives, `count` being there already, as a share of the part's weight."""
    if part in FADING:
        return float(w.fading**count)
    return 1.0 if count == 0 else 0.0


def pair_cost(one: Member, other: Member, w: SetWeights) -> tuple[str, float]:
    """(part, cost) of two words together: one spelling, one form, forms that one sound tells apart; ("", 0) for others."""
    if one.word.word.lower() == other.word.word.lower():
        return "same_word", w.same_word
    if one.form.phones == other.form.phones:
        return "alike", w.alike
    if _one_apart(one.form.phones, other.form.phones):
        return "nearly", w.nearly
    return "", 0.0


def _one_apart(one: Sequence[str], other: Sequence[str]) -> bool:
    """True if one sound replaced, added or left off makes one form the other."""
    if len(one) > len(other):
        one, other = other, one
    if len(other) - len(one) > 1:
        return False
    start = 0
    while start < len(one) and one[start] == other[start]:
        start += 1
    return one[start + (len(one) == len(other)) :] == other[start + 1 :]


def parts_of(members: Sequence[Member]) -> dict[str, float]:
    """What each part of the objective gives for a set; their sum is its value. Slow and plain: the search has its own sums."""
    w = set_weights()
    out: dict[str, float] = {"words": sum(each.worth for each in members)}
    counts: dict[Kind, int] = {}
    for each in members:
        for kind in each.kinds:
            part = kind[0]
            out[part] = out.get(part, 0.0) + getattr(w, part) * fixed_share(part, counts.get(kind, 0), w)
            counts[kind] = counts.get(kind, 0) + 1
    for one, other in combinations(members, 2):
        part, cost = pair_cost(one, other, w)
        if part:
            out[part] = out.get(part, 0.0) + cost
    return out
