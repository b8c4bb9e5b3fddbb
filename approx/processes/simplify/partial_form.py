"""A form on its way back to the adult word: what stands for each adult sound now, and what was put in.

Sounds are only ever put back, so that no form loses what the one before it shares with the adult word.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable
from typing import NamedTuple

from approx.ipa.features import distance, in_class, is_nucleus
from approx.ipa.language import language
from approx.ipa.syllables import syllable_starts
from approx.ipa.word import Word
from approx.processes.simplify.nearness import same_to_the_ear
from approx.scoring.alignment.align import align_prepared
from approx.scoring.alignment.costs import Prepared, prepare

FormPlace = tuple[str, int]
"""("sound", index of an adult sound), or ("added", index of the adult sound it stands before; their number: at the end)."""
_PLACES = ("labial", "[+cor]", "velar")
_MANNERS = ("stop", "fricative", "affricate", "nasal", "liquid", "glide")


class PartialForm(NamedTuple):
    """`said`: what stands for each adult sound, None where it is left off. `added`: (before which adult sound, sound).

    `in_one`: adult sounds that came out as one sound with another; it stands for the first of them.
    """

    said: tuple[str | None, ...]
    added: tuple[tuple[int, str], ...] = ()
    in_one: frozenset[int] = frozenset()

    @property
    def phones(self) -> tuple[str, ...]:
        """The sounds in order."""
        return tuple(sound for sound, _ in self.sounds())

    def sounds(self) -> list[tuple[str, int]]:
        """The sounds in order, each with the adult sound it stands for (-1: none)."""
        if not self.added:
            return [(sound, at) for at, sound in enumerate(self.said) if sound is not None]
        out: list[tuple[str, int]] = []
        for at in range(len(self.said) + 1):
            out += [(sound, -1) for before, sound in self.added if before == at]
            sound = self.said[at] if at < len(self.said) else None
            if sound is not None:
                out.append((sound, at))
        return out


def restore_sounds(
    form: PartialForm, adult: Word, places: Iterable[FormPlace], stand_ins: dict[int, str] | None = None
) -> PartialForm:
    """The form with the adult sound in each of these places (a stand-in where one is named), and without what was added there."""
    said, gone = list(form.said), set()
    for kind, at in places:
        if kind == "added":
            gone.add(at)
        else:
            said[at] = stand_ins[at] if stand_ins and at in stand_ins else adult.phones[at]
    added = tuple([each for each in form.added if each[0] not in gone]) if gone else form.added
    return PartialForm(tuple(said), added, form.in_one)


class AdultAim:
    """The adult word that forms climb to, with what each of them is compared with, found once."""

    __slots__ = ("_apart", "_coda", "_onset", "_prepared", "adult", "lang", "nuclei", "number")

    def __init__(self, adult: Word, tag: str) -> None:
        self.adult, self.lang = adult, language(tag)
        self.nuclei = [at for at, phone in enumerate(adult.phones) if is_nucleus(phone)]
        self.number = [bisect_right(adult.starts, at) - 1 for at in range(len(adult.phones))]
        """The syllable of each sound."""
        self._onset, self._coda = (_onset(adult.phones), _coda(adult.phones)) if self.nuclei else ((), ())
        never = self.lang.never_together
        self._prepared: Prepared | None = None
        self._apart = never - _meeting(adult) if never else never

    def beside(self, word: Word) -> PartialForm:
        """A form by its alignment with the adult word; of two adult sounds that came out as one, it stands for the first."""
        if self._prepared is None:
            self._prepared = prepare(self.adult)
        said: list[str | None] = [None] * len(self.adult.phones)
        added: list[tuple[int, str]] = []
        before, met, in_one = 0, dict[int, int](), set[int]()
        for at, said_at in align_prepared(self._prepared, prepare(word)).links:
            if at is None:
                added += [(before, word.phones[said_at])] if said_at is not None else []
                continue
            if said_at is not None and said_at in met:
                in_one |= {met[said_at], at}
            elif said_at is not None:
                met[said_at] = at
                said[at] = word.phones[said_at]
            before = at + 1
        return PartialForm(tuple(said), tuple(added), frozenset(in_one))

    def differences(self, form: PartialForm) -> list[FormPlace]:
        """Every place where an ear hears a difference from the adult word."""
        sounds = [
            ("sound", at)
            for at, (sound, said) in enumerate(zip(self.adult.phones, form.said))
            if said != sound and (said is None or not same_to_the_ear(sound, said))
        ]
        return [*sounds, *dict.fromkeys(("added", before) for before, _ in form.added)] if form.added else sounds

    def shared(self, form: PartialForm) -> set[tuple[int, str]]:
        """What a form shares with the adult word: sounds, and places of consonants, each with where it stands."""
        pairs = [(at, sound, said) for at, (sound, said) in enumerate(zip(self.adult.phones, form.said)) if said]
        same = {(at, "sound") for at, sound, said in pairs if said == sound or same_to_the_ear(sound, said)}
        return same | {
            (at, name)
            for at, sound, said in pairs
            for name in _PLACES
            if in_class(sound, name) and in_class(said, name)
        }

    def no_farther(self, form: PartialForm, below: PartialForm) -> bool:
        """Whether a form has all that one below it shares with the adult word, and no stand-in farther from its sound."""
        both = zip(self.adult.phones, form.said, below.said)
        nearer = all(not (old and new) or distance(sound, new) <= distance(sound, old) for sound, new, old in both)
        return nearer and self.shared(below) <= self.shared(form)

    def spoken(self, form: PartialForm) -> Word:
        """The form as a word, cut as a reader of its text would cut it; each syllable has the stress of its adult vowel."""
        adult, number, stress = self.adult, self.number, self.adult.stress
        sounds = form.sounds()
        phones = tuple([sound for sound, _ in sounds])
        if phones == adult.phones or len(phones) == len(adult.phones) and not self.differences(form):
            return adult
        if phones and sum(map(is_nucleus, phones)) < 2:
            return Word(phones, (0,), (1,))
        # a stressed syllable begins where its adult one does, as its mark shows
        cuts, last = [], -1
        for at, (sound, origin) in enumerate(sounds):
            if origin >= 0 and number[origin] > last:
                last = number[origin]
                if stress[last] and not is_nucleus(sound):
                    cuts.append(at)
        starts = syllable_starts(phones, cuts, self.lang)
        degrees = [0] * len(starts)
        for syllable, (start, end) in enumerate(zip(starts, (*starts[1:], len(phones)))):
            for sound, origin in sounds[start:end]:
                if origin >= 0 and is_nucleus(sound):
                    degrees[syllable] = stress[number[origin]]
                    break
        if degrees and 1 not in degrees:
            degrees[degrees.index(2) if 2 in degrees else 0] = 1
        return Word(phones, starts, tuple(degrees))

    def well_formed(self, word: Word) -> bool:
        """True where the sound pattern of the language is kept: how words begin and end, and their clusters."""
        phones = word.phones
        first, last = _onset(phones), _coda(phones)
        if len(first) == len(phones) or word is self.adult:
            return True
        if self._apart and _meet(word, self._apart):
            return False
        new = first and first != self._onset
        if new and (first[0] in self.lang.never_first or len(first) > 1 and first not in self.lang.onsets):
            return False
        coda = self._coda
        if not last or last == coda:
            return True
        if last[-1] in self.lang.never_last and last[-1:] != coda[-1:]:
            return False
        return len(last) < 2 or _within(last, coda)


def _meet(word: Word, pairs: frozenset[tuple[str, ...]]) -> bool:
    """True where one of these pairs of sounds stands within a foot."""
    met = [at for at, pair in enumerate(zip(word.phones, word.phones[1:]), 1) if pair in pairs]
    if not met:
        return False
    feet = {start for start, degree in zip(word.starts, word.stress) if degree}
    return any(at not in feet for at in met)


def _meeting(word: Word) -> set[tuple[str, str]]:
    """Neighbouring sounds within a foot."""
    feet = {start for start, degree in zip(word.starts, word.stress) if degree}
    return {pair for at, pair in enumerate(zip(word.phones, word.phones[1:]), 1) if at not in feet}


def _onset(phones: tuple[str, ...]) -> tuple[str, ...]:
    """The consonants before the first vowel; all sounds where there is none."""
    for at, phone in enumerate(phones):
        if is_nucleus(phone):
            return phones[:at]
    return phones


def _coda(phones: tuple[str, ...]) -> tuple[str, ...]:
    """The consonants after the last vowel."""
    for at in range(len(phones), 0, -1):
        if is_nucleus(phones[at - 1]):
            return phones[at:]
    return phones


def _within(run: tuple[str, ...], adult: tuple[str, ...]) -> bool:
    """True for a final cluster made of sounds of the adult one in their order, or of others of their manner."""
    left = iter(adult)
    return all(any(sound == other or _manner(sound) == _manner(other) for other in left) for sound in run)


def same_manner(one: str, other: str) -> bool:
    """Whether two consonants are both stops, both nasals and so on."""
    return _manner(one) == _manner(other)


def _manner(sound: str) -> str:
    return next((name for name in _MANNERS if in_class(sound, name)), sound)
