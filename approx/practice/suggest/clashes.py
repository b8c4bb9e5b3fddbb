"""Forms that would be taken for something else: another target on the list, another word, a rude one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from approx.lexicon.rude import Strength

SPREAD = 0.2
"""How much dearer a form may be and still be as acceptable as the first, when it keeps two targets apart."""

RUDE_SPREAD = 0.3
"""How much dearer a clean form may be and still go before a rude one. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Clash:
    """What a form could be mistaken for. `kind`: "target" (on the list), "word" (of a family's day), "rude".

    A rude one has a `strength`: "never" (not for others unless confirmed) or "laughed_at". A slur is named only so.
    """

    word: str
    kind: str
    strength: str = ""


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


def with_words(form: str, typed: str, language: str, adult: str = "", most: int = 3) -> tuple[Clash, ...]:
    """Rude words a form is heard as, all of them, then words of a family's day that sound just so.

    Words of a family's day: those of the word bank and the core words (`approx.lexicon.homophones`).
    """
    from approx.lexicon.homophones import family_words

    rude = tuple(Clash(name, "rude", strength) for name, strength in rude_words(form, language, adult))
    named = {typed.lower(), *(clash.word for clash in rude)}
    heard = [word for word in family_words(form, language) if word.lower() not in named]
    return (*rude, *(Clash(word, "word") for word in heard[:most]))


@lru_cache(maxsize=65536)
def rude_words(form: str, language: str, adult: str = "") -> tuple[tuple[str, Strength], ...]:
    """(what a form or a phrase is heard as, strength), each once; `adult` is what is aimed at and needs no warning."""
    from approx.lexicon.rude import rude_sounds

    return tuple({note.heard_as: note.strength for note in reversed(rude_sounds(form, language, adult))}.items())[::-1]


def clean_first(forms: Sequence[tuple[str, float]], language: str, adult: str) -> int:
    """Index of the form to offer first: the cheapest, or where that is rude the cheapest clean one that is near.

    `forms`: (form, cost), cheapest first. Near: within `RUDE_SPREAD` of the cheapest; any of them where the cheapest is one
    that is never said. A form laughed at gives way to a
    clean one, a form never said to a clean one and else to one laughed at.
    """
    rank = {"": 0, "laughed_at": 1, "never": 2}
    if not forms:
        return 0
    strengths = [rank[_strength(form, language, adult)] for form, _ in forms]
    worst = [
        rank_of for rank_of, (_, cost) in zip(strengths, forms)
        if strengths[0] == rank["never"] or cost <= forms[0][1] + RUDE_SPREAD
    ]  # fmt: skip
    return worst.index(min(worst))


class _Costed(Protocol):
    """A form with its cost."""

    @property
    def ipa(self) -> str: ...

    @property
    def cost(self) -> float: ...


def weighed(forms: Sequence[_Costed], language: str, adult: str) -> list[float]:
    """Costs of the forms of a word for `keep_apart`: a rude form after the first is too dear to be moved to."""
    return [form.cost + (at > 0 and bool(rude_words(form.ipa, language, adult))) for at, form in enumerate(forms)]


def _strength(form: str, language: str, adult: str) -> str:
    found = rude_words(form, language, adult)
    return found[0][1] if found else ""
