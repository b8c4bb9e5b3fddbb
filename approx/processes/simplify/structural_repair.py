"""What can be done about one demand of a form by rules of structure: sounds and syllables left off, put in, made alike.

Nothing here depends on what is granted on a ladder, so that one word's repairs serve all its rungs.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from approx.child.demands import Demand, position_of
from approx.child.profile import AGAIN, LEFT_OFF, WEAK, Limits
from approx.ipa.features import is_nucleus
from approx.ipa.language import language
from approx.processes.engine.apply import apply_at, carry_out, replaced
from approx.processes.engine.form import Form
from approx.processes.engine.habits import REDUCED, WHOLE, WITH_VOWEL
from approx.processes.engine.repair import OWN_CHANGE, Repairs
from approx.processes.engine.sorted_rules import DOUBLING, SHORTENING
from approx.processes.rules.rule import Rule

_LEFT_OFF = ("final consonant deletion", "initial consonant deletion")
VOCALIZED = "vocalization"
_PART = 0.3
"""What it costs more to leave off only a part of a weak syllable."""


class StructuralRepair:
    """A rule, its cost here, the first and last sound (excluded) it stands on; carried out when first asked for."""

    __slots__ = ("_after", "_done", "_fewer", "cost", "first", "form", "last", "rule", "spoils")

    def __init__(
        self, rule: Rule, cost: float, form: Form, first: int, last: int, after: Form | None = None, fewer: bool = False
    ) -> None:
        self.rule, self.cost, self.form, self.first, self.last = rule, cost, form, first, last
        self._after, self._done, self._fewer = after, False, fewer
        self.spoils: tuple[str, str] | None = None
        """A sound that is changed only to make a cluster, and its place: dearer if the child has it there."""

    def after(self, structural: StructuralRepairs) -> Form | None:
        """The form after it, cut into syllables anew; None where it leaves nothing or not what it is for."""
        if not self._done:
            after = self._after or carry_out(self.rule.change, self.form, self.first, structural.r.tag)
            if after is not None and self._fewer and len(after.starts) >= len(self.form.starts):
                after = None
            self._after, self._done = after and after.recut(structural.lang), True
        return self._after


class StructuralRepairs:
    """The structural moves of one child's search."""

    def __init__(self, repairs: Repairs, limits: Limits) -> None:
        self.r, self.limits, self.w = repairs, limits, repairs.w
        self.lang = language(repairs.tag)

    def of(self, form: Form, demand: Demand) -> list[StructuralRepair]:
        """Every repair of a demand, a dropped syllable aside (`dropped`)."""
        kind = demand.kind
        if kind == "length":
            return list(self.shorter(form))
        if kind == "variety":
            return list(self.alike(form))
        if kind == WEAK:
            return list(self.own_weak(form, demand))
        out = [*self.local(form, demand), *self.own(form, demand)]
        if kind == "shape":
            # what is put in helps only the syllable it stands in or beside; a vowel where one more syllable may be
            full = len(form.starts) >= self.limits.max_syllables
            added = self.inserted(form, demand.first, demand.last)
            out += [repair for repair in added if not (full and _adds_vowel(repair.rule))]
        return out

    def local(self, form: Form, demand: Demand) -> Iterator[StructuralRepair]:
        """Rules whose focus overlaps the demand; of those that put one sound for another, only cluster makers."""
        structural = demand.kind in ("cluster", "shape")
        making = demand.kind == "cluster" and bool(self.limits.clusters)
        weights = self.r.weights(form)
        priced = self.run_pricing(form, demand)
        tried: set[tuple[str, int]] = set()
        for at in range(demand.first, demand.last):
            for rule, start in self.r.applicable(form, at):
                if not (rule.shortens or making) or (rule.id, start) in tried:
                    continue
                tried.add((rule.id, start))
                last = start + len(rule.change.focus)
                price = self.r.price(rule, weights, start, last, structural or rule.free)
                if demand.kind == "consonant" and last == start + 1:
                    sound, place = demand.item
                    own = self.r.left_off_price(sound, place)
                    price = price if own is None else min(price, own * weights[start])
                if demand.kind == "cluster":
                    price = priced(rule, start, last, price)
                repair = StructuralRepair(rule, price, form, start, last)
                if not rule.shortens:
                    after, place = repair.after(self), demand.item[-1]
                    if after is None or (after.phones[demand.first : demand.last], place) not in self.limits.clusters:
                        continue
                    repair.spoils = form.phones[start], place
                yield repair

    def run_pricing(self, form: Form, demand: Demand) -> Callable[[Rule, int, int, float], float]:
        """The price of a rule on a cluster: cheap where it leads to what this child says for it or likely does to it, dearer
        where it passes that over."""
        run, place = form.phones[demand.first : demand.last], demand.item[-1]
        own = self.limits.runs.get((run, place), ())
        likely, passed_over = self.r.run_prices(run, place)
        if not own and not likely:
            return lambda rule, start, last, price: price
        weights = self.r.weights(form)

        def priced(rule: Rule, start: int, last: int, price: float) -> float:
            weight = max(weights[start:last])
            if own:
                said = self.said_for(form, demand, rule, start)
                if said in own:
                    return (self.w.own_change + self.w.own_rarer * own.index(said)) * weight
                return price + self.w.not_own
            return min(price, likely[rule.id] * weight) if rule.id in likely else price + passed_over * weight

        return priced

    def said_for(self, form: Form, demand: Demand, rule: Rule, start: int) -> tuple[str, ...] | None:
        """What a rule leaves of the sounds a demand stands on."""
        after = carry_out(rule.change, form, start, self.r.tag)
        longer = None if after is None else len(after.phones) - len(form.phones)
        return None if after is None or longer is None else after.phones[demand.first : demand.last + longer]

    def own(self, form: Form, demand: Demand) -> Iterator[StructuralRepair]:
        """What this child was heard to say for a cluster, for a last vowel with its l, for a consonant that becomes a vowel or
        gets one after it; of clusters what it likely does, too."""
        if not self.limits.changes and not self.limits.evidence:
            return
        weights = self.r.weights(form)
        for low, high, place in self.own_places(form, demand):
            run = form.phones[low:high]
            for number, said in enumerate(self.limits.runs.get((run, place), ())):
                price = self.w.own_change + self.w.own_rarer * number
                yield from self.own_said(form, low, high, said, price * max(weights[low:high]))
        if demand.kind == "consonant":
            sound, place = demand.item
            for number, one in enumerate(self.limits.changes.get((sound, place), ())):
                if one != LEFT_OFF and is_nucleus(one):
                    price = self.w.own_change + self.w.own_rarer * number
                    yield from self.own_said(form, demand.first, demand.last, (one,), price * weights[demand.first])
            likely = self.r.habit_price(VOCALIZED, sound, place)
            for rule in self.r.vocalizing if likely is not None else ():
                after = apply_at(rule.change, form, demand.first, self.r.tag)
                if after is not None and likely is not None:
                    price = likely * weights[demand.first]
                    yield StructuralRepair(rule, price, form, demand.first, demand.last, after)
        if demand.kind == "cluster":
            run, place = form.phones[demand.first : demand.last], demand.item[-1]
            for way, price in self.r.run_prices(run, place)[0].items():
                if way in (WHOLE, WITH_VOWEL) and self.r.run_habits is not None:
                    said = self.r.run_habits.ways(run, place)[way]
                    yield from self.own_said(form, demand.first, demand.last, said, price)

    def own_places(self, form: Form, demand: Demand) -> Iterator[tuple[int, int, str]]:
        """Where a form of its own may stand for the sounds of a demand: the cluster itself; the end of the word."""
        if demand.kind == "cluster":
            yield demand.first, demand.last, demand.item[-1]
            return
        count = len(form.phones)
        for run, place in self.limits.runs:
            low = count - len(run)
            at_end = place == "final" and demand.first < count == demand.last and form.phones[low:] == run
            if at_end and (len(run) == 1 or any(map(is_nucleus, run))):
                yield low, count, place

    def own_said(
        self, form: Form, low: int, high: int, said: tuple[str, ...], price: float
    ) -> Iterator[StructuralRepair]:
        """A form of the child's own in place of some sounds, by the name of what it does to them."""
        after = replaced(form, low, high, list(said))
        if after is not None and after.phones != form.phones:
            rule = _named(form.phones[low:high], said)
            if not said:
                position = position_of(low, len(form.phones), *_outer(form.phones))
                rule = self.r.leaving_off.get(f"{position} consonant deletion", OWN_CHANGE)
            yield StructuralRepair(rule, price, form, low, high, after)

    def own_weak(self, form: Form, demand: Demand) -> Iterator[StructuralRepair]:
        """A weak syllable that this child does not keep: left off, or the stressed one said again in its place."""
        if self.limits.weak.get(demand.item[0]) == AGAIN:
            bounds = (*form.starts, len(form.phones))
            for rule, slot, end in self.r.whole(form):
                if rule.process == DOUBLING:
                    yield StructuralRepair(rule, self.w.own_change, form, bounds[slot], bounds[end])
            return
        for repair in self.shorter(form):
            if repair.first <= demand.first < repair.last or demand.first <= repair.first < demand.last:
                repair.cost = self.w.own_change + _PART * (repair.last - repair.first < demand.last - demand.first)
                yield repair

    def inserted(self, form: Form, low: int, high: int) -> Iterator[StructuralRepair]:
        """Sounds put in before one of the places from `low` to `high`."""
        for at in range(low, high + 1):
            for rule in self.r.inserted(form, at):
                yield StructuralRepair(rule, self.r.price(rule, (), at, at, True), form, at, at)

    def shorter(self, form: Form) -> Iterator[StructuralRepair]:
        """Syllables left off, whole or with their onset kept."""
        bounds = (*form.starts, len(form.phones))
        for rule, slot, end in self.r.whole(form):
            if rule.shortens:
                yield StructuralRepair(rule, rule.cost, form, bounds[slot], bounds[end], fewer=True)
        for at, phone in enumerate(form.phones):
            if is_nucleus(phone):
                for rule, start in self.r.applicable(form, at):
                    if start == at and rule.process == SHORTENING:
                        yield StructuralRepair(rule, rule.cost, form, at, at + len(rule.change.focus), fewer=True)

    def dropped(self, form: Form, demand: Demand) -> list[StructuralRepair]:
        """A weak syllable that holds the demand goes as a whole; dear."""
        holding = [repair for repair in self.shorter(form) if repair.first <= demand.first < repair.last]
        for repair in holding:
            repair.cost += self.w.unforced_syllable
        return holding

    def alike(self, form: Form) -> Iterator[StructuralRepair]:
        """Syllables or consonants made the same."""
        bounds = (*form.starts, len(form.phones))
        for rule, slot, end in self.r.whole(form):
            if rule.process == DOUBLING:
                yield StructuralRepair(rule, rule.cost, form, bounds[slot], bounds[end])
        for repair in self.shorter(form):
            repair.cost += self.w.unforced_syllable
            yield repair
        if self.limits.variety == "same":
            yield from self.inserted(form, 0, len(form.phones))
            return
        yield from self.one_consonant(form)
        weights = self.r.weights(form)
        for at in range(len(form.phones)):
            for rule, start in self.r.applicable(form, at):
                if start == at and rule.process in _LEFT_OFF:
                    last = at + len(rule.change.focus)
                    yield StructuralRepair(rule, self.r.price(rule, weights, at, last, False), form, at, last)

    def one_consonant(self, form: Form) -> Iterator[StructuralRepair]:
        """Every consonant made the same as one of them, each by the rule that copies it from there."""
        weights = self.r.weights(form)
        for model in dict.fromkeys(phone for phone in form.phones if not is_nucleus(phone)):
            here, total, last_rule = form, 0.0, None
            for at, phone in enumerate(form.phones):
                if is_nucleus(phone) or phone == model:
                    continue
                copies = ((rule, apply_at(rule.change, here, at, self.r.tag)) for rule in self.r.copies(model))
                fitting = [(self.r.price(rule, weights, at, at + 1, True), rule, after) for rule, after in copies
                           if after is not None and after.phones[at] == model]  # fmt: skip
                if not fitting:
                    break
                price, last_rule, here = min(fitting, key=lambda each: each[0])
                total += price
            else:
                if last_rule is not None:
                    yield StructuralRepair(last_rule, total, form, 0, len(form.phones), here)


def _named(run: tuple[str, ...], said: tuple[str, ...]) -> Rule:
    """The child's own change of a run of consonants, by the process that it is; its own change where it is none."""
    plain = tuple(sound for sound in said if not is_nucleus(sound))
    vowel = any(map(is_nucleus, said)) and not any(map(is_nucleus, run))
    if vowel and len(run) <= len(plain):
        return OWN_OF[WITH_VOWEL]
    if vowel or len(said) < len(run) and any(map(is_nucleus, run)):
        return OWN_OF[VOCALIZED]
    if len(said) < len(run):
        kept = iter(run)
        return OWN_OF[REDUCED] if all(sound in kept for sound in said) else OWN_CHANGE
    return OWN_CHANGE


OWN_OF = {name: replace(OWN_CHANGE, process=name) for name in (WITH_VOWEL, REDUCED, VOCALIZED)}
"""Changes of the child's own that have a process's name."""


def _outer(phones: tuple[str, ...]) -> tuple[int, int]:
    """Places of the first and the last vowel; the end twice where there is none."""
    nuclei = [at for at, phone in enumerate(phones) if is_nucleus(phone)] or [len(phones)]
    return nuclei[0], nuclei[-1]


def _adds_vowel(rule: Rule) -> bool:
    item = rule.change.result[0]
    return item.kind == "sound" and is_nucleus(item.text)
