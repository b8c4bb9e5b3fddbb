"""Many forms laid out in rows of numbers: their sounds, roles for the aligner, places, structure and complexity.

What is said here of a form is what `costs.prepare`, `slots.positions` and `scored_word.form_of` say of it one by one.
Forms with a sound of an unusual kind are marked (`plain` is false) and left to them.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cached_property
from itertools import chain
from typing import TYPE_CHECKING, NamedTuple

from approx.ipa.language import language as language_of
from approx.ipa.word import Word
from approx.scoring.alignment.costs import (
    CODA_LIQUID,
    HEAD,
    LIQUID,
    ONSET,
    PLAIN,
    SCHWA_LIQUID,
    STRESSED,
    SYLLABIC,
    UNSTRESSED,
    VOWEL,
    costs,
    kind_of,
)
from approx.scoring.bulk.different_numbers import told_apart
from approx.scoring.bulk.fast_align import SoundRows
from approx.scoring.judging.complexity import complexity_tables
from approx.scoring.judging.options import ScoringOptions, measure_data
from approx.scoring.judging.slots import STAND_INS

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    SmallInts = NDArray[np.int32]
    Places = NDArray[np.int64]
    Bools = NDArray[np.bool_]

LONGEST_FORM = 20
"""Sounds of a plain form."""
INITIAL, MEDIAL, FINAL = range(3)
"""Places, as `slots.positions` names them."""
NO_RULE, LOST_H, NG_AS_N = range(3)
"""What rule 10 of PCC says of a sound: nothing, that it may be lost, that it may be n."""
_ROLES = 10
_AT_ONCE = 1 << 12
_STAND_IN = Word(("ə",), (0,), (1,))
"""Laid out in the place of a form that is not usual, so that every form has its row."""


class NumberedSymbols(dict[str, int]):
    """Gives each new sound the next number; 0 is no sound. `symbols` has them by number."""

    def __init__(self) -> None:
        super().__init__({"": 0})
        self.symbols = [""]

    def __missing__(self, phone: str) -> int:
        self.symbols.append(phone)
        self[phone] = number = len(self)
        return number


class SoundFacts(NamedTuple):
    """Of sounds by number: kind, whether it is unusual, points of WCM, points of IPC, place in IPC."""

    kind: Places
    unusual: Bools
    wcm: Places
    ipc: Places
    place: Places

    def of(self, phones: SmallInts) -> SoundFacts:
        """These facts of each sound in `phones`."""
        kind, unusual, wcm, ipc, place = self
        return SoundFacts(
            kind.take(phones), unusual.take(phones), wcm.take(phones), ipc.take(phones), place.take(phones)
        )


class SoundNumbers:
    """Numbers of sounds in order of first sight, and what is known of each; 0 stands for no sound."""

    def __init__(self, options: ScoringOptions) -> None:
        self.options = options
        self._ids = NumberedSymbols()
        self.symbols = self._ids.symbols
        self._known: list[tuple[int, bool, int, int, int]] = []
        self._arrays: SoundFacts | None = None
        self._roles: dict[int, int] = {}
        self._wcm, self._ipc = complexity_tables(options)
        self._places = {"": 0}
        glides = language_of(options.language).vowel_glides
        self._glides: frozenset[str] = glides if options.spanish_glides == "vowel" else frozenset()

    def ids(self, phones: Iterable[str]) -> list[int]:
        """The number of each sound."""
        return list(map(self._ids.__getitem__, phones))

    def known(self) -> SoundFacts:
        """What is known of each, by number."""
        import numpy as np

        if self._arrays is None or len(self._known) < len(self.symbols):
            self._known += map(self._facts, self.symbols[len(self._known) :])
            self._arrays = SoundFacts(*map(np.array, zip(*self._known)))
        return self._arrays

    def _facts(self, phone: str) -> tuple[int, bool, int, int, int]:
        if not phone:
            return 0, False, 0, 0, 0
        kind = kind_of(phone)
        worth, place = self._ipc[phone]
        number = self._places.setdefault(place, len(self._places))
        return kind, kind == SYLLABIC or phone in STAND_INS or phone in self._glides, self._wcm[phone][0], worth, number

    def roles(self, phones: SmallInts, roles: Places) -> SmallInts:
        """Numbers of the aligner for sounds in their roles."""
        import numpy as np

        codes, which = told_apart(phones * _ROLES + roles)
        book, known = costs(), self._roles
        for code in codes.tolist():
            if code not in known:
                known[code] = book.number(self.symbols[code // _ROLES], code % _ROLES)
        return np.array([known[code] for code in codes.tolist()], np.int32)[which]


def usual_forms(words: Iterable[Word]) -> list[bool]:
    """True for each form that `FormArrays` takes: sounds without doubt in syllables, and no phrase, which is aligned word by
    word."""
    return [
        not word.edges
        and not word.doubtful
        and 0 < len(word.phones) <= LONGEST_FORM
        and word.starts[:1] == (0,)
        and len(word.starts) == len(word.stress)
        for word in words
    ]


class FormArrays:
    """Usual forms (`usual_forms`), at least one of them, one after the other with a gap (sound 0) behind each.

    By form: `length`, `start`, `plain`. By sound: `phone` (its number in `SoundNumbers`), `vowel`, `stressed` (its syllable is),
    `role` (its number for the aligner). The rest is worked out when it is asked for.
    """

    def __init__(self, words: Sequence[Word], sounds: SoundNumbers) -> None:
        import numpy as np

        self.words, self.sounds = words, sounds
        phones, parts = [word.phones for word in words], [word.starts for word in words]
        self.length = np.fromiter(map(len, phones), np.int64, len(words))
        self.ends = np.cumsum(self.length + 1) - 1
        self.start = self.ends - self.length
        size = int(self.ends[-1]) + 1 if len(words) else 0
        where = np.ones(size, bool)
        where[self.ends] = False
        self.phone = np.zeros(size, np.int32)
        self.phone[where] = sounds.ids(chain.from_iterable(phones))
        facts = self._facts = sounds.known().of(self.phone)
        self.vowel = facts.kind == VOWEL
        syllables = np.fromiter(map(len, parts), np.int64, len(words))
        self._syllables = syllables
        self.begins = np.zeros(size, bool)
        starts = np.fromiter(chain.from_iterable(parts), np.int64)
        self.begins[np.repeat(self.start, syllables) + starts] = True
        self._degrees = np.fromiter(chain.from_iterable([word.stress for word in words]), np.int8)
        syllable = np.cumsum(self.begins) - 1
        self.stressed = self._degrees[syllable] > 0
        self.plain = ~np.logical_or.reduceat(facts.unusual, self.start)
        self.role = self._role(facts.kind, syllable)

    def _role(self, kind: Places, syllable: Places) -> SmallInts:
        import numpy as np

        vowel = self.vowel
        before = np.cumsum(vowel) - vowel
        to_vowel = before == before[self.begins][syllable]
        strong, main = self.stressed & to_vowel, self._degrees[syllable] == 1
        first = np.zeros(len(vowel), bool)
        first[self.start] = True
        after_vowel, schwa = np.zeros((2, len(vowel)), bool)
        after_vowel[1:] = vowel[:-1]
        schwa[1:] = self.phone[:-1] == self.sounds.ids("ə")[0]
        before_vowel = np.append(vowel[1:], False)
        weak = np.where(to_vowel, ONSET, PLAIN)
        role = np.where(vowel, np.where(strong, STRESSED, UNSTRESSED), np.where(main & to_vowel, HEAD, weak))
        coda = (kind == LIQUID) & ~first & after_vowel & ~before_vowel
        role[coda] = np.where(schwa, SCHWA_LIQUID, CODA_LIQUID)[coda]
        role[self.ends] = 0
        self._first = first
        numbers = self.sounds.roles(self.phone, role)
        numbers[self.ends] = 0
        return numbers

    @cached_property
    def rows(self) -> SoundRows:
        """The sounds as the aligner takes them."""
        return SoundRows(self.role, self.ends, self.start, self.length)

    def for_scoring(self) -> tuple[NDArray[np.uint8], SmallInts]:
        """For each sound a number for its place and what rule 10 says of it; and for each form WCM, IPC and what `structure`
        has."""
        import numpy as np

        where = self.places() * 3 + self.exempt()
        return where.astype(np.uint8), np.array((*self.complexity(), *self.structure()), np.int32)

    def places(self) -> Places:
        """For each sound its place in the word."""
        import numpy as np

        vowels = np.add.reduceat(self.vowel, self.start, dtype=np.int64)
        before = np.cumsum(self.vowel) - self.vowel
        seen = before - np.repeat(before[self.start], self.length + 1)
        number = np.repeat(vowels, self.length + 1)
        last = np.zeros(len(self.vowel), bool)
        last[self.ends - 1] = True
        consonant = np.where((seen == 0) | (number == 0), INITIAL, np.where(seen == number, FINAL, MEDIAL))
        return np.where(self.vowel, np.where(self._first, INITIAL, np.where(last, FINAL, MEDIAL)), consonant)

    def exempt(self) -> Places:
        """For each sound of an unstressed syllable what rule 10 says of it."""
        import numpy as np

        h, ng = self.sounds.ids("hŋ")
        rule = np.where(self.phone == h, LOST_H, NO_RULE)
        last = self.ends - 1
        rule[last[self.phone[last] == ng]] = NG_AS_N
        rule[self.stressed] = NO_RULE
        return rule

    def structure(self) -> tuple[Places, Places, Places]:
        """For each form a number for its count of syllables, for its shape and for its stress pattern."""
        import numpy as np

        inside = np.arange(len(self.vowel)) - np.repeat(self.start, self.length + 1)
        bits = np.where(self.vowel, 1 << np.minimum(inside, 40), 0)
        shape = np.add.reduceat(bits, self.start) + (1 << np.minimum(self.length, 40))
        first = np.cumsum(self._syllables) - self._syllables
        inside = np.arange(len(self._degrees)) - np.repeat(first, self._syllables)
        main = np.where(self._degrees == 1, 1 << np.minimum(inside, 40), 0)
        stress = np.add.reduceat(main, first) + (1 << np.minimum(self._syllables, 40))
        return np.add.reduceat(self.vowel, self.start, dtype=np.int64), shape, stress

    def complexity(self) -> tuple[Places, Places]:
        """For each form its WCM and its IPC."""
        import numpy as np

        from approx.scoring.judging.complexity import ipc, wcm

        options = self.sounds.options
        simple = (
            options.postvocalic_r == "consonant" and options.ipc_clusters == "contiguous" and options.ipc_tr_homorganic
        )
        if not simple:
            wcms, ipcs = (np.array([points(word, options) for word in self.words]) for points in (wcm, ipc))
            return wcms, ipcs
        return self._wcm(), self._ipc(options.ipc_variegation == "change")

    def _wcm(self) -> Places:
        import numpy as np

        consonant = ~self.vowel
        consonant[self.ends] = False
        one, two = np.append(False, consonant[:-1]), np.append([False, False], consonant[:-2])[: len(consonant)]
        begins_before = np.append(True, self.begins[:-1])
        clusters = consonant & ~self.begins & one & (begins_before | ~two)
        points: Places = np.add.reduceat(self._facts.wcm + clusters, self.start)
        late = np.add.reduceat(self._degrees == 1, np.cumsum(self._syllables) - self._syllables, dtype=np.int64) > 0
        late &= self._degrees[np.cumsum(self._syllables) - self._syllables] != 1
        long_word: int = measure_data("wcm")["long_word"]
        points += consonant[self.ends - 1]
        points += self._syllables >= long_word
        points += late
        return points

    def _ipc(self, every_change: bool) -> Places:
        import numpy as np

        worth, place = self._facts.ipc, self._facts.place
        of_form = np.repeat(np.arange(len(self.length)), self.length + 1)
        consonant = place > 0
        edges = np.diff(np.concatenate(([0], consonant.astype(np.int8), [0])))
        starts, ends = np.flatnonzero(edges == 1), np.flatnonzero(edges == -1)
        long_word: int = measure_data("ipc")["long_word"]
        points: Places = np.add.reduceat(worth, self.start) + (self._syllables >= long_word)
        points += consonant[self.ends - 1]
        if not len(starts):
            return points
        segments = np.stack((starts, ends), 1).ravel()
        lowest, highest = (ufunc.reduceat(place, segments)[::2] for ufunc in (np.minimum, np.maximum))
        form, single = of_form[starts], ends - starts == 1
        runs = ~single
        points += np.bincount(form[runs], 1 + (lowest != highest)[runs], len(points)).astype(np.int64)
        alone, where = form[single], lowest[single]
        changed = alone[1:][(alone[1:] == alone[:-1]) & (where[1:] != where[:-1])]
        changes = np.bincount(changed, minlength=len(points))
        return points + (changes if every_change else changes > 0)


class FormTable:
    """Different forms, each laid out once for all the pairs that it is in; at least one of them.

    By form: `length`, `start`, `plain` (usual, without an unusual sound), `facts` (a row each for WCM, IPC and what
    `structure` has). By sound: `phone`, `role` and `where` (`FormArrays.for_scoring`). Forms that are not plain are not for
    these arrays; what stands for them here means nothing. Without `facts` there are no `facts` and `where`.
    """

    def __init__(self, words: Sequence[Word], sounds: SoundNumbers, facts: bool = True) -> None:
        import numpy as np

        self.sounds = sounds
        usual = usual_forms(words)
        laid = [word if is_plain else _STAND_IN for word, is_plain in zip(words, usual)]
        # what a part needs beside this is let go before the next one
        parts = [
            (part.length, part.plain, part.phone.astype(np.uint16), part.role, *(part.for_scoring() if facts else ()))
            for part in (FormArrays(laid[at : at + _AT_ONCE], sounds) for at in range(0, len(laid), _AT_ONCE))
        ]
        self.length, plain, self.phone, self.role, *rest = (np.concatenate(each, axis=-1) for each in zip(*parts))
        self.ends = np.cumsum(self.length + 1) - 1
        self.start = self.ends - self.length
        self.plain = plain & np.array(usual, bool)
        if facts:
            self.where, self.facts = rest

    @cached_property
    def rows(self) -> SoundRows:
        """The sounds as the aligner takes them."""
        return SoundRows(self.role, self.ends, self.start, self.length)
