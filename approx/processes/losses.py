"""Sounds lost and added on the way from an adult form to what was said: structure before single sounds."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from approx.ipa.features import is_nucleus
from approx.processes.apply import apply_at, carry_out_syllables, fits_beside, syllable_slots
from approx.processes.form import Form, respan
from approx.processes.rule import Rule
from approx.processes.search import Step

UNEXPLAINED = "unexplained"
COST_UNEXPLAINED = 5.0
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
            spots = [(rule, spot) for rule in self.losing for spot in reversed(range(len(rule.change.focus)))]
            found = self._losing_at[key] = [
                (rule, spot)
                for rule, spot in spots
                if rule.change.focus[spot].fits(phone)
                and fits_beside(rule.change, spot, before, -1)
                and fits_beside(rule.change, spot, after, 1)
            ]
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


class LossState:
    """A form on its way, with adult sounds still to lose and sounds still to add (after which adult sound, which)."""

    __slots__ = ("added", "form", "key", "lost", "rest")

    def __init__(self, form: Form, lost: frozenset[int], added: tuple[tuple[int, str], ...]) -> None:
        self.form, self.lost, self.added = form, lost, added
        self.rest = 0.06 * (len(lost) + len(added))
        self.key = (form.phones, form.origins, lost, added)


class LossesAndAdditions:
    """Moves that lose and add the sounds which the alignment says were lost and added."""

    def __init__(self, rules: StructureRules, wanted: Mapping[int, str]) -> None:
        """`wanted`: the sound that is to stand for each adult sound that stays."""
        self.e, self.wanted = rules, wanted

    def moves(self, state: LossState) -> Iterator[tuple[float, tuple[Step, ...], LossState]]:
        if state.lost:
            yield from self.losses(state)
        elif state.added:
            yield from self.additions(state)

    def losses(self, state: LossState) -> Iterator[tuple[float, tuple[Step, ...], LossState]]:
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
                after = after._replace(
                    origins=tuple(kept[0] if at_ == low else o for at_, o in enumerate(after.origins))
                )
                gone = touched - {kept[0]}
            elif rule.process == "vocalization":
                kept = [origin for origin in touched if origin in self.wanted]
                if len(kept) != 1 or self.wanted[kept[0]] != after.phones[low]:
                    continue
                after = after._replace(
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
            yield rule.cost, (step,), LossState(after, state.lost - gone, state.added)
        if not any_found:
            after = _without(form, at)
            step = Step(UNEXPLAINED, UNEXPLAINED, form, after, COST_UNEXPLAINED, (first,), None)
            yield COST_UNEXPLAINED, (step,), LossState(after, state.lost - {first}, state.added)

    def additions(self, state: LossState) -> Iterator[tuple[float, tuple[Step, ...], LossState]]:
        """The first added sound, or several at once, by a rule that puts them in there; else as a sound of its own."""
        form, (after_origin, sound) = state.form, state.added[0]
        place = form.origins.index(after_origin) + 1 if after_origin in form.origins else 0
        while place < len(form.origins) and form.origins[place] < 0:
            place += 1
        run = tuple([said for origin, said in state.added if origin == after_origin])
        made = [(r, apply_at(r.change, form, place, self.e.tag)) for r in self.e.adding]
        fitting: list[tuple[int, float, Rule | None, Form]] = [(-1, 1.2, None, form)]
        for rule, form_after in made:
            size, first = len(rule.change.result), rule.change.result[0].text
            if form_after is None:
                continue
            alone = size == 1 and (first == sound or is_nucleus(sound) and first == "ə")
            if alone or size > 1 and form_after.phones[place : place + size] == run[:size]:
                fitting.append((-size, rule.cost, rule, form_after))
        # as many sounds as one rule puts in, then the cheapest; a rule of one sound before none at all
        size, cost, best, cut = min(fitting, key=lambda each: (each[0], each[2] is None, each[1]))
        together = -size
        after = Form(
            (*form.phones[:place], *run[:together], *form.phones[place:]),
            cut.starts,
            cut.stress,
            (*form.origins[:place], *([-1] * together), *form.origins[place:]),
        )
        beside = (after_origin, *form.origins[place : place + 1])
        name, process = (best.id, best.process) if best else ("epenthesis.other", "epenthesis")
        step = Step(name, process, form, after, cost, tuple(origin for origin in beside if origin >= 0), None)
        yield cost, (step,), LossState(after, state.lost, state.added[together:])


def _without(form: Form, at: int) -> Form:
    phones, origins = list(form.phones), list(form.origins)
    owners = [2 * form.syllable_at(place) for place in range(len(phones))]
    del phones[at], origins[at], owners[at]
    stress = tuple(degree for value in form.stress for degree in (value, 0))
    return respan(phones, origins, owners, stress) if phones else Form((), (), (), ())
