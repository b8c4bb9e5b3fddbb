"""An explained pair gone through place by place: which processes were asked where, and which of them happened."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator

from approx.ipa.features import is_nucleus
from approx.ipa.word import UNIDENTIFIED
from approx.processes.engine.form import Form
from approx.processes.engine.pooling import Count, RatePlace, settings
from approx.processes.explain.explain import Explanation, Use, as_meant, opened_syllabics
from approx.processes.predict.rates import VOWEL_CHANGE
from approx.processes.predict.sites import OPEN, OTHER, Option, Site, Sites, SiteState, position_in, sound_place


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
