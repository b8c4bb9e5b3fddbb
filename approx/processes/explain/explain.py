"""Explain: the processes that lead from an adult form to exactly what a child said.

The alignment says which sounds were lost, added or stand for which. The same rules and search as for suggestions then
look for the cheapest derivation that does just that: structure first (syllables, clusters, single consonants, added
sounds), then each surviving sound against its own target (process conventions 1). What no rule reaches is unexplained.

Ways to lose sounds and ways to change one are each found once and kept, so that a pair costs little more than putting
them together; a slow twin that keeps nothing is in the tests.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cache, lru_cache
from operator import attrgetter
from typing import NamedTuple

from approx.ipa import features as ft
from approx.ipa.features import is_nucleus
from approx.ipa.syllables import syllable_starts
from approx.ipa.word import Word
from approx.processes.accept.accept import Accents, AcceptedForm, accepted_form
from approx.processes.engine.apply import apply
from approx.processes.engine.form import Form, form_of, respan
from approx.processes.explain.deletions import (
    COST_UNEXPLAINED,
    READING_SPREAD,
    Added,
    Lost,
    SoundWay,
    Structure,
    Structures,
    WaysAt,
)
from approx.processes.explain.derivation import Derivation, Explanation, GoodReadings, Use, shared_use
from approx.processes.explain.opportunities import LostR, default_opportunity_options, postvocalic_r
from approx.processes.explain.phrases import MOST_OTHERS, nothing_understood, parts_of, phrase_readings
from approx.processes.explain.sound_changes import SoundChanges
from approx.processes.explain.strange import StrangePairs, is_strange
from approx.processes.rules.rule import unwritten_rule
from approx.processes.rules.ruleset import RuleSet
from approx.scoring.alignment.align import (
    Alignment,
    Never,
    PairLinks,
    align_forms,
    align_prepared,
    as_aimed,
    may_coalesce,
    moved,
)
from approx.scoring.alignment.costs import prepare

__all__ = ["Derivation", "Explainer", "Explanation", "Use", "as_meant", "opened_syllabics"]
_SYLLABIC = "̩"
_LONG, _LONG_STRANGE = 40, 13
"""Sounds beyond which no sound is looked for elsewhere and no syllable said twice, in any form, and from which on not in one
that shares little with the adult form: each such start is aligned anew."""
_MOVED, _EXCHANGE = unwritten_rule("metathesis.moved"), unwritten_rule("metathesis.exchange")
_LEFT_OFF = unwritten_rule("vocalization.left-off")
_PUT_IN = ("h", "ʔ")
"""What is put in before a vowel: no other sound that moved there and changed (*open* [ˈhoʊən])."""
_LOSSES = ("final consonant deletion", "cluster reduction")
_NO_WORD, _NOTHING, _NO_LINKS = Word((), (), ()), frozenset[int](), Never()


class _Start(NamedTuple):
    """A form to begin from, what it cost to get there, and how: the adult form, or one with sounds moved or doubled.

    `alike`: ways from its sounds, by adult sound, what stands for it after structure, and how contexts fit beside it."""

    form: Form
    cost: float
    uses: tuple[Use, ...]
    steps: tuple[tuple[str, Form, Form], ...]
    alike: dict[tuple[int, str, int], WaysAt]


class _Way(NamedTuple):
    """One derivation, not yet written out: its cost, structure, sounds that changed places, and a change a sound."""

    cost: float
    start: _Start
    structure: Structure
    swapped: dict[int, str]
    changes: tuple[SoundWay, ...]


class DoubtfulPair(NamedTuple):
    """A pair of words that may be explained better by other links: the adult form with the sounds that were written, what was
    said, how many sounds are joined, the readings so far, the best of them, and the links of that which may be wrong."""

    start: _Start
    written: tuple[int, ...]
    said: Word
    joined: int
    found: list[_Way]
    best: _Way
    never: Never


class Explainer:
    """The rules that explain, ready for many pairs of one language."""

    def __init__(self, rules: RuleSet, tag: str = "en-US", lost_r: LostR | None = None) -> None:
        """`lost_r`: what an ɹ left off after a vowel is called, "deletion" or "vocalization"; None: `rules/opportunities.toml`."""
        self.tag = tag
        self.vocalized = (lost_r or default_opportunity_options().lost_r) == "vocalization"
        primary = tag.lower().split("-")[0]
        usable = [r for r in rules.rules if "explain" in r.uses and r.language in ("", primary)]
        self.structures = Structures(usable, tag)
        self.doubling = [r for r in usable if r.process == "reduplication"]
        single = [r for r in usable if len(r.change.focus) == 1 == len(r.change.result) and not r.change.of_syllables]
        self.sounds = SoundChanges(single, tag)
        self.strange = StrangePairs()
        # the adult form asked about last: most pairs come in the order of their forms
        self._begin: tuple[Word, _Start, tuple[int, ...]] = _begin(_NO_WORD)

    def explain(self, target: Word, produced: Word) -> Explanation:
        """The cheapest derivation and other good readings. A syllabic consonant is read as ə and the consonant; a phrase
        is explained word by word."""
        if target.edges or produced.edges:
            parts = parts_of(target, produced)
            found = [self.explain(part.target, part.produced) for part in parts]
            best, *others = phrase_readings(parts, [(each.best, *each.readings) for each in found])
            return Explanation(target, produced, best, tuple(others))
        if nothing_understood(target) or nothing_understood(produced):
            return Explanation(target, produced, untold(target, produced))
        meant, said = to_align(target, produced)
        best, *others = self._alone(target, said, align_forms(meant, said).links, steps=True)
        return Explanation(target, produced, best, tuple(others))

    def readings(self, target: Word, produced: Word) -> GoodReadings:
        """The first reading, then the other good ones, without their steps."""
        if target.edges or produced.edges:
            parts = parts_of(target, produced)
            return phrase_readings(parts, [self.readings(part.target, part.produced) for part in parts])
        meant, said = to_align(target, produced)
        if nothing_understood(meant) or nothing_understood(said):
            return (untold(meant, said),)
        return self._alone(target, said, align_forms(meant, said).links, steps=False)

    def _alone(self, target: Word, said: Word, links: PairLinks, steps: bool) -> GoodReadings:
        found = self.by_links(target, said, links, steps)
        if not isinstance(found, DoubtfulPair):
            return found
        other = align_prepared(prepare(found.start.form.word), prepare(found.said), found.never).links
        return self.by_other_links(found, other, steps)

    def by_links(self, target: Word, said: Word, links: PairLinks, steps: bool = False) -> GoodReadings | DoubtfulPair:
        """The good readings of a pair of words; or what is known of it where its links may be wrong. `said`: the production
        as `to_align` gives it. `steps`: written out too."""
        if target is not self._begin[0]:
            self._begin = _begin(target)
        _, start, written = self._begin
        if (aimed := as_aimed(target, said)) is not said:
            said, links = aimed, align_forms(start.form.word, aimed).links
        found = self._ways(start, said, links)
        added, doubled = len(links) != len(start.form.phones), _repeats(said)
        if added or doubled:
            for other in self._other_starts(start.form, said, links, added, doubled):
                found += self._ways(other, said, align_forms(other.form.word, said).links)
        best = found[0] if len(found) == 1 else min(found, key=_cost)
        never = _doubted(start.form, said, links, best)
        if never:
            return DoubtfulPair(start, written, said, len(_linked(links).joined), found, best, never)
        return self._good(start.form, written, found, best, steps)

    def by_other_links(self, pair: DoubtfulPair, links: PairLinks, steps: bool = False) -> GoodReadings:
        """The good readings of a pair. `links`: the next best ones, without those in doubt.

        *ˈbɹɑkəli* [ˈbɑti]: t stands for the k of the lost syllable, not for l.
        """
        start, found = pair.start, pair.found
        if len(_linked(links).joined) >= pair.joined:
            found = found + [way for way in self._ways(start, pair.said, links) if way.cost < pair.best.cost]
        return self._good(start.form, pair.written, found, pair.best, steps)

    def _good(self, start: Form, written: tuple[int, ...], found: list[_Way], best: _Way, steps: bool) -> GoodReadings:
        return tuple([self._told(way, uses, start, written, steps) for way, uses in _ranked(found, best)])

    def _told(self, way: _Way, uses: tuple[Use, ...], start: Form, written: tuple[int, ...], steps: bool) -> Derivation:
        told = _as_written(way, uses, start, written, steps)
        if not self.vocalized or not any(use.process in _LOSSES for use in told.uses):
            return told
        vocal = {written[at] for at in postvocalic_r(start.phones)}
        named: list[Use] = []
        for use in told.uses:
            lost = tuple(t for t in use.targets if t in vocal) if use.process in _LOSSES else ()
            rest = tuple(t for t in use.targets if t not in lost)
            named += [use._replace(targets=rest)] if rest else []
            named += [shared_use(_LEFT_OFF.process, _LEFT_OFF.id, lost)] if lost else []
        return told._replace(uses=tuple(named))

    def _other_starts(
        self, start: Form, produced: Word, links: PairLinks, added: bool, doubled: bool
    ) -> Iterator[_Start]:
        """The adult form with a sound moved or a syllable doubled, where that may have been: something was added, or the
        child said something twice."""
        if max(len(start.phones), len(produced.phones)) > _LONG:
            return
        if is_strange(start.word, produced, links, _LONG_STRANGE):
            return
        for after, targets in _moves(start, produced, links) if added else ():
            use = shared_use(_MOVED.process, _MOVED.id, targets)
            yield _Start(after, _MOVED.cost, (use,), ((_MOVED.id, start, after),), {})
        if doubled and not _repeats(start.word):
            for begin in self._reduced(start):
                for rule in self.doubling:
                    for first, last, after in apply(rule.change, begin.form, self.tag):
                        use = shared_use(rule.process, rule.id, begin.form.origins[first:last])
                        steps = (*begin.steps, (rule.id, begin.form, after))
                        dearer = 0.0 if _other_vowels(begin.form, after) else _LIKE_CONSONANT
                        cost = round(begin.cost + rule.cost - 0.4 + dearer, 4)
                        yield _Start(after, cost, (*begin.uses, use), steps, {})

    def _reduced(self, start: Form) -> Iterator[_Start]:
        """The adult form, and what is left of it when its clusters are reduced before a syllable is said twice.

        A last consonant of a syllable inside the word goes with what the repeated syllable takes the place of.
        """
        known = [_unchanged(start)]
        yield known[0]
        for begin in known:
            form = begin.form
            for rule in self.structures.rules.losing:
                if rule.process != "cluster reduction" or len(begin.uses) == 2:
                    continue
                for first, last, after in apply(rule.change, form, self.tag):
                    gone = tuple(sorted(set(form.origins[first:last]) - set(after.origins)))
                    if gone and form.syllable_at(first) == form.stress.index(1):
                        use = shared_use(rule.process, rule.id, gone)
                        steps = (*begin.steps, (rule.id, form, after))
                        known.append(_Start(after, begin.cost + rule.cost, (*begin.uses, use), steps, {}))
                        yield known[-1]
            coda = _without_coda(form)
            if coda is not None:
                yield begin._replace(form=coda, cost=begin.cost + 0.1)

    def _ways(self, start: _Start, produced: Word, links: PairLinks) -> list[_Way]:
        """Readings from one start: ways to lose and add sounds, each with ways to change what stays."""
        wanted, lost, added = _wanted(start.form, produced, _linked(links))
        find = self.structures.search if start.steps else self.structures.ways
        found: list[_Way] = []
        for structure in find(start.form, lost, added, wanted):
            self._with_sounds(start, structure, wanted, found)
        return found

    def _with_sounds(self, start: _Start, structure: Structure, wanted: dict[int, str], found: list[_Way]) -> None:
        """Each surviving sound against its own target: the cheapest chain, then one other chain at a time."""
        slots = [slot for slot in structure.slots if wanted.get(slot[1], slot[2]) != slot[2]]
        if start.steps:  # a sound said twice changes once
            slots = list({slot[1]: slot for slot in reversed(slots)}.values())[::-1]
        swapped = _swapped(slots, wanted) if len(slots) > 1 else {}
        total = start.cost + structure.cost + (_EXCHANGE.cost if swapped else 0.0)
        choices: list[tuple[SoundWay, ...]] = []
        several = False
        for at, origin, _ in slots:
            if origin not in swapped:
                known = structure.ways_at.get(at)
                ways = (self._ways_at(start, structure, at) if known is None else known)[wanted[origin]]
                choices.append(ways)
                total += ways[0].cost
                several = several or len(ways) > 1
        first = tuple([ways[0] for ways in choices])
        found.append(_Way(round(total, 4), start, structure, swapped, first))
        if not several:
            return
        for number, (cheapest, *others) in enumerate(choices):
            for change in others:
                changes = (*first[:number], change, *first[number + 1 :])
                found.append(_Way(round(total - cheapest.cost + change.cost, 4), start, structure, swapped, changes))
        for changes, cost in _alike(choices) if len(choices) > 1 else ():
            found.append(_Way(round(total + cost, 4), start, structure, swapped, changes))

    def _ways_at(self, start: _Start, structure: Structure, at: int) -> WaysAt:
        """The ways from the sound at a place of a structure; of one that stands alike in another, the same."""
        origin = structure.form.origins[at]
        place = self.sounds.place(structure.form, at, start.form, origin)
        alike = origin, structure.form.phones[at], id(place.beside)
        found = start.alike.get(alike)
        if found is None:
            found = start.alike[alike] = WaysAt(self.sounds, place, origin)
        structure.ways_at[at] = found
        return found


def _begin(target: Word) -> tuple[Word, _Start, tuple[int, ...]]:
    """An adult form, where its derivations begin, and for each sound there the index of the one that was written."""
    form, written = opened_syllabics(target)
    return target, _unchanged(form), written


def _unchanged(form: Form) -> _Start:
    return _Start(form, 0.0, (), (), {})


_cost = attrgetter("cost")


def _alike(choices: Sequence[tuple[SoundWay, ...]]) -> Iterator[tuple[tuple[SoundWay, ...], float]]:
    """Readings that take another name for a change wherever it stands, and how much dearer: no more than the spread."""
    names = [[way.names for way in ways] for ways in choices]
    for other in dict.fromkeys([each for known in names for each in known[1:]]):
        at = [known.index(other) if other in known else 0 for known in names]
        if sum([number > 0 for number in at]) > 1:
            changes = tuple([ways[n] for n, ways in zip(at, choices)])
            dearer = sum([ways[n].cost - ways[0].cost for n, ways in zip(at, choices)])
            yield changes, min(dearer, READING_SPREAD)


def _ranked(found: Sequence[_Way], best: _Way) -> list[tuple[_Way, tuple[Use, ...]]]:
    """The best derivation, then those of other processes that are nearly as good; each with its processes."""
    if len(found) == 1:
        return [(best, _uses(best))]
    low = min([way.cost for way in found])
    ranked = [(way, _uses(way)) for way in found if way.cost <= low + READING_SPREAD]
    ranked.sort(key=lambda each: (each[0].cost, len(each[1])))
    first = sorted([use.process for use in ranked[0][1]])
    others: dict[tuple[str, ...], tuple[_Way, tuple[Use, ...]]] = {}
    for each in ranked[1:]:
        names = sorted([use.process for use in each[1]])
        if names != first:
            others.setdefault(tuple(names), each)
    return [ranked[0], *list(others.values())[:MOST_OTHERS]]


def untold(target: Word, produced: Word) -> Derivation:
    """The reading where a word was not understood: no process, and what was aimed at is unexplained."""
    unexplained = () if target.phones == produced.phones else tuple(range(len(target.phones)))
    return Derivation((), (), unexplained, COST_UNEXPLAINED * len(unexplained))


def _doubted(start: Form, produced: Word, links: PairLinks, best: _Way) -> Never:
    """Links that may join the wrong sounds, where others could be in their place."""
    doubtful = _doubtful(start, links, best)
    if not doubtful:
        return _NO_LINKS
    joined = _linked(links).joined
    if len(joined) == len(start.phones) == len(produced.phones) and not may_coalesce(produced.phones):
        return _NO_LINKS  # sound by sound: one link less is one sound less
    return frozenset([(i, j) for i, j in joined if start.origins[i] in doubtful])


def _doubtful(start: Form, links: PairLinks, best: _Way) -> set[int]:
    """Adult sounds no rule leads from, and last consonants that outlive their weak syllable as another sound while a
    consonant before its vowel is lost: what is left of a syllable is as a rule its beginning (*kitchen* [kɪt])."""
    out = {change.origin for change in best.changes if not change.chain}
    if not best.changes or not best.structure.steps:
        return out
    if not any(map(is_nucleus, map(start.phones.__getitem__, _linked(links).lost))):
        return out
    lost = {i for i, j in links if i is not None and j is None}
    for change in best.changes:
        at = start.origins.index(change.origin)
        core = next((k for k in reversed(range(at)) if is_nucleus(start.phones[k])), 0)
        if core in lost and core - 1 in lost and not is_nucleus(start.phones[core - 1]):
            syllable = start.syllable_at(core)
            if not start.stress[syllable] and start.syllable_at(at) == syllable and not is_nucleus(start.phones[at]):
                out.add(change.origin)
    return out


class _Linked(NamedTuple):
    """Links whatever the sounds are: places joined; those that stay, each with what was said for it alone, and the others (of
    two sounds said as one the second); and places of sounds added, each after the adult place before it (-1: none)."""

    joined: tuple[tuple[int, int], ...]
    stay: tuple[tuple[int, int], ...]
    lost: tuple[int, ...]
    added: tuple[tuple[int, int], ...]


@lru_cache(maxsize=4096)
def _linked(links: PairLinks) -> _Linked:
    joined, stay, added = list[tuple[int, int]](), list[tuple[int, int]](), list[tuple[int, int]]()
    lost, last = list[int](), -1
    for i, j in links:
        if i is None:
            if j is not None:
                added.append((last, j))
        elif j is None:
            lost.append(i)
        else:
            if joined and joined[-1][1] == j:
                lost.append(i)
            else:
                stay.append((i, j))
            joined.append((i, j))
            last = i
    return _Linked(tuple(joined), tuple(stay), tuple(lost), tuple(added))


_LIKE_CONSONANT = 1.0
"""How much dearer a syllable said twice is where its vowel is the same anyway: a consonant like another is assimilation,
where a rule of assimilation says so (convention 12 names both)."""


def _other_vowels(before: Form, after: Form) -> bool:
    """True if saying a syllable twice changes a vowel or how many there are: else only a consonant is like another."""
    return [phone for phone in before.phones if is_nucleus(phone)] != [p for p in after.phones if is_nucleus(p)]


def _without_coda(form: Form) -> Form | None:
    """The form without the last consonants of its main syllable, where another syllable follows; None if it has none."""
    number = form.stress.index(1) if 1 in form.stress else len(form.starts) - 1
    if number + 1 >= len(form.starts):
        return None
    low, high = form.starts[number], form.starts[number + 1]
    core = max((at for at in range(low, high) if is_nucleus(form.phones[at])), default=high)
    if core + 1 >= high:
        return None
    kept = [at for at in range(len(form.phones)) if not core < at < high]
    starts = tuple(start if start <= core else start - (high - core - 1) for start in form.starts)
    phones, origins = tuple(form.phones[at] for at in kept), tuple(form.origins[at] for at in kept)
    return Form(phones, starts, form.stress, origins)


def _uses(way: _Way) -> tuple[Use, ...]:
    """The processes of a derivation in order."""
    uses = [*way.start.uses, *way.structure.uses]
    if way.swapped:
        uses.append(shared_use(_EXCHANGE.process, _EXCHANGE.id, tuple(sorted(way.swapped))))
    for change in way.changes:
        uses += change.uses
    return tuple(uses)


def _steps(way: _Way) -> Iterator[tuple[str, str, str]]:
    """The forms on the way, rule by rule."""
    for rule, before, after in (*way.start.steps, *((s.rule, s.before, s.after) for s in way.structure.steps)):
        yield rule, before.word.ipa, after.word.ipa
    here = way.structure.form
    if way.swapped:
        phones = tuple(way.swapped.get(origin, phone) for phone, origin in zip(here.phones, here.origins))
        after = here._replace(phones=phones)
        yield _EXCHANGE.id, here.word.ipa, after.word.ipa
        here = after
    for change in way.changes:
        for rule_used, sound in change.chain:
            phones = tuple(sound if o == change.origin else p for p, o in zip(here.phones, here.origins))
            after = here._replace(phones=phones)
            yield rule_used.id, here.word.ipa, after.word.ipa
            here = after


def _as_written(way: _Way, uses: tuple[Use, ...], form: Form, back: tuple[int, ...], steps: bool) -> Derivation:
    """The derivation with its targets as indexes of the sounds that were written."""
    failed = [*way.structure.failed, *[change.origin for change in way.changes if not change.chain]]
    if back is not form.origins and back != form.origins:
        uses = tuple(
            shared_use(use.process, use.rule, tuple(sorted({back[t] for t in use.targets})), use.kind) for use in uses
        )
        failed = list({back[t] for t in failed})
    left = tuple(sorted(failed)) if failed else ()
    return Derivation(uses, tuple(_steps(way)) if steps else (), left, _same(way.cost))


@lru_cache(maxsize=4096)
def _same(cost: float) -> float:
    """Equal costs as one object, as `shared_use`."""
    return cost


def _wanted(start: Form, produced: Word, links: _Linked) -> tuple[dict[int, str], Lost, Added]:
    """What the alignment asks: sound wanted for each adult sound that stays, those lost, those added."""
    phones, origins, heard = start.phones, start.origins, produced.phones
    lost, added = links.lost, links.added
    wanted = {origins[i]: heard[j] if heard[j] == phones[i] else as_meant(phones[i], heard[j]) for i, j in links.stay}
    return (
        wanted,
        frozenset([origins[i] for i in lost]) if lost else _NOTHING,
        tuple([(origins[i] if i >= 0 else -1, heard[j]) for i, j in added]) if added else (),
    )


@cache
def as_meant(target: str, produced: str) -> str:
    """The produced sound, or the target's own where they differ in allophone marks only (convention 15)."""
    if target == produced:
        return target
    base, rest = ft.bare(produced)
    kinds = ft.mark_kinds()
    if rest and all(kinds.get(mark, ("", ""))[1] == "allophone" for mark in rest):
        produced = base
    alike = {("l", "ɫ"), ("t", "ʔt")}
    return target if (target, produced) in alike or target == produced else produced


@lru_cache(maxsize=4096)
def opened_syllabics(word: Word) -> tuple[Form, tuple[int, ...]]:
    """The word with l̩ as ə l and the like, and for each sound the index of the one that was written."""
    plain = form_of(word)
    if not _syllabic(word):
        return plain, plain.origins
    phones: list[str] = []
    back: list[int] = []
    owners: list[int] = []
    for at, phone in enumerate(word.phones):
        for sound in ("ə", phone.replace(_SYLLABIC, "")) if _SYLLABIC in phone else (phone,):
            phones.append(sound)
            back.append(at)
            owners.append(plain.syllable_at(at))
    return respan(phones, list(range(len(phones))), owners, word.stress), tuple(back)


def to_align(target: Word, produced: Word) -> tuple[Word, Word]:
    """The two forms as they are aligned: syllabic consonants as ə and the consonant."""
    return _plain(target), _plain(produced)


def _plain(word: Word) -> Word:
    return opened_syllabics(word)[0].word if _syllabic(word) else word


def _syllabic(word: Word) -> bool:
    return _SYLLABIC in "".join(word.phones)


def _moves(start: Form, produced: Word, links: PairLinks) -> Iterator[tuple[Form, tuple[int, ...]]]:
    """The form with a consonant put where the child said it, for each consonant out of place, and its adult index."""
    if len(links) == len(start.phones):
        return  # nothing was added
    alike = moved(Alignment(start.phones, produced.phones, tuple(links)))
    for lost, added in (*alike, *_turned_about(links, alike)):
        if produced.phones[added] in _PUT_IN and start.phones[lost] != produced.phones[added]:
            continue
        ahead = [i for i, j in links if i is not None and j is not None and j > added]
        place = min(ahead, default=len(start.phones))
        order = [at for at in range(len(start.phones)) if at != lost]
        order.insert(sum(at < place for at in order), lost)
        phones = tuple(start.phones[at] for at in order)
        starts = syllable_starts(phones)
        if len(starts) == len(start.starts):
            yield Form(phones, starts, start.stress, tuple(start.origins[at] for at in order)), (start.origins[lost],)


def _turned_about(links: PairLinks, known: Sequence[tuple[int, int]]) -> Iterator[tuple[int, int]]:
    """Neighbours that changed places where the one lost here was said there as another sound (*desk* [dɛts]): (index
    where it is lost, index where it is added)."""
    for one, middle, other in zip(links, links[1:], links[2:]):
        if None in middle:
            continue
        for (lost, nothing), (none, added) in ((one, other), (other, one)):
            if (
                lost is not None
                and nothing is None
                and none is None
                and added is not None
                and (lost, added) not in known
            ):
                yield lost, added


def _repeats(word: Word) -> bool:
    """True if the word is one stretch twice, or has two syllables in a row of the same sounds."""
    phones, starts = word.phones, word.starts
    if len(set(phones)) == len(phones):
        return False
    half = len(phones) // 2
    if phones[:half] == phones[half:]:
        return True
    ends = (*starts[2:], len(phones))
    return any(phones[one:two] == phones[two:end] for one, two, end in zip(starts, starts[1:], ends))


def _swapped(changed: list[tuple[int, int, str]], wanted: dict[int, str]) -> dict[int, str]:
    """Two consonants that changed places with each other: adult sound -> what was said for it."""
    for number, (_, origin, phone) in enumerate(changed):
        said = wanted[origin]
        for _, far, other in changed[number + 1 :]:
            if said == other and wanted[far] == phone and not is_nucleus(phone) and not is_nucleus(other):
                return {origin: other, far: phone}
    return {}


def explain_accepted(
    explainer: Explainer, target: Word, produced: Word, accents: Accents, gloss: str = ""
) -> tuple[Explanation, AcceptedForm | None]:
    """One pair, explained from the accepted adult form that was said or is nearest to it, as a sample is; and what was
    accepted, None where the adult form itself is nearest.

    `accents`: those that count as right; `Accents(())` has what is right in every child. `gloss`: the word as spelled.
    """
    nearest = accents.accepted(target, produced, explainer.tag, gloss)
    return explainer.explain(nearest.word, produced), accepted_form(gloss or target.ipa, nearest)
