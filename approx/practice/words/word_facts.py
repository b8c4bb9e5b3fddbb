"""What a word is for one child: how much of it is in the inventory, what is new, how it is said today, what to take care with."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import replace

from approx.child.demands import Demand, describe
from approx.child.profile import POSITIONS, Limits
from approx.ipa.features import is_nucleus
from approx.ipa.word import Word
from approx.practice.suggest.clashes import Clash
from approx.practice.suggest.input_targets import InputTarget, targets_in_list
from approx.practice.suggest.suggest import Suggester
from approx.practice.words.word_bank import BankWord, Key, NewElement, RankedWord
from approx.practice.words.word_weights import word_caution
from approx.problems import Problem
from approx.processes.simplify.nearness import as_a_listener_hears
from approx.wording import enumerated, worded


def asked(word: BankWord, missing: Sequence[Demand], limits: Limits) -> tuple[int, int]:
    """(in the inventory, asked for): its sounds, its clusters, its syllable shapes, its length and, where limited, its variety."""
    clusters = len(re.findall("CC+", word.shape))
    asks = len(word.adult.phones) + word.syllables + clusters + 1 + (limits.variety != "any")
    return max(asks - len(missing), 0), asks


class NewElements:
    """One child's limits, ready to say of many words what is new in them."""

    def __init__(self, limits: Limits) -> None:
        self.limits = limits
        self.known = frozenset(sound for position in POSITIONS for sound in limits.consonants[position])
        self.onsets, self.codas = _edges(limits.shapes)
        self._made: dict[tuple[Key, ...], NewElement] = {}

    def of(self, word: Word, missing: Sequence[Demand]) -> tuple[NewElement, ...]:
        """The new things of a word from its demands (`all_demands`)."""
        if not missing:
            return ()
        carried = self._carried(word, missing)
        with_others = {key for keys in carried.values() for key in keys}
        out: dict[Key, NewElement] = {}
        for demand in missing:
            key = demand.key
            if key in out or key in with_others:
                continue
            if demand.kind == "length":
                for count in range(self.limits.max_syllables + 1, int(demand.item[0]) + 1):
                    step = "length", (str(count),)
                    out[step] = self.thing((step,))
            else:
                out[key] = self.thing((key, *carried.get(key, ())))
        return tuple(out.values())

    def thing(self, keys: tuple[Key, ...]) -> NewElement:
        """One thing: the first key names it, the others come with it."""
        made = self._made.get(keys)
        if made is None:
            made = self._made[keys] = self._thing(keys)
        return made

    def _thing(self, keys: tuple[Key, ...]) -> NewElement:
        first, with_it = keys[0], keys[1:]
        soft = self.limits.emerging.issuperset(keys)
        kind, text = first[0], _in_words(first)
        if kind == "consonant":
            kind = "sound"
            if first[1][0] in self.known:
                kind, text = "place", worded("{thing}, a known sound in a new place", thing=text)
        cluster = next((key for key in with_it if key[0] == "cluster"), None)
        if cluster is not None:
            kind, text = "cluster", worded("{cluster} in {thing}", cluster=_in_words(cluster), thing=text)
        sounds = [_in_words(key) for key in with_it if key[0] == "consonant"]
        if sounds:
            text = worded("{thing}, with {sounds}", thing=text, sounds=enumerated(" and ", sounds))
        return NewElement(kind, worded("{thing} (emerging)", thing=text) if soft else text, keys, soft)

    def _carried(self, word: Word, missing: Sequence[Demand]) -> dict[Key, list[Key]]:
        """Demands that come with a new shape: its clusters of known sounds, and known sounds in the part that is new."""
        shapes = [demand for demand in missing if demand.kind == "shape"]
        if not shapes:
            return {}
        homes: dict[Key, set[Key | None]] = {}
        for demand in missing:
            if (
                demand.kind not in ("cluster", "consonant")
                or not self.known.issuperset(demand.item[:-1])
                or _of_likes(demand)
            ):
                continue
            shape = next((each for each in shapes if each.first <= demand.first and demand.last <= each.last), None)
            home = shape.key if shape is not None and self._in_new_part(demand, shape, word) else None
            homes.setdefault(demand.key, set()).add(home)
        out: dict[Key, list[Key]] = {}
        for key, places in homes.items():
            # a sound that is also asked for elsewhere in the word stays a thing of its own
            if len(places) == 1 and (home := next(iter(places))) is not None:
                out.setdefault(home, []).append(key)
        return out

    def _in_new_part(self, demand: Demand, shape: Demand, word: Word) -> bool:
        """True if the demand stands in the onset or coda whose length no shape in the inventory has."""
        before, _, after = shape.item[0].partition("V")
        nucleus = next((at for at in range(shape.first, shape.last) if is_nucleus(word.phones[at])), shape.last)
        if demand.last <= nucleus:
            return len(before) not in self.onsets
        return demand.first > nucleus and len(after) not in self.codas


def _in_words(key: Key) -> str:
    kind, item = key
    if kind == "cluster" and len(item) == 3 and item[0] == item[1]:
        return worded("{item} twice in a row", item=item[0])
    return describe(Demand(*key, 0, 0))


def _of_likes(demand: Demand) -> bool:
    """True for one sound twice across a syllable edge, which no shape brings along."""
    return demand.kind == "cluster" and len(demand.item) == 3 and demand.item[0] == demand.item[1]


def _edges(shapes: Iterable[str]) -> tuple[set[int], set[int]]:
    """How many consonants may open and may close a syllable in the inventory."""
    parts = [shape.partition("V") for shape in shapes]
    return {len(before) for before, vowel, _ in parts if vowel}, {len(after) for _, vowel, after in parts if vowel}


def cautions(word: BankWord) -> tuple[str, ...]:
    """What published advice says to take care with in early targets; flagged, not forbidden."""
    advice = word_caution()
    out = []
    if not set(advice.rhotics.split()).isdisjoint(word.adult.phones):
        out.append(advice.rhotics_says)
    if word.syllables >= advice.long:
        out.append(advice.long_says)
    return tuple(out)


def said_today(words: Sequence[RankedWord], suggester: Suggester) -> tuple[tuple[RankedWord, ...], tuple[Problem, ...]]:
    """The words with today's form, its plain spelling, clashes and what was never tried; and remarks on forms the clinician chose.

    Clashes: other words of this list and of the child's chosen forms that sound the same today ("target"), common
    words ("word") and rude ones ("rude"). A word in the inventory is said as the adult says it. `today` stays None where nothing
    of a word is sayable.
    """
    targets = [InputTarget(each.word, each.adult, "word bank", True) for each in words]
    here = {each.word.lower() for each in words}
    chosen = [(word, "", 0) for word in suggester.profile.chosen if word not in here]
    more, _ = targets_in_list(chosen, suggester.language, suggester.profile, "")
    answers, problems = suggester.suggestions([*targets, *more])
    said = [(answer.word, answer.approximations[0]) for answer in answers if answer.approximations]
    sharing: dict[str, list[str]] = {}
    for name, form in said:
        sharing.setdefault(as_a_listener_hears(form.word), []).append(name)
    out = []
    for each, answer in zip(words, answers, strict=False):
        never = tuple(thing.text for thing in each.things if suggester.untested.intersection(thing.keys))
        if not answer.approximations:
            out.append(replace(each, untested=never))
            continue
        form = answer.approximations[0]
        others = dict.fromkeys(name for name in sharing[as_a_listener_hears(form.word)] if name != each.word)
        clashes = [Clash(name, "target") for name in others]
        clashes += [clash for clash in form.clashes if clash.kind != "target" and clash.word not in others]
        facts = replace(each, today=form.ipa, today_spelled=form.spelled, clashes=tuple(clashes), untested=never)
        out.append(facts)
    ours = [problem for problem in problems if problem.code == "suggest.chosen" and problem.symbol.lower() in here]
    return tuple(out), tuple(ours)
