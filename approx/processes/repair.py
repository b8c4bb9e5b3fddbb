"""What may stand in for one sound, and at what cost: chains of rules in one place, found once and kept."""

from __future__ import annotations

import heapq
from collections import defaultdict
from collections.abc import Callable, Iterable

from approx.child.demands import Demand
from approx.child.profile import Limits
from approx.ipa.features import distance, is_nucleus
from approx.processes.apply import apply_at, match_at
from approx.processes.form import Form
from approx.processes.notation import Item
from approx.processes.rule import Rule
from approx.processes.ruleset import RuleSet
from approx.processes.search import Key
from approx.processes.weights import weights

Granted = frozenset[Key]
Chain = tuple[tuple[Rule, float, str], ...]
"""Rules one after the other in one place: each with its cost there and the sound after it."""
NEAREST = Rule("nearest-sound", "nearest sound", "", 0.0, 90, "common practice, no source", ())
_GLOTTAL = ("h", "ʔ", "ɦ")
_OPTIONS = 4
_TAKEN_AWAY = {"l": 0.15, "ɹ": 0.15, "ə": 0.15, "s": 0.35, "t": 0.35, "θ": 0.35, "k": 0.35}
"""What the cheapest rules that take a sound away (vocalization, coalescence) may cost a sound: below each of them."""
CLUSTER_MAKERS = ("gliding", "stopping", "palatal fronting", "velar fronting")
"""Processes that may turn a cluster into one that is in hand (train, tweɪn)."""


def _by_sound(rules: list[Rule]) -> Callable[[str], list[tuple[Rule, int]]]:
    """For a sound, the rules in whose focus it can stand, with its place there; kept."""
    known: dict[str, list[tuple[Rule, int]]] = {}

    def of(phone: str) -> list[tuple[Rule, int]]:
        found = known.get(phone)
        if found is None:
            places = ((rule, place, item) for rule in rules for place, item in enumerate(rule.change.focus))
            found = known[phone] = [(rule, place) for rule, place, item in places if item.fits(phone)]
        return found

    return of


class _Looks:
    """What a set of rule items can tell of a sound, as one small number: sounds no item tells apart share it."""

    def __init__(self, items: Iterable[Item]) -> None:
        self._items = tuple({item.text: item for item in items if item.kind not in ("edge", "cut", "gap")}.values())
        self._numbers: dict[tuple[bool, ...], int] = {}
        self._of: dict[str, int] = {}

    def of(self, phone: str) -> int:
        number = self._of.get(phone)
        if number is None:
            view = tuple(item.fits(phone) for item in self._items)
            number = self._of[phone] = self._numbers.setdefault(view, len(self._numbers))
        return number


class Repairs:
    """The rules of a language sorted by what they do, and the stand-ins for each sound in its surroundings."""

    def __init__(self, rules: RuleSet, limits: Limits, language: str) -> None:
        self.limits, self.tag, self.w = limits, language, weights()
        primary = language.lower().split("-")[0]
        usable = [r for r in rules.rules if "simplify" in r.uses and r.language in ("", primary)]
        self.near = [r for r in usable if r.change.focus and not r.change.of_syllables and not r.change.far]
        self.inserting = [rule for rule in usable if not rule.change.focus]
        self.doubling = [rule for rule in usable if rule.process == "reduplication" and rule.change.of_syllables]
        self.copying = [rule for rule in usable if rule.change.far and any(item.name for item in rule.change.result)]
        self.shortening = [rule for rule in usable if rule.process == "weak syllable deletion"]
        single = [r for r in self.near if len(r.change.focus) == 1 and len(r.change.result) == 1]
        structural = [rule for rule in self.near if rule.shortens or rule.process in CLUSTER_MAKERS]
        self._single, self._structural = _by_sound(single), _by_sound(structural)
        self._looks = _Looks(item for rule in structural for item in (*rule.change.focus, *rule.change.left, *rule.change.right))
        self._nearby = _Looks(item for rule in single for item in (*rule.change.left, *rule.change.right))
        self._applicable: dict[tuple[object, ...], list[tuple[Rule, int]]] = {}
        self._options: dict[tuple[object, ...], list[tuple[float, Chain]]] = defaultdict(list)

    def available(self, place: str, granted: Granted) -> frozenset[str]:
        """Sounds the child has in a place (initial, medial, final, vowel), granted ones included."""
        have = self.limits.vowels if place == "vowel" else self.limits.consonants[place]
        if not granted:
            return have
        if place == "vowel":
            return have | {item[0] for kind, item in granted if kind == "vowel"}
        return have | {item[0] for kind, item in granted if kind == "consonant" and item[1] == place}

    def surroundings(self, form: Form, at: int) -> tuple[object, ...]:
        """All that a local rule can see around a sound: equal surroundings, equal rules."""
        low, high, starts, phones = at - 3, at + 4, form.starts, form.phones
        look = self._looks.of
        window = tuple([look(phone) for phone in phones[low if low > 0 else 0 : high]])
        cuts = tuple([start - at for start in starts if low < start < high]) if len(starts) > 1 else at == 0
        return phones[at], window, at if at < 3 else 3, min(len(phones) - at, 5), cuts, form.stress[form.syllable_at(at)]

    def beside(self, form: Form, at: int) -> tuple[object, ...]:
        """All that a rule of one sound for one can see; far fewer kinds than whole surroundings."""
        phones, look = form.phones, self._nearby.of
        left = look(phones[at - 1]) if at else -1
        right = look(phones[at + 1]) if at + 1 < len(phones) else -1
        stress = form.stress[form.syllable_at(at)]
        return phones[at], left, right, at in form.starts, at + 1 in form.starts, stress, self.weight(form, at)

    def applicable(self, form: Form, at: int) -> list[tuple[Rule, int]]:
        """Rules that take sounds away or make clusters, with this sound in their focus, and where they start."""
        key = self.surroundings(form, at)
        found = self._applicable.get(key)
        if found is None:
            found = self._applicable[key] = [
                (rule, place)
                for rule, place in self._structural(form.phones[at])
                if at >= place and match_at(rule.change, form, at - place) is not None
            ]
        return [(rule, at - place) for rule, place in found]

    def options(self, form: Form, demand: Demand, granted: Granted) -> list[tuple[float, Chain]]:
        """Up to four stand-ins for the sound a demand stands on, cheapest first, with the rules that lead there."""
        at = demand.first
        place = demand.item[1] if demand.kind == "consonant" else "vowel"
        have = self.available(place, granted)
        key = (*self.beside(form, at), have)
        found = self._options.get(key)
        if found is None:
            found = self._options[key] = self._chains(form, at, have, place)
        return found

    def cheapest(self, form: Form, demand: Demand, granted: Granted) -> float:
        """Low guess of what mending one sound costs: a stand-in, or a rule that takes it away with its neighbour."""
        options = self.options(form, demand, granted)
        least = options[0][0] if options else 1.0
        return min(least, _TAKEN_AWAY.get(form.phones[demand.first], 0.8))

    def _chains(self, form: Form, at: int, have: frozenset[str], place: str) -> list[tuple[float, Chain]]:
        """Cheapest-first over one sound's changes, the rest of the form held still."""
        out: dict[str, tuple[float, Chain]] = {}
        weight = self.weight(form, at)
        start = form.phones[at]
        heap: list[tuple[float, int, str, Chain]] = [(0.0, 0, start, ())]
        done: set[str] = set()
        tie = 0
        while heap and len(out) < _OPTIONS:
            cost, _, phone, chain = heapq.heappop(heap)
            if phone in done:
                continue
            done.add(phone)
            if phone in have and chain:
                out[phone] = (cost, chain)
                continue
            here = form._replace(phones=(*form.phones[:at], phone, *form.phones[at + 1 :]))
            for rule, _ in self._single(phone):
                after = apply_at(rule.change, here, at, self.tag)
                if after is None or len(after.phones) != len(form.phones) or after.starts != form.starts:
                    continue
                tie += 1
                price = rule.cost * weight + (self.w.atypical if rule.atypical else 0.0)
                heapq.heappush(heap, (cost + price, tie, after.phones[at], (*chain, (rule, price, after.phones[at]))))
        for sound, price in self._nearest(start, have, place):
            if sound not in out or out[sound][0] > price * weight:
                out[sound] = (price * weight, ((NEAREST, price * weight, sound),))
        return sorted(out.values(), key=lambda pair: (pair[0], pair[1][-1][2]))[:_OPTIONS]

    def _nearest(self, phone: str, have: frozenset[str], place: str) -> list[tuple[str, float]]:
        """Sounds in hand nearest by features, with their cost before the weight of the place."""
        w = self.w
        base, per = (w.vowel_base, w.vowel_per) if place == "vowel" else (w.consonant_base, w.consonant_per)
        # h is no stand-in for an oral consonant (DESIGN, what a good approximation is, 4)
        priced = [
            (sound, base + per * distance(phone, sound) + (phone not in _GLOTTAL and sound in _GLOTTAL))
            for sound in have
            if sound != phone
        ]
        return sorted(priced, key=lambda pair: (pair[1], pair[0]))[: w.offered]

    def weight(self, form: Form, at: int) -> float:
        """How much a change of this sound weighs."""
        phone, number = form.phones[at], form.syllable_at(at)
        stressed = form.stress[number] == 1
        if is_nucleus(phone):
            return self.w.stressed_vowel if stressed else self.w.other_vowel
        if at == 0 or stressed and at == form.starts[number]:
            return self.w.first_consonant
        end = form.starts[number + 1] if number + 1 < len(form.starts) else len(form.phones)
        closing = not any(map(is_nucleus, form.phones[at:end]))
        return self.w.closing_consonant if closing else self.w.other_consonant

    def price(self, rule: Rule, form: Form, first: int, last: int, forced: bool) -> float:
        """Cost of a rule where it acts; left off though the child could have kept a sound there costs more."""
        place = max([self.weight(form, at) for at in range(first, last)], default=1.0)
        return rule.cost * place + (self.w.atypical if rule.atypical else 0.0) + (0.0 if forced else self.w.unforced_deletion)
