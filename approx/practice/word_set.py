"""A balanced set of words chosen together for one child (`approx.practice.set_objective` says what balanced is)."""

from __future__ import annotations

import random
from collections.abc import Sequence
from itertools import combinations

from approx.child.profile import Profile
from approx.ipa.word import Word
from approx.practice.said_today import said_today
from approx.practice.set_objective import Member, member, pair_cost, parts_of
from approx.practice.set_search import SetSearch
from approx.practice.suggest import Options, Suggester
from approx.practice.word_bank import BankWord, RankedWord, WordSet
from approx.practice.word_filters import NO_FILTERS, Filters
from approx.practice.word_goals import Goal
from approx.practice.word_weights import set_weights


def choose_set(
    profile: Profile,
    n: int = 8,
    *,
    seed: int = 1,
    filters: Filters = NO_FILTERS,
    goals: Sequence[Goal] = (),
    order: str = "",
    language: str = "",
    emerging: bool = False,
    bank: Sequence[BankWord] | None = None,
    suggester: Suggester | None = None,
) -> WordSet:
    """The best set of `n` words found for a child; fewer if fewer pass the filters, () if none does.

    Same seed, same set. Seed 1 gives the best set found; another seed leaves some words aside, so that another set comes
    out that is nearly as good. Every word has today's form.
    """
    from approx.practice.rank_words import rank

    ranked = rank(profile, filters=filters, goals=goals, order=order, language=language, emerging=emerging, bank=bank)
    maker = suggester or Suggester(profile, Options(language=language, emerging=emerging))
    return set_from(ranked, n, seed, maker, order)


def set_from(ranked: Sequence[RankedWord], n: int, seed: int, suggester: Suggester, order: str = "") -> WordSet:
    """The best set of `n` of these words, which stand best first."""
    pool = _members(_drawn(_pool(ranked), n, seed), suggester, order)
    search = SetSearch(pool)
    chosen = [pool[number] for number in search.best(n, seed)]
    greedy = search.value(search.greedy(n))
    chosen.sort(key=lambda each: (len(each.word.things), -each.word.score, each.word.word))
    words, _ = said_today([each.word for each in chosen], suggester)
    parts = parts_of(chosen)
    value = round(sum(parts.values()), 4)
    rounded = tuple((part, round(given, 3)) for part, given in parts.items())
    return WordSet(words, value, rounded, seed, round(greedy, 4), _reasons(chosen))


def _pool(ranked: Sequence[RankedWord]) -> list[RankedWord]:
    """The words the set is chosen from: the best ranked, half of them with something new where there are enough."""
    size = set_weights().pool
    in_hand = [word for word in ranked if not word.things]
    new = [word for word in ranked if word.things]
    half = max(size // 2, size - len(new))
    return in_hand[:half] + new[: size - min(half, len(in_hand))]


def _drawn(words: Sequence[RankedWord], n: int, seed: int) -> list[RankedWord]:
    """The words in play: all of them for seed 1; else a share is left aside by chance, never own words, never too many."""
    aside = int(len(words) * set_weights().aside)
    if seed == 1 or len(words) - aside < n:
        return list(words)
    free = [at for at, word in enumerate(words) if not word.bank.own]
    out = set(random.Random(seed).sample(free, min(aside, len(free))))
    return [word for at, word in enumerate(words) if at not in out]


def _members(words: Sequence[RankedWord], suggester: Suggester, order: str) -> list[Member]:
    new = [word.word for word in words if word.things]
    place = {word: 1 - at / len(new) for at, word in enumerate(new)} if order else {}
    out = []
    for word in words:
        form = _today(word, suggester)
        if form is not None:
            out.append(member(word, form, place.get(word.word, 0.0)))
    return out


def _today(word: RankedWord, suggester: Suggester) -> Word | None:
    """The form the child says today: the clinician's own, the adult's where it is in hand, else the nearest."""
    chosen = suggester.profile.chosen.get(word.word.lower())
    if chosen:
        from approx.ipa import read

        return read(chosen, suggester.language).words[0]
    if not word.things:
        return word.adult
    found = suggester.simplifier.run(word.adult, 1)
    return found[0].form.word if found else None


def _reasons(members: Sequence[Member]) -> tuple[str, ...]:
    """What the set as a whole has, in plain words."""

    def kinds(part: str) -> list[str]:
        return list(dict.fromkeys(str(kind[1]) for each in members for kind in each.kinds if kind[0] == part))

    w = set_weights()
    vowels, new, goals = kinds("vowels"), kinds("new_kinds"), kinds("goals")
    out = [f"{len(vowels)} different vowel{'s' * (len(vowels) != 1)} in the stressed syllable: {' '.join(vowels)}"]
    out.append(f"{len(kinds('movements'))} different movements between places and vowels")
    out.append(f"shapes: {', '.join(kinds('shapes'))}; places they begin at: {', '.join(kinds('places'))}")
    out.append(f"new: {'; '.join(new)}" if new else "nothing new: every word is in hand")
    if goals:
        out.append(f"works on: {', '.join(goals)}")
    alike = [(a, b) for a, b in combinations(members, 2) if pair_cost(a, b, w)[0] in ("alike", "same_word")]
    pairs = ", ".join(f"{a.word.word} and {b.word.word}" for a, b in alike)
    out.append(f"sound alike today, no better words were left: {pairs}" if alike else "no two sound alike today")
    return tuple(out)
