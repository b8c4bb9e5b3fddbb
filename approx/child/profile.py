"""What one child can say: sounds by position, clusters, vowels, syllable shapes, length and variety; and what of it can never be
used, as remarks, which stop nothing.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass, field
from typing import Any, Literal, NamedTuple, get_args

from approx.wording import enumerated, worded

Status = Literal["established", "emerging", "absent", "untested"]
STATUSES: tuple[Status, ...] = ("established", "emerging", "absent", "untested")
POSITIONS = ("initial", "medial", "final")
"""Of a consonant in its word: before everything, between, after everything (a word's only consonant after the vowel
is final). A consonant that closes a syllable inside a word is medial."""
VARIETIES = ("same", "same consonant", "any")
"""same: every syllable alike (mama). same consonant: one consonant in the word, vowels free (mommy, baby)."""


Pronoun = Literal["she", "he", "they"]
PRONOUNS: tuple[Pronoun, ...] = get_args(Pronoun)
"""What people of the child's life are called by."""
LEFT_OFF = "∅"
"""Stands among what a child says for a sound, a cluster or a weak syllable where it is left off."""
WEAK, KEPT, AGAIN = "weak", "kept", "again"
"""A weak syllable in [changes] (before the stress, between others, last), said as it is, or the stressed one again in its place."""
_HAVE = ("established", "emerging")


@dataclass(frozen=True, slots=True)
class WordHeard:
    """The form this child was heard to say for a word, and the day (year-month-day, "" where none was noted)."""

    form: str
    date: str = ""


@dataclass(frozen=True, slots=True)
class Profile:
    """One child. Every mapping gives a status; what is not listed is absent.

    `languages`: the other languages of this child. `consonants`: position -> sound -> status. `clusters`: (sounds,
    position) -> status. `shapes`: "CVC" -> status. `chosen`: word -> form the clinician decided on. `heard`: word -> form
    this child said. `changes`: (sound, position, "" for every other) -> what this child says for it, commonest first,
    `LEFT_OFF` among it; also (sounds of a cluster, position) and (`WEAK`, position). `times`: for the same keys, in how many
    words each was heard, where that is noted. `readings`: word -> adult form for this child's family. `people`: name ->
    she, he or they, of those in the child's life. `interests`: words and everyday categories that this child loves to talk of.
    """

    code: str = "child"
    age: str = ""
    language: str = "en-US"
    languages: tuple[str, ...] = ()
    accent: tuple[str, ...] = ()
    consonants: Mapping[str, Mapping[str, Status]] = field(default_factory=dict)
    clusters: Mapping[tuple[tuple[str, ...], str], Status] = field(default_factory=dict)
    vowels: Mapping[str, Status] = field(default_factory=dict)
    shapes: Mapping[str, Status] = field(default_factory=dict)
    max_syllables: int = 9
    variety: str = "any"
    chosen: Mapping[str, str] = field(default_factory=dict)
    heard: Mapping[str, WordHeard] = field(default_factory=dict)
    changes: Mapping[tuple[str, str], tuple[str, ...]] = field(default_factory=dict)
    times: Mapping[tuple[str, str], tuple[int, ...]] = field(default_factory=dict)
    readings: Mapping[str, str] = field(default_factory=dict)
    people: Mapping[str, str] = field(default_factory=dict)
    interests: tuple[str, ...] = ()

    def said_for(self, sound: str, position: str = "") -> tuple[str, ...]:
        """What this child says for a sound in a position, commonest first; () where nothing is known."""
        return self.changes.get((sound, position)) or self.changes.get((sound, "")) or ()

    def to_dict(self) -> dict[str, Any]:
        """The profile in plain values, as JSON has it: clusters as "sp initial", changes as "s initial": ["h", "t"]."""
        data = asdict(self)
        data["clusters"] = {f"{''.join(run)} {place}": status for (run, place), status in self.clusters.items()}
        data["changes"] = {" ".join(filter(None, key)): list(said) for key, said in self.changes.items()}
        data["times"] = {" ".join(filter(None, key)): list(times) for key, times in self.times.items()}
        return data


@dataclass(frozen=True, slots=True)
class Limits:
    """A profile as the search asks it: sets of what may be asked of the child now.

    `emerging` names what is only emerging, whether let in or not, as demand keys: ("consonant", ("k", "initial")),
    ("vowel", ("ʊ",)), ("shape", ("CVC",)), ("cluster", ("s", "p", "initial")).
    """

    consonants: Mapping[str, frozenset[str]]
    clusters: frozenset[tuple[tuple[str, ...], str]]
    vowels: frozenset[str]
    shapes: frozenset[str]
    max_syllables: int
    variety: str
    emerging: frozenset[tuple[str, tuple[str, ...]]]
    changes: Mapping[tuple[str, str], tuple[str, ...]] = field(default_factory=dict)
    """What this child says for a sound in a place (initial, medial, final, vowel), commonest first (`LEFT_OFF` among it)."""
    runs: Mapping[tuple[tuple[str, ...], str], tuple[tuple[str, ...], ...]] = field(default_factory=dict)
    """What this child says for a cluster, or a weak vowel with its l, in a position, commonest first; () where it is left off."""
    weak: Mapping[str, str] = field(default_factory=dict)
    """Positions in which this child does not keep a weak syllable: `LEFT_OFF`, or `AGAIN` for the stressed one in its place."""
    evidence: Mapping[tuple[tuple[str, ...], str], tuple[tuple[tuple[str, ...], int], ...]] = field(
        default_factory=dict
    )
    """For sounds and clusters in a position, every form that was heard with the number of words; what rates are made of."""
    counted: bool = False
    """Whether the numbers of `evidence` were counted; else each form stands for as many words as make a change firm."""
    known: dict[object, Any] = field(default_factory=dict, init=False, compare=False, repr=False)
    """What single syllables ask beyond these limits, found once (`approx.child.demands`)."""


NOTHING_IN_HAND = Limits(
    dict.fromkeys(POSITIONS, frozenset()), frozenset(), frozenset(), frozenset(), 99, "any", frozenset()
)
"""Under these limits a form's demands are all that it asks for, length and variety aside."""


class EntryRemark(NamedTuple):
    """Where it stands (keys from the top, and the text in the value), what is so, and the way out."""

    path: tuple[str, ...]
    symbol: str
    message: str
    hint: str


def remarks(profile: Profile, final_named: bool) -> Iterator[EntryRemark]:
    """Everything in the profile that its other parts make useless. `final_named`: finals have a line."""
    if not _had(profile.vowels):
        hint = "list the vowels under [vowels], or nothing with a vowel can be said"
        yield EntryRemark(("vowels",), "", "no vowel is established or emerging", hint)
    shapes = _had(profile.shapes)
    if not shapes:
        hint = 'such as established = ["V", "CV"] under [syllables], or nothing can be said'
        yield EntryRemark(("syllables",), "", "no syllable shape is established or emerging", hint)
        return
    starts = {len(shape) - len(shape.lstrip("C")) for shape in shapes}
    ends = {len(shape) - len(shape.rstrip("C")) for shape in shapes if "V" in shape}
    yield from _clusters(profile, starts, ends)
    finals = _had(profile.consonants.get("final", {}))
    if final_named and finals and ends <= {0}:
        hint = 'add a shape that ends in a consonant, such as "VC" or "CVC", under [syllables]'
        yield EntryRemark(("consonants", "final"), "", "no syllable shape has a final consonant", hint)


def _had(table: Mapping[str, Status]) -> list[str]:
    return [item for item, status in table.items() if status in _HAVE]


def _clusters(profile: Profile, starts: set[int], ends: set[int]) -> Iterator[EntryRemark]:
    """Clusters without a shape or without their sounds, and shapes without a cluster."""
    lengths: dict[str, set[int]] = {"initial": set(), "medial": set(), "final": set()}
    for (run, position), status in profile.clusters.items():
        if status not in _HAVE:
            continue
        name = f"{''.join(run)} {position}"
        lengths[position].add(len(run))
        fits = {"initial": starts, "final": ends, "medial": starts | ends}[position]
        if len(run) not in fits:
            hint = worded('add a shape such as "{run}" under [syllables]', run=_example(len(run), position))
            message = worded("no syllable shape has room for the cluster {name}", name=name)
            yield EntryRemark(("consonants", "clusters"), name, message, hint)
        have = profile.consonants.get(position, {})
        missing = [sound for sound in run if have.get(sound) not in _HAVE]
        if missing:
            message = worded(
                "the cluster {name} needs {missing} in {position} position",
                name=name,
                missing=enumerated(" and ", missing),
                position=position,
            )
            hint = worded("list {missing} for that position too", missing=" ".join(missing))
            yield EntryRemark(("consonants", "clusters"), name, message, hint)
    for shape in _had(profile.shapes):
        start, end = len(shape) - len(shape.lstrip("C")), len(shape) - len(shape.rstrip("C"))
        lacks_start = start > 1 and start not in lengths["initial"] | lengths["medial"]
        lacks_end = end > 1 and "V" in shape and end not in lengths["final"] | lengths["medial"]
        if lacks_start or lacks_end:
            size = start if lacks_start else end
            message = worded("the shape {shape} needs a cluster of {size}, and none is named", shape=shape, size=size)
            hint = worded(
                'such as clusters = ["{value}"] under [consonants]', value="sp initial" if lacks_start else "nd final"
            )
            yield EntryRemark(("syllables", profile.shapes[shape]), shape, message, hint)


def _example(length: int, position: str) -> str:
    return "VC" + "C" * (length - 1) if position == "final" else "C" * length + "V"
