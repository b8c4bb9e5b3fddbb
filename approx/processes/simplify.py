"""Simplify: the nearest forms of an adult word that this child can say today.

Always the first demand of a form is mended (see `approx.child.demands` for their order), so that no two orders of the
same changes are tried: length, clusters and shapes by the rules whose focus they hold; then each sound by itself,
where chains of rules (k, t, d) are found once and kept.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from approx.child.demands import Demand, alike, demands
from approx.child.profile import Limits
from approx.ipa.features import is_nucleus
from approx.ipa.language import language
from approx.ipa.word import Word
from approx.processes.apply import apply, apply_at
from approx.processes.form import Form, form_of
from approx.processes.repair import Granted, Repairs
from approx.processes.rule import Rule
from approx.processes.ruleset import RuleSet
from approx.processes.search import Found, Step, search

Mend = tuple[Rule, float, Form, int, int]
"""A rule, its cost here, the form after it, and the first and last sound (excluded) it stood on."""


class State:
    """A form, what it still demands, and the least that mending will cost."""

    __slots__ = ("form", "key", "rest", "todo")

    def __init__(self, form: Form, todo: tuple[Demand, ...], rest: float) -> None:
        self.form, self.todo, self.rest = form, todo, rest
        self.key = (form.phones, form.starts)


class Simplifier:
    """The rules and one child's limits, ready for many words; holds no word's state."""

    def __init__(self, rules: RuleSet, limits: Limits, tag: str = "en-US") -> None:
        self.limits = limits
        self.repairs = Repairs(rules, limits, tag)
        self.w = self.repairs.w

    def run(self, word: Word, most: int = 3, granted: Granted = frozenset()) -> list[Found]:
        """Up to `most` sayable forms, nearest first; the adult form alone if it is sayable; [] if nothing is."""
        if not word.phones or not self.repairs.available("vowel", granted):
            return []
        walk = _Walk(self, granted)
        found: list[Found] = []
        for state, cost, steps in search(walk.state(form_of(word)), walk.moves, most, self.w.expansions, self.w.spread):
            found.append(Found(state.form, cost, steps))
        return self.surcharged(found, granted) if self.limits.emerging else found

    def surcharged(self, found: list[Found], granted: Granted) -> list[Found]:
        """Forms that lean on emerging sounds or shapes cost more, so that firmer ones come first."""
        none: frozenset[str] = frozenset()
        bare = replace(
            self.limits,
            consonants=dict.fromkeys(self.limits.consonants, none),
            clusters=frozenset(),
            vowels=none,
            shapes=none,
        )
        dearer = []
        for each in found:
            asked = {demand.key for demand in demands(each.form.phones, each.form.starts, bare)}
            dearer.append(each._replace(cost=each.cost + self.w.emerging * len((asked & self.limits.emerging) - granted)))
        return sorted(dearer, key=lambda each: each.cost)


class _Walk:
    """One search: the moves from each state, under what is granted."""

    def __init__(self, simplifier: Simplifier, granted: Granted) -> None:
        self.limits, self.granted = simplifier.limits, granted
        self.r, self.w = simplifier.repairs, simplifier.w
        self.lang = language(simplifier.repairs.tag)

    def state(self, form: Form) -> State:
        """The form with its demands; `rest` is exact for sounds and a low guess for structure."""
        todo = tuple(demands(form.phones, form.starts, self.limits, self.granted))
        rest = 0.0
        for demand in todo:
            rest += self.least(form, demand)
        return State(form, todo, max(rest, 0.02) if todo else 0.0)

    def least(self, form: Form, demand: Demand) -> float:
        kind = demand.kind
        if kind == "consonant" or kind == "vowel":
            return self.r.cheapest(form, demand, self.granted)
        if kind == "length":
            return 0.4 * (len(form.starts) - self.limits.max_syllables)
        if kind == "variety":
            return 0.7 if self.limits.variety == "same" else 0.45
        return 0.0

    def moves(self, state: State) -> Iterator[tuple[float, tuple[Step, ...], State]]:
        demand, form = state.todo[0], state.form
        if demand.kind in ("consonant", "vowel"):
            yield from self.replaced(state, demand)
        key = demand.key
        for rule, cost, after, first, last in self.mends(form, demand):
            step = Step(rule.id, rule.process, form, after, cost, form.origins[first:last], key)
            yield cost, (step,), self.state(after.recut(self.lang))

    def replaced(self, state: State, demand: Demand) -> Iterator[tuple[float, tuple[Step, ...], State]]:
        """Another sound in the place of one the child has not; the demands that follow stay as they are."""
        form, at = state.form, demand.first
        options = self.r.options(form, demand, self.granted)
        left = state.todo[1:]
        plain = self.limits.variety == "any" and not self.beside_consonant(form, at)
        rest = sum([self.least(form, other) for other in left]) if left else 0.0
        for cost, chain in options:
            after, steps = form, []
            for rule, price, sound in chain:
                now = after._replace(phones=(*form.phones[:at], sound, *form.phones[at + 1 :]))
                steps.append(Step(rule.id, rule.process, after, now, price, form.origins[at : at + 1], demand.key))
                after = now
            if not plain and self.runs_together(form, after, at):
                cost += self.w.runs_together
            yield cost, tuple(steps), State(after, left, rest) if plain else self.state(after.recut(self.lang))

    def runs_together(self, form: Form, after: Form, at: int) -> bool:
        """True where the change makes two neighbours that only voicing tells apart (d before t)."""
        pairs = [(at - 1, at), (at, at + 1)]
        inside = [(a, b) for a, b in pairs if a >= 0 and b < len(form.phones)]
        return any(alike(after.phones[a], after.phones[b]) and not alike(form.phones[a], form.phones[b]) for a, b in inside)

    def beside_consonant(self, form: Form, at: int) -> bool:
        """True beside a sound of its own kind, where a change could make a cluster the child has not, or two of the same."""
        phones = form.phones
        left, right = phones[at - 1] if at else "", phones[at + 1] if at + 1 < len(phones) else ""
        if is_nucleus(phones[at]):
            return bool(left and is_nucleus(left) or right and is_nucleus(right))
        return bool(left and not is_nucleus(left) or right and not is_nucleus(right))

    def mends(self, form: Form, demand: Demand) -> Iterator[Mend]:
        kind = demand.kind
        if kind == "length":
            yield from self.shorter(form)
        elif kind == "variety":
            yield from self.alike(form)
        else:
            yield from self.local(form, demand)
            if kind == "shape":
                yield from self.inserted(form)
            if kind in ("shape", "consonant", "vowel") and len(form.starts) > 1:
                yield from self.dropped(form, demand)

    def local(self, form: Form, demand: Demand) -> Iterator[Mend]:
        """Rules whose focus overlaps the demand; of those that put one sound for another, only cluster makers."""
        structural = demand.kind in ("cluster", "shape")
        tried: set[tuple[str, int]] = set()
        for at in range(demand.first, demand.last):
            for rule, start in self.r.applicable(form, at):
                if (rule.id, start) in tried or not rule.shortens and not (demand.kind == "cluster" and self.limits.clusters):
                    continue
                tried.add((rule.id, start))
                after = apply_at(rule.change, form, start, self.r.tag)
                if after is None:
                    continue
                last = start + len(rule.change.focus)
                cost = self.r.price(rule, form, start, last, structural or rule.free)
                if not rule.shortens:
                    run, place = after.phones[demand.first : demand.last], demand.item[-1]
                    if (run, place) not in self.limits.clusters:
                        continue
                    if form.phones[start] in self.r.available(place, self.granted):
                        cost += self.w.sound_in_hand
                yield rule, cost, after, start, last

    def inserted(self, form: Form) -> Iterator[Mend]:
        for rule in self.r.inserting:
            for first, last, after in apply(rule.change, form, self.r.tag):
                yield rule, self.r.price(rule, form, first, last, True), after, first, last

    def shorter(self, form: Form) -> Iterator[Mend]:
        """Syllables left off, whole or with their onset kept."""
        for rule in self.r.shortening:
            for first, last, after in apply(rule.change, form, self.r.tag):
                if len(after.starts) < len(form.starts):
                    yield rule, rule.cost, after, first, last

    def dropped(self, form: Form, demand: Demand) -> Iterator[Mend]:
        """A weak syllable that holds the demand goes as a whole; dear, and only where no sound can stand in."""
        if demand.kind != "shape" and self.r.options(form, demand, self.granted):
            return
        for rule, cost, after, first, last in self.shorter(form):
            if first <= demand.first < last:
                yield rule, cost + self.w.unforced_syllable, after, first, last

    def alike(self, form: Form) -> Iterator[Mend]:
        """Syllables or consonants made the same."""
        for rule in self.r.doubling:
            for first, last, after in apply(rule.change, form, self.r.tag):
                yield rule, rule.cost, after, first, last
        for rule, cost, after, first, last in self.shorter(form):
            yield rule, cost + self.w.unforced_syllable, after, first, last
        if self.limits.variety == "same":
            yield from self.inserted(form)
            return
        yield from self.one_consonant(form)
        for at in range(len(form.phones)):
            for rule, start in self.r.applicable(form, at):
                if start == at and rule.process in ("final consonant deletion", "initial consonant deletion"):
                    left_off = apply_at(rule.change, form, at, self.r.tag)
                    if left_off is not None:
                        last = at + len(rule.change.focus)
                        yield rule, self.r.price(rule, form, at, last, False), left_off, at, last

    def one_consonant(self, form: Form) -> Iterator[Mend]:
        """Every consonant made the same as one of them, each by the rule that copies it from there."""
        for model in dict.fromkeys(phone for phone in form.phones if not is_nucleus(phone)):
            here, total, last_rule = form, 0.0, None
            for at, phone in enumerate(form.phones):
                if is_nucleus(phone) or phone == model:
                    continue
                copies = ((rule, apply_at(rule.change, here, at, self.r.tag)) for rule in self.r.copying)
                fitting = [(self.r.price(rule, here, at, at + 1, True), rule, after) for rule, after in copies
                           if after is not None and after.phones[at] == model]  # fmt: skip
                if not fitting:
                    break
                price, last_rule, here = min(fitting, key=lambda each: each[0])
                total += price
            else:
                if last_rule is not None:
                    yield last_rule, total, here, 0, len(form.phones)
