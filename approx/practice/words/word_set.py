"""A balanced set of words chosen together for one child, and what balanced is: parts that add, each with its weight in
`rules/words.toml`.

Per word: use, share in the inventory, whether it can be drawn, what is new. Over the set: different vowels, movements, places,
shapes, categories, parts of speech and goals, a second of a kind counting less; few different new things; and pairs that
sound alike, or nearly so, in the child's mouth, which cost.

The search for the best set starts from several and swaps one word for another as long as the set gets better. The plain greedy
choice (the best next word, again and again) is one of the starts, and what the result is measured against. The same seed
gives the same set.
"""

from __future__ import annotations

import random
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

from approx.child.profile import Profile
from approx.ipa.features import FEATURES, features, halves, is_nucleus
from approx.ipa.word import Word
from approx.lexicon.frequency import everyday_words
from approx.practice.suggest.answer import broad_place
from approx.practice.suggest.suggest import Suggester, SuggestOptions
from approx.practice.words.word_bank import BankWord, RankedWord, WordSet, bank_of, shape_of
from approx.practice.words.word_facts import cautions, said_today
from approx.practice.words.word_filters import NO_FILTERS, Filters
from approx.practice.words.word_goals import WordGoal
from approx.practice.words.word_weights import SetWeights, one_words, set_weights
from approx.processes.simplify.nearness import as_a_listener_hears
from approx.wording import enumerated, worded

_HI, _LO, _BACK = FEATURES.index("hi"), FEATURES.index("lo"), FEATURES.index("back")
FADING = (
    "vowels",
    "movements",
    "places",
    "shapes",
    "categories",
    "parts",
    "goals",
    "learning",
    "functions",
    "interest",
)
GOAL, IN_INVENTORY, NEW = "goal", "in the inventory", "something new"
"""What a set has a share of: words that work on a goal, words the child has already, words with something new."""
"""Parts in which a second word of one kind still gives something, though less."""
CountedPart = tuple[str, object]
"""A part of the objective and what is counted in it: ("vowels", "i")."""


@dataclass(frozen=True, slots=True)
class Member:
    """One word that could be in the set: what it is worth by itself, and the kinds it adds to."""

    word: RankedWord
    form: Word
    worth: float
    kinds: tuple[CountedPart, ...]


def member(word: RankedWord, form: Word, place: float = 0.0) -> Member:
    """A word with the form the child says today; `place` 1 for the first in a chosen order, 0 for the last or none."""
    w = set_weights()
    worth = w.use * word.bank.use + w.in_hand * word.in_hand + w.picture * word.bank.picturable
    worth += w.caution * len(cautions(word.bank))
    worth += w.power * word.power + w.cluster * (bool(word.goals) and not word.singleton)
    return Member(word, form, worth + w.new_load * len(word.things) + w.order * place, tuple(_kinds(word, form)))


def _kinds(word: RankedWord, form: Word) -> Iterator[CountedPart]:
    stressed = form.starts[form.stress.index(1)] if 1 in form.stress else 0
    nuclei = [at for at, phone in enumerate(form.phones) if is_nucleus(phone)]
    main = next((form.phones[at] for at in nuclei if at >= stressed), None)
    if main is not None:
        yield "vowels", main
    for pair in dict.fromkeys(movements(form)):
        yield "movements", pair
    yield "places", broad_place(form.phones[0]) if nuclei and nuclei[0] > 0 else "none"
    yield "shapes", shape_of(form)
    yield "categories", word.category
    yield "parts", word.part_of_speech
    for goal in word.goals:
        yield "goals", goal
    if word.goals:
        yield "share", GOAL
    if word.functions:
        yield "functions", word.functions[0]
    if word.bank.interest:
        yield "interest", "what the child loves"
    yield "share", NEW if word.things else IN_INVENTORY
    if word.things:
        yield "learning", "something new"
    for thing in word.things:
        yield "new_kinds", thing.text


def movements(form: Word) -> Iterator[tuple[str, str]]:
    """What the mouth goes through: (place, vowel quality) and (vowel quality, place) of neighbours, glottal sounds aside."""
    stations = [_quality(phone) if is_nucleus(phone) else broad_place(phone) for phone in form.phones]
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


_GOAL_FIRST = 2.0
"""Where a goal and the share that is new cannot both be had, the goal goes before."""
Quotas = Mapping[str, int]
"""How many words of a set should work on a goal, how many be in the inventory."""
NO_QUOTAS: Quotas = {}


def quotas(n: int, in_inventory: float, goals: bool, easy: int = 0) -> Quotas:
    """Of `n` words a share from the inventory, the rest with something new; with goals the rest for them, new or not. `easy`:
    everyday words for a goal that are in the inventory; they take the place of the share, and then every word has the goal."""
    known = round(n * in_inventory)
    if goals and easy:
        return {IN_INVENTORY: min(known, easy), GOAL: n}
    return {IN_INVENTORY: known, GOAL if goals else NEW: n - known}


def fixed_share(kind: CountedPart, count: int, w: SetWeights, quotas: Quotas = NO_QUOTAS) -> float:
    """What the next word of a kind gives, `count` being there already, as a share of the part's weight."""
    part, what = kind
    if part == "share":
        quota = quotas.get(str(what))
        return 0.0 if quota is None or count >= quota else _GOAL_FIRST if what == GOAL else 1.0
    if part in FADING:
        return float(w.fading**count)
    return 1.0 if count == 0 else 0.0


def pair_cost(one: Member, other: Member, w: SetWeights) -> tuple[str, float]:
    """(part, cost) of two words together: one word (bye, bye-bye; mama, mommy), one form, forms that one sound tells apart or
    of which one is the other twice; ("", 0) for others."""
    if is_one_word(one.word.word, other.word.word):
        return "same_word", w.same_word
    if as_a_listener_hears(one.form) == as_a_listener_hears(other.form):
        return "alike", w.alike
    short, long = sorted((one.form.phones, other.form.phones), key=len)
    if short * 2 == long or _one_apart(one.form.phones, other.form.phones):
        return "nearly", w.nearly
    return "", 0.0


def is_one_word(one: str, other: str) -> bool:
    """Whether two words are one word for a child, said again or in another shape: bye and bye-bye, mama and mommy."""
    first, second = _said_once(one), _said_once(other)
    return first == second or not one_words().get(first, _NONE).isdisjoint(one_words().get(second, _NONE))


def _said_once(word: str) -> str:
    """A word without what it only says again: bye for bye-bye."""
    pieces = set(word.lower().split("-"))
    return pieces.pop() if len(pieces) == 1 else word.lower()


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


def set_parts(members: Sequence[Member], quotas: Quotas = NO_QUOTAS) -> dict[str, float]:
    """What each part of the objective gives for a set; their sum is its value. Slow and plain: the search has its own sums."""
    w = set_weights()
    out: dict[str, float] = {"words": sum(each.worth for each in members)}
    counts: dict[CountedPart, int] = {}
    for each in members:
        for kind in each.kinds:
            part = kind[0]
            out[part] = out.get(part, 0.0) + getattr(w, part) * fixed_share(kind, counts.get(kind, 0), w, quotas)
            counts[kind] = counts.get(kind, 0) + 1
    for one, other in combinations(members, 2):
        part, cost = pair_cost(one, other, w)
        if part:
            out[part] = out.get(part, 0.0) + cost
    return out


_NONE = frozenset[int]()
_ENOUGH = 1e-9
"""A gain below this is rounding."""


class SetSearch:
    """Members numbered, their kinds numbered with weights, their pairs that cost; sums that change by one word."""

    def __init__(
        self, members: Sequence[Member], weights: SetWeights | None = None, quotas: Quotas = NO_QUOTAS
    ) -> None:
        self.w = w = weights or set_weights()
        self.members = members
        self.worth = [each.worth for each in members]
        numbers: dict[CountedPart, int] = {}
        for each in members:
            for kind in each.kinds:
                numbers.setdefault(kind, len(numbers))
        self.kinds = [tuple(numbers[kind] for kind in each.kinds) for each in members]
        longest = len(members) + 1
        parts = {kind if kind[0] == "share" else (kind[0], "") for kind in numbers}
        steps = {
            part: [getattr(w, part[0]) * fixed_share(part, at, w, quotas) for at in range(longest)] for part in parts
        }
        self.steps = [steps[kind if kind[0] == "share" else (kind[0], "")] for kind in numbers]
        self.pairs: list[dict[int, float]] = [{} for _ in members]
        for one in range(len(members)):
            for other in range(one):
                cost = pair_cost(members[one], members[other], w)[1]
                if cost:
                    self.pairs[one][other] = self.pairs[other][one] = cost

    def value(self, chosen: Sequence[int]) -> float:
        """The objective of a set."""
        state = _State(self)
        return sum(state.add(number) for number in chosen)

    def greedy(self, size: int) -> list[int]:
        """The best next word, again and again, as long as it adds anything."""
        state = _State(self)
        state.fill(size)
        return state.chosen

    def best(self, size: int, seed: int) -> list[int]:
        """The best set of at most `size` words found from several starts.

        The plain greedy set is one of the starts, so the result is never worse. It is smaller than asked where every
        other word would cost more than it gives: where it would sound like one that is there.
        """
        count = len(self.members)
        draw = random.Random(seed)
        starts = [self.greedy(size)] + [draw.sample(range(count), min(size, count)) for _ in range(self.w.starts - 1)]
        found: list[tuple[float, list[int]]] = []
        for start in starts:
            state = _State(self)
            total = sum(state.add(number) for number in start)
            found.append((round(state.climb(total, size), 9), sorted(state.chosen)))
        return max(found)[1]


class _State:
    """A set in the making and how many words of each kind it has."""

    def __init__(self, search: SetSearch) -> None:
        self.search, self.worth = search, search.worth
        self.chosen: list[int] = []
        self.counts = [0] * len(search.steps)

    def gain(self, number: int) -> float:
        """What a word would add."""
        search, counts = self.search, self.counts
        pairs = search.pairs[number]
        total = self.worth[number]
        for kind in search.kinds[number]:
            total += search.steps[kind][counts[kind]]
        if pairs:
            for other in self.chosen:
                total += pairs.get(other, 0.0)
        return total

    def add(self, number: int) -> float:
        gained = self.gain(number)
        self.chosen.append(number)
        for kind in self.search.kinds[number]:
            self.counts[kind] += 1
        return gained

    def remove(self, number: int) -> float:
        """Take a word out; what it gave."""
        self.chosen.remove(number)
        for kind in self.search.kinds[number]:
            self.counts[kind] -= 1
        return self.gain(number)

    def fill(self, size: int) -> float:
        """Add the best word as long as there is room and it adds anything; what they added."""
        total = 0.0
        left = set(range(len(self.worth))) - set(self.chosen)
        while left and len(self.chosen) < size:
            best = max(left, key=lambda number: (self.gain(number), -number))
            if self.gain(best) <= 0:
                break
            left.remove(best)
            total += self.add(best)
        return total

    def climb(self, total: float, size: int) -> float:
        """Swap as long as it helps, each time the best swap for one word, or none for it; the value reached."""
        everything = range(len(self.worth))
        tired = 0
        while tired < len(self.chosen):
            out = self.chosen[0]
            lost = self.remove(out)
            inside = set(self.chosen)
            best, most = out, lost
            for number in everything:
                if number not in inside and (gained := self.gain(number)) > most + _ENOUGH:
                    best, most = number, gained
            total -= lost
            if most < 0:
                tired = 0
                continue
            total += self.add(best)  # at the end: the next round takes the next word out
            tired = 0 if best != out else tired + 1
            if tired == len(self.chosen) < size and (more := self.fill(size)):
                total += more
                tired = 0
        return total


def choose_set(
    profile: Profile,
    n: int = 8,
    *,
    seed: int = 1,
    filters: Filters = NO_FILTERS,
    goals: Sequence[WordGoal] = (),
    order: str = "",
    language: str = "",
    emerging: bool = False,
    bank: Sequence[BankWord] | None = None,
    suggester: Suggester | None = None,
    in_inventory: float | None = None,
) -> WordSet:
    """The best set of `n` words found for a child; fewer if fewer pass the filters, () if none does.

    Same seed, same set. Seed 1 gives the best set found; another seed leaves some words aside, so that another set comes
    out that is nearly as good. Every word has today's form.
    """
    from approx.practice.words.rank_words import rank

    ranked = rank(profile, filters=filters, goals=goals, order=order, language=language, emerging=emerging, bank=bank)
    maker = suggester or Suggester(profile, SuggestOptions(language=language, emerging=emerging))
    return set_from(ranked, n, seed, maker, order, in_inventory)


def set_from(
    ranked: Sequence[RankedWord],
    n: int,
    seed: int,
    suggester: Suggester,
    order: str = "",
    in_inventory: float | None = None,
) -> WordSet:
    """The best set of `n` of these words, which stand best first; `in_inventory`: the share that has nothing new."""
    share = set_weights().in_inventory if in_inventory is None else in_inventory
    everyday = everyday_words(bank_of(suggester.language))
    easy = sum(bool(word.goals) and not word.things and word.word in everyday for word in ranked)
    wanted = quotas(n, share, any(word.goals for word in ranked), easy)
    pool = _members(_drawn(_pool(ranked), n, seed), suggester, order)
    search = SetSearch(pool, quotas=wanted)
    chosen = [pool[number] for number in search.best(n, seed)]
    greedy = search.value(search.greedy(n))
    chosen.sort(key=lambda each: (len(each.word.things), -each.word.score, each.word.word))
    words, _ = said_today([each.word for each in chosen], suggester)
    parts = set_parts(chosen, wanted)
    value = round(sum(parts.values()), 4)
    rounded = tuple((part, round(given, 3)) for part, given in parts.items())
    return WordSet(words, value, rounded, seed, round(greedy, 4), _reasons(chosen, words))


def _pool(ranked: Sequence[RankedWord]) -> list[RankedWord]:
    """The words the set is chosen from: those that work on a goal, the best ranked, half of them with something new."""
    size = set_weights().pool
    first = sorted(
        ranked, key=lambda word: (not (word.goals and word.singleton), not word.goals, not word.bank.interest)
    )
    in_hand = [word for word in first if not word.things]
    new = [word for word in first if word.things]
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
    taken = _heard_for(suggester)
    for word in words:
        form = _today(word, suggester)
        if form is not None:
            made, typed, w = member(word, form, place.get(word.word, 0.0)), word.word.lower(), set_weights()
            taken_by = taken.get(as_a_listener_hears(form), typed)
            cost = w.alike * (taken_by != typed) + w.goes_round * _goes_round(word, form, suggester)
            out.append(replace(made, worth=made.worth + cost) if cost else made)
    return out


def _goes_round(word: RankedWord, form: Word, suggester: Suggester) -> bool:
    """Whether a form stands in for a nearer one that is rude: another word is the better choice."""
    nearest = suggester.simplifier.run(word.adult, 1) if word.things else []
    return bool(nearest) and nearest[0].form.phones != form.phones and suggester.is_rude(nearest[0].form, word.adult)


def _heard_for(suggester: Suggester) -> dict[str, str]:
    """The word that each form of the child's file was heard or chosen for, by the form as a listener hears it."""
    from approx.ipa import read

    profile = suggester.profile
    forms = {word: each.form for word, each in profile.heard.items()} | dict(profile.chosen)
    read_forms = ((word, read(form, suggester.language).words) for word, form in forms.items())
    return {as_a_listener_hears(words[0]): word for word, words in read_forms if words}


def _today(word: RankedWord, suggester: Suggester) -> Word | None:
    """The form the child says today: the clinician's own, the adult's where it is in the inventory, else what is offered first."""
    if not word.things and word.word.lower() not in suggester.profile.chosen:
        return word.adult
    first = suggester.first_form(word.word, word.adult)
    return first.word if first is not None else None


def _reasons(members: Sequence[Member], words: Sequence[RankedWord]) -> tuple[str, ...]:
    """What the set as a whole has, in plain words; `words`: with today's forms and what they sound like."""

    def kinds(part: str) -> list[str]:
        return list(
            dict.fromkeys(
                kind[1] if isinstance(kind[1], str) else str(kind[1])
                for each in members
                for kind in each.kinds
                if kind[0] == part
            )
        )

    w = set_weights()
    vowels, new, goals = kinds("vowels"), kinds("new_kinds"), kinds("goals")
    out: list[str] = [
        worded(
            "{count} different {count:vowel|vowels} in the stressed syllable: {vowels}",
            count=len(vowels),
            vowels=" ".join(vowels),
        ),
        worded("{count} different {count:movement|movements} between places and vowels", count=len(kinds("movements"))),
    ]
    out.append(
        worded(
            "shapes: {shapes}; places they begin at: {places}",
            shapes=enumerated(", ", kinds("shapes")),
            places=enumerated(", ", ("a vowel" if place == "none" else place for place in kinds("places"))),
        )
    )
    out.append(
        worded("new: {things}", things=enumerated("; ", new)) if new else "nothing new: every word is in the inventory"
    )
    if goals:
        count = sum(bool(each.word.goals) for each in members)
        out.append(
            worded(
                "works on {goals}: {count} of {words} {words:word|words}",
                goals=enumerated(", ", goals),
                count=count,
                words=len(members),
            )
        )
        easy = [each.word.word for each in members if not each.word.goals]
        if easy:
            out.append(worded("easy words for success beside them: {words}", words=enumerated(", ", easy)))
    if uses := kinds("functions"):
        out.append(worded("to {uses}", uses=enumerated(", ", uses)))
    if loved := [each.word.word for each in members if each.word.bank.interest]:
        out.append(worded("what this child loves: {words}", words=enumerated(", ", loved)))
    told = [{clash.word for clash in word.clashes if clash.kind == "target"} for word in words]
    pairs_of = combinations(zip(members, words, told, strict=True), 2)
    alike = [
        (word.word, other.word)
        for (one, word, _), (two, other, sharing) in pairs_of
        if word.word in sharing or pair_cost(one, two, w)[0] == "same_word"
    ]
    pairs = enumerated(", ", (worded("{word} and {word2}", word=word, word2=other) for word, other in alike))
    out.append(
        worded("homophones in this child's speech today; no better words were available: {pairs}", pairs=pairs)
        if alike
        else "no two sound alike today"
    )
    return tuple(out)
