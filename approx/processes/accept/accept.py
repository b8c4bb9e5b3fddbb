"""Accept: other adult forms that are as right as the target, by accent, casual speech and allophones.

    >>> from approx.ipa import read
    >>> from approx.processes.accept.accept_rules import load_accents
    >>> target, said = read("bæθ").words[0], read("bæf").words[0]
    >>> found = nearest_accepted(target, said, load_accents(["african-american-english"]))
    >>> found.word.ipa, [change.says for change in found.changes]
    ('bæf', ['f for θ, not initial'])
    >>> nearest_accepted(target, said, load_accents()).word.ipa
    'bæθ'

A token is right if any accepted adult form matches what was said (Shriberg & Kwiatkowski 1982, J Speech Hear Disord
47:256-270, response rules on dialect, casual speech and allophones; from memory). What was accepted is given back, so
that it can be counted and shown.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

from approx.ipa.features import is_nucleus
from approx.ipa.word import Word
from approx.problems import Problem
from approx.processes.accept.accept_rules import AccentSet, accent_of, load_accents
from approx.processes.accept.rule_uses import RuleUse, combined, of_words, places, said_so, together
from approx.scoring.alignment.align import Link, Linker, as_aimed, one_by_one

_FEW = 5
_Path = tuple[int, ...]


class AcceptedChange(NamedTuple):
    """One rule used: its accent and id, what it says in words, the adult sounds it changed (0-based), and what to think
    of before it is taken as right."""

    accent: str
    rule: str
    says: str
    targets: tuple[int, ...]
    caution: str = ""


@dataclass(frozen=True, slots=True)
class Accepted:
    """An adult form that counts as right and the rules that make it of the target; none for the target itself."""

    word: Word
    changes: tuple[AcceptedChange, ...] = ()

    @property
    def rules(self) -> tuple[str, ...]:
        """Ids of the rules used."""
        return tuple(change.rule for change in self.changes)


class Variants:
    """One adult form, the places where something else counts as right in it, and the forms made of them so far."""

    def __init__(self, target: Word, found: tuple[RuleUse, ...], tag: str) -> None:
        self.target, self.places, self._tag = target, found, tag
        self._known: dict[tuple[int, ...], Accepted] = {}
        self._subsets: dict[tuple[int, ...], Sequence[tuple[_Chosen, Word]]] = {}
        self._made = [(place, place.end - place.start == len(place.phones) == 1, place.text) for place in found]

    def said(self, heard: tuple[str, ...]) -> _Chosen:
        """The places of which what the rule makes may count as right in what was heard. One sound for another is right only
        where it was said itself; of a place that loses sounds, or makes several, the letters were."""
        text = "".join(heard)
        return tuple([place for place, one, what in self._made if what in (heard if one else text)])

    def subsets(self, fit: _Chosen) -> Sequence[tuple[_Chosen, Word]]:
        """Every set of some places that can be used together, smaller ones first, none left out but the empty one; each
        with its form."""
        key = tuple(map(id, fit))
        found = self._subsets.get(key)
        if found is None:
            found = self._subsets[key] = [(chosen, self.form(chosen)) for chosen in combined(fit) if chosen]
        return found

    def accepted(self, chosen: Sequence[RuleUse]) -> Accepted:
        """The form with some of the places changed, from left to right."""
        key = tuple(map(id, chosen))
        form = self._known.get(key)
        if form is None:
            form = self._known[key] = Accepted(said_so(self.target, chosen, self._tag), tuple(map(_change, chosen)))
        return form

    def form(self, chosen: Sequence[RuleUse]) -> Word:
        """Its sounds."""
        return self.accepted(chosen).word


@lru_cache(maxsize=65536)
def variants_of(target: Word, accents: AccentSet, gloss: str = "") -> Variants:
    """The places of an adult form that hold for the words as spelled."""
    return Variants(target, of_words(places(target, accents), target, gloss), accents.language)


@lru_cache(maxsize=16384)
def nearest_accepted(target: Word, produced: Word, accents: AccentSet, gloss: str = "") -> Accepted:
    """The accepted adult form that the production matches best. `gloss`: the words as spelled, where known.

    A form of the same sounds wins, however many rules it takes; stress plays no part. Else the form with the fewest
    unequal links; ties go to fewest rules, then to the leftmost. A rule counts only where what it makes was said, and
    only as far as it takes away an unequal link: an error is never excused by a rule that does not reach it.
    """
    return nearest_of_many([(variants_of(target, accents, gloss), produced)])[0]


_AT_ONCE = 1 << 15


VariantsAsked = tuple["Variants", Word]
"""An adult form with its variants, and what was said."""
_Chosen = tuple[RuleUse, ...]


def nearest_of_many(asked: Sequence[VariantsAsked], linker: Linker = one_by_one) -> list[Accepted]:
    """The accepted adult form nearest to each production, in order; see `nearest_accepted`. `linker` aligns many forms at once."""
    out: list[Accepted] = []
    for start in range(0, len(asked), _AT_ONCE):
        out += _nearest(asked[start : start + _AT_ONCE], linker)
    return out


def _nearest(asked: Sequence[VariantsAsked], linker: Linker) -> list[Accepted]:
    """Nearest forms, all at once. What a pair needs in between is held in lists of all pairs, not in an object each."""
    chosen: list[_Chosen] = [()] * len(asked)
    searched: list[int] = []
    fits: list[_Chosen] = []
    for at, (variants, produced) in enumerate(asked):
        meant, heard = variants.target.phones, produced.phones
        if not heard or heard == meant:
            continue
        fit = variants.said(heard)
        if not fit:
            continue
        spelled = _spelling(meant, heard, fit)
        if spelled is None:
            searched.append(at)
            fits.append(fit)
        else:
            chosen[at] = spelled
    for at, best in zip(searched, _closest([asked[at] for at in searched], fits, linker)):
        chosen[at] = best
    doubted = [at for at in searched if not all(place.phones for place in chosen[at])]
    links = linker([(asked[at][0].form(chosen[at]), asked[at][1]) for at in doubted])
    for at, made in zip(doubted, links):
        chosen[at] = _reached(*asked[at], chosen[at], made)
    return [variants.accepted(best) for (variants, _), best in zip(asked, chosen)]


class AcceptedForm(NamedTuple):
    """What was accepted in a sample: the word, the adult form that counted as right, what the rules used say, and what
    to think of before they are taken as right."""

    word: str
    form: str
    says: tuple[str, ...]
    cautions: tuple[str, ...] = ()


def accepted_form(word: str, accepted: Accepted) -> AcceptedForm | None:
    """The form to count and show; None for the target itself."""
    if not accepted.changes:
        return None
    cautions = tuple(dict.fromkeys(change.caution for change in accepted.changes if change.caution))
    return AcceptedForm(word, accepted.word.ipa, tuple(change.says for change in accepted.changes), cautions)


def _change(place: RuleUse) -> AcceptedChange:
    rule = place.rule
    return AcceptedChange(
        accent_of(rule), rule.id, rule.kind or rule.id, tuple(range(place.start, place.end)), rule.caution
    )


def _spelling(phones: tuple[str, ...], heard: tuple[str, ...], fit: Sequence[RuleUse]) -> tuple[RuleUse, ...] | None:
    """The fewest places that turn the adult sounds into exactly those heard, or None."""
    if fit[0].start > _alike(phones, heard) or max([place.end for place in fit]) < len(phones) - _alike(
        phones[::-1], heard[::-1]
    ):
        return None  # the first or the last difference is out of reach of all places
    more = [len(place.phones) - (place.end - place.start) for place in fit]
    longer = len(heard) - len(phones)
    if not sum([one for one in more if one < 0]) <= longer <= sum([one for one in more if one > 0]):
        return None
    path = _SideBySide(phones, heard, fit).rest(0, 0, False, False)
    return None if path is None else tuple([fit[number] for number in path])


def _alike(one: tuple[str, ...], other: tuple[str, ...]) -> int:
    """How many sounds two forms have alike from the start."""
    for at, (a, b) in enumerate(zip(one, other)):
        if a != b:
            return at
    return min(len(one), len(other))


class _SideBySide:
    """Walks an adult form and what was heard from the left. A state is how far each has come, whether the last place left
    its sounds off, and whether a sound was put in here.

    An object, for functions that call one another would keep each other: where nothing collects cycles, for good.
    """

    def __init__(self, phones: tuple[str, ...], heard: tuple[str, ...], fit: Sequence[RuleUse]) -> None:
        self.phones, self.heard, self.fit = phones, heard, fit
        self.begins: dict[int, list[int]] = {}
        for number, place in enumerate(fit):
            self.begins.setdefault(place.start, []).append(number)
        self.known: dict[tuple[int, int, bool, bool], _Path | None] = {}

    def rest(self, at: int, said: int, left_off: bool, put_in: bool) -> _Path | None:
        """The fewest places from here to the end; None where none lead there."""
        key = (at, said, left_off, put_in)
        if key not in self.known:
            self.known[key] = min(self.ways(*key), key=lambda path: (len(path), path), default=None)
        return self.known[key]

    def ways(self, at: int, said: int, left_off: bool, put_in: bool) -> list[_Path]:
        """The places of each way on."""
        out: list[_Path] = []
        heard = self.heard
        if at == len(self.phones):
            if said == len(heard):
                out.append(())
        elif said < len(heard) and heard[said] == self.phones[at]:
            after = self.rest(at + 1, said + 1, False, False)
            out += [] if after is None else [after]
        for number in self.begins.get(at, ()):
            place = self.fit[number]
            empty, inserts, reached = not place.phones, place.start == place.end, said + len(place.phones)
            if (empty and left_off) or (inserts and put_in) or heard[said:reached] != place.phones:
                continue
            after = self.rest(place.end, reached, empty, inserts)
            out += [] if after is None else [(number, *after)]
        return out


def _closest(asked: Sequence[VariantsAsked], fits: Sequence[_Chosen], linker: Linker) -> list[_Chosen]:
    """For each pair the places that leave the fewest unequal links; only those at or beside an unequal link are tried.

    Of up to `_FEW` places every set is tried; of more, one is added at a time while it helps.
    """
    best: list[_Chosen] = [()] * len(asked)
    near: list[_Chosen] = []
    least: list[int] = []
    for (variants, produced), fit, made in zip(
        asked, fits, linker([(variants.target, produced) for variants, produced in asked])
    ):
        found, unequal = _near(variants, produced, fit, made)
        near.append(found)
        least.append(unequal)
    tried = [at for at, fit in enumerate(near) if fit]
    while tried:
        sets = [_sets(asked[at][0], near[at], best[at]) for at in tried]
        forms = [(form, asked[at][1]) for at, each in zip(tried, sets) for _, form in each if form.phones]
        links = iter(linker(forms))
        better: list[int] = []
        for at, each in zip(tried, sets):
            target, produced = asked[at][0].target, asked[at][1]
            for places_used, form in each:
                # with nothing left of the form, every sound is unequal
                left = unequal_links(next(links), form, produced) if form.phones else len(target.phones) + 1
                if left < least[at]:
                    least[at], best[at] = left, places_used
                    better.append(at)
        tried = [at for at in dict.fromkeys(better) if len(near[at]) > _FEW]
    return best


def _near(variants: Variants, produced: Word, fit: _Chosen, made: Sequence[Link]) -> tuple[_Chosen, int]:
    """The places at or beside an unequal link, and how many links are unequal."""
    meant, said = variants.target.phones, produced.phones
    wrong = [at for at, (i, j) in enumerate(made) if i is None or j is None or meant[i] != said[j]]
    near = {i for at in wrong for i, _ in made[max(0, at - 1) : at + 2]}
    found = [
        place
        for place in fit
        if place.start in near or (place.end - place.start > 1 and not near.isdisjoint(range(place.start, place.end)))
    ]
    return tuple(found), len(wrong)


def _sets(variants: Variants, fit: _Chosen, best: _Chosen) -> Sequence[tuple[_Chosen, Word]]:
    """Sets of places to be tried next, those of fewest places first, each with the form that it makes."""
    if len(fit) <= _FEW:
        return variants.subsets(fit)
    grown = [
        tuple(sorted((*best, place), key=lambda each: (each.start, each.end))) for place in fit if place not in best
    ]
    return [(chosen, variants.form(chosen)) for chosen in grown if together(chosen)]


def _reached(variants: Variants, produced: Word, chosen: _Chosen, links: Sequence[Link]) -> _Chosen:
    """The places without those that excuse more than they say: a vowel left off beside a sound that was lost too
    (*ˈbɹɑkəli* [ˈbɑti] is no *broccli*), a last sound left off before a word that does not begin with its own sound
    (*big goat* [bɪ doʊt]). `links`: of the form with these places."""
    target, form = variants.target, variants.form(chosen)
    said = {i for i, j in links if i is not None and j is not None}
    right = {i for i, j in links if i is not None and _equal((i, j), form, produced)}
    kept: list[RuleUse] = []
    moved = 0
    for place in chosen:
        at = place.start + moved
        beside = min(at, len(form.phones) - 1)
        vowel = any(map(is_nucleus, target.phones[place.start : place.end]))
        if place.phones or (beside in right if place.end in target.edges else not vowel or beside in said):
            kept.append(place)
        moved += len(place.phones) - (place.end - place.start)
    return tuple(kept)


def unequal_links(links: Sequence[Link], form: Word, produced: Word) -> int:
    """Links of two forms that do not join two equal sounds."""
    meant, said = form.phones, produced.phones
    return sum([i is None or j is None or meant[i] != said[j] for i, j in links])


def _equal(link: Link, form: Word, produced: Word) -> bool:
    i, j = link
    return i is not None and j is not None and form.phones[i] == produced.phones[j]


class _Target(NamedTuple):
    """An adult form, the sounds that the rules say for one of its own, what they make of other parts of it (a text each), and
    whether some of them hold for some words alone."""

    word: Word
    sounds: frozenset[str]
    texts: tuple[str, ...]
    by_word: bool


class Accents:
    """Accepted adult forms for a run: allophones and casual speech always, accents by name; one set a language.

    `cautions`: of each form given by `others`, what to think of before it is taken as right.
    """

    def __init__(self, names: Sequence[str]) -> None:
        self.names = tuple(names)
        self.problems: dict[str, Problem] = {}
        self.cautions: dict[str, tuple[str, ...]] = {}
        self._sets: dict[str, AccentSet] = {}
        self._targets: dict[tuple[str, Word], _Target] = {}

    def accepted(self, target: Word, produced: Word, language: str, gloss: str = "") -> Accepted:
        """The accepted adult form that the production matches best, with the changes that were accepted; the target
        itself, without any, if none is nearer. `gloss`: the words as spelled, which some rules ask for."""
        produced, known = as_aimed(target, produced), self._target(target, language)
        if not _with_changes(known, [produced.phones], [0]):
            return Accepted(target)
        return nearest_accepted(target, produced, self._sets[language], gloss if known.by_word else "")

    def accepted_of_many(
        self, asked: Sequence[tuple[Word, Word, str]], language: str, linker: Linker = one_by_one
    ) -> list[Accepted]:
        """The accepted adult form of each (target, produced, gloss), in order; see `accepted`. `linker` aligns many forms at once."""
        targets = [target for target, _, _ in asked]
        said = [as_aimed(target, produced) for target, produced, _ in asked]
        changed = self._changed(targets, said, [gloss for _, _, gloss in asked], language, linker)
        unchanged = {id(target): Accepted(target) for target in targets}
        return [changed.get(at) or unchanged[id(target)] for at, target in enumerate(targets)]

    def _changed(
        self, targets: Sequence[Word], said: Sequence[Word], glosses: Sequence[str], language: str, linker: Linker
    ) -> dict[int, Accepted]:
        """By place the pairs that have something of a change, each with the form that is nearest; of the others it is the
        target itself."""
        of_target: defaultdict[int, list[int]] = defaultdict(list)  # by identity: the forms are held by `targets`
        for at, number in enumerate(map(id, targets)):
            of_target[number].append(at)
        heard = [form.phones for form in said]
        searched: list[int] = []
        search: list[VariantsAsked] = []
        for places_of in of_target.values():
            target = targets[places_of[0]]
            known = self._target(target, language)
            variants: dict[str, Variants] = {}
            for at in _with_changes(known, heard, places_of):
                gloss = glosses[at] if known.by_word else ""
                if gloss not in variants:
                    variants[gloss] = variants_of(target, self._sets[language], gloss)
                searched.append(at)
                search.append((variants[gloss], said[at]))
        return dict(zip(searched, nearest_of_many(search, linker)))

    def others(
        self, targets: Sequence[Word], said: Sequence[Word], glosses: Sequence[str], language: str, linker: Linker
    ) -> list[Sequence[Word]]:
        """For each pair, the other adult form that scoring may take, () where the target itself is nearest. `said`: with its
        sounds told apart (`as_aimed`)."""
        out: list[Sequence[Word]] = [()] * len(targets)
        for at, found in self._changed(targets, said, glosses, language, linker).items():
            if not found.changes or found.word.phones == targets[at].phones:
                continue
            out[at] = (found.word,)
            cautions = dict.fromkeys(change.caution for change in found.changes if change.caution)
            if cautions:
                self.cautions[found.word.ipa] = tuple(cautions)
        return out

    def _target(self, target: Word, language: str) -> _Target:
        found = self._targets.get((language, target))
        if found is None:
            if language not in self._sets:
                accents = self._sets[language] = load_accents(self.names, language)
                self.problems |= {problem.message: problem for problem in accents.problems}
            where = places(target, self._sets[language])
            ones = [place.end - place.start == len(place.phones) == 1 for place in where]
            sounds = frozenset(place.text for place, one in zip(where, ones) if one)
            texts = tuple({place.text: None for place, one in zip(where, ones) if not one})
            by_word = any(place.rule.words for place in where)
            found = self._targets[language, target] = _Target(target, sounds, texts, by_word)
        return found


def _with_changes(target: _Target, heard: Sequence[tuple[str, ...]], which: Sequence[int]) -> list[int]:
    """Those of some places in `heard` where anything was said that a rule makes of a part of the target: most of what is said
    has nothing of it."""
    word, sounds, texts, _ = target
    phones, nothing_of = word.phones, sounds.isdisjoint
    return [
        at
        for at in which
        if heard[at] != phones
        and (not nothing_of(heard[at]) or (texts and any(map("".join(heard[at]).__contains__, texts))))
    ]
