"""What can be done about one demand of a form by rules of structure: sounds and syllables left off, put in, made alike.

Nothing here depends on what is granted on a ladder, so that one word's mends serve all its rungs.
"""

from __future__ import annotations

from collections.abc import Iterator

from approx.child.demands import Demand
from approx.child.profile import Limits
from approx.ipa.features import is_nucleus
from approx.ipa.language import language
from approx.processes.engine.apply import apply_at, carry_out
from approx.processes.engine.form import Form
from approx.processes.engine.repair import Repairs
from approx.processes.engine.sorted_rules import DOUBLING, SHORTENING
from approx.processes.rules.rule import Rule

_LEFT_OFF = ("final consonant deletion", "initial consonant deletion")


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

    def after(self, mends: Mends) -> Form | None:
        """The form after it, cut into syllables anew; None where it leaves nothing or not what it is for."""
        if not self._done:
            after = self._after or carry_out(self.rule.change, self.form, self.first, mends.r.tag)
            if after is not None and self._fewer and len(after.starts) >= len(self.form.starts):
                after = None
            self._after, self._done = after and after.recut(mends.lang), True
        return self._after


class Mends:
    """The structural moves of one child's search."""

    def __init__(self, repairs: Repairs, limits: Limits) -> None:
        self.r, self.limits, self.w = repairs, limits, repairs.w
        self.lang = language(repairs.tag)

    def of(self, form: Form, demand: Demand) -> list[StructuralRepair]:
        """Every mend of a demand, a dropped syllable aside (`dropped`)."""
        kind = demand.kind
        if kind == "length":
            return list(self.shorter(form))
        if kind == "variety":
            return list(self.alike(form))
        out = list(self.local(form, demand))
        if kind == "shape":
            # what is put in helps only the syllable it stands in or beside; a vowel where one more syllable may be
            full = len(form.starts) >= self.limits.max_syllables
            added = self.inserted(form, demand.first, demand.last)
            out += [mend for mend in added if not (full and _adds_vowel(mend.rule))]
        return out

    def local(self, form: Form, demand: Demand) -> Iterator[StructuralRepair]:
        """Rules whose focus overlaps the demand; of those that put one sound for another, only cluster makers."""
        structural = demand.kind in ("cluster", "shape")
        making = demand.kind == "cluster" and bool(self.limits.clusters)
        weights = self.r.weights(form)
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
                mend = StructuralRepair(rule, price, form, start, last)
                if not rule.shortens:
                    after, place = mend.after(self), demand.item[-1]
                    if after is None or (after.phones[demand.first : demand.last], place) not in self.limits.clusters:
                        continue
                    mend.spoils = form.phones[start], place
                yield mend

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
        holding = [mend for mend in self.shorter(form) if mend.first <= demand.first < mend.last]
        for mend in holding:
            mend.cost += self.w.unforced_syllable
        return holding

    def alike(self, form: Form) -> Iterator[StructuralRepair]:
        """Syllables or consonants made the same."""
        bounds = (*form.starts, len(form.phones))
        for rule, slot, end in self.r.whole(form):
            if rule.process == DOUBLING:
                yield StructuralRepair(rule, rule.cost, form, bounds[slot], bounds[end])
        for mend in self.shorter(form):
            mend.cost += self.w.unforced_syllable
            yield mend
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


def _adds_vowel(rule: Rule) -> bool:
    item = rule.change.result[0]
    return item.kind == "sound" and is_nucleus(item.text)
