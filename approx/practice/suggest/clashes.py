"""Forms that would be taken for something else: another target on the list, another word, a rude one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

SPREAD = 0.2
"""How much dearer a form may be and still be as acceptable as the first, when it keeps two targets apart."""

COMMON = 3.8
"""Words rarer than this (zipf) are not named as what a form sounds like."""


@dataclass(frozen=True, slots=True)
class Clash:
    """What a form could be mistaken for. `kind`: "target" (on the list), "word" (common English), "rude"."""

    word: str
    kind: str


def keep_apart(costs: Sequence[Sequence[tuple[str, float]]], adults: Sequence[str]) -> list[int]:
    """Which form of each target to offer first so that targets differ: an index into each target's forms.

    `costs` has (form, cost) pairs a target, cheapest first. A target moves off its first form only to one that is
    nearly as near (`SPREAD`) and that no other target uses; targets that are one word for the adult too may share.
    """
    picked = [0] * len(costs)
    taken: dict[str, str] = {}
    for number, forms in enumerate(costs):
        if not forms:
            continue
        adult = adults[number]
        free = [
            at
            for at, (form, cost) in enumerate(forms)
            if taken.get(form, adult) == adult and cost <= forms[0][1] + SPREAD
        ]
        picked[number] = free[0] if free else 0
        taken.setdefault(forms[picked[number]][0], adult)
    return picked


def with_targets(forms: Sequence[str], words: Sequence[str], adults: Sequence[str]) -> list[tuple[Clash, ...]]:
    """For each target, the other targets that have the same form today though the adult words differ."""
    by_form: dict[str, list[int]] = {}
    for number, form in enumerate(forms):
        if form:
            by_form.setdefault(form, []).append(number)
    out: list[tuple[Clash, ...]] = []
    for number, form in enumerate(forms):
        others = {words[n]: None for n in by_form.get(form, ()) if adults[n] != adults[number]}
        out.append(tuple(Clash(word, "target") for word in others))
    return out


def with_words(form: str, typed: str, language: str, most: int = 3) -> tuple[Clash, ...]:
    """Common words that sound just so; rude ones first. English only."""
    if not language.lower().startswith("en"):
        return ()
    from approx.lexicon.homophones import is_rude, other_words

    heard = [(word, zipf) for word, zipf in other_words(form) if word != typed.lower()]
    # letters, names and rare words are no help to a family; a rude word is told however rare it is
    found = [word for word, zipf in heard if is_rude(word) or zipf >= COMMON and len(word) > 1]
    rude = [Clash(word, "rude") for word in found if is_rude(word)]
    return (*rude, *(Clash(word, "word") for word in found if not is_rude(word)))[: max(most, len(rude))]
