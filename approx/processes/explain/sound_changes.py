"""One sound for another: the chains of rules that lead from an adult sound to the one that was said.

Place, manner and voice of a consonant, as the trade sorts them: what a step on the way to another sound changes.
"""

from __future__ import annotations

import heapq
from collections.abc import Hashable, Iterator, Sequence
from functools import cache
from math import inf
from typing import NamedTuple

from approx.ipa import features as ft
from approx.ipa.features import is_nucleus, is_vowel
from approx.processes.engine.apply import sound_after
from approx.processes.engine.contexts import Contexts, Fit
from approx.processes.engine.cost_bounds import SLACK, CostBounds
from approx.processes.engine.form import Form
from approx.processes.explain.adult_facts import WITHOUT_TRIGGER
from approx.processes.rules.rule import Rule, unwritten_rule

PLACE, MANNER, VOICE = 1, 2, 4
_MANNERS = ("stop", "affricate", "fricative", "nasal", "liquid", "glide")
_CORONAL, _FRONT, _WIDE, _HIGH, _BACK_PLACES, _VOICED = "cor", "ant", "distr", "hi", "back", "voi"


@cache
def manner(phone: str) -> str:
    """stop, affricate, fricative, nasal, liquid or glide; "" for the others (h, ʔ, vowels)."""
    return next((name for name in _MANNERS if ft.in_class(phone, name)), "")


@cache
def place(phone: str) -> str:
    """labial, dental, alveolar, palatal, velar or glottal, from the features."""
    if ft.in_class(phone, "labial"):
        return "labial"
    if _has(phone, _CORONAL):
        if not _has(phone, _FRONT):
            return "palatal"
        dental = _has(phone, _WIDE) and manner(phone) == "fricative"
        return "dental" if dental else "alveolar"
    if _has(phone, _HIGH):
        return "velar" if _has(phone, _BACK_PLACES) else "palatal"
    return "glottal"


@cache
def changed(before: str, after: str) -> int:
    """Which of place, manner and voice differ, as a sum of `PLACE`, `MANNER` and `VOICE`."""
    out = PLACE * (place(before) != place(after)) + MANNER * (manner(before) != manner(after))
    return out + VOICE * (_has(before, _VOICED) != _has(after, _VOICED))


@cache
def stopped(before: str, after: str) -> bool:
    """True where a dental or palatal fricative or affricate is said as the stop of the tooth ridge: stopping alone, so
    that its place may still be assimilated (*shark* [ɡɑk])."""
    fricative = manner(before) in ("fricative", "affricate") and place(before) in ("dental", "palatal")
    return fricative and manner(after) == "stop" and place(after) == "alveolar"


def _straight(before: str, after: str, wanted: str) -> bool:
    """True if what a step changes is then as in the sound wanted."""
    done = changed(before, after)
    if stopped(before, after):
        done &= ~PLACE
    return not done & changed(after, wanted)


def _has(phone: str, feature: str) -> bool:
    values = ft.features(phone)
    return values is not None and values[ft.FEATURES.index(feature)] > 0


SoundChain = tuple[tuple[Rule, str], ...]
"""Rules one after the other, each with the sound after it."""
Chains = tuple[tuple[float, SoundChain], ...]
"""Ways to one sound with their costs, cheapest first."""


class _Trigger(NamedTuple):
    """What a rule that looks far needs of the adult word: its context, and, where the sound it makes is one of the word, that
    it makes this sound of that one."""

    context: int
    rule: str = ""
    phone: str = ""
    sound: str = ""


_Turn = tuple[float, int, Rule, int, str, float, _Trigger | None]
"""Least cost to the end, place among the turns, rule, number of its context, the sound it makes ("": it depends), least cost
after it, and its trigger where it looks far."""
_RuleTurn = tuple[Sequence[str], Rule, int, str, _Trigger | None]
"""All sounds a rule may make, the rule, the number of its context, the sound it makes for sure, its trigger."""
_Reached = tuple[float, int, float, str, SoundChain, int, frozenset[_Trigger]]
"""Cost so far, place in the order, least cost after it, the sound, the chain to it, what it changed, triggers it needs."""
_SPREAD, _LONGEST, _MOST, _DEAREST = 0.45, 3, 4, 3.2
_KEPT = 10_000
_SYL, _HI, _LO, _BACK, _ROUND, _TENSE, _CENTRAL = 0, 15, 16, 17, 18, 20, ("ə", "ʌ", "ɜ", "ɐ")
DISTORTION = unwritten_rule("distortion")
LIQUID = unwritten_rule("vocalization.other-vowel")
_LIQUIDS = ("l", "ɹ")
_PLACE_ASSIMILATIONS = frozenset(WITHOUT_TRIGGER) - {"nasal assimilation"}
RHOTIC = unwritten_rule("vocalization.rhotic-other")


class SoundPlace(NamedTuple):
    """Where a sound stands in a form on its way, and in the adult word; and how the contexts of the rules fit there."""

    form: Form
    at: int
    adult: Form
    here: int
    beside: tuple[Fit, ...]
    afar: tuple[Fit, ...]


_Way = tuple[float, SoundChain, int]
"""Cost, chain, and the triggers it needs: a bit for each of those that matter."""


class _Open(NamedTuple):
    """Ways from one sound to another were there every trigger, cheapest first. The best of those without any is open
    whatever the rest of the word is, and none is kept far above it (`most`)."""

    ways: list[_Way]
    most: float
    triggers: tuple[_Trigger, ...]
    """All that matter."""
    chosen: dict[int, Chains]
    """What is left of the ways, by which of these are there."""
    there: dict[int, Chains]
    """What is left of the ways, by how the far contexts fit: by the identity of that, for equal answers are one object
    (`Contexts.fits`)."""


class SoundChanges:
    """The rules that put one sound for another; near ones by what stands beside, far ones by the adult word.

    Assimilation looks for its trigger in the adult word (process conventions 6). The ways from one sound to another are
    looked for once, as if there were every trigger; a place then only leaves out those whose trigger is not there.
    """

    def __init__(self, rules: Sequence[Rule], tag: str) -> None:
        self.tag = tag
        self._near = [rule for rule in rules if not rule.change.far]
        self._far = [rule for rule in rules if rule.change.far]
        self._beside, self._afar = Contexts(self._near), Contexts(self._far)
        # far contexts that have to be looked at already on the way: the sound made is any that the word has there
        self._first = sorted({self._afar.context_of[rule.id] for rule in self._far if self._depends(rule)})
        self._rules = {rule.id: rule for rule in self._far}
        self._reach = CostBounds([*self._near, *self._far], tag)
        self._turns: dict[tuple[str, str, int], list[_Turn]] = {}
        self._made: dict[tuple[str, str, Fit], str | None] = {}
        self._known: dict[Hashable, _Open] = {}
        self._adult: Form | None = None
        self._around: dict[int, tuple[Fit, ...]] = {}
        """How far contexts fit in the adult form asked about last, by place."""

    def place(self, form: Form, at: int, adult: Form, origin: int) -> SoundPlace:
        """The place of a sound of a form; in the adult word it stands at index `origin` of the origins."""
        here = adult.origins.index(origin)
        if adult is not self._adult:
            self._adult, self._around = adult, {}
        afar = self._around.get(here)
        if afar is None:
            afar = self._around[here] = self._afar.fits(adult, here)
        return SoundPlace(form, at, adult, here, self._beside.fits(form, at), afar)

    def chains(self, place: SoundPlace, wanted: str) -> Chains:
        """Ways from the sound at a place to `wanted`, cheapest first; () if no rule leads there."""
        base, start = _undistorted(wanted), place.form.phones[place.at]
        if base != wanted:
            inner = self.chains(place, base) if base != start else ((0.0, ()),)
            return tuple((cost + DISTORTION.cost, (*chain, (DISTORTION, wanted))) for cost, chain in inner)
        known = self._open(place, start, wanted)
        found = known.there.get(id(place.afar))
        if found is None:
            there = 0
            for number, trigger in enumerate(known.triggers):
                there |= self._is_there(trigger, place) << number
            found = known.chosen.get(there)
            if found is None:
                found = known.chosen[there] = _left(known, there, start, wanted)
            known.there[id(place.afar)] = found
        return found

    def _open(self, place: SoundPlace, start: str, wanted: str) -> _Open:
        key = start, wanted, id(place.beside), tuple([place.afar[context] for context in self._first])
        found = self._known.get(key)
        if found is None:
            if len(self._known) > _KEPT:
                self._known.clear()
            found = self._known[key] = self._search(place, start, wanted)
        return found

    def _search(self, place: SoundPlace, start: str, wanted: str) -> _Open:
        """Cheapest first over the rules, until `_MOST` ways are found that need no trigger.

        No step changes what an earlier one has changed (place, manner, voice): a stop that is said as a fricative has
        not first become an affricate. Where only such a detour leads to the sound said, no rule does. So what a step
        changes has to be as in the sound said.
        """
        ways, alone, limit, pops = list[tuple[float, SoundChain, frozenset[_Trigger]]](), 0, _DEAREST, 0
        heap: list[_Reached] = [(0.0, 0, 0.0, start, (), 0, frozenset())]
        while heap and alone < _MOST:
            cost, _, rest, phone, chain, done, needs = heapq.heappop(heap)
            if cost > limit:
                break
            if phone == wanted:
                ways.append((cost, chain, needs))
                if not needs:
                    alone, limit = alone + 1, min(limit, cost + _SPREAD)
                continue
            left = _LONGEST - len(chain) - 1
            if left < 0 or cost + rest > limit + SLACK:
                continue
            pops += 1
            past = {start, *[sound for _, sound in chain]}
            used = {rule.process for rule, _ in chain}
            for reach, number, rule, context, known, rest, trigger in self._toward(phone, wanted, left):
                if cost + reach > limit + SLACK:
                    break
                if trigger is None or not known:
                    # near rules where their context fits, far ones as if their trigger were there
                    fit = (place.beside if trigger is None else place.afar)[context]
                    if fit is None:
                        continue
                    sound = known or self._made_here(rule, place, phone, fit)
                    if not known and sound:
                        rest = self._reach.least(sound, wanted, left)  # noqa: PLW2901 - now known for this sound
                else:
                    sound = known
                if not sound or sound in past or rule.process in used:
                    continue
                if rule.process in _PLACE_ASSIMILATIONS and not used.isdisjoint(_PLACE_ASSIMILATIONS):
                    continue  # a sound is made like one other sound of its word
                features_changed = changed(phone, sound)
                if chain and features_changed == PLACE | VOICE:
                    continue  # only a sound voiced in the adult form (a flap) takes a new place with its voice unnamed
                if not done and stopped(phone, sound):
                    features_changed &= ~PLACE
                if features_changed & done or changed(sound, wanted) & (done | features_changed):
                    continue
                spent, needed = cost + rule.cost, needs if trigger is None else needs | {trigger}
                among = pops << 16 | number
                heapq.heappush(
                    heap, (spent, among, rest, sound, (*chain, (rule, sound)), done | features_changed, needed)
                )
        triggers = tuple(dict.fromkeys(each for _, _, needs in ways for each in needs))
        bits = {trigger: 1 << number for number, trigger in enumerate(triggers)}
        marked = [(cost, chain, sum(bits[trigger] for trigger in needs)) for cost, chain, needs in ways]
        return _Open(marked, limit, triggers, {}, {})

    def _is_there(self, trigger: _Trigger, place: SoundPlace) -> bool:
        fit = place.afar[trigger.context]
        if fit is None or not trigger.rule:
            return fit is not None
        return self._made_here(self._rules[trigger.rule], place, trigger.phone, fit) == trigger.sound

    def _depends(self, rule: Rule) -> bool:
        """True where the sound a rule makes is not one of a few."""
        contexts = self._afar if rule.change.far else self._beside
        result = rule.change.result[0]
        named = [
            item for item in (*rule.change.focus, *rule.change.left, *rule.change.right) if item.name == result.name
        ]
        few = not result.agree and (not result.name or named[0].kind in ("set", "sound"))
        return contexts.whole or not few

    def _made_here(self, rule: Rule, place: SoundPlace, phone: str, fit: Fit) -> str | None:
        """What a rule makes of `phone` at a place where its context fits."""
        key = rule.id, phone, fit
        if key not in self._made:
            form, at = (place.adult, place.here) if rule.change.far else (place.form, place.at)
            now = form._replace(phones=(*form.phones[:at], phone, *form.phones[at + 1 :]))
            self._made[key] = sound_after(rule.change, now, at, self.tag)
        return self._made[key]

    def _toward(self, phone: str, wanted: str, left: int) -> list[_Turn]:
        """Rules that take the sound and after which `left` more may lead to `wanted`, those that lead there cheapest first.

        Changes of vowels are left to `_vowel_change`, which knows every pair.
        """
        key = phone, wanted, left
        found = self._turns.get(key)
        if found is None:
            edges = self._reach.edges(phone)
            if is_vowel(phone):
                edges = [edge for edge in edges if edge[0].process != "vowel change"]
            every = [turn for rule, sounds in edges for turn in self._turns_of(rule, phone, sounds)]
            turns = enumerate([turn for turn in every if not turn[3] or _straight(phone, turn[3], wanted)])
            priced = (
                (min(self._reach.least(s, wanted, left) for s in turn[0]), number, turn) for number, turn in turns
            )
            found = self._turns[key] = sorted(
                (turn[1].cost + rest, number, *turn[1:4], rest, turn[4]) for rest, number, turn in priced if rest < inf
            )
        return found

    def _turns_of(self, rule: Rule, phone: str, sounds: Sequence[str]) -> Iterator[_RuleTurn]:
        """What a rule can make of a sound; of one that makes one of a few sounds of the word, each of them by itself."""
        far = rule.change.far
        context = (self._afar if far else self._beside).context_of[rule.id]
        if self._depends(rule) or rule.change.bound and not far:
            yield sounds, rule, context, "", _Trigger(context) if far else None
            return
        for sound in sounds:
            bound = _Trigger(context, rule.id, phone, sound) if rule.change.bound else _Trigger(context)
            yield (sound,), rule, context, sound, bound if far else None


def _left(known: _Open, there: int, start: str, wanted: str) -> Chains:
    """The ways whose triggers are there: a few, cheapest first, none dearer than the most or far above the first."""
    out: list[tuple[float, SoundChain]] = []
    limit, needed = known.most, 0
    for cost, chain, needs in known.ways:
        if cost > limit or len(out) == _MOST:
            break
        if not needs & ~there:
            if not out:
                limit, needed = min(limit, cost + _SPREAD), needs
            out.append((cost, chain))
    if needed:
        out += _without_trigger(known, *out[0])
    if is_nucleus(start) and is_nucleus(wanted):
        out.append(_vowel_change(start, wanted))
    elif start in _LIQUIDS and (is_nucleus(wanted) or wanted == "w") and not out:
        out.append((LIQUID.cost, ((LIQUID, wanted),)))
    return _distinct(out)


def _without_trigger(known: _Open, least: float, best: SoundChain) -> Chains:
    """The change as it is named where there is no trigger, with no more steps: one token cannot decide (6).

    It stays a reading however dear it is by itself: no dearer than the spread.
    """
    ways = [(cost, chain) for cost, chain, needs in known.ways if not needs]
    return tuple((min(cost, least + _SPREAD), chain) for cost, chain in ways[:1] if len(chain) <= len(best))


@cache
def _undistorted(wanted: str) -> str:
    """The sound without its marks where one of them is a distortion; else as it is."""
    base, marks = ft.bare(wanted)
    return base if marks and base and _distorts(marks) else wanted


def _distinct(found: list[tuple[float, SoundChain]]) -> tuple[tuple[float, SoundChain], ...]:
    """Chains of different processes, cheapest first, within the spread of the best."""
    out: dict[tuple[str, ...], tuple[float, SoundChain]] = {}
    for cost, chain in sorted(found, key=lambda each: each[0]):
        out.setdefault(tuple(sorted(rule.process for rule, _ in chain)), (cost, chain))
    kept = list(out.values())
    return tuple(each for each in kept if each[0] <= kept[0][0] + _SPREAD)


def _distorts(marks: str) -> bool:
    kinds = ft.mark_kinds()
    return any(kinds[mark][1] != "allophone" for mark in marks if mark in kinds)


def _vowel_change(start: str, wanted: str) -> tuple[float, SoundChain]:
    """Any vowel for any other, with its kind; a rhotic vowel without its colour is vocalization (convention 8)."""
    if start[0] in "ɝɚ" and wanted[0] not in "ɝɚ":
        return RHOTIC.cost, ((RHOTIC, wanted),)
    kind = vowel_kind(start, wanted)
    rule = Rule(
        "vowel-change." + kind.replace(" ", "-"), "vowel change", "", 0.5, 95, "common practice, no source", (), kind
    )
    return rule.cost, ((rule, wanted),)


VOWEL_KINDS = (
    "diphthong reduced", "diphthongized", "derhotacized", "centralized", "raised", "lowered", "fronted", "backed", "tenseness",
    "rounding", "other",
)  # fmt: skip
"""What `vowel_kind` can say; a vowel change that no rule names is called `vowel-change.` and its kind."""


def vowel_kind(start: str, wanted: str) -> str:
    """Kind of a vowel change: diphthong reduced, derhotacized, centralized, raised, lowered, fronted, backed, ..."""
    (a, a2), (b, b2) = ft.halves(start), ft.halves(wanted)
    if a2 != a and b2 == b:
        return "diphthong reduced"
    if a2 == a and b2 != b:
        return "diphthongized"
    if start[0] in "ɝɚ":
        return "derhotacized"
    if wanted[0] in _CENTRAL and start[0] not in _CENTRAL:
        return "centralized"
    one, other = ft.features(a), ft.features(b)
    if one is None or other is None:
        return "other"
    height = (other[_HI] - other[_LO]) - (one[_HI] - one[_LO])
    if height:
        return "raised" if height > 0 else "lowered"
    if one[_BACK] != other[_BACK]:
        return "backed" if other[_BACK] > one[_BACK] else "fronted"
    if one[_TENSE] != other[_TENSE]:
        front = one[_BACK] < 0
        return ("raised" if other[_TENSE] > one[_TENSE] else "lowered") if front or one[_ROUND] > 0 else "tenseness"
    return "rounding" if one[_ROUND] != other[_ROUND] else "other"
