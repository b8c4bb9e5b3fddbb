"""Simplify: the nearest forms of an adult word that this child can say today."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from approx.child.demands import Demand, demands
from approx.child.profile import Limits
from approx.ipa.features import distance, is_nucleus
from approx.ipa.word import Word
from approx.processes.apply import apply, apply_at
from approx.processes.form import Form, form_of
from approx.processes.rule import Rule
from approx.processes.ruleset import RuleSet
from approx.processes.search import Found, search
from approx.processes.weights import weights

Granted = frozenset[tuple[str, tuple[str, ...]]]
NEAREST = Rule("nearest-sound", "nearest sound", "", 0.0, 90, "common practice, no source", ())
Move = tuple[Rule, float, Form, tuple[int, ...]]


class Simplifier:
    """The rules and one child's limits, indexed for the search. Keep it for many words; it holds no word's state."""

    def __init__(self, rules: RuleSet, limits: Limits, language: str = "en-US") -> None:
        self.limits, self.tag, self.w = limits, language, weights()
        primary = language.lower().split("-")[0]
        usable = [r for r in rules.rules if "simplify" in r.uses and r.language in ("", primary)]
        self.syllabic = [rule for rule in usable if rule.change.of_syllables]
        self.inserting = [rule for rule in usable if not rule.change.focus]
        self.copying = [rule for rule in usable if rule.change.far and any(item.name for item in rule.change.result)]
        self.near = [rule for rule in usable if rule.change.focus and not rule.change.of_syllables and not rule.change.far]
        self.by_sound: dict[str, list[tuple[Rule, int]]] = defaultdict(list)
        self._indexed: set[str] = set()
        self._applicable: dict[tuple[object, ...], list[tuple[Rule, int]]] = {}
        self._least: dict[tuple[str, str, Granted], float | None] = {}
        self._nearest: dict[tuple[str, str, Granted], list[tuple[str, float]]] = {}

    def rules_for(self, phone: str) -> list[tuple[Rule, int]]:
        """Local rules in which the sound can stand in the focus, with its place there."""
        if phone not in self._indexed:
            self._indexed.add(phone)
            self.by_sound[phone] = [
                (rule, place)
                for rule in self.near
                for place, item in enumerate(rule.change.focus)
                if item.fits(phone)
            ]
        return self.by_sound[phone]

    def applicable(self, form: Form, at: int) -> list[tuple[Rule, int]]:
        """Local rules that apply with the sound in their focus, and where they start; kept by the sound's surroundings."""
        phones, count = form.phones, len(form.phones)
        low, high = at - 3, at + 4
        window = phones[max(low, 0) : high]
        cuts = tuple(start - at for start in form.starts if low <= start <= high)
        stress = form.stress[form.syllable_at(at) :][:2]
        key = (window, min(at, 3), count - at < 4, cuts, stress)
        found = self._applicable.get(key)
        if found is None:
            found = [
                (rule, place)
                for rule, place in self.rules_for(phones[at])
                if at >= place and apply_at(rule.change, form, at - place, self.tag) is not None
            ]
            self._applicable[key] = found
        return [(rule, at - place) for rule, place in found]

    def run(self, word: Word, most: int = 3, granted: Granted = frozenset()) -> list[Found]:
        """Up to `most` sayable forms, nearest first; the adult form alone if it is sayable; [] if nothing is."""
        start = form_of(word)
        goal = _Sayable(self, granted)
        return list(search(start, goal, most, self.w.expansions, self.w.spread))

    def available(self, kind: str, place: str, granted: Granted) -> list[str]:
        """Sounds the child has in a place ("vowel" for vowels), granted ones included, in a fixed order."""
        have = self.limits.vowels if kind == "vowel" else self.limits.consonants[place]
        more = {item[0] for k, item in granted if k == kind and (kind == "vowel" or item[1] == place)}
        return sorted(have | more)

    def least(self, phone: str, place: str, granted: Granted) -> float | None:
        """Least cost of making one sound sayable in its place by itself; None if it can only be left off."""
        key = (phone, place, granted)
        if key not in self._least:
            self._least[key] = self._least_cost(phone, place, granted)
        return self._least[key]

    def _least_cost(self, phone: str, place: str, granted: Granted) -> float | None:
        kind = "vowel" if place == "vowel" else "consonant"
        sounds = self.available(kind, place, granted)
        if not sounds:
            return None
        cheapest = min((rule.cost for rule, _ in self.rules_for(phone)), default=9.0)
        w = self.w
        scale = min(w.other_vowel, w.closing_consonant, w.other_consonant)
        base = w.vowel_base if kind == "vowel" else w.consonant_base
        return scale * min(cheapest, base)

    def nearest(self, phone: str, place: str, granted: Granted) -> list[tuple[str, float]]:
        """Sounds in hand nearest by features, with their cost before the weight of the place."""
        key = (phone, place, granted)
        if key not in self._nearest:
            kind = "vowel" if place == "vowel" else "consonant"
            base, per = (self.w.vowel_base, self.w.vowel_per) if kind == "vowel" else (self.w.consonant_base, self.w.consonant_per)
            oral = phone not in ("h", "ʔ", "ɦ")
            priced = [
                (sound, base + per * distance(phone, sound) + (1.0 if oral and sound in ("h", "ʔ") else 0.0))
                for sound in self.available(kind, place, granted)
                if sound != phone
            ]
            self._nearest[key] = sorted(priced, key=lambda pair: (pair[1], pair[0]))[: self.w.offered]
        return self._nearest[key]

    def weight(self, form: Form, at: int) -> float:
        """How much a change of this sound weighs."""
        phone, number = form.phones[at], form.syllable_at(at)
        stressed = form.stress[number] == 1
        if is_nucleus(phone):
            return self.w.stressed_vowel if stressed else self.w.other_vowel
        start = form.starts[number]
        if at == 0 or stressed and at == start:
            return self.w.first_consonant
        closing = not any(is_nucleus(p) for p in form.phones[at : _end(form, number)])
        return self.w.closing_consonant if closing else self.w.other_consonant


def _end(form: Form, number: int) -> int:
    return form.starts[number + 1] if number + 1 < len(form.starts) else len(form.phones)


class _Sayable:
    """Goal of the search: no demand left. Mends the first demand of a form only, so no two orders are tried."""

    def __init__(self, simplifier: Simplifier, granted: Granted) -> None:
        self.s, self.granted = simplifier, granted
        self._first: dict[Form, Demand | None] = {}
        self._rest: dict[Form, float | None] = {}

    def estimate(self, form: Form) -> float | None:
        if form in self._rest:
            return self._rest[form]
        total, first = 0.0, None
        for demand in demands(form.phones, form.starts, self.s.limits, self.granted):
            first = first or demand
            if demand.kind in ("consonant", "vowel"):
                place = demand.item[1] if demand.kind == "consonant" else "vowel"
                least = self.s.least(demand.item[0], place, self.granted)
                if least is None:
                    least = 0.3
                total += least
            elif demand.kind == "length":
                total += 0.4 * (len(form.starts) - self.s.limits.max_syllables)
            elif demand.kind == "variety":
                total += 0.7 if self.s.limits.variety == "same" else 0.45
        if not form.phones or (not self.s.limits.vowels and not any(k == "vowel" for k, _ in self.granted)):
            total_or_none: float | None = None
        else:
            total_or_none = 0.0 if first is None else max(total, 0.05)
        self._first[form], self._rest[form] = first, total_or_none
        return total_or_none

    def moves(self, form: Form) -> Iterator[Move]:
        demand = self._first[form]
        if demand is None:
            return
        if demand.kind == "length":
            yield from self.whole(self.s.syllabic, form, shorter=True)
        elif demand.kind == "variety":
            yield from self.whole(self.s.syllabic, form, shorter=False)
            if self.s.limits.variety == "same consonant":
                yield from self.harmony(form)
            else:
                yield from self.insert(form)
        else:
            yield from self.local(form, demand)
            if demand.kind in ("consonant", "vowel"):
                yield from self.by_nearness(form, demand)
            if demand.kind == "shape":
                yield from self.insert(form)
            if demand.kind != "cluster" and len(form.starts) > 1:
                yield from self.drop_syllable(form, demand)

    def price(self, rule: Rule, form: Form, first: int, last: int, forced: bool) -> float:
        w = self.s.w
        place = max((self.s.weight(form, at) for at in range(first, last)), default=1.0)
        cost = rule.cost * place
        if rule.atypical:
            cost += w.atypical
        if not forced:
            cost += w.unforced_deletion
        return cost

    def local(self, form: Form, demand: Demand) -> Iterator[Move]:
        """Rules whose focus overlaps the demand."""
        structural = demand.kind in ("cluster", "shape")
        tried: set[tuple[str, int]] = set()
        for at in range(demand.first, demand.last):
            for rule, start in self.s.applicable(form, at):
                if structural and not self.mends(rule, demand) or (rule.id, start) in tried:
                    continue
                tried.add((rule.id, start))
                after = apply_at(rule.change, form, start, self.s.tag)
                if after is None:
                    continue
                last = start + len(rule.change.focus)
                forced = structural or not rule.shortens or rule.process in ("vocalization", "coalescence") or rule.id.endswith("left-off")
                yield rule, self.price(rule, form, start, last, forced), after, form.origins[start:last]

    def mends(self, rule: Rule, demand: Demand) -> bool:
        """A cluster or shape may also be mended by a substitution that makes a cluster in hand (train, tweɪn)."""
        if rule.shortens:
            return True
        return demand.kind == "cluster" and rule.process in ("gliding", "stopping", "palatal fronting") and bool(self.s.limits.clusters)

    def by_nearness(self, form: Form, demand: Demand) -> Iterator[Move]:
        at = demand.first
        place = demand.item[1] if demand.kind == "consonant" else "vowel"
        for sound, cost in self.s.nearest(form.phones[at], place, self.granted):
            after = form._replace(phones=(*form.phones[:at], sound, *form.phones[at + 1 :]))
            yield NEAREST, cost * self.s.weight(form, at), after, form.origins[at : at + 1]

    def insert(self, form: Form) -> Iterator[Move]:
        for rule in self.s.inserting:
            for first, last, after in apply(rule.change, form, self.s.tag):
                yield rule, self.price(rule, form, first, last, True), after, ()

    def whole(self, rules: list[Rule], form: Form, shorter: bool) -> Iterator[Move]:
        """Rules over whole syllables, and for length also the local ones that take a vowel away."""
        for rule in rules:
            if shorter is (rule.process == "reduplication"):
                if shorter:
                    continue
            for first, last, after in apply(rule.change, form, self.s.tag):
                if shorter and len(after.starts) >= len(form.starts):
                    continue
                cost = rule.cost + (self.s.w.atypical if rule.atypical else 0.0)
                if not shorter and len(after.starts) < len(form.starts):
                    cost += self.s.w.unforced_syllable
                yield rule, cost, after, form.origins[first:last]
        if shorter:
            for at, phone in enumerate(form.phones):
                for rule, place in self.s.rules_for(phone):
                    if place == 0 and rule.process == "weak syllable deletion":
                        found = apply_at(rule.change, form, at, self.s.tag)
                        if found is not None and len(found.starts) < len(form.starts):
                            yield rule, rule.cost, found, form.origins[at : at + len(rule.change.focus)]

    def harmony(self, form: Form) -> Iterator[Move]:
        """One consonant made the same as another, or left off at the end."""
        for rule in self.s.copying:
            for first, last, after in apply(rule.change, form, self.s.tag):
                yield rule, self.price(rule, form, first, last, True), after, form.origins[first:last]
        for at in range(len(form.phones)):
            for rule, start in self.s.applicable(form, at):
                if start == at and rule.process in ("final consonant deletion", "initial consonant deletion"):
                    after_deletion = apply_at(rule.change, form, at, self.s.tag)
                    if after_deletion is not None:
                        last = at + len(rule.change.focus)
                        yield rule, self.price(rule, form, at, last, False), after_deletion, form.origins[at:last]

    def drop_syllable(self, form: Form, demand: Demand) -> Iterator[Move]:
        """A weak syllable that holds the demand may go as a whole."""
        for rule in self.s.syllabic:
            if rule.process != "weak syllable deletion":
                continue
            for first, last, after in apply(rule.change, form, self.s.tag):
                if first <= demand.first < last and len(after.starts) < len(form.starts):
                    yield rule, rule.cost + self.s.w.unforced_syllable, after, form.origins[first:last]


