"""The slow and obvious twin of `approx.processes.explain.explain`: nothing is kept, nothing is ruled out beforehand.

Every rule is tried at every place, every time; sounds are looked for by uniform-cost search over all rules of one sound.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterator, Mapping
from itertools import count

from approx.ipa import features as ft
from approx.ipa.features import is_nucleus, is_vowel
from approx.processes.engine.apply import apply
from approx.processes.engine.form import Form
from approx.processes.engine.search import search
from approx.processes.explain.deletions import (
    Added,
    DeletionsAndAdditions,
    DeletionState,
    Lost,
    Offer,
    Structure,
    StructureRules,
    Structures,
)
from approx.processes.explain.explain import Explainer
from approx.processes.explain.sound_changes import (  # fmt: skip
    DISTORTION,
    LIQUID,
    PLACE,
    VOICE,
    Chains,
    SoundChain,
    SoundChanges,
    SoundPlace,
    _distinct,
    _distorts,
    _vowel_change,
    changed,
    manner,
    place,
)
from approx.processes.rules.rule import Rule
from approx.processes.rules.ruleset import RuleSet

SPREAD, LONGEST, MOST, DEAREST = 0.45, 3, 4, 3.2


class SlowExplainer(Explainer):
    """Explains as `Explainer` does, by plain search."""

    def __init__(self, rules: RuleSet, tag: str = "en-US") -> None:
        super().__init__(rules, tag)
        primary = tag.lower().split("-")[0]
        usable = [r for r in rules.rules if "explain" in r.uses and r.language in ("", primary)]
        self.structures = _SlowStructures(usable, tag)
        single = [r for r in usable if len(r.change.focus) == 1 == len(r.change.result) and not r.change.of_syllables]
        self.sounds = _SlowSounds(single, tag)


PLACE_ASSIMILATIONS = {"labial assimilation", "alveolar assimilation", "velar assimilation", "palatal assimilation"}
"""Of these a sound takes part in one: it is made like one other sound of its word."""


class _EveryRule(StructureRules):
    def offers(self, form: Form, at: int) -> list[Offer]:
        every = ((rule, *each) for rule in (*self.losing, *self.whole) for each in apply(rule.change, form, self.tag))
        return [offer for offer in every if offer[1] <= at < offer[2]]


class _SlowStructures(Structures):
    def __init__(self, rules: list[Rule], tag: str) -> None:
        super().__init__(rules, tag)
        self.rules = _EveryRule(rules, tag)

    def ways(self, start: Form, lost: Lost, added: Added, wanted: Mapping[int, str]) -> tuple[Structure, ...]:
        walk = DeletionsAndAdditions(self.rules, wanted)
        found = search(DeletionState(start, lost, added), walk.moves, 3, 200, SPREAD)
        return tuple(Structure(each.state.form, each.cost, each.steps, start) for each in found)


class _SlowSounds(SoundChanges):
    def __init__(self, rules: list[Rule], tag: str) -> None:
        super().__init__(rules, tag)
        self.every = [*(r for r in rules if not r.change.far), *(r for r in rules if r.change.far)]

    def chains(self, place: SoundPlace, wanted: str) -> Chains:
        start = place.form.phones[place.at]
        base, marks = ft.bare(wanted)
        if marks and base and _distorts(marks):
            inner = self.chains(place, base) if base != start else ((0.0, ()),)
            return tuple((cost + DISTORTION.cost, (*chain, (DISTORTION, wanted))) for cost, chain in inner)
        out = self.plain(place, start, wanted, True)
        if out and any(rule.change.far for rule, _ in out[0][1]):
            near = self.plain(place, start, wanted, False)[:1]
            out += [(min(cost, out[0][0] + SPREAD), chain) for cost, chain in near if len(chain) <= len(out[0][1])]
        if is_nucleus(start) and is_nucleus(wanted):
            out.append(_vowel_change(start, wanted))
        elif start in ("l", "ɹ") and (is_nucleus(wanted) or wanted == "w") and not out:
            out.append((LIQUID.cost, ((LIQUID, wanted),)))
        return _distinct(out)

    def plain(self, here: SoundPlace, start: str, wanted: str, far: bool) -> list[tuple[float, SoundChain]]:
        """Uniform-cost search from sound to sound."""
        out: list[tuple[float, SoundChain]] = []
        tie = count()
        heap: list[tuple[float, int, str, SoundChain]] = [(0.0, next(tie), start, ())]
        limit = DEAREST
        while heap and len(out) < MOST:
            cost, _, phone, chain = heapq.heappop(heap)
            if cost > limit:
                break
            if phone == wanted:
                out.append((cost, chain))
                limit = min(limit, cost + SPREAD)
            elif len(chain) < LONGEST:
                for rule, sound in self.one_away(here, phone, far):
                    new = (*chain, (rule, sound))
                    names = [r.process for r, _ in new]
                    places = [name for name in names if name in PLACE_ASSIMILATIONS]
                    if len(set(names)) == len(names) and len(places) < 2 and straight(start, new):
                        heapq.heappush(heap, (cost + rule.cost, next(tie), sound, new))
        return out

    def one_away(self, here: SoundPlace, phone: str, far: bool) -> Iterator[tuple[Rule, str]]:
        """What each rule makes of a sound put in this place."""
        for rule in self.every:
            if rule.change.far and not far or is_vowel(phone) and rule.process == "vowel change":
                continue
            form, at = (here.adult, here.here) if rule.change.far else (here.form, here.at)
            now = form._replace(phones=(*form.phones[:at], phone, *form.phones[at + 1 :]))
            for low, _, after in apply(rule.change, now, self.tag):
                if low == at and len(after.phones) == len(now.phones):
                    yield rule, after.phones[at]


def straight(start: str, chain: SoundChain) -> bool:
    """True if no sound comes twice, and place, manner and voice each change once at most; stopping at the tooth ridge
    leaves a palatal or dental its place if it comes first; place and voice change as one only at the beginning (a flap)."""
    sounds = [start, *(sound for _, sound in chain)]
    stops = len(sounds) > 1 and place(sounds[1]) == "alveolar" and manner(sounds[1]) == "stop"
    own = stops and place(start) in ("dental", "palatal") and manner(start) in ("fricative", "affricate")
    voiced = [bool((ft.features(sound) or (0,) * 9)[8] > 0) for sound in sounds]
    rows: tuple[list[object], ...] = (
        [place(each) for each in sounds[own:]],
        [manner(each) for each in sounds],
        list(voiced),
    )
    once = all(sum(a != b for a, b in zip(row, row[1:])) <= 1 for row in rows)
    both = [changed(one, other) == PLACE | VOICE for one, other in zip(sounds[1:], sounds[2:])]
    return once and len(set(sounds)) == len(sounds) and not any(both)
