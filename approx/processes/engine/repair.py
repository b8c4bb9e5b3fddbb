"""What may stand in for one sound, and at what cost: chains of rules in one place, found once and kept."""

from __future__ import annotations

import heapq
from collections import defaultdict
from collections.abc import Callable, Iterable
from math import log

from approx.child.demands import alike
from approx.child.profile import LEFT_OFF, Limits
from approx.ipa.features import distance, in_class, is_nucleus
from approx.ipa.language import language as lang_of
from approx.processes.engine.apply import apply_at, sound_after
from approx.processes.engine.cost_bounds import weights
from approx.processes.engine.form import Form
from approx.processes.engine.habits import Habits, RunHabits, habit_of
from approx.processes.engine.search import Key
from approx.processes.engine.sorted_rules import Around, RuleChain, sorted_rules
from approx.processes.rules.rule import Rule
from approx.processes.rules.ruleset import RuleSet

Granted = frozenset[Key]
OWN_CHANGE = Rule("own-change", "own change", "", 0.0, 89, "what this child was heard to say", ())
"""A change of this child's that no rule describes."""
NEAREST = Rule("nearest-sound", "nearest sound", "", 0.0, 90, "common practice, no source", ())
_GLOTTAL = ("h", "ʔ", "ɦ")
_RHOTIC_VOWELS = ("ɝ", "ɚ")
_OPTIONS = 4
_SETS = 4096
"""Sets of grants kept with what they let in."""
_TAKEN_AWAY = {"l": 0.15, "ɹ": 0.15, "ə": 0.15, "s": 0.35, "t": 0.35, "θ": 0.35, "k": 0.35}
"""What the cheapest rules that take a sound away (vocalization, coalescence) may cost a sound: below each of them."""


def _unlike(phone: str, sound: str) -> float:
    """What a stand-in costs more that is of another kind: h for an oral consonant (DESIGN, what a good approximation is, 4), a
    vowel with r for one without.
    """
    glottal = sound in _GLOTTAL and phone not in _GLOTTAL
    return float(glottal or sound in _RHOTIC_VOWELS and phone not in _RHOTIC_VOWELS)


class Repairs:
    """The rules of a language as one child may use them, and the stand-ins for each sound in its context."""

    def __init__(self, rules: RuleSet, limits: Limits, language: str) -> None:
        self.limits, self.tag, self.w = limits, language, weights()
        self.rules = sorted_rules(rules, language, bool(limits.clusters))
        self.near, self.leaving_off, self.vocalizing = self.rules.near, self.rules.leaving_off, self.rules.vocalizing
        self.applicable, self.inserted, self.whole = self.rules.applicable, self.rules.inserted, self.rules.whole
        self.beside, self.weights, self.copies = self.rules.beside, self.rules.weights, self.rules.copies
        self.habits = Habits(limits, self.rules.single, language) if limits.changes or limits.evidence else None
        self.run_habits = RunHabits(limits, self.near, language) if limits.evidence else None
        self._never_stressed = lang_of(language).never_stressed
        self._of_place = frozenset(self.w.habit_of_place.split(", "))
        self._habit_from = self.w.habit_from_counted if limits.counted else self.w.habit_from
        # what a rule makes of a sound is the same for all children but those with changes of their own
        self._links: dict[tuple[object, ...], RuleChain] = {} if self.habits is not None else self.rules.links
        self._available: dict[Granted, dict[str, frozenset[str]]] = {}
        self._sets: dict[frozenset[str], frozenset[str]] = {}
        self._away: dict[tuple[str, str], float] = {}
        self._options: dict[tuple[object, ...], list[tuple[float, RuleChain]]] = defaultdict(list)

    def available(self, granted: Granted) -> dict[str, frozenset[str]]:
        """Sounds the child has by place (initial, medial, final, vowel), granted ones included; kept, to be one set."""
        kept = self._available.get(granted)
        if kept is not None:
            return kept
        have = {**self.limits.consonants, "vowel": self.limits.vowels}
        for kind, item in granted:
            if kind in ("consonant", "vowel"):
                place = item[1] if kind == "consonant" else "vowel"
                have[place] |= {item[0]}
        if len(self._available) >= _SETS:
            self._available.clear()
        have = {place: self._sets.setdefault(sounds, sounds) for place, sounds in have.items()}
        self._available[granted] = have
        return have

    def options(
        self, form: Form, at: int, place: str, have: frozenset[str], around: Around
    ) -> list[tuple[float, RuleChain]]:
        """Up to four of the sounds in the inventory (`have`) that may stand in here, cheapest first, with the rules to them.

        `around`: what `beside` gives.
        """
        key = around, have, place if self.habits is not None else ""
        found = self._options.get(key)
        if found is None:
            found = self._options[key] = self._chains(form, at, have, place)
        return found

    def cheapest(self, form: Form, at: int, place: str, have: frozenset[str], around: Around) -> float:
        """Low guess of what mending one sound costs: a stand-in, or a rule that takes it away with its neighbour."""
        options = self.options(form, at, place, have, around)
        taken_away = self._taken_away(form.phones[at], place)
        return min(options[0][0], taken_away) if options else min(1.0, taken_away)

    def _taken_away(self, phone: str, place: str) -> float:
        """The least that taking a sound away may cost; kept, for it is asked of every form."""
        known = self._away.get((phone, place))
        if known is None:
            left_off = self.left_off_price(phone, place)
            known = self._away[phone, place] = _TAKEN_AWAY.get(phone, 0.8) if left_off is None else left_off
        return known

    def own_price(self, phone: str, place: str, said: str) -> float | None:
        """What it costs to say a sound as this child was heard to, before the weight of its place; None if it was not."""
        own = self.limits.changes.get((phone, place), ())
        return self.w.own_change + self.w.own_rarer * own.index(said) if said in own else None

    def left_off_price(self, phone: str, place: str) -> float | None:
        """What it costs to leave a sound off where this child was heard to, with it or with others; None if it was not."""
        own = self.own_price(phone, place, LEFT_OFF)
        return self.habit_price(f"{place} consonant deletion", phone, place) if own is None else own

    def habit_price(self, process: str, phone: str, place: str) -> float | None:
        """What a process costs for a sound that the child's file does not name, before the weight of its place, by how often it
        does it to others; None where it was not seen to."""
        p = self._carried(phone, place).get(process)
        return None if p is None else self._price_at(p)

    def _price_at(self, p: float) -> float:
        """What a change costs that the child likely makes: no less than one that it was heard to make in this very place."""
        return max(self.w.own_change, -self.w.habit * log(p))

    def run_prices(self, run: tuple[str, ...], place: str) -> tuple[dict[str, float], float]:
        """What each way in which this child likely changes a cluster costs, by its rule or process, and how much dearer every
        other is, before the weight of the place; of a cluster that its file does not name."""
        if self.run_habits is None or (run, place) in self.limits.runs:
            return {}, 0.0
        likely = {
            way: p
            for way, p in self.run_habits.of_run(run, place).items()
            if p >= (self.w.habit_from_atypical if way in self.rules.atypical_rules else self._habit_from)
        }
        dearer = max((min(-self.w.habit * log(1 - p), self.w.not_own) for p in likely.values()), default=0.0)
        return {way: self._price_at(p) for way, p in likely.items()}, dearer

    def _carried(self, phone: str, place: str) -> dict[str, float]:
        """Processes this child likely does to a sound that its file does not name, with their probability.

        An atypical one is carried over only where it is all but sure; a change of place not where voice alone keeps the place
        (k while ɡ is in the inventory).
        """
        if self.habits is None or (phone, place) in self.limits.changes:
            return {}
        kept = any(alike(phone, sound) for sound in self.limits.consonants.get(place, ()))
        return {
            process: p
            for process, p in self.habits.of_sound(phone, place).items()
            if p >= (self.w.habit_from_atypical if process in self.rules.atypical else self._habit_from)
            and not (kept and process in self._of_place)
        }

    def _not_habit(self, phone: str, place: str, chains: Iterable[RuleChain]) -> list[float]:
        """What each stand-in costs more because it passes over what this child would likely do; only where habits alone lead to a
        sound in the inventory.
        """
        ways = [{habit_of(rule) for rule, _, _ in chain} for chain in chains]
        out = [0.0] * len(ways)
        carried = self._carried(phone, place)
        for process, p in carried.items():
            done = [process in way for way in ways]
            reached = any(process in way and way <= carried.keys() for way in ways)
            if reached or process.endswith("consonant deletion"):
                dearer = min(-self.w.habit * log(1 - p), self.w.not_own)
                out = [cost + dearer * (not each) for cost, each in zip(out, done)]
        return out

    def _chains(self, form: Form, at: int, have: frozenset[str], place: str) -> list[tuple[float, RuleChain]]:
        """Cheapest-first over one sound's changes, the rest of the form held still."""
        out: dict[str, tuple[float, RuleChain]] = {}
        start, *beside = self.beside(form, at)
        weight, around = self.weights(form)[at], tuple(beside)
        heap: list[tuple[float, int, str, RuleChain]] = [(0.0, 0, form.phones[at], ())]
        done: set[str] = set()
        tie = 0
        dearer = self._surcharges(form.phones[at], have, place)
        if place == "vowel" and form.stress[form.syllable_at(at)] == 1:
            have = have - self._never_stressed or have
        while heap and len(out) < _OPTIONS:
            cost, _, phone, chain = heapq.heappop(heap)
            if phone in done:
                continue
            done.add(phone)
            if phone in have and chain:
                out[phone] = (cost + dearer(phone), chain)
                continue
            key = phone == start, phone, around, place if self.habits is not None else ""
            links = self._links.get(key)
            if links is None:
                links = self._links[key] = self._changes(form, at, phone, weight, place)
            for link in links:
                if link[2] not in done:
                    tie += 1
                    heapq.heappush(heap, (cost + link[1], tie, link[2], (*chain, link)))
        for sound, price in self._nearest(form.phones[at], have, place):
            cost = price * weight + dearer(sound)
            if sound not in out or out[sound][0] > cost:
                out[sound] = (cost, ((NEAREST, price * weight, sound),))
        dear = self._not_habit(form.phones[at], place, (chain for _, chain in out.values()))
        found = [(cost + more * weight, chain) for (cost, chain), more in zip(out.values(), dear)]
        return sorted(found, key=lambda pair: (pair[0], pair[1][-1][2]))[:_OPTIONS]

    def _surcharges(self, phone: str, have: frozenset[str], place: str) -> Callable[[str], float]:
        """What a stand-in costs more: where the child's own change, a nasal or a labial is in the inventory there and it is not that."""
        own = self.limits.changes.get((phone, place), ())
        not_own = self.w.not_own if LEFT_OFF in own or any(sound in have for sound in own) else 0.0
        nasal = self.w.nasal_lost if in_class(phone, "nasal") and any(in_class(s, "nasal") for s in have) else 0.0
        labial = self.w.labial_lost if in_class(phone, "labial") and any(in_class(s, "labial") for s in have) else 0.0

        def dearer(sound: str) -> float:
            if sound in own:
                return 0.0
            lost = nasal if nasal and not in_class(sound, "nasal") else 0.0
            return not_own + lost + (labial if labial and in_class(sound, "velar") else 0.0)

        return dearer

    def _changes(self, form: Form, at: int, phone: str, weight: float, place: str) -> RuleChain:
        """What one rule can make of a sound that stands in for another, each with its rule and its price.

        What this child says for the sound costs little, whatever the rule costs others.
        """
        here = Form((*form.phones[:at], phone, *form.phones[at + 1 :]), *form[1:])
        out = []
        for rule, _, _ in self.rules.by_sound.between(here.phones, at):
            sound = sound_after(rule.change, here, at, self.tag)
            if sound is None:
                continue
            if is_nucleus(sound) != is_nucleus(phone):
                after = apply_at(rule.change, here, at, self.tag)
                if after is None or after.starts != form.starts:
                    continue
            # h for another sound on the way is no stand-in, though the child says it for that one
            own = None if sound in _GLOTTAL and phone != form.phones[at] else self.own_price(phone, place, sound)
            price = rule.cost * weight + (self.w.atypical if rule.atypical else 0.0) if own is None else own * weight
            habit = self.habit_price(habit_of(rule), phone, place) if own is None and phone == form.phones[at] else None
            price = price if habit is None else min(price, habit * weight)
            out.append((rule, price, sound))
        named = {sound for _, _, sound in out}
        for sound in self.limits.changes.get((phone, place), ()):
            own = self.own_price(phone, place, sound)
            if sound in _GLOTTAL and phone != form.phones[at]:
                continue
            if sound not in named and sound != LEFT_OFF and own is not None and is_nucleus(sound) == is_nucleus(phone):
                out.append((OWN_CHANGE, own * weight, sound))
        return tuple(out)

    def _nearest(self, phone: str, have: frozenset[str], place: str) -> list[tuple[str, float]]:
        """Sounds in the inventory nearest by features, with their cost before the weight of the place."""
        w = self.w
        base, per = (w.vowel_base, w.vowel_per) if place == "vowel" else (w.consonant_base, w.consonant_per)
        priced = [
            (sound, base + per * distance(phone, sound) + _unlike(phone, sound)) for sound in have if sound != phone
        ]
        return sorted(priced, key=lambda pair: (pair[1], pair[0]))[: w.offered]

    def price(self, rule: Rule, weights: tuple[float, ...], first: int, last: int, forced: bool) -> float:
        """Cost of a rule where it acts; left off though the child could have kept a sound there costs more."""
        place = weights[first] if last == first + 1 else max(weights[first:last], default=1.0)
        return (
            rule.cost * place
            + (self.w.atypical if rule.atypical else 0.0)
            + (0.0 if forced else self.w.unforced_deletion)
        )
