"""Forms that would be taken for something else: another target on the list, another word, a rude one."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import TYPE_CHECKING, Literal

from approx.child.demands import alike
from approx.datafiles import read_toml, read_tsv, rules_path
from approx.ipa.features import is_nucleus
from approx.lexicon.homophones import sounds_only
from approx.lexicon.spelling import base_language

if TYPE_CHECKING:
    from approx.ipa.word import Word
    from approx.lexicon.rude import Strength


@dataclass(frozen=True, slots=True)
class FirstOffer:
    """How much dearer than the nearest form one may be that is offered first in its place: [first] of `rules/search.toml`."""

    apart: float
    parent: float
    rude: float
    rude_own: float
    round_first: float
    round_vowel: float


@cache
def first_offer() -> FirstOffer:
    """Read once a run."""
    return FirstOffer(**read_toml(rules_path("search.toml"))["first"])


ClashKind = Literal["target", "word", "rude"]


@dataclass(frozen=True, slots=True)
class Clash:
    """What a form could be mistaken for. `kind`: "target" (on the list), "word" (of a family's day), "rude".

    A rude one has a `strength`: "never" (not for others unless confirmed) or "laughed_at". A slur is named only so.
    """

    word: str
    kind: ClashKind
    strength: Strength | Literal[""] = ""


def keep_apart(
    costs: Sequence[Sequence[tuple[str, float]]], adults: Sequence[str], is_worse: Callable[[int, int], bool]
) -> list[int]:
    """Which form of each target to offer first so that targets differ: an index into each target's forms.

    `costs` has (form, cost) pairs a target, cheapest first. A target moves off its first form only to one that is
    nearly as near (`FirstOffer.apart`), that no other target uses, and that is not worse than being alike (`is_worse`: target, form);
    targets that are one word for the adult too may share.
    """
    picked, spread = [0] * len(costs), first_offer().apart
    taken: dict[str, int] = {}

    def free(number: int, first: int = 0) -> int:
        """The first form of a target that it may have, from `first` on; 0 where it has to share."""
        forms, adult = costs[number], adults[number]
        fitting = (
            at
            for at, (form, cost) in enumerate(forms)
            if at >= first
            and (form not in taken or adults[taken[form]] == adult)
            and cost <= forms[0][1] + spread
            and not (at and is_worse(number, at))
        )
        return next(fitting, 0)

    for number, forms in enumerate(costs):
        if not forms:
            continue
        at = picked[number] = free(number)
        form = forms[at][0]
        holder = taken.setdefault(form, number)
        if adults[holder] != adults[number] and (other := free(holder, 1)):
            # whoever came first has another form, this one has none
            picked[holder] = other
            taken[form], taken[costs[holder][other][0]] = number, holder
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


@lru_cache(maxsize=4)
def _parents(language: str) -> dict[str, str]:
    """Forms that mother and father are called by, each with "heard" or "aimed". Source: the head of `rules/lexicon/parents.tsv`."""
    rows = read_tsv(rules_path("lexicon/parents.tsv"))
    return {row["form"]: row["use"] for row in rows if row["language"] == language}


def calls_a_parent(form: str, language: str, adult: str) -> bool:
    """Whether a form of another word is heard as mama or dada."""
    parents = _parents(base_language(language))
    return parents.get(form) == "heard" and adult not in parents


def clean_first(forms: Sequence[tuple[Word, float, int]], language: str, adult: str) -> int:
    """Index of the form to offer first: the cheapest, or where that is rude the clean one that goes round it best.

    `forms`: (form, cost, index of the adult sound it opens with), cheapest first. Near: within `FirstOffer.rude` of the cheapest;
    any of them where the cheapest is one that is never said. A form laughed at gives way to a clean one, a form never said to
    a clean one and else to one laughed at; among those equally clean the last consonant is changed rather than the
    vowel, and that rather than the first.
    """
    rank = {"": 0, "laughed_at": 1, "never": 2}
    if not forms:
        return 0
    strengths = [rank[_strength(form.ipa, language, adult)] for form, _, _ in forms]
    rude, least, opening = forms[0]
    spread = first_offer().rude
    near = [
        (strength, cost + _rounding(rude.phones, form.phones, opens == opening), at)
        for at, (strength, (form, cost, opens)) in enumerate(zip(strengths, forms, strict=True))
        if strengths[0] == rank["never"] or cost <= least + spread
    ]
    strength, _, at = min(near)
    return at if strength < strengths[0] else 0


def _rounding(rude: tuple[str, ...], form: tuple[str, ...], same_opening: bool) -> float:
    """What a form costs more, as a way round a rude one, by what it changes of that: least for the last consonant, and nothing
    for a first consonant that stands for another adult sound (slide by its l)."""
    if form[: len(rude) - 1] == rude[:-1]:
        return first_offer().round_first * (len(form) == len(rude) and alike(rude[-1], form[-1]))  # fʊɡ is heard as fʊk
    pairs = [(one, other) for one, other in zip(rude, form) if one != other]
    vowel = first_offer().round_vowel * any(is_nucleus(one) for one, _ in pairs)
    return vowel + first_offer().round_first * (same_opening and rude[0] != form[0])


def is_worse_than_alike(form: str, language: str, adult: str) -> bool:
    """Whether a form is no way to tell two words apart: it is rude, or a child's core word (no said as go), or what calls its
    people (more said as ma)."""
    return bool(rude_words(form, language, adult)) or sounds_only(form) in _core_forms(language) - {sounds_only(adult)}


@cache
def _core_forms(language: str) -> frozenset[str]:
    """How core words are said, and the half of those that call somebody and say one syllable twice (mama, ma)."""
    from approx.lexicon.reading import pronunciations

    tag = base_language(language)
    out: set[str] = set()
    for row in read_tsv(rules_path(f"lexicon/core_words_{tag}.tsv")) if tag in ("en", "es") else ():
        if row["word"].startswith("<"):
            continue
        found = [row["ipa"]] if row["ipa"] else [each.ipa for each in pronunciations(row["word"], language)[:1]]
        sounds = [sounds_only(ipa) for ipa in found]
        out.update(sounds)
        if "call" in row["function"]:
            halves = (
                form[: len(form) // 2] for form in sounds if form[:1] == form[len(form) // 2 : len(form) // 2 + 1]
            )
            out.update(halves)
    return frozenset(out)


def _strength(form: str, language: str, adult: str) -> str:
    found = rude_words(form, language, adult)
    return found[0][1] if found else ""
