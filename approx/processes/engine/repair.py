"""What may stand in for one sound, and at what cost: chains of rules in one place, found once and kept."""

from __future__ import annotations

import heapq
from collections import defaultdict
from collections.abc import Callable, Iterable
from math import log

from approx.child.profile import LEFT_OFF, Limits
from approx.ipa.features import distance, in_class, is_nucleus
from approx.ipa.language import language as lang_of
from approx.processes.engine.apply import apply_at, fits_beside, match_at, sees_beside_only, sound_after, syllable_slots
from approx.processes.engine.cost_bounds import weights
from approx.processes.engine.form import Form
from approx.processes.engine.habits import Habits, habit_of
from approx.processes.engine.own_runs import RunHabits
from approx.processes.engine.search import Key
from approx.processes.rules.notation import Item
from approx.processes.rules.rule import Rule
from approx.processes.rules.ruleset import RuleSet

Granted = frozenset[Key]
Around = tuple[object, ...]
"""A sound with all that a rule of one sound for one can see beside it."""
Chain = tuple[tuple[Rule, float, str], ...]
"""Rules one after the other in one place: each with its cost there and the sound after it."""
OWN = Rule("own-change", "own change", "", 0.0, 89, "what this child was heard to say", ())
"""A change of this child's that no rule describes."""
NEAREST = Rule("nearest-sound", "nearest sound", "", 0.0, 90, "common practice, no source", ())
_GLOTTAL = ("h", "ʔ", "ɦ")
_RHOTIC_VOWELS = ("ɝ", "ɚ")
_OPTIONS = 4
_SETS = 4096
"""Sets of grants kept with what they let in."""
_TAKEN_AWAY = {"l": 0.15, "ɹ": 0.15, "ə": 0.15, "s": 0.35, "t": 0.35, "θ": 0.35, "k": 0.35}
"""What the cheapest rules that take a sound away (vocalization, coalescence) may cost a sound: below each of them."""
DOUBLING, SHORTENING = "reduplication", "weak syllable deletion"


Spot = tuple[Rule, int, bool]
"""A rule, the place of a sound in its focus, and whether that sound and its two neighbours are all it looks at."""


def _unlike(phone: str, sound: str) -> float:
    """What a stand-in costs more that is of another kind: h for an oral consonant (DESIGN, what a good approximation is, 4), a
    vowel with r for one without.
    """
    glottal = sound in _GLOTTAL and phone not in _GLOTTAL
    return float(glottal or sound in _RHOTIC_VOWELS and phone not in _RHOTIC_VOWELS)


class _BySound:
    """Of some rules, those that may have a sound in their focus when two sounds stand beside it; kept."""

    def __init__(self, rules: list[Rule]) -> None:
        self.rules = rules
        self._of: dict[str, list[Spot]] = {}
        self._sides: dict[tuple[str, str, int], set[int]] = {}
        self._between: dict[tuple[str, str, str], list[Spot]] = {}

    def of(self, phone: str) -> list[Spot]:
        found = self._of.get(phone)
        if found is None:
            places = ((rule, place, item) for rule in self.rules for place, item in enumerate(rule.change.focus))
            fitting = [(rule, place) for rule, place, item in places if item.fits(phone)]
            found = self._of[phone] = [(rule, place, sees_beside_only(rule.change, place)) for rule, place in fitting]
        return found

    def between(self, phones: tuple[str, ...], at: int) -> list[Spot]:
        """The rules that the sound itself and the two beside it do not rule out."""
        left, right = phones[at - 1] if at else "", phones[at + 1] if at + 1 < len(phones) else ""
        key = left, phones[at], right
        found = self._between.get(key)
        if found is None:
            before, after = self._beside(phones[at], left, -1), self._beside(phones[at], right, 1)
            spots = enumerate(self.of(phones[at]))
            found = self._between[key] = [spot for number, spot in spots if number in before and number in after]
        return found

    def _beside(self, phone: str, other: str, side: int) -> set[int]:
        """Which rules for a sound allow another to its left (-1) or right (1), as places in their list."""
        key = phone, other, side
        found = self._sides.get(key)
        if found is None:
            spots = enumerate(self.of(phone))
            fitting = {number for number, (rule, place, _) in spots if fits_beside(rule.change, place, other, side)}
            found = self._sides[key] = fitting
        return found


class _Looks(dict[str, int]):
    """What a set of rule items can tell of a sound, as one small number: sounds no item tells apart share it."""

    def __init__(self, items: Iterable[Item]) -> None:
        super().__init__()
        self._items = tuple({item.text: item for item in items if item.kind not in ("edge", "cut", "gap")}.values())
        self._numbers: dict[tuple[bool, ...], int] = {}

    def __missing__(self, phone: str) -> int:
        view = tuple(item.fits(phone) for item in self._items)
        number = self[phone] = self._numbers.setdefault(view, len(self._numbers))
        return number


class Repairs:
    """The rules of a language sorted by what they do, and the stand-ins for each sound in its surroundings."""

    def __init__(self, rules: RuleSet, limits: Limits, language: str) -> None:
        self.limits, self.tag, self.w = limits, language, weights()
        primary = language.lower().split("-")[0]
        usable = [r for r in rules.rules if "simplify" in r.uses and r.language in ("", primary)]
        self.near = [r for r in usable if r.change.focus and not r.change.of_syllables and not r.change.far]
        self.inserting = [rule for rule in usable if not rule.change.focus]
        self.doubling = [rule for rule in usable if rule.process == DOUBLING and rule.change.of_syllables]
        self.copying = [rule for rule in usable if rule.change.far and any(item.name for item in rule.change.result)]
        self.shortening = [rule for rule in usable if rule.process == SHORTENING]
        self.leaving_off = {
            rule.process: rule for rule in reversed(self.near) if rule.process.endswith("consonant deletion")
        }
        self.vocalizing = [r for r in self.near if r.process == "vocalization" and len(r.change.focus) == 1]
        single = [r for r in self.near if len(r.change.focus) == 1 and len(r.change.result) == 1]
        # a sound for a sound can turn a cluster into one that is in the inventory (train, tweɪn), if there is one
        structural = [rule for rule in self.near if rule.shortens or limits.clusters and rule in single]
        self.habits = Habits(limits, single, language) if limits.changes or limits.evidence else None
        self.run_habits = RunHabits(limits, self.near, language) if limits.evidence else None
        self._never_stressed = lang_of(language).never_stressed
        self._atypical = frozenset(rule.process for rule in usable if rule.atypical)
        self._habit_from = self.w.habit_from_counted if limits.counted else self.w.habit_from
        self._atypical_rules = frozenset(rule.id for rule in usable if rule.atypical)
        self._single, self._structural = _BySound(single), _BySound(structural)
        self._nearby = _Looks(item for rule in single for item in (*rule.change.left, *rule.change.right))
        self._whole: dict[tuple[object, ...], list[tuple[Rule, int, int]]] = {}
        self._inserted: dict[tuple[str, str], list[Rule]] = {}
        self._weights: dict[tuple[tuple[str, ...], bool, bool], tuple[float, ...]] = {}
        self._weighed: tuple[Form | None, tuple[float, ...]] = (None, ())
        self._copies: dict[str, list[Rule]] = {}
        self._links: dict[tuple[object, ...], Chain] = {}
        self._available: dict[Granted, dict[str, frozenset[str]]] = {}
        self._sets: dict[frozenset[str], frozenset[str]] = {}
        self._options: dict[tuple[object, ...], list[tuple[float, Chain]]] = defaultdict(list)

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

    def beside(self, form: Form, at: int) -> Around:
        """All that a rule of one sound for one can see; far fewer kinds than whole surroundings."""
        phones, look = form.phones, self._nearby
        left = look[phones[at - 1]] if at else -1
        right = look[phones[at + 1]] if at + 1 < len(phones) else -1
        stress = form.stress[form.syllable_at(at)]
        return phones[at], left, right, at in form.starts, at + 1 in form.starts, stress, self.weight(form, at)

    def applicable(self, form: Form, at: int) -> list[tuple[Rule, int]]:
        """Rules that take sounds away or make clusters, with this sound in their focus, and where they start."""
        out = []
        for rule, place, sure in self._structural.between(form.phones, at):
            if sure or at >= place and match_at(rule.change, form, at - place) is not None:
                out.append((rule, at - place))
        return out

    def whole(self, form: Form) -> list[tuple[Rule, int, int]]:
        """Rules of whole syllables that fit a form: each with the first and last syllable (excluded) it stands on."""
        starts, phones = form.starts, form.phones
        key = form.stress, tuple([is_nucleus(phones[start]) for start in starts])
        found = self._whole.get(key)
        if found is None:
            found = self._whole[key] = [
                (rule, slot, slot + len(rule.change.focus))
                for rule in (*self.doubling, *self.shortening)
                if rule.change.of_syllables
                for slot in syllable_slots(rule.change, form)
            ]
        return found

    def copies(self, model: str) -> list[Rule]:
        """Rules that can write this consonant again in another's place."""
        found = self._copies.get(model)
        if found is None:
            contexts = [(rule, (*rule.change.left, *rule.change.right)) for rule in self.copying]
            found = [rule for rule, items in contexts if any(item.name and item.fits(model) for item in items)]
            self._copies[model] = found
        return found

    def inserted(self, form: Form, at: int) -> list[Rule]:
        """Rules that can put a sound in before the one at a place (or at the end)."""
        phones = form.phones
        key = phones[at - 1] if at else "", phones[at] if at < len(phones) else ""
        found = self._inserted.get(key)
        if found is None:
            found = self._inserted[key] = [rule for rule in self.inserting if self._may_stand(rule, *key)]
        return [rule for rule in found if match_at(rule.change, form, at) is not None] if found else found

    def _may_stand(self, rule: Rule, left: str, right: str) -> bool:
        return fits_beside(rule.change, 0, left, -1) and fits_beside(rule.change, -1, right, 1)

    def options(
        self, form: Form, at: int, place: str, have: frozenset[str], around: Around | None = None
    ) -> list[tuple[float, Chain]]:
        """Up to four of the sounds in the inventory (`have`) that may stand in here, cheapest first, with the rules to them.

        `around`: what `beside` gives, where it is known.
        """
        key = around or self.beside(form, at), have, place if self.habits is not None else ""
        found = self._options.get(key)
        if found is None:
            found = self._options[key] = self._chains(form, at, have, place)
        return found

    def cheapest(self, form: Form, at: int, place: str, have: frozenset[str], around: Around | None = None) -> float:
        """Low guess of what mending one sound costs: a stand-in, or a rule that takes it away with its neighbour."""
        options = self.options(form, at, place, have, around)
        least = options[0][0] if options else 1.0
        left_off = self.left_off_price(form.phones[at], place)
        return min(least, _TAKEN_AWAY.get(form.phones[at], 0.8) if left_off is None else left_off)

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
        return None if p is None else -self.w.habit * log(p)

    def run_prices(self, run: tuple[str, ...], place: str) -> tuple[dict[str, float], float]:
        """What each way in which this child likely changes a cluster costs, by its rule or process, and how much dearer every
        other is, before the weight of the place; of a cluster that its file does not name."""
        if self.run_habits is None or (run, place) in self.limits.runs:
            return {}, 0.0
        likely = {
            way: p
            for way, p in self.run_habits.of_run(run, place).items()
            if p >= (self.w.habit_from_atypical if way in self._atypical_rules else self._habit_from)
        }
        dearer = max((min(-self.w.habit * log(1 - p), self.w.not_own) for p in likely.values()), default=0.0)
        return {way: -self.w.habit * log(p) for way, p in likely.items()}, dearer

    def _carried(self, phone: str, place: str) -> dict[str, float]:
        """Processes this child likely does to a sound that its file does not name, with their probability.

        An atypical one is carried over only where it is all but sure.
        """
        if self.habits is None or (phone, place) in self.limits.changes:
            return {}
        return {
            process: p
            for process, p in self.habits.of_sound(phone, place).items()
            if p >= (self.w.habit_from_atypical if process in self._atypical else self._habit_from)
        }

    def _not_habit(self, phone: str, place: str, chains: Iterable[Chain]) -> list[float]:
        """What each stand-in costs more because it passes over what this child would likely do."""
        listed = list(chains)
        out = [0.0] * len(listed)
        for process, p in self._carried(phone, place).items():
            done = [any(habit_of(rule) == process for rule, _, _ in chain) for chain in listed]
            if any(done) or process.endswith("consonant deletion"):
                dearer = min(-self.w.habit * log(1 - p), self.w.not_own)
                out = [cost + dearer * (not each) for cost, each in zip(out, done)]
        return out

    def _chains(self, form: Form, at: int, have: frozenset[str], place: str) -> list[tuple[float, Chain]]:
        """Cheapest-first over one sound's changes, the rest of the form held still."""
        out: dict[str, tuple[float, Chain]] = {}
        start, *beside = self.beside(form, at)
        weight, around = self.weight(form, at), tuple(beside)
        heap: list[tuple[float, int, str, Chain]] = [(0.0, 0, form.phones[at], ())]
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
            key = start, phone, around, place if self.habits is not None else ""
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

    def _changes(self, form: Form, at: int, phone: str, weight: float, place: str) -> Chain:
        """What one rule can make of a sound that stands in for another, each with its rule and its price.

        What this child says for the sound costs little, whatever the rule costs others.
        """
        here = form._replace(phones=(*form.phones[:at], phone, *form.phones[at + 1 :]))
        out = []
        for rule, _, _ in self._single.between(here.phones, at):
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
                out.append((OWN, own * weight, sound))
        return tuple(out)

    def _nearest(self, phone: str, have: frozenset[str], place: str) -> list[tuple[str, float]]:
        """Sounds in the inventory nearest by features, with their cost before the weight of the place."""
        w = self.w
        base, per = (w.vowel_base, w.vowel_per) if place == "vowel" else (w.consonant_base, w.consonant_per)
        priced = [
            (sound, base + per * distance(phone, sound) + _unlike(phone, sound)) for sound in have if sound != phone
        ]
        return sorted(priced, key=lambda pair: (pair[1], pair[0]))[: w.offered]

    def weight(self, form: Form, at: int) -> float:
        """How much a change of this sound weighs."""
        return self.weights(form)[at]

    def weights(self, form: Form) -> tuple[float, ...]:
        """How much a change of each sound weighs; found once for each syllable, stressed or not, first or not."""
        weighed, out = self._weighed
        if weighed is form:
            return out
        phones, starts, out = form.phones, form.starts, ()
        for number, start in enumerate(starts):
            sounds = phones[start : starts[number + 1]] if number + 1 < len(starts) else phones[start:]
            key = sounds, number == 0, form.stress[number] == 1
            found = self._weights.get(key)
            if found is None:
                found = self._weights[key] = self._weights_of(*key)
            out += found
        self._weighed = form, out
        return out

    def _weights_of(self, sounds: tuple[str, ...], first: bool, stressed: bool) -> tuple[float, ...]:
        out = []
        for at, phone in enumerate(sounds):
            if is_nucleus(phone):
                out.append(self.w.stressed_vowel if stressed else self.w.other_vowel)
            elif at == 0 and (first or stressed):
                out.append(self.w.first_consonant)
            else:
                closing = not any(map(is_nucleus, sounds[at:]))
                out.append(self.w.closing_consonant if closing else self.w.other_consonant)
        return tuple(out)

    def price(self, rule: Rule, weights: tuple[float, ...], first: int, last: int, forced: bool) -> float:
        """Cost of a rule where it acts; left off though the child could have kept a sound there costs more."""
        place = weights[first] if last == first + 1 else max(weights[first:last], default=1.0)
        return (
            rule.cost * place
            + (self.w.atypical if rule.atypical else 0.0)
            + (0.0 if forced else self.w.unforced_deletion)
        )
