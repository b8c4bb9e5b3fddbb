"""The sounds of one typed word while they come in: joined where they are one, with marks, cuts and doubts."""

from __future__ import annotations

from itertools import pairwise

from approx.ipa.features import BEFORE, TIE, bare, halves, is_nucleus, is_vowel
from approx.ipa.language import Language
from approx.ipa.reading import ReadingNotes
from approx.ipa.word import UNIDENTIFIED, UNINTELLIGIBLE, Word, build_word

STRESS = {"ˈ": 1, "ˌ": 2}
"""Stress marks and their degrees."""
_NON_SYLLABIC = "̯"
_TIES = "a tie bar goes between two consonants or two vowels"


class TypedSounds:
    """One word: sounds so far, and boundaries that wait for the next sound. `at` counts in the whole text."""

    def __init__(self, notes: ReadingNotes, lang: Language) -> None:
        self.notes, self.lang = notes, lang
        self.phones: list[str] = []
        self.stressed: dict[int, int] = {}
        self.stress_typed_at: dict[int, int] = {}
        self.cuts: set[int] = set()
        self.doubtful: set[int] = set()
        self.waiting: list[tuple[str, int]] = []
        self.before = ""
        self.start_omitted = self.end_omitted = False

    @property
    def last(self) -> str:
        """The sound that a mark typed now would stand on; "" where none does."""
        return self.phones[-1] if self.phones and not self.waiting else ""

    def add(self, symbol: str, at: int, doubt: bool) -> None:
        """A base symbol: one sound with the last where the language has them as one, else a new sound."""
        joined = self._joined(self.last, symbol, at) if self.last and not self.before else ""
        if joined:
            self.phones[-1] = joined
        else:
            self._settle()
            self.phones.append(self.before + symbol)
            self.before = ""
        if doubt:
            self.doubt()

    def add_unidentified(self, symbol: str, at: int) -> None:
        """A sound heard but not known: it joins nothing and is always doubtful."""
        self._untie(at)
        self._settle()
        self.phones.append(symbol)
        self.doubt()

    def doubt(self) -> None:
        """The last sound is not certain."""
        self.doubtful.add(len(self.phones) - 1)

    def add_mark(self, char: str, at: int) -> None:
        """A mark on the sound before it, or one of the few that may stand before their sound."""
        if not self.last and char in BEFORE:
            self.before += char
        elif not self.last:
            self.notes.wrong("mark", char, at, "has no sound before it", "a mark follows its sound")
        elif self.last in UNIDENTIFIED:
            self.notes.changed(char, "", "a mark on a sound that was not identified")
        elif self.last.endswith(TIE):
            self.notes.wrong("mark", char, at, "follows a tie bar", "write the mark after the second symbol")
        elif char != _NON_SYLLABIC or not self._glides():
            self.phones[-1] += char

    def add_tie(self, at: int) -> None:
        """A tie bar: the next symbol belongs to the same sound."""
        if self.last and self.last not in UNIDENTIFIED and not self.last.endswith(TIE):
            self.phones[-1] += TIE
        else:
            self.notes.wrong("mark", TIE, at, "has no sound before it", _TIES)

    def add_boundary(self, char: str, at: int) -> None:
        """A stress mark or a dot: it begins a syllable at the next sound."""
        self._untie(at)
        self.waiting.append((char, at))

    def finish(self, at: int, exact: bool) -> Word | None:
        """The word, None where nothing was a sound. `exact`: no habit of writing is in doubt."""
        self._untie(at)
        if self.before:
            hint = "write the sound it belongs to"
            self.notes.wrong("mark", self.before, at - 1, "has no sound after it", hint)
        for char, place in self.waiting:
            if char == ".":
                self.notes.changed(".", "", "a dot at the edge of a word")
            else:
                self._no_syllable(char, place)
        if not self.phones:
            return None
        omitted = (self.start_omitted, self.end_omitted)
        if self.phones == [UNINTELLIGIBLE]:
            return Word((UNINTELLIGIBLE,), (0,), (self.stressed.get(0, 0),), frozenset({0}), omitted)
        if self.lang.rhotic and "ɹ" in self.phones:
            self._join_rhotics()
        if not exact:
            self._doubt_habits()
        word = build_word(self.phones, self.stressed, self.cuts, self.lang, self.doubtful, omitted)
        self._report_moved(word)
        return word

    def _joined(self, last: str, symbol: str, at: int) -> str:
        """The one sound that `last` and `symbol` make, "" if they are two."""
        if last in UNIDENTIFIED:
            return ""
        body = last.removesuffix(TIE)
        first, tied = bare(body)[0], last.endswith(TIE)
        pair = first + symbol
        if pair in self.lang.diphthongs:
            if tied:
                self.notes.changed(first + TIE + symbol, pair, "diphthong with a tie bar")
            return body + symbol
        respelled = self.lang.respelled.get(pair, "")
        if respelled:
            self.notes.changed(pair, respelled, "one diphthong")
            return body.replace(first, respelled[0], 1) + respelled[1:]
        rhotic = self.lang.rhotic.get(pair, "") if tied else ""
        if rhotic:
            self.notes.changed(first + TIE + symbol, rhotic, "r-coloured vowel in two letters")
            return body.replace(first, rhotic, 1)
        if tied and is_vowel(first) == is_vowel(symbol):
            return last + symbol
        if tied:
            self._untie(at)
        elif last == first and first + TIE + symbol in self.lang.affricates:
            self.notes.changed(pair, first + TIE + symbol, "affricate without its tie bar")
            return first + TIE + symbol
        return ""

    def _untie(self, at: int) -> None:
        """Takes off a tie bar that binds nothing."""
        if self.last.endswith(TIE):
            self.phones[-1] = self.last.removesuffix(TIE)
            self.notes.wrong("mark", TIE, at - 1, "joins nothing", _TIES)

    def _glides(self) -> bool:
        """A vowel marked as non-syllabic is the second half of a diphthong, if a vowel stands before it."""
        here = len(self.phones) - 1
        if bare(self.last)[0] in self.lang.diphthongs:
            self.notes.changed(_NON_SYLLABIC, "", "the second half of a diphthong")
            return True
        vowels = self.phones[-2:]
        single = [is_nucleus(v) and is_vowel(v) and halves(v) == (v, v) for v in vowels]
        apart = here in self.cuts or here in self.stressed or not UNIDENTIFIED.isdisjoint(vowels)
        if single != [True, True] or apart:
            return False
        self.phones[-2:] = ["".join(vowels) + _NON_SYLLABIC]
        if here in self.doubtful:
            self.doubtful.remove(here)
            self.doubt()
        return True

    def _settle(self) -> None:
        """Gives the boundaries that wait their place: the sound that comes next."""
        here = len(self.phones)
        for char, at in self.waiting:
            degree = STRESS.get(char, 0)
            if not degree and here == 0:
                self.notes.changed(".", "", "a dot at the edge of a word")
            elif here in self.cuts if not degree else self.stressed.get(here) == degree:
                self.notes.changed(char, "", "written twice")
            elif not degree:
                self.cuts.add(here)
            elif here in self.stressed:
                hint = "a syllable has one degree of stress"
                self.notes.wrong("mark", char, at, "is next to another stress mark", hint)
            else:
                self.stressed[here], self.stress_typed_at[here] = degree, at
        self.waiting.clear()

    def _no_syllable(self, char: str, at: int) -> None:
        hint = "a stress mark goes before the stressed syllable"
        self.notes.wrong("mark", char, at, "has no syllable after it", hint)

    def _join_rhotics(self) -> None:
        """A vowel and ɹ that are one vowel unless a vowel follows: əɹ is ɚ in "water", not in "giraffe"."""
        new: list[str] = []
        where: dict[int, int] = {}
        for at, phone in enumerate(self.phones):
            pair = self.phones[at - 1] + phone if at else ""
            follows = self.phones[at + 1] if at + 1 < len(self.phones) else ""
            apart = at in self.cuts or at in self.stressed or is_nucleus(follows)
            if pair in self.lang.rhotic and not apart:
                new[-1] = self.lang.rhotic[pair]
                self.notes.changed(pair, new[-1], "r-coloured vowel in two letters")
            else:
                new.append(phone)
            where[at] = len(new) - 1
        self.phones = new
        self.stressed = {where[at]: degree for at, degree in self.stressed.items()}
        self.stress_typed_at = {where[at]: place for at, place in self.stress_typed_at.items()}
        self.cuts = {where[at] for at in self.cuts}
        self.doubtful = {where[at] for at in self.doubtful}

    def _doubt_habits(self) -> None:
        """Marks what is seldom meant as typed in this language as doubtful, notes what else may be meant."""
        lang, changed = self.lang, self.notes.changed
        for at, phone in enumerate(self.phones):
            letter = bare(phone)[0]
            if letter in lang.doubtful:
                changed(letter, letter, lang.doubtful[letter])
                self.doubtful.add(at)
            elif letter in lang.noted:
                changed(letter, letter, lang.noted[letter])
        nuclei = [at for at, phone in enumerate(self.phones) if is_nucleus(phone)]
        first, last = (nuclei[0], nuclei[-1]) if nuclei else (len(self.phones), -1)
        for at, (one, other) in enumerate(pairwise(self.phones)):
            if one + other in lang.doubtful and (at < first or at + 1 > last):
                changed(one + other, one + other, lang.doubtful[one + other])
                self.doubtful |= {at, at + 1}

    def _report_moved(self, word: Word) -> None:
        """Says which cuts and stress marks could not stay where they were typed."""
        for _ in self.cuts.difference(word.starts):
            self.notes.changed(".", "", "a cut that leaves a syllable without a vowel")
        for at, degree in self.stressed.items():
            mark = "ˈˌ"[degree - 1]
            if at in word.starts:
                continue
            if any(is_nucleus(phone) for phone in self.phones[at:]):
                self.notes.changed(mark, mark, "moved to the start of its syllable")
            else:
                self._no_syllable(mark, self.stress_typed_at[at])
