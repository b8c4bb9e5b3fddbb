"""Places where a child's changes can happen: what the rules offer at each, found in a form as it stands.

A site is asked once: the process happens there or not. Of structure: a word (reduplication), a weak syllable, a run of
consonants, an edge where a sound may come in. Of sounds: one adult sound that is still there.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from approx.child.demands import position_of
from approx.ipa import read
from approx.ipa.features import halves, is_nucleus
from approx.ipa.word import Word
from approx.processes.engine.apply import apply, apply_at
from approx.processes.engine.form import Form
from approx.processes.engine.pooling import RatePlace, manner_class, prevalence, settings
from approx.processes.explain.explain import Explainer
from approx.processes.rules.rule import Rule
from approx.processes.rules.ruleset import RuleSet
from approx.processes.simplify.nearness import same_to_the_ear

_KEPT = 200_000
"""Answers kept for forms already met, at most."""
OTHER = "other change"
"""Changes of one consonant that no rule names."""
TWICE = "cluster reduction"
"""The one process that is asked again at its place: a cluster of three may lose one member or two."""

DEAR = " by a rarer rule"
"""What is written after a process where only its dear rules apply: they have a rate of their own."""
DOUBLING, OPEN = "reduplication", ".open"
"""A syllable said twice often comes without its last consonants: the same rule, with this after its id."""
WHOLE_LOSSES = ("final consonant deletion", "initial consonant deletion")
"""A whole cluster is lost more seldom than one consonant, and has a rate of its own."""


class Option(NamedTuple):
    """One outcome of a process at a site of structure: the rule, its cost, the form after it, adult sounds lost."""

    rule: str
    cost: float
    after: Form
    lost: frozenset[int]


class Site(NamedTuple):
    """Where a process is asked: a key in its word, the kind of place, its sounds, and what may come of it."""

    key: str
    process: str
    place: RatePlace
    touched: frozenset[int]
    options: tuple[Option, ...]


class SoundOption(NamedTuple):
    """One outcome of a process for one sound."""

    rule: str
    cost: float
    sound: str


class _Fitting(NamedTuple):
    """Rules of one process that take one sound, each with whether it looks far; do any look far, or beside."""

    far: bool
    beside: bool
    rules: list[tuple[Rule, bool]]


@dataclass(frozen=True, slots=True)
class SiteState:
    """A form while its structure is asked: the process now (by number) and the places already decided."""

    form: Form
    stage: int = 0
    done: frozenset[str] = frozenset()


class Sites:
    """The rules of one language as questions; keeps what it found, so that one can serve many children."""

    def __init__(self, rules: RuleSet, tag: str = "en-US") -> None:
        self.rules, self.tag = rules, tag
        order, primary = settings()["order"], tag.lower().split("-")[0]
        usable = [
            rule for rule in rules.rules
            if "explain" in rule.uses and rule.language in ("", primary) and rule.process not in order["never"]
        ]  # fmt: skip
        single = [r for r in usable if len(r.change.focus) == 1 == len(r.change.result) and not r.change.of_syllables]
        ones = {rule.id for rule in single}
        self.structure = [
            (name, [r for r in usable if r.process == name and r.id not in ones]) for name in order["structure"]
        ]
        self._earlier = [
            number for number, (name, found) in enumerate(self.structure)
            if name in ("final consonant deletion", "vowel change") and any(rule.language for rule in found)
        ]  # fmt: skip
        self._by_id = {rule.id: rule for rule in single}
        names = [*order["sounds"], *(rule.process for rule in single)]
        self.sounds = [(name, [r for r in single if r.process == name]) for name in dict.fromkeys(names)]
        dear = sorted(usable, key=lambda rule: -rule.cost)
        self.costs = {rule.process: rule.cost for rule in dear}
        apart = settings()["prevalence"]["dear"]
        self.costs |= {rule.process + DEAR: rule.cost for rule in dear if rule.cost > self.costs[rule.process] + apart}
        named = {name: 1.0 for table in settings()["prevalence"].values() if isinstance(table, dict) for name in table}
        self.prevalences = {name: prevalence(name, cost, tag) for name, cost in (named | self.costs).items()}
        self._sites: dict[tuple[int, Form], tuple[Site, ...]] = {}
        self._sounds: dict[tuple[object, ...], tuple[SoundOption, ...]] = {}
        self._fitting: dict[str, dict[int, _Fitting]] = {}
        self._explainer = Explainer(rules, tag)

    def upcoming(self, state: SiteState) -> tuple[SiteState, Site | None]:
        """The next place to be decided, and the state with its process; None when structure is settled."""
        while state.stage < len(self.structure):
            for site in self.sites(state.stage, state.form):
                if site.key not in state.done:
                    return state, site
                again = "again " + site.key
                if site.process == TWICE and "lost " + site.key in state.done and again not in state.done:
                    return state, site._replace(key=again, place=site.place._replace(kind="again " + site.place.kind))
            state = SiteState(state.form, state.stage + 1)
        return state, None

    @staticmethod
    def decided(state: SiteState, site: Site, option: Option | None) -> SiteState:
        """The state after the process did not happen there (None) or came out as an option."""
        if option is None:
            return SiteState(state.form, state.stage, state.done | {site.key})
        return SiteState(option.after, state.stage, state.done | {site.key, "lost " + site.key})

    def sites(self, stage: int, form: Form) -> tuple[Site, ...]:
        """Every place of one process of structure, left to right."""
        found = self._sites.get((stage, form))
        if found is None:
            if len(self._sites) > _KEPT:
                self._sites.clear()
            found = self._sites[stage, form] = tuple(self._find(stage, form))
        return found

    def _find(self, stage: int, form: Form) -> list[Site]:
        process, rules = self.structure[stage]
        taken = self._lost_before(stage, form)
        offers: dict[str, dict[tuple[str, ...], Option]] = {}
        labels: dict[str, tuple[RatePlace, frozenset[int]]] = {}
        for rule in rules:
            for low, high, after in apply(rule.change, form, self.tag):
                lost = frozenset(form.origins) - frozenset(after.origins)
                if lost in taken or process == "vocalization" and any(low < start < high for start in form.starts):
                    continue  # the l of balloon is no part of the vowel before it
                key, label = _place(process, rule, form, low, high, lost)
                labels.setdefault(key, label)
                others = offers.setdefault(key, {})
                before = others.get(after.phones)
                if before is None or rule.cost < before.cost:
                    others[after.phones] = Option(rule.id, rule.cost, after, lost)
        if process == DOUBLING:
            for option in [*offers.get("word", {}).values()]:
                opened_up = _open(option)
                offers["word"].setdefault(opened_up.after.phones, opened_up)
        return [Site(key, process, *labels[key], tuple(offers[key].values())) for key in sorted(offers)]

    def _lost_before(self, stage: int, form: Form) -> set[frozenset[int]]:
        """Sounds whose loss from a cluster goes by the name of an earlier process: a glide of a Spanish diphthong, a last
        consonant of a syllable."""
        if self.structure[stage][0] != TWICE:
            return set()
        return {option.lost for n in self._earlier for site in self.sites(n, form) for option in site.options}

    def told_as(self, target: Word, ipa: str, processes: Sequence[str]) -> tuple[str, ...]:
        """The processes of a form that was foretold, as `explain` finds them: those it was foretold by if one of its readings
        has just these; else a reading with some of them and no others (nest said as net is cluster reduction alone,
        whichever way it was come by), or the first."""
        found, wanted = self._explainer.explain(target, read(ipa, self.tag).words[0]), set(processes)
        told = [(*each.names, *([OTHER] if each.unexplained else ())) for each in (found.best, *found.readings)]
        if any(set(names) == wanted for names in told):
            return tuple(processes)
        return next((names for names in told if names and set(names) < wanted), told[0])

    def rated(
        self, process: str, here: RatePlace, options: Iterable[SoundOption], form: Form, at: int, adult: Form
    ) -> RatePlace:
        """The place of a process, for its rate: a sound's own place, `here`; of assimilation what it is assimilated to.

        Where only a far dearer rule of a process applies, it has a rate of its own.
        """
        nearest = min(options, key=lambda option: option.cost)
        if nearest.cost > self.costs[process] + settings()["prevalence"]["dear"]:
            process += DEAR
        rule = self._by_id[nearest.rule]
        context = (
            _trigger(rule, adult, adult.origins.index(form.origins[at]), form) if rule.change.far else here.context
        )
        return here._replace(process=process, context=context)

    def asked_of(self, phone: str) -> Collection[int]:
        """Numbers of the processes of sounds that some rule could bring about in this sound."""
        return self._rules_for(phone).keys()

    def _rules_for(self, phone: str) -> dict[int, _Fitting]:
        """Process number -> the rules that take this sound."""
        found = self._fitting.get(phone)
        if found is None:
            found = self._fitting[phone] = {}
            for number, (_, rules) in enumerate(self.sounds):
                fitting = [(rule, rule.change.far) for rule in rules if rule.change.focus[0].fits(phone)]
                if fitting:
                    near = [rule.change for rule, far in fitting if not far]
                    beside = any(change.left or change.right or change.focus[0].binds for change in near)
                    found[number] = _Fitting(any(far for _, far in fitting), beside, fitting)
        return found

    def sound_options(self, process: int, form: Form, at: int, phone: str, adult: Form) -> tuple[SoundOption, ...]:
        """What one process of sounds offers for `phone` in a place; assimilation looks at the adult word."""
        rules = self._rules_for(phone).get(process)
        if rules is None:
            return ()
        here = adult.origins.index(form.origins[at])
        beside = sound_context(form, at) if rules.beside else None
        key = (process, phone, beside, (adult.phones, here) if rules.far else None)
        found = self._sounds.get(key)
        if found is None:
            if len(self._sounds) > _KEPT:
                self._sounds.clear()
            found = self._sounds[key] = self._outcomes(rules.rules, form, at, phone, adult, here)
        return found

    def named(self, form: Form, at: int, adult: Form, said: str) -> list[tuple[str, ...]]:
        """The processes that `explain` would find between a sound in its place and what was said for it: the first
        reading, then other good ones; none where no rule leads there."""
        return [tuple(rule.process for rule in way) for way in self.chains(form, at, adult, said)]

    def chains(self, form: Form, at: int, adult: Form, said: str) -> list[tuple[Rule, ...]]:
        """The rules of each way from a sound in its place to what was said for it, the first reading first."""
        changes = self._explainer.sounds
        ways = changes.chains(changes.place(form, at, adult, form.origins[at]), said)
        return [tuple(rule for rule, _ in chain) for _, chain in ways]

    def _outcomes(
        self, rules: list[tuple[Rule, bool]], form: Form, at: int, phone: str, adult: Form, here: int
    ) -> tuple[SoundOption, ...]:
        out: dict[str, SoundOption] = {}
        for rule, far in rules:
            base, place = (adult, here) if far else (form, at)
            now = base._replace(phones=(*base.phones[:place], phone, *base.phones[place + 1 :]))
            after = apply_at(rule.change, now, place, self.tag)
            if after is None or len(after.phones) != len(now.phones):
                continue
            sound = after.phones[place]
            # ʌ and ə are one vowel by stress: an ear hears no change
            if not same_to_the_ear(phone, sound) and (sound not in out or rule.cost < out[sound].cost):
                out[sound] = SoundOption(rule.id, rule.cost, sound)
        return tuple(out.values())


def _open(option: Option) -> Option:
    """A doubled syllable without what follows its vowel."""
    form = option.after
    ends = (*form.starts[1:], len(form.phones))
    kept: list[int] = []
    starts: list[int] = []
    for start, end in zip(form.starts, ends):
        vowel = next((at for at in range(start, end) if is_nucleus(form.phones[at])), end - 1)
        starts.append(len(kept))
        kept += range(start, vowel + 1)
    origins = tuple(form.origins[at] for at in kept)
    after = Form(tuple(form.phones[at] for at in kept), tuple(starts), form.stress, origins)
    return Option(option.rule + OPEN, option.cost, after, option.lost | (frozenset(form.origins) - frozenset(origins)))


def _kind(phone: str) -> str:
    """The manner of a sound; of vowels, diphthongs apart, which may lose their second half, and the weak vowel, which
    children leave alone when they change others."""
    if same_to_the_ear(phone, "ə"):
        return "weak vowel"
    first, second = halves(phone)
    return "diphthong" if first != second else manner_class(phone)


def position_in(adult: Form, origin: int) -> str:
    """initial, medial or final in the adult word; "" for a vowel."""
    nuclei = [at for at, phone in enumerate(adult.phones) if is_nucleus(phone)]
    at = adult.origins.index(origin)
    if not nuclei or at in nuclei:
        return "" if nuclei else "initial"
    return position_of(at, len(adult.phones), nuclei[0], nuclei[-1])


def sound_place(process: str, form: Form, at: int, adult: Form) -> RatePlace:
    """The kind of place of one sound: its manner, itself, and where it stands; of a vowel, whether it is stressed.

    Another consonant beside it is told apart, s before it once more, and one that the adult word has and the child left off:
    what happens there is not what happens alone.
    """
    phone, phones = form.phones[at], form.phones
    position = position_in(adult, form.origins[at])
    if is_nucleus(phone):
        weak = len(form.starts) > 1 and not form.stress[form.syllable_at(at)]
        return RatePlace(process, _kind(phone), phone, "weak" if weak else "stressed")
    before, after = phones[at - 1] if at else "", phones[at + 1] if at + 1 < len(phones) else ""
    first, last = at in form.starts, at + 1 in form.starts
    if before == "s":
        joined = after and not is_nucleus(after) and not last
        position += " after s before a consonant" if joined else " after s"
    elif last and after and not is_nucleus(after):
        position += " closing a syllable"
    elif before and not is_nucleus(before) and not first or after and not is_nucleus(after):
        position += " before a consonant" if after and not is_nucleus(after) else " after a consonant"
    elif _had_neighbour(adult, adult.origins.index(form.origins[at])):
        position += " of a cluster"
    return RatePlace(process, manner_class(phone), phone, position)


def _trigger(rule: Rule, adult: Form, at: int, form: Form) -> str:
    """What a sound is assimilated to: the manner of the nearest sound that the rule looks for, and whether it is still there."""
    side, step = (
        (rule.change.right, 1) if any(item.kind == "gap" for item in rule.change.right) else (rule.change.left, -1)
    )
    wanted = [item for item in side if item.kind not in ("gap", "cut", "edge")]
    stop = len(adult.phones) if step > 0 else -1
    found = next(
        (n for n in range(at + step, stop, step) if wanted and wanted[-1 if step > 0 else 0].fits(adult.phones[n])), -1
    )
    if found < 0:
        return ""
    kept = "" if adult.origins[found] in form.origins else " left off"
    return f"to a {manner_class(adult.phones[found])} {'after' if step > 0 else 'before'} it{kept}"


def _had_neighbour(adult: Form, at: int) -> bool:
    """True for a sound with another consonant beside it in its syllable of the adult word."""
    phones, starts = adult.phones, adult.starts
    before = at > 0 and at not in starts and not is_nucleus(phones[at - 1])
    after = at + 1 < len(phones) and at + 1 not in starts and not is_nucleus(phones[at + 1])
    return before or after


def sound_context(form: Form, at: int) -> tuple[object, ...]:
    """All that a rule of one sound can see around it: two sounds on each side, syllable cuts, edges, stress."""
    phones, starts = form.phones, form.starts
    edge, stress = min(len(phones) - at, 3), form.stress[form.syllable_at(at)]
    return phones[max(0, at - 2) : at], phones[at + 1 : at + 3], at in starts, at + 1 in starts, edge, stress


def _place(
    process: str, rule: Rule, form: Form, low: int, high: int, lost: frozenset[int]
) -> tuple[str, tuple[RatePlace, frozenset[int]]]:
    """A key for the place a change stands on, its kind and its sounds."""
    everything = frozenset(form.origins)
    if process == DOUBLING:
        label = f"{len(form.starts)} syllables"
        return "word", (RatePlace(process, label, label, ""), everything)
    if process == "weak syllable deletion":
        vowels = [o for p, o in zip(form.phones, form.origins) if o in lost and is_nucleus(p)]
        at = form.origins.index(vowels[0]) if vowels else low
        label = _weak_place(form, form.syllable_at(at))
        if label == "last":  # children who leave off the first of three often keep a last one: a rate of its own
            process += " at the end"
        elif label == "secondary stress":  # as those who leave off weak ones mostly keep a stressed one
            process += " under secondary stress"
        return f"{form.origins[at]:03}", (RatePlace(process, label, f"{label}, {len(form.starts)} syllables", ""), lost)
    left = next((at for at in range(min(low, len(form.phones) - 1), -1, -1) if is_nucleus(form.phones[at])), -1)
    if not rule.change.focus:
        around = form.origins[max(0, low - 1) : low + 1]
        before = manner_class(form.phones[low - 1]) if low else "start"
        place = RatePlace(process, rule.id, f"{rule.id} after {before}", "")
        return f"{around[0]:03} {rule.id}", (place, frozenset(around))
    right = next((at for at in range(left + 1, len(form.phones)) if is_nucleus(form.phones[at])), len(form.phones))
    run = form.phones[left + 1 : right]
    position = "initial" if left < 0 else "final" if right == len(form.phones) else "medial"
    if low == left:  # the vowel goes with its consonant: əl said as oʊ
        run = form.phones[low:high]
    if process in WHOLE_LOSSES and len(run) > 1:
        process += " of a cluster"
    elif process == "vowel change":
        process = "vowel change of a glide"
    kind, cuts = " ".join(map(_kind, run)), [start for start in form.starts if left + 1 < start < right]
    if process == TWICE and cuts:  # two consonants that no syllable has together are no cluster of one
        onset = form.phones[cuts[-1] : right]
        if len(onset) > 1:
            kind = " ".join(map(manner_class, onset))
        else:
            process += " across syllables"
    place = RatePlace(process, kind, " ".join(run), position)
    origin = form.origins[left] if left >= 0 else -1
    touched = frozenset(form.origins[left + 1 : right]) | frozenset(form.origins[low:high])
    return f"{origin + 1:03}", (place, touched)


def _weak_place(form: Form, number: int) -> str:
    main = form.stress.index(1) if 1 in form.stress else 0
    if form.stress[number]:
        return "secondary stress"
    if number < main:
        return "before the stress"
    return "last" if number == len(form.starts) - 1 else "between"
