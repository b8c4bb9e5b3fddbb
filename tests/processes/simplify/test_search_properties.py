"""The search gives the cheapest answer, in order, always the same, and ends: beside slow obvious twins.

The twins are uniform-cost searches that look at every state in the order of its cost alone. One stands beside the
search over drawn graphs, one beside the simplifier over its own moves, for short words and a small part of the rules.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from itertools import pairwise, product
from math import inf

from drawn_examples import examples
from hypothesis import given
from hypothesis import strategies as st

from approx.child.demands import demands
from approx.child.profile import POSITIONS, Limits
from approx.ipa import read
from approx.ipa.word import Word
from approx.processes.engine.search import search
from approx.processes.rules.rule import Rule
from approx.processes.rules.ruleset import RuleSet, load_rules
from approx.processes.simplify.ladder import ladder
from approx.processes.simplify.simplify import Simplifier

# ---------------------------------------------------------------- the search itself, over drawn graphs

Graph = dict[int, list[tuple[int, int]]]
"""Node -> (cost, node); an even multiple of five is a goal. Costs are whole, so that sums are exact."""


class Place:
    """A node of a graph. `low` is what the search may be told before it looks, `true` what is said then."""

    def __init__(self, node: int, low: float, true: float) -> None:
        self.node, self.rest, self._true = node, low, true

    @property
    def key(self) -> int:
        self.rest = self._true
        return self.node


def is_goal(node: int) -> bool:
    return node % 5 == 0 and node > 0


def cheapest_goals(graph: Graph, start: int) -> list[tuple[int, int]]:
    """(cost, goal) of every goal in reach, cheapest first: all costs from the start, settled one after the other."""
    best, settled = {start: 0}, set[int]()
    while open_ := [(cost, node) for node, cost in best.items() if node not in settled]:
        cost, node = min(open_)
        settled.add(node)
        for price, after in [] if is_goal(node) else graph[node]:
            best[after] = min(best.get(after, cost + price), cost + price)
    return sorted((cost, node) for node, cost in best.items() if is_goal(node))


def still_to_pay(graph: Graph, node: int) -> float:
    goals = cheapest_goals(graph, node)
    return 0.0 if is_goal(node) else max(goals[0][0], 0.5) if goals else inf


@st.composite
def graphs(draw: st.DrawFn) -> Graph:
    size = draw(st.integers(2, 16))
    edges = st.lists(st.tuples(st.integers(1, 9), st.integers(0, size - 1)), max_size=4)
    return {node: draw(edges) for node in range(size)}


def answers(graph: Graph, share: float, lazy: bool, most: int = 4, spread: float = inf) -> list[tuple[float, int]]:
    def place(node: int) -> Place:
        true = still_to_pay(graph, node)
        true = 0.0 if is_goal(node) else max(share * true, 0.1) if true < inf else inf
        return Place(node, min(0.05, true) if lazy else true, true)

    def moves(state: Place) -> Iterator[tuple[float, tuple[int, ...], Place]]:
        for cost, after in graph[state.node]:
            yield cost, (cost,), place(after)

    found = list(search(place(0), moves, most, 10_000, spread))
    for each in found:
        assert sum(each.steps) == each.cost
    return [(each.cost, each.state.node) for each in found]


@given(graphs(), st.sampled_from((0.0, 0.5, 1.0)), st.booleans())
def test_goals_come_cheapest_first_as_in_a_search_by_cost_alone(graph: Graph, share: float, lazy: bool) -> None:
    wanted = cheapest_goals(graph, 0)
    found = answers(graph, share, lazy)
    assert [cost for cost, _ in found] == [cost for cost, _ in wanted][:4]
    assert {(cost, node) for cost, node in found} <= set(wanted)


@given(graphs(), st.integers(0, 6))
def test_nothing_is_dearer_than_the_first_by_more_than_the_spread(graph: Graph, spread: int) -> None:
    wanted = cheapest_goals(graph, 0)
    found = answers(graph, 1.0, True, 16, spread)
    assert [cost for cost, _ in found] == [cost for cost, _ in wanted if cost <= wanted[0][0] + spread]


def test_a_search_in_a_circle_ends() -> None:
    assert answers({0: [(1, 1)], 1: [(1, 0)]}, 0.0, False) == []
    assert answers({0: [(1, 1)], 1: [(1, 0), (1, 2)], 2: [(1, 1)]}, 0.0, True) == []


def test_a_search_without_end_gives_up() -> None:
    def moves(state: Place) -> Iterator[tuple[float, tuple[()], Place]]:
        yield 1.0, (), Place(state.node + 1, 0.1, 0.1)

    assert list(search(Place(0, 0.1, 0.1), moves, 1, 500, inf)) == []


# ---------------------------------------------------------------- simplify, beside a search by cost alone

SOUNDS = ("p", "b", "t", "d", "k", "m", "n", "s", "f", "l", "w", "ʃ")
VOWELS = ("ɑ", "i", "u")
PROCESSES = (
    "cluster reduction",
    "final consonant deletion",
    "stopping",
    "velar fronting",
    "gliding",
    "palatal fronting",
)


def some_rules(order: int = 0, processes: tuple[str, ...] = PROCESSES) -> RuleSet:
    """The rules of a few processes, read in another order for each number."""
    whole = load_rules()
    rules = [rule for rule in whole.rules if rule.process in processes]
    random.Random(order).shuffle(rules)
    return RuleSet(tuple(rules), whole.processes, f"some {order}")


@st.composite
def children(draw: st.DrawFn) -> Limits:
    """A child with one sound or more in each place, open syllables or closed ones, and no cluster."""
    some = st.frozensets(st.sampled_from(SOUNDS), min_size=1)
    shapes = draw(st.sampled_from((("V", "CV"), ("V", "CV", "VC", "CVC"))))
    return Limits(
        consonants={place: draw(some) for place in POSITIONS}, clusters=frozenset(), vowels=frozenset(VOWELS),
        shapes=frozenset(shapes), max_syllables=2, variety="any", emerging=frozenset(),
    )  # fmt: skip


@st.composite
def words(draw: st.DrawFn) -> Word:
    """One or two syllables: sounds of the child's language, a cluster here and there."""
    onset = st.sampled_from((*SOUNDS, "sp", "st", "sl", "pl", "kl", "sw", "fl"))
    coda = st.sampled_from(("", *(sound for sound in SOUNDS if sound != "w"), "st", "ks", "lt", "nd", "mp"))
    syllable = draw(onset) + draw(st.sampled_from(VOWELS)) + draw(coda)
    first = "ˈ" + draw(onset) + draw(st.sampled_from(VOWELS)) if draw(st.booleans()) else ""
    return read(first + syllable).words[0]


def least_cost(simplifier: Simplifier, word: Word) -> float:
    """Cost of the nearest sayable form: every state in the order of its cost alone, whatever is guessed of the rest."""
    start, walk = simplifier.opening(word)
    waiting, done = [(0.0, start)], set[object]()
    while waiting:
        at = min(range(len(waiting)), key=lambda number: waiting[number][0])
        cost, state = waiting.pop(at)
        if state.key is None or state.key in done:
            continue
        if state.rest == 0:
            return cost
        done.add(state.key)
        waiting += [(cost + price, after) for price, _, after in walk.moves(state)]
    return inf


@examples(150)
@given(words(), children())
def test_the_first_form_is_the_cheapest_there_is(word: Word, limits: Limits) -> None:
    simplifier = Simplifier(some_rules(), limits)
    found = simplifier.run(word)
    assert found and abs(found[0].cost - least_cost(simplifier, word)) < 1e-9


@examples(60)
@given(words(), children())
def test_forms_come_in_order_of_cost_each_once_and_sayable(word: Word, limits: Limits) -> None:
    found = Simplifier(load_rules(), limits).run(word, 6)
    assert all(one.cost <= other.cost for one, other in pairwise(found))
    assert len({(each.form.phones, each.form.starts) for each in found}) == len(found)
    for each in found:
        assert not list(demands(each.form.phones, each.form.starts, limits))
        assert all(step.after == other.before for step, other in pairwise(each.steps))
        assert not each.steps or each.steps[-1].after == each.form


@examples(40)
@given(words(), words(), children(), st.integers(1, 1000))
def test_neither_the_order_of_rules_nor_an_earlier_word_changes_an_answer(
    word: Word, earlier: Word, limits: Limits, order: int
) -> None:
    whole = load_rules()
    shuffled = list(whole.rules)
    random.Random(order).shuffle(shuffled)
    again = Simplifier(RuleSet(tuple(shuffled), whole.processes, f"shuffled {order}"), limits)
    again.run(earlier)
    ladder(again, earlier)
    one, other = Simplifier(whole, limits).run(word), again.run(word)
    assert [round(each.cost, 9) for each in one] == [round(each.cost, 9) for each in other]
    assert again.run(word) == other


def test_rules_that_undo_each_other_end() -> None:
    there = Rule("there", "backing", "t -> k", 0.3, 1, "a test", ())
    back = Rule("back", "velar fronting", "k -> t", 0.3, 1, "a test", ())
    longer = Rule("longer", "epenthesis", "∅ -> ə / # C _ C", 0.3, 1, "a test", ())
    shorter = Rule("shorter", "weak syllable deletion", "ə -> ∅ / # C _ C", 0.3, 1, "a test", ())
    rules = RuleSet((there, back, longer, shorter), (), "circle")
    sounds = dict.fromkeys(POSITIONS, frozenset({"m"}))
    limits = Limits(sounds, frozenset(), frozenset({"ɑ"}), frozenset({"CV"}), 1, "any", frozenset())
    for text in ("tɑ", "klɑt", "ˈtɑkə"):
        found = Simplifier(rules, limits).run(read(text).words[0])
        assert all(not list(demands(each.form.phones, each.form.starts, limits)) for each in found)


@examples(60)
@given(words(), children())
def test_a_rung_asks_for_what_lies_below_and_what_it_adds(word: Word, limits: Limits) -> None:
    rungs = ladder(Simplifier(load_rules(), limits), word)
    granted: set[object] = set()
    for rung in rungs:
        granted |= set(rung.demands)
        asked = {demand.key for demand in demands(rung.word.phones, rung.word.starts, limits)}
        assert asked <= granted, (rung.word.ipa, asked - granted)
    assert rungs and not rungs[0].demands and rungs[-1].word.phones == word.phones
    assert all(rung.demands and rung.adds for rung in rungs[1:])


def test_the_drawn_words_hold_clusters_and_closed_syllables() -> None:
    shapes = {syllable.shape for text in map("".join, product(("p", "sp"), ("ɑ",), ("", "t", "st"))) for syllable in
              read(text).words[0].syllables}  # fmt: skip
    assert shapes == {"CV", "CVC", "CVCC", "CCV", "CCVC", "CCVCC"}
