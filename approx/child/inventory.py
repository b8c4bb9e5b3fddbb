"""The inventory of a sample: what the child was heard to say, right or not, by position and by number of words.

An independent analysis: adult forms play no part but to tell what was tried and never heard (absent) from what no word asked
for (untested). Forms without a known word count, each different form as a word of its own. When something counts as in the
inventory, and what counts as one sound: `rules/inventory.toml`, with its source and switches. An inventory grows with its
sample: compare equal samples only (Van Severen, Van den Berg, Molemans & Gillis 2012, Clin Linguist Phon 26:164-187).

What one form shows: each consonant in its place, clusters, vowels, syllable shapes, length and variety."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cache, lru_cache
from itertools import pairwise
from typing import Any, NamedTuple

from approx.child.demands import position_of
from approx.child.profile import POSITIONS, VARIETIES, Status
from approx.datafiles import read_toml, rules_path
from approx.ipa import read
from approx.ipa.features import bare, is_nucleus, mark_kinds
from approx.ipa.language import language as language_of
from approx.ipa.word import UNIDENTIFIED, UNKNOWN_CONSONANT, UNKNOWN_VOWEL, Word

_KNOWN_KIND = (UNKNOWN_CONSONANT, UNKNOWN_VOWEL)
"""Not identified, but known to be a consonant or a vowel: the shape is as certain as if they were."""


class Sight(NamedTuple):
    """One thing seen in a form. kind: consonant, cluster, vowel, shape, word shape or length; place "" where none."""

    kind: str
    item: str
    place: str
    certain: bool


def sights(word: Word, rule: Criterion, language: str, adult: frozenset[str] = frozenset()) -> Iterator[Sight]:
    """Everything a form shows. A sound in doubt is never certain; one not identified is no sight of any sound.

    Members of a cluster are seen in its place too; the cluster is seen apart.
    """
    phones, count = word.phones, len(word.phones)
    nuclei = [at for at, phone in enumerate(phones) if is_nucleus(phone)]
    first, last = (nuclei[0], nuclei[-1]) if nuclei else (count, count)
    sounds = [sound_of(phone, rule, language, adult) for phone in phones]
    for at, phone in enumerate(phones):
        if phone in UNIDENTIFIED:
            continue
        vowel = is_nucleus(phone)
        place = "" if vowel else position_of(at, count, first, last)
        yield Sight("vowel" if vowel else "consonant", sounds[at], place, at not in word.doubtful)
    for run, place in cluster_runs(word):
        if not any(phones[at] in UNIDENTIFIED for at in run):
            sure = not any(at in word.doubtful for at in run)
            yield Sight("cluster", " ".join(sounds[at] for at in run), place, sure)
    shapes = [syllable_shape(word, start, end) for start, end in pairwise((*word.starts, count))]
    for shape, sure in shapes:
        if shape:
            yield Sight("shape", shape, "", sure)
    if shapes and all(shape for shape, _ in shapes):
        yield Sight("word shape", "".join(shape for shape, _ in shapes), "", all(sure for _, sure in shapes))
        if nuclei:
            yield Sight("length", str(len(word.starts)), "", all(sure for _, sure in shapes))


def cluster_runs(word: Word) -> Iterator[tuple[range, str]]:
    """Clusters: two or more consonants at one side of one syllable, with the place in the word."""
    phones, count = word.phones, len(word.phones)
    nuclei = [at for at, phone in enumerate(phones) if is_nucleus(phone)]
    first, last = (nuclei[0], nuclei[-1]) if nuclei else (count, count)
    for start, end in pairwise((*word.starts, count)):
        inside = [at for at in nuclei if start <= at < end]
        left, right = (inside[0], inside[-1] + 1) if inside else (end, end)
        for a, b in ((start, left), (right, end)):
            if b - a > 1:
                yield range(a, b), "initial" if a == 0 and b <= first else "final" if a > last else "medial"


def syllable_shape(word: Word, start: int, end: int) -> tuple[str, bool]:
    """Shape of the sounds from `start` to `end`, and whether no doubt touches it; "" where it cannot be told."""
    shape, sure = "", True
    for at in range(start, end):
        phone = word.phones[at]
        if phone in UNIDENTIFIED and phone not in _KNOWN_KIND:
            return "", False
        shape += "V" if is_nucleus(phone) else "C"
        sure = sure and (phone in _KNOWN_KIND or at not in word.doubtful)
    return shape, sure


def variety_of(word: Word, rule: Criterion, language: str, adult: frozenset[str] = frozenset()) -> str:
    """What a form asks for: "same", "same consonant" or "any"; "" where a sound of it is not certain."""
    if word.doubtful or not word.phones:
        return ""
    sounds = [sound_of(phone, rule, language, adult) for phone in word.phones]
    if len({sound for sound, phone in zip(sounds, word.phones) if not is_nucleus(phone)}) > 1:
        return "any"
    spans = pairwise((*word.starts, len(sounds)))
    return "same" if len({tuple(sounds[start:end]) for start, end in spans}) == 1 else "same consonant"


_EXAMPLES = 3
ItemKey = tuple[str, str, str]
"""Kind, item, place."""


@dataclass(frozen=True, slots=True)
class HeardForm:
    """One form of a sample: its word ("" without a gloss), what was said, and the adult form if known."""

    word: str
    produced: Word
    target: Word | None = None


@dataclass(frozen=True, slots=True)
class ItemCount:
    """One item in one place. `tokens`, `words`: heard for certain. `doubtful`: tokens in doubt, in neither number.

    `item`: a sound, the members of a cluster set apart by blanks, a vowel, a shape or a number of syllables.
    `tried_tokens`, `tried_words`: how often adult forms asked for it. `examples`: (word, form), certain ones.
    """

    item: str
    place: str
    tokens: int
    words: int
    doubtful: int
    tried_tokens: int
    tried_words: int
    status: Status
    examples: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Inventory:
    """Everything found, most tokens first; only cells that were heard, tried, or belong to the language.

    `totals`: consonants over all positions. `word_shapes`: whole forms. `lengths`: words by number of syllables.
    `variety`: the narrowest limit that holds for the child (profile.VARIETIES), `variety_words`: different words of
    two or more syllables that ask for each; none: not tested. `forms`: how many were looked at; `without_word` of
    them have no gloss; `unidentified`: sounds not identified; `silent`: productions without a sound, left out.
    """

    criterion: Criterion
    language: str
    consonants: tuple[ItemCount, ...]
    totals: tuple[ItemCount, ...]
    clusters: tuple[ItemCount, ...]
    vowels: tuple[ItemCount, ...]
    shapes: tuple[ItemCount, ...]
    word_shapes: tuple[ItemCount, ...]
    lengths: tuple[ItemCount, ...]
    variety: str
    variety_words: tuple[tuple[str, int], ...]
    max_syllables: int
    forms: int
    words: int
    without_word: int
    unidentified: int
    silent: int

    def cell(self, item: str, place: str = "") -> ItemCount | None:
        """The cell of an item: a consonant or cluster in its place, a vowel, a shape; None if there is none."""
        pools = (self.consonants, self.clusters, self.vowels, self.shapes, self.word_shapes, self.lengths)
        return next((cell for pool in pools for cell in pool if (cell.item, cell.place) == (item, place)), None)

    def total(self, sound: str) -> ItemCount | None:
        """A consonant over all positions."""
        return next((cell for cell in self.totals if cell.item == sound), None)


@dataclass(slots=True)
class _Count:
    tokens: int = 0
    doubtful: int = 0
    tried: int = 0
    words: set[str] = field(default_factory=set)
    tried_words: set[str] = field(default_factory=set)
    examples: dict[tuple[str, str], None] = field(default_factory=dict)


def take_inventory(
    said: Iterable[HeardForm] | Mapping[HeardForm, int], rule: Criterion | None = None, language: str = "en-US"
) -> Inventory:
    """The inventory of forms as said, one by one or with how often each was. `rule`: the criterion, by default that of `rules/inventory.toml`.

    Of a phrase, give each word said as a form of its own (`words_apart`). No form at all gives an inventory without cells
    that were heard.
    """
    rule = rule or criterion()
    tally = _Tally(rule, language)
    for each, times in Counter(said).items():
        tally.add(each, times)
    return tally.result()


def words_apart(
    said: HeardForm, typed_produced: str, typed_target: str = "", language: str = "en-US"
) -> tuple[HeardForm, ...]:
    """A phrase that stands in one cell, as its words; each keeps the label of the whole, since that is its gloss.

    The typed text shows where words end. Where it does not spell the form that was read (several trials in the cell),
    the form stays whole.
    """
    parts = _words_of(said.produced, typed_produced, language)
    if len(parts) < 2:
        return (said,)
    targets = _words_of(said.target, typed_target, language) if said.target is not None else ()
    matched = targets if len(targets) == len(parts) else (None,) * len(parts)
    return tuple(HeardForm(said.word, part, target) for part, target in zip(parts, matched))


def _words_of(whole: Word | None, typed: str, language: str) -> tuple[Word, ...]:
    words = read(typed, language).words
    if whole is None or tuple(phone for word in words for phone in word.phones) != whole.phones:
        return ()
    return words


class _Tally:
    """Counts while the forms go by."""

    def __init__(self, rule: Criterion, language: str) -> None:
        self.rule, self.language = rule, language
        self.counts: dict[ItemKey, _Count] = {}
        self.labels: set[str] = set()
        self.long: dict[str, set[str]] = {name: set() for name in VARIETIES}
        self.long_tokens = dict.fromkeys(VARIETIES, 0)
        self.short: set[str] = set()
        self.forms = self.without_word = self.unidentified = self.silent = self.short_tokens = 0

    def add(self, said: HeardForm, times: int) -> None:
        """One form, said so many times."""
        word, form = said.produced, said.produced.ipa
        label = " ".join(said.word.casefold().split()) or form
        adult = frozenset(said.target.phones) if said.target else frozenset()
        if said.target is not None:
            for key in _asked_for(said.target, self.rule, self.language):
                count = self.counts.setdefault(key, _Count())
                count.tried += times
                count.tried_words.add(label)
        if not word.phones:
            self.silent += times
            return
        self.forms += times
        self.labels.add(label)
        self.without_word += 0 if said.word.strip() else times
        self.unidentified += times * sum(phone in UNIDENTIFIED for phone in word.phones)
        for sight in sights(word, self.rule, self.language, adult):
            for key in _keys(sight.kind, sight.item, sight.place):
                count = self.counts.setdefault(key, _Count())
                if sight.certain:
                    count.tokens += times
                    count.words.add(label)
                    count.examples.setdefault((said.word, form))
                else:
                    count.doubtful += times
        self.add_variety(word, label, adult, times)

    def add_variety(self, word: Word, label: str, adult: frozenset[str], times: int) -> None:
        found = variety_of(word, self.rule, self.language, adult)
        if found and sum(map(is_nucleus, word.phones)) > 1:
            self.long[found].add(label)
            self.long_tokens[found] += times
        elif found == "any":
            self.short.add(label)
            self.short_tokens += times

    def result(self) -> Inventory:
        lang = language_of(self.language)
        for position in POSITIONS:
            for sound in lang.consonants_at(position):
                self.counts.setdefault(("consonant", sound, position), _Count())
        for vowel in lang.vowels:
            self.counts.setdefault(("vowel", vowel, ""), _Count())
        for shape in asked_shapes():
            self.counts.setdefault(("shape", shape, ""), _Count())
        lengths = self.cells("length")
        return Inventory(
            criterion=self.rule, language=self.language,
            consonants=self.cells("consonant"), totals=self.cells("total"), clusters=self.cells("cluster"),
            vowels=self.cells("vowel"), shapes=self.cells("shape"), word_shapes=self.cells("word shape"), lengths=lengths,
            variety=self.variety(), variety_words=tuple((name, len(self.long[name])) for name in VARIETIES if self.long[name]),
            max_syllables=max((int(cell.item) for cell in lengths if cell.status == "established"), default=1),
            forms=self.forms, words=len(self.labels), without_word=self.without_word,
            unidentified=self.unidentified, silent=self.silent,
        )  # fmt: skip

    def cells(self, kind: str) -> tuple[ItemCount, ...]:
        found = []
        for (this, item, place), count in self.counts.items():
            if this == kind:
                # a doubt about which sound it was leaves the shape likely, so that a shape in doubt is emerging
                soft = count.doubtful if "shape" in kind else 0
                status = self.rule.status(count.tokens, len(count.words), count.tried, soft)
                numbers = (count.tokens, len(count.words), count.doubtful, count.tried, len(count.tried_words))
                found.append(ItemCount(item, place, *numbers, status, tuple(count.examples)[:_EXAMPLES]))
        order = {name: number for number, name in enumerate(POSITIONS)}
        return tuple(sorted(found, key=lambda c: (order.get(c.place, 0), -c.tokens, -c.words, -c.doubtful, c.item)))

    def variety(self) -> str:
        """The narrowest limit that the child's own words do not break (counted as sounds are).

        "same consonant" speaks of whole words, so that words of one syllable with two consonants break it too.
        """

        def enough(words: set[str], tokens: int) -> bool:
            return self.rule.status(tokens, len(words), 0) == "established"

        every, tokens = self.long, self.long_tokens
        if not any(every.values()) or enough(every["any"], tokens["any"]):
            return "any"
        if enough(every["any"] | every["same consonant"], tokens["any"] + tokens["same consonant"]):
            return "any" if enough(self.short, self.short_tokens) else "same consonant"
        return "same"


def _keys(kind: str, item: str, place: str) -> Iterator[ItemKey]:
    """A consonant is counted in its place and over all places."""
    yield kind, item, place
    if kind == "consonant":
        yield "total", item, ""


@lru_cache(maxsize=8192)
def _asked_for(target: Word, rule: Criterion, language: str) -> tuple[ItemKey, ...]:
    """What is counted as tried of an adult form."""
    return tuple(
        [key for sight in sights(target, rule, language) for key in _keys(sight.kind, sight.item, sight.place)]
    )


_NUMBERS = {1: "one", 2: "two", 3: "three", 4: "four", 5: "five"}
_SYLLABIC = "\u0329"


@cache
def _table() -> dict[str, Any]:
    return read_toml(rules_path("inventory.toml"))


@dataclass(frozen=True, slots=True)
class Criterion:
    """How often something must be heard (`by` "words" or "tokens", `least`), and what is merged into one sound."""

    by: str = "words"
    least: int = 2
    merge_distortions: bool = True
    merge_allophones: bool = True
    source: str = ""

    def __str__(self) -> str:
        """The criterion in words, as it is printed beside every inventory."""
        what = "different word" if self.by == "words" else "token"
        text = f"in at least {_NUMBERS.get(self.least, str(self.least))} {what}{'s' if self.least != 1 else ''}"
        if not self.merge_distortions:
            text += "; distorted sounds apart from their base"
        if not self.merge_allophones:
            text += "; allophones apart"
        return text

    def status(self, tokens: int, words: int, tried: int, soft: int = 0) -> Status:
        """Status from what was heard for certain, how often adult words asked for it, and hearings in doubt.

        `soft` makes what was heard only in doubt emerging; without it such a hearing changes nothing.
        """
        if (words if self.by == "words" else tokens) >= self.least:
            return "established"
        if tokens or soft:
            return "emerging"
        return "absent" if tried else "untested"


def criterion(
    name: str = "", *, merge_distortions: bool | None = None, merge_allophones: bool | None = None
) -> Criterion:
    """The default of `rules/inventory.toml`, or one of its choices by name. KeyError names an unknown one."""
    table = _table()
    if name and name not in table["choices"] or name == "source":
        raise KeyError(f"no criterion '{name}'; there are: {', '.join(criteria())}")
    row = table["choices"][name] if name else table["criterion"]
    same = (row["by"], row["least"]) == (table["criterion"]["by"], table["criterion"]["least"])
    merge = table["merge"]
    made = Criterion(
        row["by"], row["least"], merge["distortions"], merge["allophones"],
        table["criterion"]["source"] if same else table["choices"]["source"],
    )  # fmt: skip
    if merge_distortions is not None:
        made = replace(made, merge_distortions=merge_distortions)
    return made if merge_allophones is None else replace(made, merge_allophones=merge_allophones)


def criteria() -> tuple[str, ...]:
    """Names of the criteria that can be chosen."""
    return tuple(name for name in _table()["choices"] if name != "source")


@cache
def allophones(language: str) -> dict[str, tuple[str, ...]]:
    """Symbols of a language that stand for another sound: symbol -> sounds it may stand for."""
    rows = _table()["allophones"].get(_primary(language), {})
    return {symbol: tuple(sounds.split()) for symbol, sounds in rows.items() if symbol != "source"}


@cache
def asked_shapes() -> tuple[str, ...]:
    """Syllable shapes worth naming as untested."""
    return tuple(_table()["shapes"]["asked"].split())


def sound_of(phone: str, rule: Criterion, language: str, adult: frozenset[str] = frozenset()) -> str:
    """What a transcribed sound counts as; `adult` are the sounds of the word aimed at."""
    if phone in UNIDENTIFIED:
        return phone
    base, marks = bare(phone)
    kinds = mark_kinds()
    kept = "".join(
        mark
        for mark in marks
        if (mark == _SYLLABIC and is_nucleus(phone))
        or not (rule.merge_allophones if kinds[mark][1] == "allophone" else rule.merge_distortions)
    )
    if rule.merge_allophones:
        stands_for = allophones(language).get(base, ())
        base = next((sound for sound in stands_for if sound in adult), next(iter(stands_for), base))
    return base + kept if kept else base


def _primary(language: str) -> str:
    return language.lower().replace("_", "-").split("-")[0]
