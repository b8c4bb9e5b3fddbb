"""What `suggest` answers: a word with its approximations and ladder, a phrase made of them, and how much a phrase asks of the mouth."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from approx.ipa.features import features, is_nucleus
from approx.ipa.word import Word
from approx.practice.suggest.clashes import Clash
from approx.problems import Problem
from approx.wording import enumerated, worded


@dataclass(frozen=True, slots=True)
class AppliedRule:
    """One rule used: the form before it and after it."""

    rule: str
    process: str
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class Approximation:
    """A form to accept for now. `cost` 0 is the adult form itself; `closeness` 1 likewise, falling towards 0.

    `heard`: this child was heard to say it for the word; `heard_on`: the day, "" where none was noted. `atypical`: changes
    in it that are unusual in development, followed because this child makes them or nothing else is left.
    """

    word: Word
    spelled: str
    cost: float
    closeness: float
    steps: tuple[AppliedRule, ...]
    wcm: int
    ipc: int
    clashes: tuple[Clash, ...] = ()
    chosen: bool = False
    heard: bool = False
    heard_on: str = ""
    atypical: tuple[str, ...] = ()

    @property
    def ipa(self) -> str:
        """The form in IPA."""
        return self.word.ipa


@dataclass(frozen=True, slots=True)
class ShownRung:
    """One rung of a ladder as shown: the form, its spelling, what it adds to the rung below, rude words it is heard as."""

    ipa: str
    spelled: str
    adds: str | None
    rude: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class NearForm:
    """A form that is within reach, for all it needs more is emerging (`needs`: each in plain words)."""

    ipa: str
    spelled: str
    needs: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Suggestion:
    """One word: the adult form to model, forms to accept today (nearest first), and the way back up.

    `adult` is None where the word could not be read. `other_readings`: further ways to say the adult word.
    """

    word: str
    adult: Word | None
    spelled: str
    read_from: str
    sure: bool
    note: str
    wcm: int
    ipc: int
    approximations: tuple[Approximation, ...]
    ladder: tuple[ShownRung, ...]
    other_readings: tuple[str, ...] = ()
    dropped: bool = False
    """True for a small word that the telegraphic phrase leaves out."""
    near: NearForm | None = None
    untested: tuple[str, ...] = ()
    """What the adult word asks for and the child was never heard to try, in plain words."""
    instead: str = ""
    """Another word to choose, where the first form rests on an atypical change; "" where none is needed or known."""
    word_list: str = ""
    """The form of the word list, where `adult` is that of the child's own variety."""

    @property
    def remarks(self) -> tuple[str, ...]:
        """What a clinician should know of this word before taking the first form, a sentence each."""
        out: list[str] = []
        if self.word_list:
            out.append(worded("said so in the child's own variety; the word list has {ipa}", ipa=self.word_list))
        first = self.approximations[0] if self.approximations else None
        if first is not None and first.heard and first.cost == 0:
            out.append(worded("says it (heard {date})", date=first.heard_on) if first.heard_on else "says it")
        if self.near is not None:
            one = len(self.near.needs) == 1
            pattern = "{needs} is emerging: {ipa} is near" if one else "{needs} are emerging: {ipa} is near"
            out.append(worded(pattern, needs=enumerated(" and ", self.near.needs), ipa=self.near.ipa))
        out += [worded("{what} was never tried: probe it first", what=what) for what in self.untested]
        for rung in self.ladder[1:]:
            if rung.rude:
                said = enumerated(", ", rung.rude)
                out.append(worded("careful: the rung {ipa} sounds like {words}", ipa=rung.ipa, words=said))
        if first is not None and first.atypical:
            pattern = "{ipa} involves {processes}, atypical in development"
            if self.instead:
                pattern = "{ipa} involves {processes}, atypical in development; another word to choose: {word}"
            processes = enumerated(" and ", first.atypical)
            out.append(worded(pattern, ipa=first.ipa, processes=processes, word=self.instead))
        return tuple(out)


PhraseKind = Literal["full", "telegraphic", "other"]


@dataclass(frozen=True, slots=True)
class PhraseForm:
    """One way to say the phrase today. `kind`: "full", "telegraphic" or "other". `clashes`: rude words heard in it."""

    kind: PhraseKind
    ipa: str
    spelled: str
    load: ArticulatoryLoad
    clashes: tuple[Clash, ...] = ()


@dataclass(frozen=True, slots=True)
class Answer:
    """Everything about one phrase or list for one child."""

    phrase: str | None
    child: str
    signature: str
    words: tuple[Suggestion, ...]
    phrase_forms: tuple[PhraseForm, ...]
    problems: tuple[Problem, ...]
    adult_load: ArticulatoryLoad | None = None


_COR, _LAB, _HI, _BACK = 12, 14, 15, 17


@dataclass(frozen=True, slots=True)
class ArticulatoryLoad:
    """Counts over a whole phrase. `places` in the order first met; `jumps`: neighbours in time at different places."""

    syllables: int
    places: tuple[str, ...]
    jumps: int


def broad_place(sound: str) -> str:
    """labial, coronal, dorsal or glottal, from the features; w counts as labial."""
    values = features(sound)
    if values is None:
        return "unknown"
    if values[_LAB] == 1:
        return "labial"
    if values[_COR] == 1:
        return "coronal"
    return "dorsal" if values[_HI] == 1 or values[_BACK] == 1 and sound[:1] not in "hʔɦ" else "glottal"


def load_of(words: Sequence[Word]) -> ArticulatoryLoad:
    """The load of some words said one after the other (common practice, no source; glottal sounds make no jump)."""
    path = [broad_place(sound) for word in words for sound in word.phones if not is_nucleus(sound)]
    oral = [place for place in path if place not in ("glottal", "unknown")]
    jumps = sum(one != other for one, other in zip(oral, oral[1:]))
    return ArticulatoryLoad(sum(len(word.starts) for word in words), tuple(dict.fromkeys(path)), jumps)
