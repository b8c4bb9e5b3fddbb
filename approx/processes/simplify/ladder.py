"""Climb: the way back up from today's form to the adult word, one new demand a rung.

Each rung puts back what the form below lacks and asks for nothing else. The easiest comes first: what is emerging, then
what children stop simplifying earliest (`rules/climb.toml`). Places that only together make a word of the language, or
that one demand opens, make one rung. No rung takes away what the form below shares with the adult word.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cache, lru_cache
from typing import NamedTuple

from approx.child.demands import Demand, all_demands, demands, describe
from approx.datafiles import read_toml, rules_path
from approx.ipa.features import is_nucleus
from approx.ipa.word import Word
from approx.processes.engine.repair import Granted
from approx.processes.engine.search import Key
from approx.processes.simplify.nearness import sounds_like_it
from approx.processes.simplify.partial_form import AdultAim, FormPlace, PartialForm, restore_sounds, same_manner
from approx.processes.simplify.simplify import Simplifier
from approx.wording import enumerated, worded

IN_THE_INVENTORY = "sounds and shapes already in the inventory"


class Rung(NamedTuple):
    """One form of a ladder and what it adds to the rung below, in words and as demands; nothing on the first."""

    word: Word
    adds: str | None
    demands: tuple[Key, ...] = ()


class _Step(NamedTuple):
    """A form one step up, as a word, with what it asks for that was not granted before."""

    form: PartialForm
    word: Word
    asks: tuple[Key, ...]


Avoided = Callable[[Word], bool]
"""Whether a form is one that nobody wants to hear."""


def ladder(
    simplifier: Simplifier, adult: Word, start: Word | None = None, avoided: Avoided = lambda form: False
) -> tuple[Rung, ...]:
    """Rungs from `start` (default: the nearest sayable form) to the adult word; () if nothing is sayable.

    Every rung asks only for what the child has plus what the rungs below added. A `start` the clinician chose may
    ask for more than the child has: that much is then taken as granted. Two to five rungs, one where `start` is the
    adult word. `avoided`: forms nobody wants to hear, which are rungs only where every other order has one as well.
    """
    granted: Granted = frozenset()
    below = start
    if below is None:
        found = simplifier.way(adult)
        if found is None:
            return ()
        below = found.word
    else:
        granted = frozenset(
            demand.key for demand in demands(below.phones, below.starts, simplifier.limits, stress=below.stress)
        )
    if sounds_like_it(below, adult):
        return (Rung(adult, None),)
    climb = _Climb(simplifier, adult, avoided)
    here = climb.aim.beside(below)
    here = climb.as_heard(here)
    rungs = [Rung(below, None)]
    step = climb.with_all_granted(_Step(here, below, ()), granted)
    if start is not None and step.form != here and step.word.phones != below.phones:
        rungs.append(Rung(step.word, IN_THE_INVENTORY))
    here = step.form
    first = granted
    while left := climb.aim.differences(here):
        step = climb.next(here, left, granted)
        step = climb.with_all_granted(step, granted | frozenset(step.asks))
        here = climb.as_heard(step.form)
        if step.word != rungs[-1].word:
            rungs.append(Rung(step.word, "", climb.asks(step.word, granted)))
        granted |= frozenset(rungs[-1].demands)
    return tuple(climb.named(_at_most(rungs, climb.most, avoided), first))


class _Climb:
    """The steps up from a form of one word."""

    def __init__(self, simplifier: Simplifier, adult: Word, avoided: Avoided) -> None:
        self.simplifier, self.adult, self.avoided = simplifier, adult, avoided
        self.limits = simplifier.limits
        self.aim = AdultAim(adult, simplifier.repairs.tag)
        self.most: int = _table()["rungs"]["most"]
        self.syllable_ease = (True, _age(("length", ())))
        self._steps: dict[PartialForm, list[_Step]] = {}
        self._asks: dict[tuple[tuple[str, ...], tuple[int, ...], tuple[int, ...]], tuple[Key, ...]] = {}
        self.nuclei, self.number = self.aim.nuclei, self.aim.number
        vowels: list[list[int]] = [[] for _ in adult.starts]
        for nucleus in self.nuclei:
            vowels[self.number[nucleus]].append(nucleus)
        self.vowels_of = [vowels[each] for each in self.number]

    def next(self, here: PartialForm, left: list[FormPlace], granted: Granted) -> _Step:
        """The easiest step up; the adult word itself where nothing less makes a word of the language."""
        emerging, steps = self.limits.emerging, self.steps(here, granted)
        if len(left) == 1 and steps and self.limits.variety == "any":
            return steps[0]
        eased = [(_ease(step.asks, emerging), step) for step in steps]
        eased.sort(key=_first)
        if not eased or eased[0][0][:2] >= self.syllable_ease:
            back = [each for each in self.syllables(here, left, granted) if self.aim.well_formed(each[1].word)]
            eased += [(_ease(step.asks, emerging, before), step) for before, step in back]
            eased.sort(key=_first)
        if not eased:
            return self.step(restore_sounds(here, self.adult, left), granted)
        easiest = next((step for _, step in eased if not self.avoided(step.word)), eased[0][1])
        if len(easiest.asks) > 1 and any(kind == "variety" for kind, _ in easiest.asks):
            for apart in (self.varied(here, easiest, granted), self.closed(here, easiest, granted)):
                if apart is not None and self.leads_on(apart, here, granted):
                    return apart
        pairs = zip(easiest.form.said, self.adult.phones)
        if not any(said in self.adult.phones for said, sound in pairs if said != sound):
            return easiest
        # a stand-in that the word has elsewhere may be taken to stand for that once its neighbours are back; another step is clearer
        clear = (
            step
            for _, step in eased
            if self.aim.beside(step.word).said == step.form.said and not self.avoided(step.word)
        )
        return next(clear, easiest)

    def leads_on(self, step: _Step, here: PartialForm, granted: Granted) -> bool:
        """Whether a step still asks for what is new in it, and leaves another form, once all that is granted is put back beside
        it; else the climb would stand still."""
        whole = self.with_all_granted(step, granted | frozenset(step.asks))
        return frozenset(step.asks) <= frozenset(self.asks(whole.word, granted)) and self.as_heard(whole.form) != here

    def varied(self, here: PartialForm, easiest: _Step, granted: Granted) -> _Step | None:
        """Where the easiest step asks for unlike syllables or consonants and for more: the nearest form that asks for unlike ones
        alone (mommy for monkey, then muddy for it), None where there is none, no ear hears it, or it takes away what is shared."""
        unlike = next((key for key in easiest.asks if key[0] == "variety"), None)
        found = self.simplifier.way(self.adult, granted | {unlike}) if unlike is not None else None
        if found is None:
            return None
        step = self.step(self.aim.beside(found.word), granted)
        below = self.aim.spoken(here)
        fits = step.asks == (unlike,) and self.aim.well_formed(step.word) and not self.avoided(step.word)
        new = len(step.word.starts) == len(below.starts) and not sounds_like_it(step.word, below)
        return step if fits and new and self.aim.no_farther(step.form, here) else None

    def closed(self, here: PartialForm, easiest: _Step, granted: Granted) -> _Step | None:
        """Where the easiest step closes a syllable with a second consonant: the syllable closed with the child's own consonant of
        the same manner (moon by mum), which asks for no unlike ones; None where there is none."""
        own = next((said for said in here.said if said is not None and not is_nucleus(said)), None)
        new = [at for at, said in enumerate(easiest.form.said) if said is not None and here.said[at] is None]
        last = len(new) == 1 and new[0] > max(self.nuclei, default=-1) and is_nucleus(here.said[new[0] - 1] or "")
        if own is None or not last or not same_manner(own, self.adult.phones[new[0]]):
            return None
        step = self.step(restore_sounds(here, self.adult, [("sound", new[0])], {new[0]: own}), granted)
        if any(kind == "variety" for kind, _ in step.asks) or self.avoided(step.word) or step.word == easiest.word:
            return None
        # a stand-in that the word has elsewhere would be taken to stand for that (the k of kicked)
        clear = self.aim.beside(step.word).said == step.form.said and own not in self.adult.phones[new[0] :]
        return step if clear and self.aim.well_formed(step.word) else None

    def with_all_granted(self, step: _Step, granted: Granted) -> _Step:
        """The step with everything put back beside it that asks for nothing more."""
        form, word = step.form, step.word
        while True:
            for more in self.every(form):
                if granted.issuperset(more.asks) and more.word != word and not self.avoided(more.word):
                    form, word = more.form, more.word
                    break
            else:
                return _Step(form, word, step.asks)

    def steps(self, here: PartialForm, granted: Granted) -> list[_Step]:
        """Every step that brings back no syllable and fits the language, with what it asks for beyond what is granted."""
        known = self.every(here)
        if not granted:
            return known
        return [
            step if granted.isdisjoint(step.asks) else _Step(step.form, step.word, _beyond(step.asks, granted))
            for step in known
        ]

    def every(self, here: PartialForm) -> list[_Step]:
        """Every such step with all that it asks for, nothing granted; kept, for a form is asked of twice."""
        known = self._steps.get(here)
        if known is None:
            known = self._steps[here] = []
            for places in self.together(here, self.aim.differences(here)):
                form = restore_sounds(here, self.adult, places)
                word = self.aim.spoken(form)
                if self.aim.well_formed(word):
                    known.append(_Step(form, word, self.asks(word)))
        return known

    def syllables(self, here: PartialForm, left: list[FormPlace], granted: Granted) -> Iterator[tuple[bool, _Step]]:
        """Every step that brings one syllable back, with stand-ins for those of its sounds that are not there yet, and whether it
        stands before the stress; what the nearest form of that length leaves off waits for a rung of its own."""
        stressed = self.adult.stress.index(1) if 1 in self.adult.stress else 0
        for kind, at in left:
            if kind == "sound" and here.said[at] is None and at in self.nuclei:
                before = self.number[at] < stressed
                places = self.syllable(here, at)
                whole = self.step(restore_sounds(here, self.adult, places), granted)
                if all(kind in ("length", "shape", "weak") for kind, _ in whole.asks):
                    yield before, whole
                else:
                    stand_ins = self.stand_ins(here, places, granted)
                    if at in stand_ins:
                        places = [place for place in places if place[1] in stand_ins]
                    yield before, self.step(restore_sounds(here, self.adult, places, stand_ins), granted)

    def step(self, form: PartialForm, granted: Granted) -> _Step:
        word = self.aim.spoken(form)
        return _Step(form, word, self.asks(word, granted))

    def asks(self, word: Word, granted: Granted = frozenset()) -> tuple[Key, ...]:
        """What a form asks for beyond what the child has and what is granted, each once."""
        said = word.phones, word.starts, word.stress
        asked = self._asks.get(said)
        if asked is None:
            demanded = all_demands(word.phones, word.starts, self.limits, word.stress)
            asked = self._asks[said] = tuple(dict.fromkeys([demand[:2] for demand in demanded])) if demanded else ()
        return _beyond(asked, granted) if granted else asked

    def named(self, rungs: list[Rung], granted: Granted) -> Iterator[Rung]:
        """The rungs with just what each asks for beyond those below it."""
        climbed: set[str] = set()
        for number, rung in enumerate(rungs):
            asks = self.asks(rung.word, granted) if number else ()
            yield Rung(rung.word, _words(_without_moved(asks, climbed)) if number else None, asks)
            granted |= frozenset(asks)
            climbed |= {item[0] for kind, item in asks if kind == "consonant"}

    def together(self, here: PartialForm, left: list[FormPlace]) -> Iterator[list[FormPlace]]:
        """Places to be put back in one step, the smallest sets first: one alone, one sound in all its places, a run of
        consonants, a vowel with the liquid it stands for."""
        for place in left:
            if self.alone(here, *place):
                yield [place]
        if len(left) < 2:
            return
        met: set[tuple[FormPlace, ...]] = set()
        for places in (*self.alike(here, left), *self.runs(here, left)):
            key = tuple(sorted(places))
            if key not in met:
                met.add(key)
                yield places

    def alone(self, here: PartialForm, kind: str, at: int) -> bool:
        """True where a place may be put back by itself: no vowel that is left off, nothing that goes with one."""
        if kind == "added":
            return True
        if at in here.in_one:
            return False
        return here.said[at] is not None or at not in self.nuclei and self.has_vowel(here, at)

    def as_heard(self, here: PartialForm) -> PartialForm:
        """The form laid beside the adult word anew, with the stress of its adult vowels, where a sound stands for a consonant whose
        vowel is left off: it may be heard as the one before the next vowel. Never farther from the adult word."""
        if None not in here.said or all(said is None or self.has_vowel(here, at) for at, said in enumerate(here.said)):
            return here
        heard = self.aim.beside(self.aim.spoken(here))
        return heard if len(self.aim.differences(heard)) <= len(self.aim.differences(here)) else here

    def has_vowel(self, here: PartialForm, at: int) -> bool:
        """True if the vowel of a consonant's syllable is there."""
        return None not in [here.said[nucleus] for nucleus in self.vowels_of[at]]

    def syllable(self, here: PartialForm, nucleus: int) -> list[FormPlace]:
        """A vowel left off with the consonants of its syllable, and those beside it that went with it."""
        first = last = nucleus
        while first > 0 and here.said[first - 1] is None and self.number[first - 1] == self.number[nucleus]:
            first -= 1
        while last + 1 < len(here.said) and here.said[last + 1] is None and last + 1 not in self.nuclei:
            if self.number[last + 1] != self.number[nucleus] and not self.has_vowel(here, last + 1):
                break
            last += 1
        return [("sound", at) for at in range(first, last + 1)]

    def alike(self, here: PartialForm, left: list[FormPlace]) -> Iterator[list[FormPlace]]:
        """The places of one adult sound that one other stands for."""
        groups: dict[tuple[str, str | None], list[FormPlace]] = {}
        for kind, at in left:
            if kind == "sound" and here.said[at] is not None:
                groups.setdefault((self.adult.phones[at], here.said[at]), []).append((kind, at))
        yield from (group for group in groups.values() if len(group) > 1)

    def runs(self, here: PartialForm, left: list[FormPlace]) -> Iterator[list[FormPlace]]:
        """All that is to be put back between two vowels, and with the vowel before it where that stands for a liquid."""
        between = [
            (kind, at) for kind, at in left if kind == "added" or at not in self.nuclei and self.has_vowel(here, at)
        ]
        edges = [-1, *self.nuclei, len(self.adult.phones)] if between else []
        for low, high in zip(edges, edges[1:]):
            run = [(kind, at) for kind, at in between if low < at < high or at == high and kind == "added"]
            if len(run) > 1:
                yield run
            if run and ("sound", low) in left and here.said[low] is not None:
                yield [("sound", low), *run]

    def stand_ins(self, here: PartialForm, places: list[FormPlace], granted: Granted) -> dict[int, str]:
        """For a syllable that comes back, what stands in for those of its sounds that are not there yet."""
        back = [at for _, at in places if at in self.nuclei]
        length = ("length", (str(sum(here.said[at] is not None for at in self.nuclei) + len(back)),))
        found = self.simplifier.way(self.adult, granted | {length})
        if found is None:
            return {}
        said = dict(zip(found.origins, found.phones))
        return {at: said[at] for kind, at in places if kind == "sound" and at in said}


def _at_most(rungs: list[Rung], most: int, avoided: Avoided) -> list[Rung]:
    """The ladder with the steps that are least together joined until it has no more than so many rungs, those at rungs to be
    avoided first."""

    def together(n: int) -> tuple[bool, tuple[int, ...], int]:
        return not avoided(rungs[n].word), _burden((*rungs[n].demands, *rungs[n + 1].demands)), -n

    while len(rungs) > most:
        at = min(range(1, len(rungs) - 1), key=together)
        above = rungs[at + 1]
        joined = Rung(above.word, "", tuple(dict.fromkeys((*rungs[at].demands, *above.demands))))
        rungs = [*rungs[:at], joined, *rungs[at + 2 :]]
    return rungs


def _burden(keys: tuple[Key, ...]) -> tuple[int, int]:
    """How many things a rung asks for, and how late they come: a sound is one thing in all its places and with its cluster, a
    shape comes with its last consonant, and two syllables at once are a leap."""
    sounds = {item[0] for kind, item in keys if kind in ("consonant", "vowel")}
    clusters = [key for key in keys if key[0] == "cluster" and not sounds & set(key[1][:-1])]
    syllables = sum(kind == "length" for kind, _ in keys)
    shapes = not sounds and any(kind == "shape" for kind, _ in keys)
    others = sum(kind in ("weak", "variety") for kind, _ in keys)
    return len(sounds) + len(clusters) + 2 * syllables - bool(syllables) + shapes + others, sum(map(_age, set(keys)))


@cache
def _table() -> dict[str, dict[str, int]]:
    return read_toml(rules_path("climb.toml"))


@cache
def _months() -> tuple[dict[str, int], dict[str, int], dict[str, int]]:
    table = _table()

    def spread(part: dict[str, int]) -> dict[str, int]:
        return {sound: months for sounds, months in part.items() for sound in sounds.split()}

    return table["kinds"], spread(table["consonants"]), spread(table["vowels"])


@cache
def _age(key: Key) -> int:
    kinds, consonants, vowels = _months()
    kind, item = key
    if kind == "consonant":
        return consonants.get(item[0], consonants["other"])
    if kind == "cluster" and item[0] == "s" and item[-1] == "initial":
        return kinds["s_cluster"]
    return vowels.get(item[0], kinds[kind]) if kind == "vowel" else kinds[kind]


def _without_moved(asks: tuple[Key, ...], climbed: set[str]) -> tuple[Key, ...]:
    """What a rung asks without the sounds of the rungs below that only a syllable that comes back has put in another place: the k
    of peˈkado was said first in ˈkado."""
    if not any(kind == "length" for kind, _ in asks):
        return asks
    return tuple([key for key in asks if key[0] != "consonant" or key[1][0] not in climbed])


def _beyond(asks: tuple[Key, ...], granted: Granted) -> tuple[Key, ...]:
    return tuple([key for key in asks if key not in granted])


_Ease = tuple[bool, int, int, tuple[Key, ...]]


def _first(eased: tuple[_Ease, _Step]) -> _Ease:
    return eased[0]


def _ease(asks: tuple[Key, ...], emerging: Granted, before_stress: bool = False) -> _Ease:
    """What comes first: all of it emerging, then the age of its hardest part, of syllables first those after the stress, then how
    much it is."""
    new = [key for key in asks if key not in emerging]
    return bool(new), max(map(_age, new or asks), default=0) + before_stress, len(asks), asks


@lru_cache(maxsize=8192)
def _words(keys: tuple[Key, ...]) -> str:
    """What a rung adds, shortest true wording: a cluster says its new sounds, a shape is left out beside it."""
    if not keys:
        return IN_THE_INVENTORY
    clusters = [item for kind, item in keys if kind == "cluster"]
    sounds = [item[0] for kind, item in keys if kind in ("consonant", "vowel")]
    parts, inside = [], set[str]()
    for item in clusters:
        run = "".join(item[:-1])
        new = [sound for sound in dict.fromkeys(sounds) if sound in item[:-1]]
        parts.append(
            worded("{sound} in the cluster {sounds}", sound=enumerated(" and ", new), sounds=run)
            if new
            else worded("the cluster {sound}", sound=run)
        )
        inside |= set(new)
    rest = [
        key
        for key in keys
        if key[0] in ("consonant", "vowel", "length", "variety", "weak")
        and key[1][0] not in inside
        or key[0] == "shape"
        and not clusters
    ]
    return enumerated(", ", [*parts, *map(_word, rest)])


def _word(key: Key) -> str:
    return describe(Demand(*key, 0, 0))
