"""One sound for another: the chains of rules that lead from an adult sound to the one that was said.

Place, manner and voice of a consonant, as the trade sorts them: what a step on the way to another sound changes.
"""

from __future__ import annotations

import heapq
from collections.abc import Hashable, Sequence
from functools import cache
from math import inf

from approx.ipa import features as ft
from approx.ipa.features import is_nucleus, is_vowel
from approx.processes.engine.apply import sound_after
from approx.processes.engine.contexts import Contexts, Fit
from approx.processes.engine.cost_bounds import ANY, SLACK, CostBounds
from approx.processes.engine.form import Form
from approx.processes.rules.rule import Rule
from approx.processes.rules.without_rule import unwritten_rule

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


def _has(phone: str, feature: str) -> bool:
    values = ft.features(phone)
    return values is not None and values[ft.FEATURES.index(feature)] > 0


Chain = tuple[tuple[Rule, str], ...]
"""Rules one after the other, each with the sound after it."""
Chains = tuple[tuple[float, Chain], ...]
"""Ways to one sound with their costs, cheapest first."""
_Turn = tuple[Rule, int, bool, str, float]
"""A rule, the number of its context, whether that is far, the sound it makes ("": it depends), and least cost after it."""
_SPREAD, _LONGEST, _MOST, _DEAREST = 0.45, 3, 4, 3.2
_KEPT = 200_000
_SYL, _HI, _LO, _BACK, _ROUND, _TENSE, _CENTRAL = 0, 15, 16, 17, 18, 20, ("ə", "ʌ", "ɜ", "ɐ")
DISTORTION = unwritten_rule("distortion")
LIQUID = unwritten_rule("vocalization.other-vowel")
_LIQUIDS = ("l", "ɹ")
RHOTIC = unwritten_rule("vocalization.rhotic-other")


class Place:
    """Where a sound stands in a form on its way, and in the adult word; and how the contexts of the rules fit there."""

    __slots__ = ("adult", "afar", "at", "beside", "form", "here")

    def __init__(
        self, form: Form, at: int, adult: Form, here: int, beside: tuple[Fit, ...], afar: tuple[Fit, ...]
    ) -> None:
        self.form, self.at, self.adult, self.here, self.beside, self.afar = form, at, adult, here, beside, afar

    def without_far(self) -> Place:
        """The place as it would be if no rule that looks far fitted."""
        return Place(self.form, self.at, self.adult, self.here, self.beside, (None,) * len(self.afar))


class SoundChanges:
    """The rules that put one sound for another; near ones by what stands beside, far ones by the adult word.

    Assimilation looks for its trigger in the adult word (process conventions 6). What was found for a sound is kept for
    every other place where the rules that could lead to the sound said fit in the same way, in any word.
    """

    def __init__(self, rules: Sequence[Rule], tag: str) -> None:
        self.tag = tag
        self._near = [rule for rule in rules if not rule.change.far]
        self._far = [rule for rule in rules if rule.change.far]
        self._beside, self._afar = Contexts(self._near), Contexts(self._far)
        self._reach = CostBounds([*self._near, *self._far], tag)
        self._turns: dict[tuple[str, str, int], list[_Turn]] = {}
        self._asked: dict[tuple[str, str, tuple[Fit, ...]], tuple[float, list[int]]] = {}
        self._made: dict[tuple[str, str, Fit], str | None] = {}
        self._known: dict[Hashable, Chains] = {}

    def place(self, form: Form, at: int, adult: Form, origin: int) -> Place:
        """The place of a sound of a form; in the adult word it stands at index `origin` of the origins."""
        here = adult.origins.index(origin)
        return Place(form, at, adult, here, self._beside.fits(form, at), self._afar.fits(adult, here))

    def chains(self, place: Place, wanted: str) -> Chains:
        """Ways from the sound at a place to `wanted`, cheapest first; () if no rule leads there."""
        start = place.form.phones[place.at]
        asked, afar = self._asked_of(place, start, wanted)[1], place.afar
        key = start, wanted, place.beside, tuple([afar[context] for context in asked])
        found = self._known.get(key)
        if found is None:
            if len(self._known) > _KEPT:
                self._known.clear()
            found = self._known[key] = self._search(place, wanted)
        return found

    def _asked_of(self, place: Place, start: str, wanted: str) -> tuple[float, list[int]]:
        """What a way that is kept may cost at most, and numbers of the far contexts that can matter to it.

        The best way by near rules alone is open whatever the rest of the word is; none is kept far above it.
        """
        key = start, wanted, place.beside
        found = self._asked.get(key)
        if found is None:
            goal, alone = _undistorted(wanted), place.without_far()
            ways = self._by_rules(alone, goal, _DEAREST) if goal != start else []
            most = min(_DEAREST, ways[0][0] + _SPREAD) if ways else _DEAREST
            rules = self._reach.rules_between(start, goal, _LONGEST, most)
            far = {self._afar.context_of[rule.id] for rule in rules if rule.change.far}
            found = self._asked[key] = most, sorted(far)
        return found

    def _search(self, place: Place, wanted: str) -> Chains:
        base, start = _undistorted(wanted), place.form.phones[place.at]
        if base != wanted:
            inner = self.chains(place, base) if base != start else ((0.0, ()),)
            return tuple((cost + DISTORTION.cost, (*chain, (DISTORTION, wanted))) for cost, chain in inner)
        out = self._by_rules(place, wanted, self._asked_of(place, start, wanted)[0])
        if out and any(rule.change.far for rule, _ in out[0][1]):
            out += self._without_trigger(place, wanted, *out[0])
        if is_nucleus(start) and is_nucleus(wanted):
            out.append(_vowel_change(start, wanted))
        elif start in _LIQUIDS and (is_nucleus(wanted) or wanted == "w") and not out:
            out.append((LIQUID.cost, ((LIQUID, wanted),)))
        return _distinct(out)

    def _without_trigger(self, place: Place, wanted: str, least: float, best: Chain) -> Chains:
        """The same change as it is named where there is no trigger, with no more steps: one token cannot decide (6).

        It stays a reading however dear it is by itself: no dearer than the spread.
        """
        ways = self._by_rules(place.without_far(), wanted, _DEAREST)
        return tuple((min(cost, least + _SPREAD), chain) for cost, chain in ways[:1] if len(chain) <= len(best))

    def _by_rules(self, place: Place, wanted: str, limit: float) -> list[tuple[float, Chain]]:
        """A few ways by rules alone, cheapest first, none dearer than `limit` or far above the first.

        No step changes what an earlier one has changed (place, manner, voice): a stop that is said as a fricative has
        not first become an affricate. Where only such a detour leads to the sound said, no rule does.
        """
        start, out = place.form.phones[place.at], list[tuple[float, Chain]]()
        heap: list[tuple[float, int, str, Chain, int]] = [(0.0, 0, start, (), 0)]
        tie, least, beside, afar = 0, self._reach.least, place.beside, place.afar
        while heap and len(out) < _MOST:
            cost, _, phone, chain, done = heapq.heappop(heap)
            if cost > limit:
                break
            if phone == wanted:
                out.append((cost, chain))
                limit = min(limit, cost + _SPREAD)
                continue
            left = _LONGEST - len(chain) - 1
            past = {start, *[sound for _, sound in chain]}
            used = {rule.process for rule, _ in chain}
            for rule, context, far, known, rest in self._toward(phone, wanted, left) if left >= 0 else ():
                spent = cost + rule.cost
                fit = afar[context] if far else beside[context]
                if fit is None or spent + rest > limit + SLACK or rule.process in used:
                    continue
                sound = known or self._made_here(rule, place, phone, fit)
                if sound is None or sound in past or not known and spent + least(sound, wanted, left) > limit + SLACK:
                    continue
                traits = changed(phone, sound)
                if not done and stopped(phone, sound):
                    traits &= ~PLACE
                if traits & done:
                    continue
                tie += 1
                heapq.heappush(heap, (spent, tie, sound, (*chain, (rule, sound)), done | traits))
        return out

    def _made_here(self, rule: Rule, place: Place, phone: str, fit: Fit) -> str | None:
        """What a rule makes of `phone` at a place where its context fits."""
        key = rule.id, phone, fit
        if key not in self._made:
            form, at = (place.adult, place.here) if rule.change.far else (place.form, place.at)
            now = form._replace(phones=(*form.phones[:at], phone, *form.phones[at + 1 :]))
            self._made[key] = sound_after(rule.change, now, at, self.tag)
        return self._made[key]

    def _toward(self, phone: str, wanted: str, left: int) -> list[_Turn]:
        """Rules that take the sound and after which `left` more may lead to `wanted`.

        Changes of vowels are left to `_vowel_change`, which knows every pair.
        """
        key = phone, wanted, left
        found = self._turns.get(key)
        if found is None:
            found = self._turns[key] = []
            for rule, sounds in self._reach.edges(phone):
                if is_vowel(phone) and rule.process == "vowel change":
                    continue
                rest = min(self._reach.least(sound, wanted, left) for sound in sounds)
                far = rule.change.far
                context = (self._afar if far else self._beside).context_of[rule.id]
                sure = len(sounds) == 1 and sounds[0] != ANY and not rule.change.bound
                sure = sure and not (self._afar if far else self._beside).whole
                if rest < inf:
                    found.append((rule, context, far, sounds[0] if sure else "", rest))
        return found


def _undistorted(wanted: str) -> str:
    """The sound without its marks where one of them is a distortion; else as it is."""
    base, marks = ft.bare(wanted)
    return base if marks and base and _distorts(marks) else wanted


def _distinct(found: list[tuple[float, Chain]]) -> tuple[tuple[float, Chain], ...]:
    """Chains of different processes, cheapest first, within the spread of the best."""
    out: dict[tuple[str, ...], tuple[float, Chain]] = {}
    for cost, chain in sorted(found, key=lambda each: each[0]):
        out.setdefault(tuple(sorted(rule.process for rule, _ in chain)), (cost, chain))
    kept = list(out.values())
    return tuple(each for each in kept if each[0] <= kept[0][0] + _SPREAD)


def _distorts(marks: str) -> bool:
    kinds = ft.mark_kinds()
    return any(kinds[mark][1] != "allophone" for mark in marks if mark in kinds)


def _vowel_change(start: str, wanted: str) -> tuple[float, Chain]:
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
