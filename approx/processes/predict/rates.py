"""Rates of a child's changes with the uncertainty of small counts: Beta distributions, shrunk toward the whole.

They are counted by going through explained pairs place by place: which processes were asked where, and which of them happened.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from math import exp

from approx.ipa.features import is_nucleus
from approx.ipa.word import UNIDENTIFIED
from approx.processes.engine.form import Form
from approx.processes.engine.pooling import Count, Pool, RatePlace, prevalence, settings
from approx.processes.explain.explain import Explanation, Use, as_meant, opened_syllabics
from approx.processes.predict.sites import OPEN, OTHER, Option, Site, Sites, SiteState, position_in, sound_place

VOWEL_CHANGE = "vowel change"
"""Asked last of every vowel, by the vowel itself: what it was said as in the sample, then what rules offer."""


@dataclass(frozen=True, slots=True)
class Rate:
    """One rule over the sample, or in one sound and position ("" for all).

    `applied` of `chances`: places in adult words where the rule's own description matches. `rate`: applied / chances
    with the prior; `spread`: standard deviation of that estimate.
    """

    rule: str
    process: str
    sound: str
    position: str
    applied: int
    chances: int
    rate: float
    spread: float


@dataclass(frozen=True, slots=True)
class Rates:
    """What a sample tells of a child's changes.

    `rules`: every rule with an opportunity, `cells`: the same by sound and position. `counts`: kind of place -> applied
    and asked; `outcomes`: (process, kind of place, rule) -> uses; `others`: (sound, said as) -> times.
    `pairs`: explained pairs, `unread` of them with a structure that the rules do not reach (sounds not counted).
    `prevalences`: process -> how likely it is in use before anything is heard.
    `attempted`: (sound, position) -> how often an adult form asked for it. `signature`: rules and settings.
    """

    rules: tuple[Rate, ...]
    cells: tuple[Rate, ...]
    counts: Mapping[RatePlace, Count]
    outcomes: Mapping[tuple[str, str, str], int]
    others: Mapping[tuple[str, str], int]
    attempted: Mapping[tuple[str, str], int]
    pairs: int
    unread: int
    signature: str
    prevalences: Mapping[str, float]
    model: Model = field(init=False, compare=False, repr=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "model", Model(self.counts, self.outcomes, self.others, self.prevalences))

    def rate(self, rule: str, sound: str = "", position: str = "") -> Rate | None:
        """One rule, over all or in one sound and position; None without an opportunity."""
        rows = self.cells if sound or position else self.rules
        return next((row for row in rows if (row.rule, row.sound, row.position) == (rule, sound, position)), None)


class Model:
    """Chance of a process at a place, and of each rule if it happens.

    The rate of a process is learned from all its places together, by the patterns in which children use one (`Pool`).
    """

    def __init__(
        self, counts: Mapping[RatePlace, Count], outcomes: Mapping[tuple[str, str, str], int],
        others: Mapping[tuple[str, str], int], prevalences: Mapping[str, float],
    ) -> None:  # fmt: skip
        self.prevalences = prevalences
        self.outcomes = dict(outcomes)
        self._others: dict[str, dict[str, int]] = {}
        for (sound, said), times in sorted(others.items()):
            self._others.setdefault(sound, {})[said] = times
        self.rule_uses: dict[str, int] = {}
        for (_, _, rule), times in outcomes.items():
            self.rule_uses[rule] = self.rule_uses.get(rule, 0) + times
        found: dict[str, dict[RatePlace, Count]] = {}
        for place, count in sorted(counts.items()):
            found.setdefault(place.process, {})[place] = count
        self._pools = {process: self._pool(process, rows) for process, rows in found.items()}
        self._known: dict[RatePlace, float] = {}

    def others_of(self, sound: str) -> dict[str, int]:
        """What a sound was said as where no rule says so, with how often."""
        return self._others.get(sound, {})

    def _pool(self, process: str, rows: Mapping[RatePlace, Count]) -> Pool:
        """The counts of one process; changes that no rule names have a prevalence and slips of their own."""
        if process == OTHER:
            table = settings()["other_change"]
            return Pool(rows, table["prevalence"], table["slip"])
        return Pool(rows, self.prevalences.get(process) or prevalence(process, 1.0, ""))

    def _pool_of(self, place: RatePlace) -> Pool:
        pool = self._pools.get(place.process)
        if pool is None:
            pool = self._pools[place.process] = self._pool(place.process, {})
        return pool

    def beta(self, place: RatePlace) -> tuple[float, float]:
        """The Beta distribution of the rate at one kind of place."""
        return self._pool_of(place).beta(place)

    def chance(self, place: RatePlace) -> float:
        """Probability that the process happens at a place."""
        found = self._known.get(place)
        if found is None:
            found = self._known[place] = self._pool_of(place).chance(place)
        return found

    def shares(self, process: str, group: str, options: Iterable[tuple[str, float]]) -> list[float]:
        """Probability of each rule, given that the process happens: from uses here, uses anywhere, and cost."""
        table = settings()["shares"]
        rows = list(options)
        cheapest = min(cost for _, cost in rows)
        likely = [exp((cheapest - cost) / table["cost_scale"]) for _, cost in rows]
        anywhere = [
            self.rule_uses.get(rule, 0) + table["pretended"] * w / sum(likely) for (rule, _), w in zip(rows, likely)
        ]
        here = [
            self.outcomes.get((process, group, rule), 0) + a / sum(anywhere) for (rule, _), a in zip(rows, anywhere)
        ]
        return [value / sum(here) for value in here]


class ReplayCounts:
    """Counts that grow pair by pair."""

    def __init__(self, sites: Sites) -> None:
        self.sites = sites
        self.asked: Counter[RatePlace] = Counter()
        self.applied: Counter[RatePlace] = Counter()
        self.outcomes: Counter[tuple[str, str, str]] = Counter()
        self.others: Counter[tuple[str, str]] = Counter()
        self.attempted: Counter[tuple[str, str]] = Counter()
        self.uses: Counter[tuple[str, str, str]] = Counter()
        self.processes: dict[str, str] = {}
        self.never = frozenset(settings()["order"]["never"])
        self.pairs = self.unread = 0

    def add(self, explained: Explanation, often: int = 1) -> None:
        """One pair, said so often. Where the structure found is not what was said, its sounds are not counted; nor are sounds in doubt."""
        adult, back = opened_syllabics(explained.target)
        uses = [_spread(use, back) for use in explained.best.uses]
        self.pairs += often
        for phone, origin in zip(adult.phones, adult.origins):
            self.attempted[phone, position_in(adult, origin)] += often
        for process, rule, origin in _rules_used(uses, [step[0] for step in explained.best.steps]):
            self.uses[rule, adult.phones[origin], position_in(adult, origin)] += often
            self.processes[rule] = process
        if not explained.produced.phones:
            self.unread += 1
            return
        heard, written = opened_syllabics(explained.produced)
        said, doubtful = heard.phones, explained.produced.doubtful
        form = self._structure(adult, uses, len(said), often)
        if len(form.phones) != len(said):
            self.unread += 1
            return
        done: set[int] = set()
        for at, (phone, origin) in enumerate(zip(form.phones, form.origins)):
            if origin >= 0 and origin not in done and phone == adult.phones[adult.origins.index(origin)]:
                done.add(origin)
                if written[at] in doubtful or said[at] in UNIDENTIFIED:
                    continue
                names = {use.process: use.rule for use in uses if origin in use.targets}
                if names.keys() & self.never:  # told as what is never foretold: counted as what each sound came to
                    ways = self.sites.chains(form, at, adult, as_meant(phone, said[at]))
                    names = {rule.process: rule.id for rule in ways[0]} if ways else {}
                self._sound(form, at, adult, said[at], names, often)

    def counts(self) -> dict[RatePlace, Count]:
        """Kind of place -> applied, asked."""
        return {key: (self.applied[key], asked) for key, asked in self.asked.items()}

    def _structure(self, adult: Form, uses: Iterable[Use], length: int, often: int) -> Form:
        """The form after what happened to its structure, so often; `length`: how many sounds were said."""
        left = {number: set(use.targets) for number, use in enumerate(uses)}
        names = dict(enumerate(uses))
        state = SiteState(adult)
        while True:
            state, site = self.sites.upcoming(state)
            if site is None:
                return state.form
            number, option = self._happened(site, names, left, length)
            self.asked[site.place] += often
            if option is not None and number is not None:
                self.applied[site.place] += often
                self.outcomes[site.place.process, site.place.kind, option.rule] += often
                left[number] -= option.lost or left[number]
            state = self.sites.decided(state, site, option)

    @staticmethod
    def _happened(
        site: Site, names: dict[int, Use], left: dict[int, set[int]], length: int
    ) -> tuple[int | None, Option | None]:
        """The use of the process that stands on the site, and the option that does what it did."""
        for number, use in names.items():
            if use.process != site.process or not left[number] & site.touched:
                continue
            named = [option for option in site.options if option.rule in (use.rule, use.rule + OPEN)]
            named.sort(key=lambda option: len(option.after.phones) != length)  # with its last consonants, or without
            if use.process in ("reduplication", "epenthesis", "diminutization"):
                return (number, named[0]) if named else (None, None)
            exact = [option for option in site.options if option.lost == left[number]]
            part = [option for option in site.options if option.lost and option.lost < left[number]]
            merged = [option for option in named if option.lost < frozenset(use.targets)]
            for fitting in (merged if use.process in ("coalescence", "vocalization") else [], exact, part):
                if fitting:
                    return number, min(fitting, key=lambda option: option.cost)
        return None, None

    def _sound(self, form: Form, at: int, adult: Form, said: str, names: dict[str, str], often: int) -> None:
        start = form.phones[at]
        wanted = as_meant(start, said)
        now = start
        here = sound_place("", form, at, adult)
        for number, (process, _) in enumerate(self.sites.sounds):
            if process == VOWEL_CHANGE:
                continue
            options = self.sites.sound_options(number, form, at, now, adult)
            if not options:
                continue
            place = self.sites.rated(process, here, options, form, at, adult)
            self.asked[place] += often
            if process in names:
                chosen = next((o for o in options if o.rule == names[process]), None)
                if chosen is None:
                    continue
                self.applied[place] += often
                self.outcomes[process, start, chosen.rule] += often
                now = chosen.sound
        if is_nucleus(now) != is_nucleus(wanted):
            return  # more than a sound for a sound
        last = here._replace(process=VOWEL_CHANGE if is_nucleus(now) else OTHER)
        self.asked[last] += often
        if now != wanted:
            self.applied[last] += often
            self.others[now, wanted] += often
            for number, (process, _) in enumerate(self.sites.sounds if last.process == VOWEL_CHANGE else ()):
                if process != VOWEL_CHANGE:
                    continue
                for option in self.sites.sound_options(number, form, at, now, adult):
                    if option.sound == wanted:  # one child says diphthongs short, another raises vowels
                        self.outcomes[VOWEL_CHANGE, now, option.rule] += often


def _spread(use: Use, back: tuple[int, ...]) -> Use:
    """The use on a form in which l̩ stands as ə l: `back` has the written sound of each."""
    if back == tuple(range(len(back))):
        return use
    return use._replace(targets=tuple(at for at, target in enumerate(back) if target in use.targets))


def _rules_used(uses: Iterable[Use], steps: list[str]) -> Iterator[tuple[str, str, int]]:
    """(process, rule, adult sound) of each use; a cluster that lost several members once a member, by its own rule."""
    lost = iter([rule for rule in steps if rule.startswith("cluster-reduction")])
    for use in uses:
        if use.process == "cluster reduction":
            for origin in use.targets:
                yield use.process, next(lost, use.rule), origin
        elif use.targets:
            yield use.process, use.rule, use.targets[0]
