"""What one child can say: sounds by position, clusters, vowels, syllable shapes, length and variety."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from typing import Any, Literal, get_args

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
