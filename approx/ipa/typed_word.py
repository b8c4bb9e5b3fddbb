"""One typed word, character by character: look-alikes, habits, marks of doubt; sounds joined where they are one. Nothing goes
in silence.

What a mark means here is common practice, no source; circles and pauses are those of the clinical extensions:
  `?` after a sound, ( ) around sounds or a circle on one: doubtful. `?` with no sound before it: a doubtful ʔ before a vowel, else an unknown sound.
  `C` `V`: a consonant or vowel heard, not identified; `*`: a sound without a symbol; `xxx`: a stretch nobody understood.
  `0 ∅ Ø -` at an edge: a sound left off there; a dash inside: a syllable cut. `(.)`: a pause, which cuts."""

from __future__ import annotations

import re
import unicodedata
from functools import cache
from itertools import pairwise

from approx.datafiles import read_tsv, rules_path
from approx.ipa import features as ft
from approx.ipa.features import BEFORE, TIE, bare, halves, is_nucleus, is_vowel
from approx.ipa.language import Language, language
from approx.ipa.reading import ReadingNotes
from approx.ipa.word import (
    DASHES,
    OMISSIONS,
    UNIDENTIFIED,
    UNINTELLIGIBLE,
    UNKNOWN_CONSONANT,
    UNKNOWN_SOUND,
    UNKNOWN_VOWEL,
    Word,
    build_word,
)
from approx.wording import worded

_CIRCLE = "⃝"
_SYMBOLS = "see rules/ipa/features.tsv and marks.tsv, or write * for a sound without a symbol"
_SAID = {
    "symbol": "is not an IPA symbol",
    "tone": "is a mark of tone",
    "tries": "is not a sound",
    "bracket": "has no partner",
    "sign": "is not a sound",
}
"""What a problem says of each kind of character in `rules/ipa/refused.tsv`."""
_NAMES = {UNKNOWN_CONSONANT: "a consonant", UNKNOWN_VOWEL: "a vowel"}


@cache
def _lookalikes(primary: str) -> dict[str, tuple[str, str]]:
    rows = read_tsv(rules_path("ipa/lookalikes.tsv"))
    return {_nfd(r["typed"]): (r["read"], r["why"]) for r in rows if r["language"] in ("", primary)}


@cache
def _refused() -> dict[str, tuple[str, str]]:
    return {row["symbol"]: (row["kind"], row["hint"]) for row in read_tsv(rules_path("ipa/refused.tsv"))}


@cache
def _letters() -> dict[str, str]:
    """Base letters that decomposed text holds as a letter and a mark (ç)."""
    return {_nfd(base): base for base in ft.bases() if len(base) == 1 and len(_nfd(base)) > 1}


@cache
def _plain_symbols(primary: str) -> frozenset[str]:
    """Symbols that are read as they stand where no mark makes them a look-alike; x may begin a stretch."""
    return frozenset(ft.bases()).difference(_lookalikes(primary), "x")


@cache
def _with_marks(primary: str) -> frozenset[str]:
    """What is read as something else with its mark: look-alikes of two characters, letters that decomposed text parts."""
    return frozenset(typed for typed in (*_lookalikes(primary), *_letters()) if len(typed) == 2)


@cache
def _seconds(code: str) -> frozenset[str]:
    """Symbols that may be one sound with the one before them, without a tie bar."""
    lang = language(code)
    pairs = (*lang.diphthongs, *lang.respelled, *(affricate.replace(TIE, "") for affricate in lang.affricates))
    return frozenset(pair[1:] for pair in pairs)


def _nfd(text: str) -> str:
    return unicodedata.normalize("NFD", text)


class WordReader:
    """Reads the words of one text in turn; a parenthesis may stay open from one word to the next.

    `exact`: every symbol means what it says (X-SAMPA): no look-alike is replaced and no habit is doubted.
    """

    def __init__(self, notes: ReadingNotes, lang: Language, exact: bool) -> None:
        self.notes, self.lang, self.exact = notes, lang, exact
        primary = lang.code.split("-")[0]
        self.alike = {} if exact else _lookalikes(primary)
        self.plain, self.with_marks = _plain_symbols(primary), _with_marks(primary)
        self.open: list[tuple[int, int]] = []
        self.heard = 0
        self.left_off = ""

    def read(self, token: str, offset: int) -> list[Word]:
        """The word in `token`, which starts at character `offset` of the text, or the trials typed as one word."""
        self.words: list[Word] = []
        if self._is_sheet_value(token, offset):
            return self.words
        self.sounds = TypedSounds(self.notes, self.lang)
        self.token, self.offset = token if self.exact else self._without_capital(token), offset
        at = 0
        while at < len(token):
            at += self._step(at)
        self._finish_word(offset + at)
        return self.words

    def _finish_word(self, place: int) -> None:
        """Keeps the word that ends before `place`, if it has a sound."""
        if self.left_off and not self.sounds.phones:
            self.notes.changed(self.left_off, "", "an omitted word")
        self.left_off = ""
        word = self.sounds.finish(place, self.exact)
        if word:
            self.words.append(word)

    def close(self) -> None:
        """Names every parenthesis that is still open at the end of the text."""
        for at, _ in self.open:
            self.notes.wrong("bracket", "(", at, "is not closed", "a doubtful sound goes between ( and )")

    def _is_sheet_value(self, token: str, offset: int) -> bool:
        """Numbers, dates and error words of a spreadsheet, which are no forms."""
        if not (token[0].isdigit() or token[0] == "#"):
            return False
        if re.fullmatch(r"\d[\d/.:,+\-]*(?:[Ee][+\-]?\d+)?", token):
            hint = "a score or a date where a form was expected; 0 alone means omitted"
            self.notes.wrong("number", token, offset, "is a number, not a form", hint)
        elif re.fullmatch(r"#[A-Z0-9/]+[?!]?", token):
            hint = "the spreadsheet took the form for a formula; format the column as text"
            self.notes.wrong("number", token, offset, "is a spreadsheet error, not a form", hint)
        else:
            return False
        return True

    def _without_capital(self, token: str) -> str:
        """The word without the capital that a word processor puts at its start."""
        if token == token.lower():
            return token
        letters = (at for at, char in enumerate(token) if unicodedata.category(char) in ("Lu", "Ll", "Lo"))
        at = next(letters, 0)
        char, rest = token[at : at + 1], token[at + 1 :]
        alone = char.isupper() and not any(other.isupper() for other in rest)
        if not alone or token[at:].lower().startswith(UNINTELLIGIBLE):
            return token
        if char in _NAMES:
            if any(other in ft.bases() for other in rest):
                why = worded("{names} heard, not identified; a small letter may be meant", names=_NAMES[char])
                self.notes.changed(char, char, why)
            return token
        small = char.lower()
        if len(small) != 1 or not (small in ft.bases() or small in self.alike):
            return token
        self.notes.changed(char, small, "capital at the start")
        return token[:at] + small + rest

    def _step(self, at: int) -> int:
        """Reads what starts at `at` of the word; how many characters it took."""
        two = self.token[at : at + 2]
        if two[0] in self.plain and two not in self.with_marks:
            self.heard += 1
            self.sounds.add(two[0], self.offset + at, bool(self.open))
            return 1
        if two in _letters():
            self._plain(_letters()[two], at)
            return 2
        for typed in (two, two[:1]):
            if typed in self.alike:
                read_as, why = self.alike[typed]
                if read_as == "ˈ":
                    return self._stress_key(typed, why, at)
                self.notes.changed(typed, read_as, why)
                for char in read_as:
                    self._plain(char, at)
                return len(typed)
        run = len(self.token) - at - len(self.token[at:].lstrip("xX"))
        if run >= len(UNINTELLIGIBLE):
            typed = self.token[at : at + run]
            if typed != UNINTELLIGIBLE:
                self.notes.changed(typed, UNINTELLIGIBLE, "an unintelligible stretch")
            self._unidentified(UNINTELLIGIBLE, self.offset + at)
            return run
        return self._plain(two[:1], at)

    def _plain(self, char: str, at: int) -> int:
        """Reads one character that is no look-alike; how many characters it took."""
        place, sounds = self.offset + at, self.sounds
        if char in ft.bases():
            self._sound(char, place)
        elif char in STRESS or char == ".":
            sounds.add_boundary(char, place)
        elif char == ft.TIE:
            sounds.add_tie(place)
        elif char in ft.marks():
            sounds.add_mark(char, place)
            if self.open and sounds.last:
                self.heard += 1
                sounds.doubt()
        elif char in (UNKNOWN_CONSONANT, UNKNOWN_VOWEL, UNKNOWN_SOUND):
            self._unidentified(char, place)
        elif char == "?":
            self._question(at)
        elif char == "(":
            return self._parenthesis(at)
        elif char == ")":
            self._close_parenthesis(place)
        elif char == _CIRCLE and sounds.last:
            sounds.doubt()
        elif char in OMISSIONS:
            self._omission(char, at)
        elif char == "," and any(self.alike.get(key, (key,))[0] == "ˈ" for key in self.token):
            self.notes.changed(",", "ˌ", "comma for secondary stress")
            sounds.add_boundary("ˌ", place)
        elif ft.base_features(char) is not None:  # a sound that our table lacks and panphon has
            self._sound(char, place)
        else:
            self._refuse(char, place)
        return 1

    def _sound(self, char: str, place: int) -> None:
        self.heard += 1
        self.sounds.add(char, place, bool(self.open))

    def _stress_key(self, typed: str, why: str, at: int) -> int:
        """An apostrophe and its like: stress, or an ejective where no stress can stand."""
        sounds, last = self.sounds, self.sounds.last
        found = ft.features(last)
        if typed == "ʼ" and found and found[0] != 1:
            sounds.add_mark(typed, self.offset + at)
            return 1
        voiceless = ft.has(last, ft.parse_bundle("-son -voi")) and typed not in ('"', "“", "”")
        after = any(ft.is_vowel(self.alike.get(char, (char,))[0]) for char in self.token[at + 1 :])
        if voiceless and not (after and any(map(ft.is_nucleus, sounds.phones))):
            self.notes.changed(typed, "ʼ", "a doubtful ejective: no stress can stand here")
            sounds.add_mark("ʼ", self.offset + at)
            sounds.doubt()
        else:
            self.notes.changed(typed, "ˈ", why)
            sounds.add_boundary("ˈ", self.offset + at)
        return 1

    def _question(self, at: int) -> None:
        sounds, changed = self.sounds, self.notes.changed
        self.heard += 1
        following = self.token[at + 1 : at + 2]
        if at and self.token[at - 1] in OMISSIONS:
            sounds.start_omitted = sounds.end_omitted = False  # not certain either
            self.left_off = ""
            hint = "write the sound with ? after it, or leave it out"
            symbol = self.token[at - 1 : at + 1]
            self.notes.wrong("mark", symbol, self.offset + at - 1, "doubts an omission", hint)
        elif sounds.last:
            sounds.doubt()
            changed("?", "", "doubt about the sound before it")
        elif ft.is_vowel(self.alike.get(following, (following,))[0]):
            changed("?", "ʔ", "a doubtful ʔ: there is no sound before it")
            sounds.add("ʔ", self.offset + at, doubt=True)
        else:
            changed("?", UNKNOWN_SOUND, "a sound heard, not identified")
            self._unidentified(UNKNOWN_SOUND, self.offset + at)

    def _parenthesis(self, at: int) -> int:
        """Opens a stretch in doubt, or reads a pause in parentheses; how many characters it took."""
        rest = self.token[at:]
        pause = re.match(r"\(\.+\)", rest)
        if pause and self.sounds.phones and pause.end() < len(rest):
            self.notes.changed(pause[0], ".", "a pause inside a word")
            self.sounds.add_boundary(".", self.offset + at)
        elif pause:
            self.notes.changed(pause[0], "", "a pause")
        else:
            self.open.append((self.offset + at, self.heard))
        return pause.end() if pause else 1

    def _close_parenthesis(self, place: int) -> None:
        hint = "a doubtful sound goes between ( and )"
        if self.open:
            opened, heard = self.open.pop()
            if heard == self.heard:
                self.notes.wrong("bracket", "(", opened, "contains no sound", hint)
            return
        self.sounds.doubtful.update(range(len(self.sounds.phones)))
        self.notes.wrong("bracket", ")", place, "was not opened", hint)

    def _unidentified(self, symbol: str, place: int) -> None:
        self.heard += 1
        self.sounds.add_unidentified(symbol, place)

    def _omission(self, char: str, at: int) -> None:
        if not self.sounds.phones and not self.sounds.waiting:
            self.sounds.start_omitted = True
            self.left_off += char
        elif at == len(self.token) - 1:
            self.sounds.end_omitted = True
            self.left_off += char
        elif char in DASHES:
            self.notes.changed(char, ".", "dash for a syllable cut")
            self.sounds.add_boundary(".", self.offset + at)
        else:
            self.notes.changed(char, "", "a sound omitted inside the word")

    def _refuse(self, char: str, place: int) -> None:
        """A problem for a character that is not read. What stood for a sound is kept as an unknown one."""
        category = unicodedata.category(char)
        if category == "Cf":
            self.notes.changed(f"U+{ord(char):04X}", "", "an invisible character")
            return
        kind, hint = _refused().get(char, ("", ""))
        if not hint:
            kind, hint = "symbol", _SYMBOLS
            if char.isupper() and char.lower() in ft.bases():
                hint = worded("write '{char}', or read the text as X-SAMPA (--notation x-sampa)", char=char.lower())
            elif char.isdigit():
                hint = "a digit is not a sound; 0 alone means omitted"
        self.notes.wrong("symbol" if kind == "sign" else kind, char, place, _SAID[kind], hint)
        if kind == "tries":
            self._finish_word(place)
            self.sounds = TypedSounds(self.notes, self.lang)
        if kind != "symbol":
            return
        if category in ("Mn", "Me", "Lm", "Sk"):
            if self.sounds.last:
                self.sounds.doubt()
        elif category[0] in "LNS" or char in _refused():
            self._unidentified(UNKNOWN_SOUND, place)


STRESS = {"ˈ": 1, "ˌ": 2}
"""Stress marks and their degrees."""
_NON_SYLLABIC = "̯"
_TIES = "a tie bar goes between two consonants or two vowels"


class TypedSounds:
    """One word: sounds so far, and boundaries that wait for the next sound. `at` counts in the whole text."""

    def __init__(self, notes: ReadingNotes, lang: Language) -> None:
        self.notes, self.lang, self.seconds = notes, lang, _seconds(lang.code)
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
        phones = self.phones
        last = phones[-1] if phones and not self.waiting and not self.before else ""
        one = last and (symbol in self.seconds or last.endswith(TIE))
        joined = self._joined(last, symbol, at) if one else ""
        if joined:
            self.phones[-1] = joined
        else:
            if self.waiting:
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
            letter = phone if len(phone) == 1 else bare(phone)[0]
            if letter in lang.doubtful:
                changed(letter, letter, lang.doubtful[letter])
                self.doubtful.add(at)
            elif letter in lang.noted:
                changed(letter, letter, lang.noted[letter])
        pairs = [
            (at, one + other) for at, (one, other) in enumerate(pairwise(self.phones)) if one + other in lang.doubtful
        ]
        if not pairs:
            return
        nuclei = [at for at, phone in enumerate(self.phones) if is_nucleus(phone)]
        first, last = (nuclei[0], nuclei[-1]) if nuclei else (len(self.phones), -1)
        for at, pair in pairs:
            if at < first or at + 1 > last:
                changed(pair, pair, lang.doubtful[pair])
                self.doubtful |= {at, at + 1}

    def _report_moved(self, word: Word) -> None:
        """Says which cuts and stress marks could not stay where they were typed."""
        for _ in self.cuts.difference(word.starts) if self.cuts else ():
            self.notes.changed(".", "", "a cut that leaves a syllable without a vowel")
        for at, degree in self.stressed.items():
            if at in word.starts:
                continue
            mark = "ˈˌ"[degree - 1]
            if any(is_nucleus(phone) for phone in self.phones[at:]):
                self.notes.changed(mark, mark, "moved to the start of its syllable")
            else:
                self._no_syllable(mark, self.stress_typed_at[at])
