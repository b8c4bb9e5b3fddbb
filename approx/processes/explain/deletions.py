"""Ways to lose and add sounds, found once for every adult form and every set of sounds lost and added.

Most productions of a word lose the same few sounds. What stands for the sounds that stay matters to structure only where
two sounds may have become one (coalescence, vocalization); so the answer is kept by that alone.

Sounds lost and added on the way from an adult form to what was said: structure before single sounds.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache
from typing import NamedTuple

from approx.ipa.features import is_nucleus
from approx.processes.engine.apply import apply_at, carry_out_syllables, fits_beside, syllable_slots
from approx.processes.engine.form import Form, respan
from approx.processes.engine.search import Step, search
from approx.processes.explain.derivation import Use, shared_use
from approx.processes.explain.sound_changes import Chains, SoundChain, SoundChanges, SoundPlace
from approx.processes.rules.rule import Rule, unwritten_rule

UNEXPLAINED = "unexplained"
COST_UNEXPLAINED = 5.0
_OTHER = unwritten_rule("epenthesis.other")
_KEPT = 8192
Offer = tuple[Rule, int, int, Form]


class StructureRules:
    """The rules that take sounds or syllables away and those that put sounds in."""

    def __init__(self, rules: Sequence[Rule], tag: str) -> None:
        self.tag = tag
        plain = [r for r in rules if r.change.focus and not r.change.of_syllables and not r.change.far]
        self.losing = [r for r in plain if r.shortens]
        self.whole = [r for r in rules if r.change.of_syllables and r.process != "reduplication"]
        self.adding = [r for r in rules if not r.change.focus]
        self._losing: dict[str, list[tuple[Rule, int]]] = {}
        self._losing_at: dict[tuple[str, str, str], list[tuple[Rule, int]]] = {}
        self._offers: dict[tuple[Form, int], list[Offer]] = {}
        self._syllables: dict[tuple[tuple[int, ...], tuple[bool, ...]], list[tuple[Rule, int, int]]] = {}

    def offers(self, form: Form, at: int) -> list[Offer]:
        """Every use of a rule that may take away the sound at a place: (rule, first sound, last excluded, form after)."""
        found = self._offers.get((form, at))
        if found is None:
            if len(self._offers) > _KEPT:
                self._offers.clear()
            found = self._offers[form, at] = list(self._find(form, at))
        return found

    def _find(self, form: Form, at: int) -> Iterator[Offer]:
        before = form.phones[at - 1] if at else ""
        after = form.phones[at + 1] if at + 1 < len(form.phones) else ""
        for rule, spot in self._beside(before, form.phones[at], after):
            low = at - spot
            made = apply_at(rule.change, form, low, self.tag) if low >= 0 else None
            if made is not None:
                yield rule, low, low + len(rule.change.focus), made
        bounds = (*form.starts, len(form.phones))
        for rule, first, end in self._slots(form):
            if bounds[first] <= at < bounds[end]:
                made = carry_out_syllables(rule.change, form, first)
                if made is not None:
                    yield rule, bounds[first], bounds[end], made

    def _beside(self, before: str, phone: str, after: str) -> list[tuple[Rule, int]]:
        """Rules that may take a sound away between two others, each with the place in its focus where it would stand."""
        key = before, phone, after
        found = self._losing_at.get(key)
        if found is None:
            found = self._losing_at[key] = [
                (rule, spot)
                for rule, spot in self._of_sound(phone)
                if fits_beside(rule.change, spot, before, -1) and fits_beside(rule.change, spot, after, 1)
            ]
        return found

    def _of_sound(self, phone: str) -> list[tuple[Rule, int]]:
        """Rules that may take a sound away, each with the place in its focus where it would stand."""
        found = self._losing.get(phone)
        if found is None:
            spots = [(rule, spot) for rule in self.losing for spot in reversed(range(len(rule.change.focus)))]
            found = self._losing[phone] = [each for each in spots if each[0].change.focus[each[1]].fits(phone)]
        return found

    def _slots(self, form: Form) -> list[tuple[Rule, int, int]]:
        """Rules of whole syllables with the first syllable they take and the one after the last: sounds are no matter."""
        key = form.stress, tuple([is_nucleus(form.phones[start]) for start in form.starts])
        found = self._syllables.get(key)
        if found is None:
            sizes = [(rule, sum(item.kind == "syllable" for item in rule.change.focus)) for rule in self.whole]
            found = [(r, first, first + size) for r, size in sizes for first in syllable_slots(r.change, form)]
            self._syllables[key] = found
        return found


class DeletionState:
    """A form on its way, with adult sounds still to lose and sounds still to add (after which adult sound, which)."""

    __slots__ = ("added", "form", "key", "lost", "rest")

    def __init__(self, form: Form, lost: frozenset[int], added: tuple[tuple[int, str], ...]) -> None:
        self.form, self.lost, self.added = form, lost, added
        self.rest = 0.06 * (len(lost) + len(added))
        self.key = (form.phones, form.origins, lost, added)


class DeletionsAndAdditions:
    """Moves that lose and add the sounds which the alignment says were lost and added."""

    def __init__(self, rules: StructureRules, wanted: Mapping[int, str]) -> None:
        """`wanted`: the sound that is to stand for each adult sound that stays."""
        self.e, self.wanted = rules, wanted

    def moves(self, state: DeletionState) -> Iterator[tuple[float, tuple[Step, ...], DeletionState]]:
        """Next steps: (cost, what is done, state)."""
        if state.lost:
            yield from self.deletions(state)
        elif state.added:
            yield from self.additions(state)

    def deletions(self, state: DeletionState) -> Iterator[tuple[float, tuple[Step, ...], DeletionState]]:
        """Rules that take away the first sound still to be lost, and no sound that stays."""
        form, first = state.form, min(state.lost)
        at = form.origins.index(first)
        any_found = False
        for rule, low, high, after in self.e.offers(form, at):
            touched = frozenset(form.origins[low:high])
            gone = touched - frozenset(after.origins)
            if rule.process == "coalescence":
                kept = [origin for origin in touched if origin in self.wanted]
                sound = after.phones[low]
                if not kept or self.wanted[kept[0]] != sound:
                    continue
                after = after._replace(  # noqa: PLW2901 - the form, with where its new sound came from
                    origins=tuple(kept[0] if at_ == low else o for at_, o in enumerate(after.origins))
                )
                gone = touched - {kept[0]}
            elif rule.process == "vocalization":
                kept = [origin for origin in touched if origin in self.wanted]
                if len(kept) != 1 or self.wanted[kept[0]] != after.phones[low]:
                    continue
                after = after._replace(  # noqa: PLW2901 - the form, with where its new sound came from
                    origins=tuple(kept[0] if at_ == low else o for at_, o in enumerate(after.origins))
                )
                gone = touched - {kept[0]}
            if first not in gone or not gone <= state.lost:
                continue
            any_found = True
            step = Step(
                rule.id,
                rule.process,
                form,
                after,
                rule.cost,
                tuple(sorted(gone if rule.process != "coalescence" else touched)),
                None,
            )
            yield rule.cost, (step,), DeletionState(after, state.lost - gone, state.added)
        if not any_found:
            after = _without(form, at)
            step = Step(UNEXPLAINED, UNEXPLAINED, form, after, COST_UNEXPLAINED, (first,), None)
            yield COST_UNEXPLAINED, (step,), DeletionState(after, state.lost - {first}, state.added)

    def additions(self, state: DeletionState) -> Iterator[tuple[float, tuple[Step, ...], DeletionState]]:
        """The first added sound, or several at once, by a rule that puts them in there; else as a sound of its own."""
        form, (after_origin, sound) = state.form, state.added[0]
        place = form.origins.index(after_origin) + 1 if after_origin in form.origins else 0
        while place < len(form.origins) and form.origins[place] < 0:
            place += 1
        run = tuple([said for origin, said in state.added if origin == after_origin])
        fitting: list[tuple[int, float, Rule | None, Form]] = [(-1, _OTHER.cost, None, form)]
        for rule in self.e.adding:
            size, first = len(rule.change.result), rule.change.result[0].text
            if size > len(run) or size == 1 and first != sound and (first != "ə" or not is_nucleus(sound)):
                continue
            made = apply_at(rule.change, form, place, self.e.tag)
            if made is not None and (size == 1 or made.phones[place : place + size] == run[:size]):
                fitting.append((-size, rule.cost, rule, made))
        # as many sounds as one rule puts in, then the cheapest; a rule of one sound before none at all
        size, cost, best, cut = min(fitting, key=lambda each: (each[0], each[2] is None, each[1]))
        together = -size
        after = Form(
            (*form.phones[:place], *run[:together], *form.phones[place:]),
            cut.starts,
            cut.stress,
            (*form.origins[:place], *([-1] * together), *form.origins[place:]),
        )
        used = best or _OTHER
        step = Step(used.id, used.process, form, after, cost, _flanking(form, place, after_origin), None)
        yield cost, (step,), DeletionState(after, state.lost, state.added[together:])


def _flanking(form: Form, place: int, after_origin: int) -> tuple[int, ...]:
    """The adult sounds beside an added one (convention 13): its neighbours, or the nearest that are left where those were
    added too; where none is left, the one it follows."""
    beside = tuple(origin for origin in (after_origin, *form.origins[place : place + 1]) if origin >= 0)
    if beside:
        return beside
    before = [origin for origin in form.origins[:place] if origin >= 0][-1:]
    after = [origin for origin in form.origins[place:] if origin >= 0][:1]
    return (*before, *after) or (max(after_origin, 0),)


def _without(form: Form, at: int) -> Form:
    phones, origins = list(form.phones), list(form.origins)
    owners = [2 * form.syllable_at(place) for place in range(len(phones))]
    del phones[at], origins[at], owners[at]
    stress = tuple(degree for value in form.stress for degree in (value, 0))
    return respan(phones, origins, owners, stress) if phones else Form((), (), (), ())


READING_SPREAD = 0.45
"""Readings this much dearer than the best are still kept as other good readings."""
_MOST, _EXPANSIONS = 3, 200
_MANY = 24
"""Sounds lost and added beyond which their order is not searched: each step then takes the cheapest rule."""
_KEPT_FORMS = 32
"""Adult forms whose structures are kept."""
Lost = frozenset[int]
Added = tuple[tuple[int, str], ...]


class SoundWay(NamedTuple):
    """One way from an adult sound that stays to the one said for it: cost, adult sound, the rules with the sound after each
    (none where no rule leads there), their uses, and the names of their processes."""

    cost: float
    origin: int
    chain: SoundChain
    uses: tuple[Use, ...]
    names: tuple[str, ...]


class WaysAt(dict[str, tuple[SoundWay, ...]]):
    """The ways from the sound at a place to each sound said for it, cheapest first; looked for as they are asked for."""

    def __init__(self, sounds: SoundChanges, place: SoundPlace, origin: int) -> None:
        super().__init__()
        self._sounds, self._place, self._origin = sounds, place, origin

    def __missing__(self, said: str) -> tuple[SoundWay, ...]:
        origin, found = self._origin, list[SoundWay]()
        for cost, chain in self._sounds.chains(self._place, said) or _NONE:
            uses = tuple([shared_use(rule.process, rule.id, (origin,), rule.kind) for rule, _ in chain])
            found.append(SoundWay(cost, origin, chain, uses, tuple([use.process for use in uses])))
        self[said] = ways = tuple(found)
        return ways


_NONE: Chains = ((COST_UNEXPLAINED, ()),)


class Structure:
    """One way to lose and add what was lost and added: the form after it, and which adult sound stands where.

    `slots`: (place in the form, adult sound, the sound). `ways_at`: ways from the sound at a place, filled as they are asked
    for.
    """

    __slots__ = ("cost", "failed", "form", "slots", "steps", "uses", "ways_at")

    def __init__(self, form: Form, cost: float, steps: Sequence[Step], adult: Form) -> None:
        self.form, self.cost, self.steps = form, cost, tuple(steps)
        self.slots = [(at, origin, form.phones[at]) for at, origin in enumerate(form.origins) if origin >= 0]
        self.ways_at: dict[int, WaysAt] = {}
        named = [shared_use(step.process, step.rule, step.targets) for step in steps if step.process != UNEXPLAINED]
        self.uses = tuple(_with_syllables(_joined(named, adult), form, adult))
        self.failed = [t for step in steps if step.process == UNEXPLAINED for t in step.targets]


_OfForm = dict[tuple[Lost, Added, tuple[tuple[int, str], ...]], tuple[Structure, ...]]
"""What is known of one adult form: by what is lost and added, and what stands beside what is lost."""


class Structures:
    """The ways of losing and adding, for many pairs of one language."""

    def __init__(self, rules: Sequence[Rule], tag: str) -> None:
        self.rules = StructureRules(rules, tag)
        joining = [r for r in self.rules.losing if r.process in ("coalescence", "vocalization")]
        self._reach = max((len(rule.change.focus) for rule in joining), default=1) - 1
        results = [rule.change.result for rule in joining]
        plain = all(item.kind == "sound" and not item.name for result in results for item in result)
        # None: a result is not written out, so that any sound might come of it
        self._becomes = frozenset(item.text for result in results for item in result) if plain else None
        self._known: dict[Form, _OfForm] = {}
        self._start: Form | None = None
        self._of_start: _OfForm = {}

    def ways(self, start: Form, lost: Lost, added: Added, wanted: Mapping[int, str]) -> tuple[Structure, ...]:
        """Up to three ways, cheapest first."""
        if start is not self._start:
            if start not in self._known and len(self._known) >= _KEPT_FORMS:
                self._known.clear()
            self._start, self._of_start = start, self._known.setdefault(start, {})
        key = lost, added, self._near(lost, wanted) if lost else ()
        found = self._of_start.get(key)
        if found is None:
            found = self._of_start[key] = self.search(start, lost, added, wanted)
        return found

    def search(self, start: Form, lost: Lost, added: Added, wanted: Mapping[int, str]) -> tuple[Structure, ...]:
        """Up to three ways, cheapest first, looked for anew."""
        if not lost and not added:
            return (Structure(start, 0.0, (), start),)
        walk = DeletionsAndAdditions(self.rules, wanted)
        if len(lost) + len(added) > _MANY:
            return (_nearest(walk, start, lost, added),)
        found = search(DeletionState(start, lost, added), walk.moves, _MOST, _EXPANSIONS, READING_SPREAD)
        if not found:
            return (_nearest(walk, start, lost, added),)
        return tuple(Structure(each.state.form, each.cost, each.steps, start) for each in found)

    def _near(self, lost: Lost, wanted: Mapping[int, str]) -> tuple[tuple[int, str], ...]:
        """Sounds said beside what was lost that two sounds can have become."""
        said = [(at, wanted[at]) for at in _around(lost, self._reach) if at in wanted]
        return tuple([each for each in said if self._becomes is None or each[1] in self._becomes])


@lru_cache(maxsize=4096)
def _around(lost: Lost, reach: int) -> tuple[int, ...]:
    """The places so near to what is lost, in order."""
    return tuple(sorted({at + step for at in lost for step in range(-reach, reach + 1)} - lost))


def _nearest(walk: DeletionsAndAdditions, start: Form, lost: Lost, added: Added) -> Structure:
    """One way for a form with more lost and added than a search can weigh: the cheapest move each time."""
    state, cost, steps = DeletionState(start, lost, added), 0.0, list[Step]()
    while state.lost or state.added:
        move, made, state = min(walk.moves(state), key=lambda each: each[0])
        cost += move
        steps += made
    return Structure(state.form, round(cost, 4), steps, start)


def _joined(uses: list[Use], adult: Form) -> list[Use]:
    """Cluster reductions of one cluster are one use, naming all members lost."""
    out: list[Use] = []
    for use in uses:
        before = out[-1] if out else None
        same = before is not None and before.process == use.process == "cluster reduction"
        if before is not None and same and _one_run(adult, (*before.targets, *use.targets)):
            out[-1] = shared_use(use.process, before.rule, tuple(sorted({*before.targets, *use.targets})))
        else:
            out.append(use)
    return out


def _with_syllables(uses: list[Use], form: Form, adult: Form) -> list[Use]:
    """Consonants of which none is left beside a syllable left off go with it (*pencil* [pɛ]): a cluster is reduced while at
    least one member stays (convention 2)."""
    syllables = [at for at, use in enumerate(uses) if use.process == "weak syllable deletion"]
    if not syllables or len(uses) == 1:
        return uses
    out, stay = list(uses), set(form.origins)
    for at, use in enumerate(uses):
        if use.process in _CONSONANTS_LOST and not stay & (run := _consonants_around(adult, use.targets)):
            beside = {place for each in run for place in (each - 1, each, each + 1)}
            whole = next((number for number in syllables if beside & set(out[number].targets)), None)
            if whole is not None:
                out[whole] = out[whole]._replace(targets=tuple(sorted({*out[whole].targets, *use.targets})))
                out[at] = use._replace(targets=())
    return [use for use in out if use.targets]


_CONSONANTS_LOST = ("cluster reduction", "final consonant deletion")


def _consonants_around(adult: Form, targets: tuple[int, ...]) -> set[int]:
    """All consonants between two vowels of the adult form, or beyond the last, among which some stand."""
    low, high = (adult.origins.index(pick(targets)) for pick in (min, max))
    while low and not is_nucleus(adult.phones[low - 1]):
        low -= 1
    while high + 1 < len(adult.phones) and not is_nucleus(adult.phones[high + 1]):
        high += 1
    return set(adult.origins[low : high + 1])


def _one_run(adult: Form, targets: tuple[int, ...]) -> bool:
    low, high = min(targets), max(targets)
    return not any(is_nucleus(phone) for phone, origin in zip(adult.phones, adult.origins) if low <= origin <= high)
