"""Simplify: the nearest forms of an adult word that this child can say today.

Always the first demand of a form is mended (see `approx.child.demands` for their order), so that no two orders of the
same changes are tried: length, clusters and shapes by the rules whose focus they hold; then each sound by itself,
where chains of rules (k, t, d) are found once and kept. A form is carried out only when the search comes to it, and what was
found out about a word's forms is kept until the next word: the rungs of its ladder ask for the same forms again.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from math import inf
from typing import Protocol

from approx.child.demands import Demand, alike, all_demands, position_of, sayable
from approx.child.profile import LEFT_OFF, NOTHING_IN_HAND, WEAK, Limits
from approx.ipa.features import is_nucleus
from approx.ipa.word import Word
from approx.processes.engine.apply import apply_at
from approx.processes.engine.cost_bounds import Weights
from approx.processes.engine.form import Form, form_of
from approx.processes.engine.repair import Granted, Repairs
from approx.processes.engine.search import Arrival, Found, Key, Step, search
from approx.processes.engine.sorted_rules import Around, RuleChain
from approx.processes.rules.ruleset import RuleSet
from approx.processes.simplify.structural_repair import StructuralRepair, StructuralRepairs

_WIDE = 3
"""The guesses of the search are close, not always low: the nearest form is the best of at least so many."""


FINAL, VOICING = "final consonant deletion", "prevocalic voicing"
"""What is tried beside a form that nobody would say."""
_LEAST = 0.02
"""What a form that still demands something costs at the least."""


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


class Node:
    """A form of a word with all it demands, nothing granted, and what was found for each demand."""

    __slots__ = ("around", "asks", "dropped", "form", "key", "structural")

    def __init__(self, form: Form, limits: Limits) -> None:
        self.form = form
        self.key = (form.phones, form.starts)
        self.asks = all_demands(form.phones, form.starts, limits, form.stress)
        self.around: dict[int, Around] = {}
        """For each sound that is asked for, what the rules can see of it."""
        self.structural: dict[Demand, list[StructuralRepair]] = {}
        self.dropped: dict[Demand, list[StructuralRepair]] = {}


def place_of(demand: Demand) -> str:
    """Where a sound that is asked for would have to be in the inventory; "" for a demand of structure."""
    return demand.item[1] if demand.kind == "consonant" else "vowel" if demand.kind == "vowel" else ""


FormMove = StructuralRepair | tuple[int, RuleChain]
"""What leads from a form to the next: a repair of structure, or a chain of rules on the sound at a place."""
Trace = tuple[Form, Key, FormMove]
"""A step of the search before it is written out: form before it, demand it repairs, what was done."""


def with_sound(form: Form, at: int, sound: str) -> Form:
    """A form with another sound in one place."""
    return Form((*form.phones[:at], sound, *form.phones[at + 1 :]), form.starts, form.stress, form.origins)


def _runs_together(old: str, beside: Sequence[str], sound: str) -> bool:
    """True where a sound put in makes two neighbours that only voicing tells apart (d before t)."""
    return any(alike(sound, other) and not alike(old, other) for other in beside)


_ONE_CONSONANT = ("same consonant",)
_WITH_OTHERS = 0.25
"""What a sound may cost that goes when its cluster or its syllable is mended: below every rule for that."""
_DOUBLED = 0.8
"""One doubled syllable makes all consonants the same at once."""


def _others(form: Form, missing: set[int]) -> int:
    """How many consonants differ from the commonest; those still to be replaced may yet become that one."""
    counts = Counter(phone for at, phone in enumerate(form.phones) if at not in missing and not is_nucleus(phone))
    return counts.total() - max(counts.values(), default=0)


class WalkState:
    """A form, what it still demands, and the least that mending will cost; see `search.SearchState` for when it is known."""

    __slots__ = ("before", "change", "node", "rest", "todo", "walk")
    todo: list[tuple[Demand, float]]
    """Each demand with the least that mending it will cost."""

    def __init__(
        self,
        walk: FormSearch,
        node: Node | None,
        before: Form | None = None,
        change: FormMove | None = None,
        guess: float = 0.0,
    ) -> None:
        self.walk, self.node, self.before, self.change, self.rest = walk, node, before, change, guess
        if node is not None:
            self.settle(node)

    @property
    def form(self) -> Form:
        """The form of a state that the search has come to."""
        if self.node is None:
            raise ValueError("the search has not come to this state")
        return self.node.form

    @property
    def key(self) -> object:
        """What makes two states one."""
        node = self.node
        if node is None:
            if self.before is None or self.change is None:
                raise ValueError("only the first state has nothing before it, and it has its node")
            form = self.walk.carried_out(self.before, self.change)
            if form is None:
                self.rest = inf
                return None
            node = self.walk.node(form)
            self.settle(node)
        return node.key

    def settle(self, node: Node) -> None:
        """Exact for sounds, a low guess for structure."""
        self.node = node
        granted, have, rest = self.walk.granted, self.walk.have, 0.0
        todo = self.todo = []
        spans: list[tuple[int, int]] = []
        for demand in node.asks:
            kind, item, first, last = demand
            if granted and (kind, item) in granted:
                continue
            place = place_of(demand)
            if place:
                around = node.around.get(first)
                if around is None:
                    around = node.around[first] = self.walk.r.beside(node.form, first)
                cost = self.walk.r.cheapest(node.form, first, place, have[place], around)
                if spans and cost > _WITH_OTHERS and any(low <= first < high for low, high in spans):
                    cost = _WITH_OTHERS
            else:
                cost = self.walk.least(node, demand)
                if kind in ("cluster", "shape"):
                    spans.append((first, last))
                elif kind == "variety" and item == _ONE_CONSONANT:
                    missing = {each.first for each, _ in todo if each.kind == "consonant"}
                    cost = min(cost * max(_others(node.form, missing), 1), _DOUBLED)
            rest += cost
            todo.append((demand, cost))
        self.rest = max(rest, _LEAST) if todo else 0.0


class Rules(Protocol):
    """What a walk asks of a child's simplifier."""

    limits: Limits
    repairs: Repairs
    structural: StructuralRepairs
    w: Weights


class FormSearch:
    """One search: the moves from each state, under what is granted."""

    def __init__(
        self, simplifier: Rules, nodes: dict[Form, Node], granted: Granted, adult: tuple[str, ...] = ()
    ) -> None:
        self.adult = adult
        self.limits, self.granted, self.nodes = simplifier.limits, granted, nodes
        self.have = simplifier.repairs.available(granted)
        self.r, self.m, self.w = simplifier.repairs, simplifier.structural, simplifier.w

    def node(self, form: Form) -> Node:
        """The node of a form, one for all ways to it."""
        node = self.nodes.get(form)
        if node is None:
            node = self.nodes[form] = Node(form, self.limits)
        return node

    def carried_out(self, before: Form, change: FormMove) -> Form | None:
        """The form after a change; None where it does not apply."""
        if isinstance(change, StructuralRepair):
            return change.after(self.m)
        at, chain = change
        return with_sound(before, at, chain[-1][2]).recut(self.m.lang)

    def least(self, node: Node, demand: Demand) -> float:
        """No more than what a demand will cost."""
        if demand.kind == "length":
            return 0.4 * (len(node.form.starts) - self.limits.max_syllables)
        if demand.kind == "weak":
            return self.w.own_change
        if demand.kind == "variety":
            return 0.7 if self.limits.variety == "same" else 0.45
        return 0.0

    def stand_ins(self, form: Form, at: int, options: list[tuple[float, RuleChain]]) -> list[tuple[float, RuleChain]]:
        """What may stand in for a sound, dearer where it would run together with its neighbour."""
        phones = form.phones
        beside = [phone for phone in (*phones[at - 1 : at], *phones[at + 1 : at + 2]) if not is_nucleus(phone)]
        if not beside:
            return options
        apart, never = self.w.runs_together, self.m.lang.never_together
        if not never or not {first for first, _ in never} & {*beside, *(chain[-1][2] for _, chain in options)}:
            return [(cost + apart * _runs_together(phones[at], beside, chain[-1][2]), chain) for cost, chain in options]
        after = self.within_foot(form, at + 1)
        before = phones[at - 1] if at and self.within_foot(form, at, any_sound=True) else ""
        origin = form.origins[at - 1]
        if 0 <= origin < len(self.adult) and self.adult[origin] == before:
            before = ""  # the word's own: the m of pumpkin
        return [
            (
                cost
                + apart * _runs_together(phones[at], beside, chain[-1][2])
                + self.w.never_together * bool({(chain[-1][2], after), (before, chain[-1][2])} & never),
                chain,
            )
            for cost, chain in options
        ]

    def within_foot(self, form: Form, at: int, *, any_sound: bool = False) -> str:
        """The sound at a place that is in the inventory there (or any), "" where the word ends or another foot begins."""
        if at >= len(form.phones) or at in form.starts and form.stress[form.syllable_at(at)]:
            return ""
        place = "final" if not any(map(is_nucleus, form.phones[at:])) else "medial"
        return form.phones[at] if any_sound or form.phones[at] in self.have[place] else ""

    def moves(self, state: WalkState) -> Iterator[tuple[float, tuple[Trace, ...], WalkState]]:
        """Next steps: (cost, what is done, state)."""
        (demand, _), node = state.todo[0], state.node
        if node is None:
            raise ValueError("the search has not come to this state")
        form, why, place = node.form, demand.key, place_of(demand)
        structural = node.structural.get(demand)
        if structural is None:
            structural = node.structural[demand] = self.m.of(form, demand)
        options = None
        if place:
            options = self.r.options(form, demand.first, place, self.have[place], node.around[demand.first])
            # one sound for another may make all consonants or syllables alike, too
            left = [least for other, least in state.todo[1:] if other.kind != "variety"]
            rest = max(sum(left), _LEAST) if left else 0.0
            for cost, chain in self.stand_ins(form, demand.first, options):
                change = (demand.first, chain)
                yield cost, ((form, why, change),), WalkState(self, None, form, change, rest)
        # a whole syllable goes for a sound only where none can stand in
        if (demand.kind == "shape" or options == []) and len(form.starts) > 1:
            dropped = node.dropped.get(demand)
            if dropped is None:
                dropped = node.dropped[demand] = self.m.dropped(form, demand)
            structural = structural + dropped
        later = [(other.first, other.last, least) for other, least in state.todo[1:] if least]
        for repair in structural:
            cost = repair.cost
            if repair.spoils is not None and repair.spoils[0] in self.have[repair.spoils[1]]:
                cost += self.w.sound_in_hand
            # not yet carried out: what it does not touch is still to be paid for after it
            first, last, guess = repair.first, repair.last, 0.0
            for low, high, least in later:
                if high < first or low > last:
                    guess += least
            yield cost, ((form, why, repair),), WalkState(self, None, form, repair, guess)
