"""Simplify: the nearest forms of an adult word that this child can say today.

Always the first demand of a form is mended (see `approx.child.demands` for their order), so that no two orders of the
same changes are tried: length, clusters and shapes by the rules whose focus they hold; then each sound by itself,
where chains of rules (k, t, d) are found once and kept.
"""

from __future__ import annotations

from collections.abc import Iterator

from approx.child.demands import alike, all_demands, position_of, sayable
from approx.child.profile import LEFT_OFF, NOTHING_IN_HAND, WEAK, Limits
from approx.ipa.features import is_nucleus
from approx.ipa.word import Word
from approx.processes.engine.apply import apply_at
from approx.processes.engine.form import Form, form_of
from approx.processes.engine.repair import Granted, Repairs
from approx.processes.engine.search import Arrival, Found, Key, Step, search
from approx.processes.rules.ruleset import RuleSet
from approx.processes.simplify.structural_repair import StructuralRepair, StructuralRepairs
from approx.processes.simplify.walk import FormSearch, Node, Trace, WalkState, with_sound

_WIDE = 3
"""The guesses of the search are close, not always low: the nearest form is the best of at least so many."""


FINAL, VOICING = "final consonant deletion", "prevocalic voicing"
"""What is tried beside a form that nobody would say."""


class _Kept:
    """What was found about one word: its forms, and the answers under each set of grants."""

    def __init__(self, word: Word) -> None:
        self.word = word
        self.nodes: dict[Form, Node] = {}
        self.found: dict[Granted, tuple[int, list[Arrival[WalkState, Trace]]]] = {}
        self.surcharged: dict[Granted, tuple[int, list[Found]]] = {}


class Simplifier:
    """The rules and one child's limits, ready for many words; what it keeps of the last word only saves time."""

    def __init__(self, rules: RuleSet, limits: Limits, tag: str = "en-US") -> None:
        self.limits = limits
        self.repairs = Repairs(rules, limits, tag)
        self.structural = StructuralRepairs(self.repairs, limits)
        self.w = self.repairs.w
        self._soft = _let_in(limits)
        self._kept = _Kept(Word((), (), ()))

    def run(self, word: Word, most: int = 3, granted: Granted = frozenset()) -> list[Found]:
        """Up to `most` sayable forms, nearest first; the adult form alone if it is sayable; [] if nothing is."""
        if not self._soft:
            return [_found(each) for each in self.arrivals(word, most, granted)]
        kept, wide = self._of(word), max(most, _WIDE)
        asked, found = kept.surcharged.get(granted, (0, []))
        if asked != wide:
            found = self.surcharged([_found(each) for each in self.arrivals(word, wide, granted)], granted)
            kept.surcharged[granted] = wide, found
        return found[:most]

    def farther(self, word: Word, first: Found, most: int, spread: float) -> list[Found]:
        """`first`, then sayable forms nearest first, up to `most` of the search and those one rule away from the first; none
        dearer by more than `spread`, none longer than the word."""
        start, walk = self.opening(word)
        wide = [_found(each) for each in search(start, walk.moves, most, self.w.expansions, spread)]
        wide = self.surcharged(wide, frozenset()) if self._soft else wide
        known = {first.form.phones: first}
        process = FINAL if self._own(first, word) else VOICING
        for each in sorted((*wide, *self._beside(first, process)), key=lambda each: each.cost):
            if each.cost <= first.cost + spread and len(each.form.starts) <= len(word.starts):
                known.setdefault(each.form.phones, each)
        return list(known.values())

    def with_another_end(self, found: Found) -> Iterator[Found]:
        """Sayable forms that differ from a sayable form by its last consonant alone: without it, or with its nearest stand-in."""
        form, at = found.form, len(found.form.phones) - 1
        if is_nucleus(form.phones[at]):
            return
        yield from self._beside(found, FINAL)
        others = frozenset(each for each in self.limits.consonants["final"] if not alike(each, form.phones[at]))
        for cost, chain in self.repairs.options(form, at, "final", others, self.repairs.beside(form, at))[:1]:
            steps, before = list(found.steps), form
            for rule, price, sound in chain:
                after = with_sound(before, at, sound)
                steps.append(Step(rule.id, rule.process, before, after, price, form.origins[at:], None))
                before = after
            if sayable(before.word, self.limits):
                yield Found(before, found.cost + cost, tuple(steps))

    def _beside(self, found: Found, process: str) -> Iterator[Found]:
        """Sayable forms beside a sayable form: without its last consonant, or with voice in its first."""
        form, weights = found.form, self.repairs.weights(found.form)
        at = len(form.phones) - 1 if process == FINAL else 0
        for rule in self.repairs.near:
            after = None
            if rule.process == process and len(rule.change.focus) == 1:
                after = apply_at(rule.change, form, at, self.repairs.tag)
            if after is not None and sayable(after.word, self.limits):
                price = self.repairs.price(rule, weights, at, at + 1, process == VOICING)
                step = Step(rule.id, rule.process, form, after, price, form.origins[at : at + 1], None)
                yield Found(after, found.cost + price, (*found.steps, step))

    def rests_on_own_change(self, found: Found, adult: Word) -> bool:
        """True if a sound of the form is what this child was heard to say for it, or a sound left off that it leaves off."""
        return bool(self._own(found, adult))

    def _own(self, found: Found, adult: Word) -> frozenset[int]:
        """Adult sounds that stand in a form as this child was heard to say them."""
        said = dict(zip(found.form.origins, found.form.phones))
        nuclei = [at for at, phone in enumerate(adult.phones) if is_nucleus(phone)]
        if not nuclei or not self.limits.changes:
            return frozenset()
        places = [position_of(at, len(adult.phones), nuclei[0], nuclei[-1]) for at in range(len(adult.phones))]
        return frozenset(
            at
            for at, (phone, place) in enumerate(zip(adult.phones, places))
            if said.get(at, LEFT_OFF) in self.limits.changes.get((phone, place), ())
        )

    def way(self, word: Word, granted: Granted = frozenset()) -> Form | None:
        """The nearest form alone; None where nothing is sayable."""
        if self._soft:  # the nearest may lean on what is only emerging
            return next((found.form for found in self.run(word, 1, granted)), None)
        return next((each.state.form for each in self.arrivals(word, 1, granted)), None)

    def arrivals(self, word: Word, most: int, granted: Granted) -> list[Arrival[WalkState, Trace]]:
        """Sayable forms and how they were come by, cheapest first."""
        if not word.phones or not self.repairs.available(granted)["vowel"]:
            return []
        kept = self._of(word)
        wide = most if granted else max(most, _WIDE)
        asked, found = kept.found.get(granted, (0, []))
        if asked < wide:
            start, walk = self.opening(word, granted, kept.nodes)
            arrived = search(start, walk.moves, wide, self.w.expansions, self.w.spread)
            found = sorted(arrived, key=lambda each: each.cost)
            kept.found[granted] = (wide, found)
        return found[:most]

    def opening(
        self, word: Word, granted: Granted = frozenset(), nodes: dict[Form, Node] | None = None
    ) -> tuple[WalkState, FormSearch]:
        """Where the search for a word begins and the walk that knows its moves."""
        walk = FormSearch(self, {} if nodes is None else nodes, granted, word.phones)
        return WalkState(walk, walk.node(form_of(word))), walk

    def _of(self, word: Word) -> _Kept:
        if self._kept.word is not word and self._kept.word != word:
            self._kept = _Kept(word)
        return self._kept

    def surcharged(self, found: list[Found], granted: Granted) -> list[Found]:
        """Forms that lean on emerging sounds or shapes cost more, so that firmer ones come first."""
        dearer = []
        for each in found:
            asked = {demand.key for demand in all_demands(each.form.phones, each.form.starts, NOTHING_IN_HAND)}
            dearer.append(each._replace(cost=each.cost + self.w.emerging * len((asked & self._soft) - granted)))
        return sorted(dearer, key=lambda each: each.cost)


def _let_in(limits: Limits) -> frozenset[Key]:
    """What is only emerging and may be asked for all the same."""

    def may(kind: str, item: tuple[str, ...]) -> bool:
        if kind == "consonant":
            return item[0] in limits.consonants[item[1]]
        if kind == "cluster":
            return (item[:-1], item[-1]) in limits.clusters
        if kind == WEAK:
            return item[0] not in limits.weak
        return item[0] in (limits.vowels if kind == "vowel" else limits.shapes)

    return frozenset(key for key in limits.emerging if may(*key))


def _found(arrival: Arrival[WalkState, Trace]) -> Found:
    """An answer with its steps written out; only answers pay for that."""
    steps: list[Step] = []
    form = arrival.state.form
    ends = [trace[0] for trace in arrival.steps[1:]] + [form]
    for (before, why, change), end in zip(arrival.steps, ends):
        if isinstance(change, StructuralRepair):
            rule, targets = change.rule, before.origins[change.first : change.last]
            steps.append(Step(rule.id, rule.process, before, end, change.cost, targets, why))
            continue
        at, chain = change
        form_so_far = before
        for number, (rule, price, sound) in enumerate(chain, 1):
            after = end if number == len(chain) else with_sound(form_so_far, at, sound)
            origins = form_so_far.origins[at : at + 1]
            steps.append(Step(rule.id, rule.process, form_so_far, after, price, origins, why))
            form_so_far = after
    return Found(form, arrival.cost, tuple(steps))
