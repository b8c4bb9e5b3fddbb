"""The likely forms of one adult word: structure first, then each sound that is left, with the chances multiplied."""

from __future__ import annotations

import heapq
from collections.abc import Iterator
from math import exp, log, prod
from typing import NamedTuple

from approx.ipa.features import is_nucleus
from approx.ipa.language import language
from approx.ipa.syllables import syllable_starts
from approx.ipa.word import Word
from approx.processes.engine.form import Form
from approx.processes.engine.pooling import settings
from approx.processes.explain.explain import opened_syllabics
from approx.processes.predict.rates import VOWEL_CHANGE, Model
from approx.processes.predict.sites import OTHER, Sites, SiteState, SoundOption, sound_context, sound_place

OutcomeSlot = list[tuple[float, str, tuple[str, ...]]]
"""Sounds that may come out in one place, likeliest first: chance, sound, processes of the likeliest way to it."""


class Likely(NamedTuple):
    """How likely a form is; the chance of the likeliest way to it, and that way's processes in order."""

    p: float
    way: float
    processes: tuple[str, ...]

    def plus(self, chance: float, way: float, processes: tuple[str, ...]) -> Likely:
        """With other ways to the same form, the likeliest of them as likely as `way`."""
        better = way > self.way
        return Likely(self.p + chance, way if better else self.way, processes if better else self.processes)


UNSURE = frozenset({"coalescence", "reduplication", "diminutization", "epenthesis"})
"""Processes whose outcomes often go by other names."""
_NEVER = Likely(0.0, 0.0, ())


class ChildForms:
    """One child's rates and the rules of one language, ready for many words."""

    def __init__(self, model: Model, sites: Sites, heard: int) -> None:
        """`heard`: how many words the rates are of."""
        self.model, self.sites, self.heard = model, sites, heard
        self.lang = language(sites.tag)
        self.bounds = settings()["bounds"]
        self._shares: dict[tuple[str, str, tuple[SoundOption, ...]], list[float]] = {}

    def named(self, target: Word, most: int) -> list[tuple[str, Likely]]:
        """Up to `most` forms, likeliest first, each with the processes that `explain` finds in it.

        Of one change that is seen to as it is made; of several it is asked of the whole word.
        """
        found = self.likely(target) if target.phones else {}
        out: list[tuple[str, Likely]] = []
        rest = 1.0
        ranked = sorted(found.items(), key=lambda pair: (-round(pair[1].p, 12), pair[0]))
        for (ipa, each), (_, after) in zip(ranked, [*ranked[1:], ("", _NEVER)]):
            if len(out) == most:
                break
            told = each.p * rest if out else self._calibrated(each.p, after.p, len(target.phones))
            asked = told >= self.bounds["checked"] and self._doubtful(each.processes)
            processes = self.sites.told_as(target, ipa, each.processes) if asked else each.processes
            out.append((ipa, each._replace(p=told, processes=processes)))
            if len(out) == 1:  # those after it share what it leaves
                rest = (1 - told) / (1 - each.p) if each.p < 1 else 0.0
        return out

    def _calibrated(self, p: float, after: float, length: int) -> float:
        """The probability of the likeliest form, above that of the one `after` it once that has its share of the rest."""
        p = min(p, 1.0)
        return max(calibrated(p, length, self.heard), after / (1 - p + after) if after else 0.0)

    def _doubtful(self, processes: tuple[str, ...]) -> bool:
        """True where the whole word decides what the changes are called."""
        return len(processes) > 1 or bool(UNSURE.intersection(processes))

    def likely(self, target: Word) -> dict[str, Likely]:
        """Forms in IPA with their chances; what is missing to 1 lies in rarer forms and changes never seen."""
        adult = opened_syllabics(target)[0]
        out: dict[str, Likely] = {}
        known: dict[tuple[object, ...], OutcomeSlot] = {}
        for form, (chance, way, before) in self.structures(adult).items():
            origins = list(dict.fromkeys(origin for origin in form.origins if origin >= 0))
            slots = [self._slot_of(form, form.origins.index(origin), adult, known) for origin in origins]
            for share, picks in _best(slots, self.bounds["form"] / chance, self.bounds["kept"]):
                said = {origin: slot[pick][1] for origin, slot, pick in zip(origins, slots, picks)}
                processes = [name for slot, pick in zip(slots, picks) for name in slot[pick][2]]
                if processes and (_doubled(form, said) or len(processes) > 1 and _exchanged(form, said)):
                    continue
                ipa = self.spoken(form, said).ipa
                out[ipa] = out.get(ipa, _NEVER).plus(chance * share, way * share, (*before, *processes))
        return out

    def structures(self, adult: Form) -> dict[Form, Likely]:
        """Ways the structure may come out, with their chances."""
        out: dict[Form, Likely] = {}
        todo: list[tuple[float, SiteState, tuple[str, ...]]] = [(1.0, SiteState(adult), ())]
        while todo:
            chance, state, names = todo.pop()
            state, site = self.sites.upcoming(state)
            if site is None:
                out[state.form] = out.get(state.form, _NEVER).plus(chance, chance, names)
                continue
            happens = self.model.chance(site.place)
            rules = [(option.rule, option.cost) for option in site.options]
            shares = self.model.shares(site.place.process, site.place.kind, rules)
            least = self.bounds["structure"]
            if chance * (1 - happens) >= least:
                todo.append((chance * (1 - happens), self.sites.decided(state, site, None), names))
            todo += [
                (chance * happens * share, self.sites.decided(state, site, option), (*names, site.process))
                for share, option in zip(shares, site.options)
                if chance * happens * share >= least
            ]
        return out

    def _slot_of(self, form: Form, at: int, adult: Form, known: dict[tuple[object, ...], OutcomeSlot]) -> OutcomeSlot:
        """The slot of a sound, found once for all structures of a word that leave its context as they are."""
        left_off = () if is_nucleus(form.phones[at]) else tuple(o for o in adult.origins if o not in form.origins)
        key = (form.origins[at], form.phones[at], *sound_context(form, at), left_off)
        found = known.get(key)
        if found is None:
            found = known[key] = self.slot(form, at, adult)
        return found

    def slot(self, form: Form, at: int, adult: Form) -> OutcomeSlot:
        """What one sound may come out as; chances that lead to changes never seen are left out."""
        start, origin = form.phones[at], form.origins[at]
        if start != adult.phones[adult.origins.index(origin)]:
            return [(1.0, start, ())]  # two sounds came out as this one
        here = sound_place("", form, at, adult)
        spread = {start: Likely(1.0, 1.0, ())}
        least = self.bounds["form"]  # a sound less likely than a form may be is in no form
        asking = set(self.sites.asked_of(start))
        for number, (process, _) in enumerate(self.sites.sounds):
            if number not in asking or process == VOWEL_CHANGE:
                continue
            moved: list[tuple[str, float, float, tuple[str, ...]]] = []
            for phone, (chance, way, names) in list(spread.items()):
                if chance < self.bounds["sound"] or number not in self.sites.asked_of(phone):
                    continue
                options = self.sites.sound_options(number, form, at, phone, adult)
                if not options:
                    continue
                happens = self.model.chance(self.sites.rated(process, here, options, form, at, adult))
                spread[phone] = Likely(chance * (1 - happens), way * (1 - happens), names)
                shares = self.shares(process, start, options)
                moved += [
                    (option.sound, chance * happens * share, way * happens * share, (*names, process))
                    for share, option in zip(shares, options)
                    if chance * happens * share >= least
                ]
            for sound, chance, way, names in moved:
                spread[sound] = spread.get(sound, _NEVER).plus(chance, way, names)
                if spread[sound].p >= self.bounds["sound"]:
                    asking.update(self.sites.asked_of(sound))
        last: dict[str, Likely] = {}
        for phone, (chance, way, names) in spread.items():
            process = VOWEL_CHANGE if is_nucleus(phone) else OTHER
            happens = self.model.chance(here._replace(process=process))
            last[phone] = last.get(phone, _NEVER).plus(chance * (1 - happens), way * (1 - happens), names)
            if chance * happens < least:
                continue
            for sound, share in self.others(form, at, phone, adult):
                factor = happens * share
                last[sound] = last.get(sound, _NEVER).plus(chance * factor, way * factor, (*names, process))
        likely = [(each.p, sound, each.processes) for sound, each in last.items()]
        slot = [
            (p, sound, processes if names is None else names)
            for p, sound, processes in likely
            for names in [self._named(form, at, adult, sound, processes) if p >= self.bounds["named"] else None]
            if names is not None or p < self.bounds["named"]
        ]
        return sorted(slot, key=lambda each: (-each[0], each[1]))

    def _named(self, form: Form, at: int, adult: Form, said: str, processes: tuple[str, ...]) -> tuple[str, ...] | None:
        """The processes of a change as `explain` names them; None where it would name others than those foretold."""
        if not processes:
            return processes
        ways = self.sites.named(form, at, adult, said)
        if any(sorted(way) == sorted(processes) for way in ways) or not ways and processes == (OTHER,):
            return processes
        seen_so = processes[-1] in (OTHER, VOWEL_CHANGE)
        return next((way for way in ways if seen_so or set(way) < set(processes)), None)

    def shares(self, process: str, start: str, options: tuple[SoundOption, ...]) -> list[float]:
        """Probability of each outcome of a process for one sound, found once."""
        key = process, start, options
        found = self._shares.get(key)
        if found is None:
            rules = [(option.rule, option.cost) for option in options]
            found = self._shares[key] = self.model.shares(process, start, rules)
        return found

    def others(self, form: Form, at: int, phone: str, adult: Form) -> Iterator[tuple[str, float]]:
        """What a sound was said as where no rule says so, and for vowels what rules offer, with their shares."""
        seen = self.model.others_of(phone)
        pretended = settings()["other_change"]["pretended"]
        total = sum(seen.values()) + pretended
        for sound, times in seen.items():
            yield sound, times / total
        if not is_nucleus(phone):
            return
        for number, (process, _) in enumerate(self.sites.sounds):
            options = self.sites.sound_options(number, form, at, phone, adult) if process == VOWEL_CHANGE else ()
            if options:
                shares = self.shares(VOWEL_CHANGE, phone, options)
                yield from ((option.sound, pretended / total * share) for share, option in zip(shares, options))

    def spoken(self, form: Form, said: dict[int, str]) -> Word:
        """The form with the sounds said, cut as a reader of its text would cut it."""
        phones = tuple(said.get(origin, phone) for phone, origin in zip(form.phones, form.origins))
        if all(is_nucleus(a) == is_nucleus(b) for a, b in zip(phones, form.phones)):
            return form._replace(phones=phones).recut(self.lang).word
        starts = syllable_starts(phones, (), self.lang)
        degree = {at: form.stress[form.syllable_at(at)] for at, phone in enumerate(form.phones) if is_nucleus(phone)}
        ends = (*starts[1:], len(phones))
        stress = tuple(
            max((degree.get(at, 0) for at in range(a, b)), key=lambda d: (d == 1, d)) for a, b in zip(starts, ends)
        )
        return Word(phones, starts, stress)


def calibrated(p: float, length: int, heard: int) -> float:
    """The probability of a likeliest form as often as such forms were said (`rules/predict.toml`, [calibration]).

    `length`: sounds of the word; `heard`: words the rates are of.
    """
    table = settings()["calibration"]
    low, high = table["heard"]
    p = min(max(p, table["edge"]), 1 - table["edge"])
    odds = (
        table["base"]
        + table["slope"] * log(p / (1 - p))
        + table["length"] * log(max(length, 1) / table["usual_length"])
    )
    odds -= table["words"] * log(min(max(heard, low), high) / table["usual_heard"])
    return 1 / (1 + exp(-odds))


def _doubled(form: Form, said: dict[int, str]) -> bool:
    """True if two sounds of one cluster come out as the same one twice (school as *ttu*), which nobody says."""
    spoken = [said.get(origin, phone) for phone, origin in zip(form.phones, form.origins)]
    return any(
        spoken[at - 1] == spoken[at] and at not in form.starts and not is_nucleus(spoken[at])
        for at in range(1, len(spoken))
    )


def _exchanged(form: Form, said: dict[int, str]) -> bool:
    """True if two sounds, each changed by itself, come to the same as an exchange of the two, which is metathesis."""
    changed = [(phone, said[o]) for phone, o in zip(form.phones, form.origins) if o in said and said[o] != phone]
    return any((after, before) in changed for before, after in changed)


def _best(slots: list[OutcomeSlot], least: float, most: int) -> Iterator[tuple[float, tuple[int, ...]]]:
    """Choices of one sound a slot, by number, likeliest first, down to a chance of `least`."""
    if not all(slots):
        return
    first = (0,) * len(slots)
    heap = [(-prod(slot[0][0] for slot in slots), first)]
    while heap and most > 0:
        chance, picks = heapq.heappop(heap)
        if -chance < least:
            return
        most -= 1
        yield -chance, picks
        # only slots from the last one moved on are moved, so that no choice is met twice
        for number in range(next((n for n in range(len(picks) - 1, -1, -1) if picks[n]), 0), len(slots)):
            if picks[number] + 1 < len(slots[number]) and slots[number][picks[number]][0] > 0:
                after = (*picks[:number], picks[number] + 1, *picks[number + 1 :])
                ratio = slots[number][picks[number] + 1][0] / slots[number][picks[number]][0]
                heapq.heappush(heap, (chance * ratio, after))
