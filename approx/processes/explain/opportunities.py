"""Counts of one process over a sample; they add.

Opportunities: the places in an adult form where each process could have happened (`rules/opportunities.toml`).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache, lru_cache
from itertools import pairwise
from typing import Any, Literal, get_args

from approx.datafiles import data_hash, read_toml, rules_path
from approx.ipa.features import is_nucleus
from approx.ipa.language import language as language_of
from approx.ipa.word import Word, words_of
from approx.processes.engine.apply import match_at
from approx.processes.engine.form import form_of
from approx.processes.rules.notation import ParsedRule, parse

LEAVES_OFF = ("deletion", "reduction")
"""How the names of processes end that leave sounds off."""
LostSounds = Literal["count", "drop"]
"""Whether a sound that was left off counts as an opportunity."""
WeakSyllables = Literal["all", "pretonic and medial"]
"""Which weak syllables count as opportunities for their deletion."""
ActiveBy = Literal["percent", "instances"]
"""What makes a process active: a share of its opportunities, or a number of instances."""
LostR = Literal["deletion", "vocalization"]
"""What an ɹ after a vowel is called that was left off without a trace."""
OPPORTUNITY_CHOICES: dict[str, tuple[str, ...]] = {
    "lost_sounds": get_args(LostSounds),
    "weak_syllables": get_args(WeakSyllables),
    "criterion": get_args(ActiveBy),
    "lost_r": get_args(LostR),
}
"""Values of the switches that are words."""


@dataclass(frozen=True, slots=True)
class OpportunityOptions:
    """The switches of `rules/opportunities.toml`; every one is in the signature."""

    lost_sounds: LostSounds = "count"
    weak_syllables: WeakSyllables = "all"
    least_opportunities: int = 4
    active_percent: float = 20.0
    frequent_percent: float = 40.0
    criterion: ActiveBy = "percent"
    instances: int = 5
    lost_r: LostR = "deletion"

    @property
    def signature(self) -> str:
        """The options in one line."""
        return (
            f"lost:{self.lost_sounds}|weak:{self.weak_syllables}|least:{self.least_opportunities}"
            f"|active:{self.active_percent:g}|frequent:{self.frequent_percent:g}"
            f"|criterion:{self.criterion}|instances:{self.instances}|lost-r:{self.lost_r}"
        )


@cache
def _table() -> dict[str, Any]:
    return read_toml(rules_path("opportunities.toml"))


def default_opportunity_options() -> OpportunityOptions:
    """The defaults of the data file."""
    return OpportunityOptions(**_table()["options"])


@cache
def counting_hash() -> str:
    """Which opportunities there are and what counts as right, as a hash of the files that say so."""
    return data_hash([rules_path("opportunities.toml"), *rules_path("accents").glob("*.toml")])


OpportunityKind = tuple[str, str]
"""A process, and which kind of its opportunities: "" where it has one kind."""
OpportunityPlaces = tuple[tuple[int, ...], ...]
"""Opportunities, each as the sounds it stands on."""


@cache
def _places() -> dict[OpportunityKind, tuple[str, tuple[ParsedRule, ...]]]:
    table: dict[str, Any] = _table()["chances"]
    rows = [(name, row) for name, found in table.items() for row in (found if isinstance(found, list) else [found])]
    return {(name, row.get("kind", "")): (row["per"], tuple(map(_pattern, row["where"]))) for name, row in rows}


@cache
def counts_if_seen(kind: OpportunityKind) -> bool:
    """True if opportunities of this kind count only for a child who was heard to make the change on one of them."""
    name, which = kind
    found: Any = _table()["chances"].get(name, {})
    return isinstance(found, list) and any(row.get("kind", "") == which and row.get("if_seen", False) for row in found)


@cache
def counts_always(kind: OpportunityKind) -> bool:
    """True for the opportunities of a process that have no name of a kind: what tables count for it in every child."""
    return not kind[1] and kind in _places()


def slips_share() -> float:
    """The part of all instances of a process that are at most called slips, on a kind that counts only where it was seen."""
    return float(_table()["slips"]["share"])


@cache
def opportunity_kinds(process: str) -> tuple[str, ...]:
    """The kinds of opportunities of a process that has several, in order; () for all others."""
    return tuple(kind for name, kind in _places() if name == process and kind)


def _pattern(text: str) -> ParsedRule:
    focus, slash, context = text.partition("/")
    return parse(f"{focus.strip()} -> ∅{' / ' + context.strip() if slash else ''}")


@lru_cache(maxsize=65536)
def opportunities_in(word: Word, weak_syllables: str = "all", language: str = "en-US") -> dict[str, OpportunityPlaces]:
    """Process -> its opportunities in this adult form, each a tuple of the sounds it stands on (0-based); a phrase word by word.
    Those that count only for some children are left out."""
    out: dict[str, OpportunityPlaces] = {}
    for (process, kind), found in opportunities_by_kind(word, weak_syllables, language).items():
        if not counts_if_seen((process, kind)):
            out[process] = out.get(process, ()) + found
    return out


@lru_cache(maxsize=65536)
def kind_at(word: Word, process: str, targets: tuple[int, ...], language: str = "en-US") -> str:
    """Of which kind of opportunity a change of some sounds is; "" where the process has one kind, or none was foreseen."""
    found = opportunities_by_kind(word, "all", language)
    for kind in opportunity_kinds(process):
        if any(set(targets) <= set(place) for place in found.get((process, kind), ())):
            return kind
    return ""


@lru_cache(maxsize=65536)
def opportunities_by_kind(
    word: Word, weak_syllables: str = "all", language: str = "en-US"
) -> dict[OpportunityKind, OpportunityPlaces]:
    """Opportunities of an adult form by process and kind: (process, kind) -> the places, each as indices of sounds."""
    if word.edges:
        return _of_phrase(word, weak_syllables, language)
    form = form_of(word)
    stand: dict[OpportunityKind, dict[int, None]] = {}
    for at, phone in enumerate(word.phones):
        anywhere, beside = _patterns_of(phone)
        for kind in anywhere:
            stand.setdefault(kind, {})[at] = None
        for kind, change in beside:
            if match_at(change, form, at) is not None:
                stand.setdefault(kind, {})[at] = None
    out: dict[OpportunityKind, OpportunityPlaces] = {}
    for kind, (per, _) in _places().items():
        if per == "cluster":
            found = clusters(word, language)
        elif per == "loose cluster":
            found = loose_clusters(word, language)
        elif per == "syllable":
            found = weak(word, weak_syllables)
        else:
            places = tuple(stand.get(kind, ()))
            found = tuple((place,) for place in places) if per != "word" or not places else (places,)
        if found:
            out[kind] = found
    return out


@cache
def _patterns_of(phone: str) -> tuple[tuple[OpportunityKind, ...], tuple[tuple[OpportunityKind, ParsedRule], ...]]:
    """Of the patterns of opportunities that begin with a sound, the kinds of those that ask for no more than the sound; and
    the others."""
    patterns = [(kind, change) for kind, (_, changes) in _places().items() for change in changes]
    patterns = [(kind, change) for kind, change in patterns if change.focus[0].fits(phone)]
    alone = [kind for kind, change in patterns if _is_one_sound(change)]
    return tuple(alone), tuple((kind, change) for kind, change in patterns if kind not in alone)


def _is_one_sound(change: ParsedRule) -> bool:
    return len(change.focus) == 1 and not (change.left or change.right or change.focus[0].binds)


def _of_phrase(word: Word, weak_syllables: str, language: str) -> dict[OpportunityKind, OpportunityPlaces]:
    out: dict[OpportunityKind, OpportunityPlaces] = {}
    begin = 0
    for part in words_of(word):
        for process, found in opportunities_by_kind(part, weak_syllables, language).items():
            out[process] = out.get(process, ()) + tuple(tuple(at + begin for at in place) for place in found)
        begin += len(part.phones)
    return out


@lru_cache(maxsize=65536)
def number_of_opportunities(
    word: Word, weak_syllables: str = "all", lost_r: LostR = "deletion", language: str = "en-US"
) -> Mapping[OpportunityKind, int]:
    """Process and kind -> how many opportunities this adult form has, those without any left out."""
    return {kind: len(places) for kind, places in _could_show(word, weak_syllables, lost_r, language).items()}


def opportunities_left(
    word: Word,
    gone: frozenset[int],
    weak_syllables: str = "all",
    lost_r: LostR = "deletion",
    language: str = "en-US",
) -> Mapping[OpportunityKind, int]:
    """Process and kind -> how many opportunities are left where omitted sounds (`gone`) count as none; for omissions
    themselves they stay opportunities."""
    return {
        kind: sum(kind[0].endswith(LEAVES_OFF) or not gone >= set(place) for place in places)
        for kind, places in _could_show(word, weak_syllables, lost_r, language).items()
    }


def _could_show(
    word: Word, weak_syllables: str, lost_r: LostR, language: str
) -> dict[OpportunityKind, OpportunityPlaces]:
    """The opportunities where the change could show: where a lost ɹ is vocalization, leaving it off is no deletion and no
    cluster reduction."""
    found = opportunities_by_kind(word, weak_syllables, language)
    vocal = postvocalic_r(word.phones) if lost_r == "vocalization" else frozenset[int]()
    if not vocal:
        return found
    out = dict(found)
    for process, least in (("final consonant deletion", 1), ("cluster reduction", 2)):
        kept = tuple(place for place in found.get((process, ""), ()) if len(set(place) - vocal) >= least)
        out.pop((process, ""), None)
        out |= {(process, ""): kept} if kept else {}
    return out


def postvocalic_r(phones: Sequence[str]) -> frozenset[int]:
    """Where an ɹ stands after a vowel and not before one.

    >>> sorted(postvocalic_r(("f", "ɔ", "ɹ", "k")))
    [2]
    """
    after = (*phones[1:], "")
    return frozenset(
        at
        for at, phone in enumerate(phones)
        if at and phone == "ɹ" and is_nucleus(phones[at - 1]) and not is_nucleus(after[at])
    )


def clusters(word: Word, language: str = "en-US") -> OpportunityPlaces:
    """Runs of two or more consonants between vowels or at an edge; across a syllable break too (conventions 2), but where a
    language has clusters of one syllable, without the glides that it counts with the vowel.

    >>> from approx.ipa import read
    >>> clusters(read("ˈdjente", "es").words[0], "es"), clusters(read("ˈplato", "es").words[0], "es")
    ((), ((0, 1),))
    """
    lang = language_of(language)
    if not lang.clusters_in_syllables:
        return _runs(word)
    return tuple(part for run in _runs(word) for part in _of_syllables(word, run, lang.vowel_glides) if len(part) > 1)


def loose_clusters(word: Word, language: str = "en-US") -> OpportunityPlaces:
    """Runs of consonants that hold no cluster of the language: a consonant and a glide, the end of a syllable and the beginning
    of the next.

    >>> from approx.ipa import read
    >>> loose_clusters(read("ˈpweɾta", "es").words[0], "es")
    ((0, 1), (3, 4))
    """
    inside = {at for cluster in clusters(word, language) for at in cluster}
    return tuple(run for run in _runs(word) if inside.isdisjoint(run))


def _of_syllables(word: Word, run: tuple[int, ...], glides: frozenset[str]) -> Iterator[tuple[int, ...]]:
    """The part of a run in each syllable, without a glide before the vowel."""
    cuts = [run[0], *(start for start in word.starts if run[0] < start <= run[-1]), run[-1] + 1]
    for low, high in pairwise(cuts):
        yield tuple([at for at in range(low, high) if at == low or word.phones[at] not in glides])


def _runs(word: Word) -> OpportunityPlaces:
    runs: list[tuple[int, ...]] = []
    run: list[int] = []
    for at, phone in enumerate((*word.phones, "a")):
        if is_nucleus(phone):
            if len(run) > 1:
                runs.append(tuple(run))
            run = []
        else:
            run.append(at)
    return tuple(runs)


def weak(word: Word, which: str = "all") -> tuple[tuple[int, ...], ...]:
    """The vowel of each unstressed syllable; of those before the last stressed one only, if asked."""
    last = max((number for number, degree in enumerate(word.stress) if degree), default=0)
    out: list[tuple[int, ...]] = []
    spans = zip(word.starts, (*word.starts[1:], len(word.phones)), word.stress)
    for number, (start, end, degree) in enumerate(spans):
        if degree == 0 and (which == "all" or number < last):
            out.append(tuple(at for at in range(start, end) if is_nucleus(word.phones[at])))
    return tuple(out)


@dataclass(slots=True)
class ProcessTally:
    """Counts of one process: they add over samples. `words`: where it happened; `not_in`: where it could have."""

    occurrences: int = 0
    chances: int = 0
    words: dict[str, None] = field(default_factory=dict)
    not_in: dict[str, None] = field(default_factory=dict)
    rules: Counter[str] = field(default_factory=Counter)

    def add(self, other: ProcessTally) -> None:
        """Add the counts of another kind of opportunity, or of another sample."""
        self.occurrences += other.occurrences
        self.chances += other.chances
        self.words |= other.words
        self.not_in |= other.not_in
        self.rules += other.rules

    @property
    def percent(self) -> float | None:
        """None where there was no opportunity."""
        return 100.0 * self.occurrences / self.chances if self.chances else None

    def standing(self, options: OpportunityOptions) -> str:
        """active, frequent, seen (under the criterion), not seen, or not enough opportunities.

        The criterion is the caller's: so many percent of enough opportunities (`criterion = "percent"`), or so many
        instances, however many opportunities there were ("instances": Dodd, Holm, Zhu & Crosbie 2003, Clin Linguist Phon
        17:617-643, as cited; five).
        """
        if options.criterion == "instances":
            if self.occurrences >= options.instances:
                percent = self.percent or 0.0
                enough = self.chances >= options.least_opportunities
                return "frequent" if enough and percent >= options.frequent_percent else "active"
            return "seen" if self.occurrences else "not seen"
        if self.chances < options.least_opportunities:
            return "not enough opportunities"
        percent = self.percent or 0.0
        if percent >= options.frequent_percent:
            return "frequent"
        if percent >= options.active_percent:
            return "active"
        return "seen" if self.occurrences else "not seen"

    def active(self, options: OpportunityOptions) -> bool:
        """True if the process counts as one the child has, by the caller's criterion."""
        return self.standing(options) in ("active", "frequent")
