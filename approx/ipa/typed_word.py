"""One typed word, character by character: look-alikes, habits, marks of doubt. Nothing goes in silence.

What a mark means here is common practice, no source; circles and pauses are those of the clinical extensions:
`?` after a sound, ( ) around sounds or a circle on one: doubtful. `?` with no sound before it: a doubtful ʔ
before a vowel, else an unknown sound. `C` `V`: a consonant or vowel heard, not identified; `*`: a sound
without a symbol; `xxx`: a stretch nobody understood. `0 ∅ Ø -` at an edge: a sound left off there; a dash
inside: a syllable cut. `(.)`: a pause, which cuts.
"""

from __future__ import annotations

import re
import unicodedata
from functools import cache

from approx.datafiles import read_tsv, rules_path
from approx.ipa import features as ft
from approx.ipa.language import Language
from approx.ipa.reading import ReadingNotes
from approx.ipa.typed_sounds import STRESS, TypedSounds
from approx.ipa.word import DASHES, OMISSIONS, UNINTELLIGIBLE, UNKNOWN_CONSONANT, UNKNOWN_SOUND, UNKNOWN_VOWEL, Word
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


def _nfd(text: str) -> str:
    return unicodedata.normalize("NFD", text)


class WordReader:
    """Reads the words of one text in turn; a parenthesis may stay open from one word to the next.

    `exact`: every symbol means what it says (X-SAMPA): no look-alike is replaced and no habit is doubted.
    """

    def __init__(self, notes: ReadingNotes, lang: Language, exact: bool) -> None:
        self.notes, self.lang, self.exact = notes, lang, exact
        self.alike = {} if exact else _lookalikes(lang.code.split("-")[0])
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
            self.heard += 1
            sounds.add(char, place, bool(self.open))
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
            self.heard += 1
            sounds.add(char, place, bool(self.open))
        else:
            self._refuse(char, place)
        return 1

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
