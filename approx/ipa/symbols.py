"""Typed IPA into words: normalised, every change reported once, nothing dropped, no doubt made certain.

What marks mean here (JOB 2.4 of the field's habits; common practice, no source):
`?` after a sound or ( ) around sounds: doubtful. `?` before a vowel at the start: a doubtful ʔ. `C` `V`: a consonant
or vowel heard, not identified; `*`: a sound no symbol exists for; `xxx`: a stretch nobody understood.
`0 ∅ Ø -` alone: left off; `-` at an edge: a sound left off there; `-` inside: a syllable cut.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import cache, lru_cache

from approx.datafiles import read_tsv, rules_path
from approx.ipa import features as ft
from approx.ipa.language import Language, language
from approx.ipa.word import UNINTELLIGIBLE, UNKNOWN_CONSONANT, UNKNOWN_SOUND, UNKNOWN_VOWEL, Word, build
from approx.problems import Problem

OMISSIONS = ("0", "∅", "Ø", "-", "–", "—")
_TIE, _CIRCLE = "͡", "⃝"
_STRESS = {"ˈ": 1, "ˌ": 2}
_BREAKS = {"|", "‖", "‿"}


@dataclass(frozen=True, slots=True)
class Change:
    """One kind of change made while reading: what was typed, what it was read as, why, how often."""

    typed: str
    read: str
    why: str
    times: int = 1


@dataclass(frozen=True, slots=True)
class Reading:
    """What was typed and what was read: words, changes (one a kind) and problems. No words = nothing said or read."""

    typed: str
    words: tuple[Word, ...]
    changes: tuple[Change, ...] = ()
    problems: tuple[Problem, ...] = ()
    omitted: bool = False
    """True where the whole text says that the word was left off."""

    @property
    def ipa(self) -> str:
        return " ".join(word.ipa for word in self.words)


def nfd(text: str) -> str:
    """Decomposed form, but ç stays one letter: it is a symbol of the IPA, not c with a mark."""
    return unicodedata.normalize("NFD", text).replace("c\u0327", "\u00e7")


@cache
def _lookalikes(primary: str) -> dict[str, tuple[str, str]]:
    rows = read_tsv(rules_path("ipa/lookalikes.tsv"))
    return {r["typed"]: (r["read"], r["why"]) for r in rows if r["language"] in ("", primary)}


@dataclass(slots=True)
class _Spelled:
    """One word while it is read: sounds so far, marks seen, and a way to report."""

    phones: list[str] = field(default_factory=list)
    stressed: dict[int, int] = field(default_factory=dict)
    cuts: set[int] = field(default_factory=set)
    doubtful: set[int] = field(default_factory=set)
    in_doubt: bool = False
    start_omitted: bool = False
    end_omitted: bool = False


@lru_cache(maxsize=65536)
def read(text: str, language_tag: str = "en-US", notation: str = "ipa") -> Reading:
    """Read a cell or a form: words between blanks, in IPA or (notation="x-sampa") in X-SAMPA.

    Slashes or brackets around the whole are taken off. Problems name symbol, code point and column (from 1).
    """
    if notation == "x-sampa":
        from approx.ipa.xsampa import from_xsampa

        plain = read(from_xsampa(text), language_tag)
        return Reading(text, plain.words, (*plain.changes, Change(text, plain.ipa, "X-SAMPA")), plain.problems)
    return _Reader(text, language(language_tag), language_tag).run()


class _Reader:
    """Reads one text; holds the changes and problems met on the way."""

    def __init__(self, text: str, lang: Language, tag: str) -> None:
        self.text, self.lang = text, lang
        self.alike = _lookalikes(lang.code.split("-")[0])
        self.changes: dict[tuple[str, str, str], int] = {}
        self.problems: list[Problem] = []

    def run(self) -> Reading:
        body, offset = _without_brackets(self.text)
        if body.strip() in OMISSIONS:
            return Reading(self.text, (), (), (), omitted=True)
        words = [self.word(token, offset + at) for at, token in _tokens(body)]
        changes = tuple(Change(*key, times) for key, times in self.changes.items())
        return Reading(self.text, tuple(word for word in words if word.phones), changes, tuple(self.problems))

    def changed(self, typed: str, read_as: str, why: str) -> None:
        key = (typed, read_as, why)
        self.changes[key] = self.changes.get(key, 0) + 1

    def wrong(self, symbol: str, column: int, hint: str) -> None:
        points = " ".join(f"U+{ord(char):04X}" for char in symbol)
        message = f"'{symbol}' {points} in '{self.text.strip()}' is not an IPA symbol"
        self.problems.append(Problem("ipa.symbol", message, hint, column=column, symbol=symbol))

    def word(self, token: str, column: int) -> Word:
        if token.lower() == UNINTELLIGIBLE:
            return Word((UNINTELLIGIBLE,), (0,), (0,), frozenset({0}))
        state, chars = _Spelled(), nfd(token)
        if chars[:1].isupper() and (chars[1:].islower() or not chars[1:]) and self.auto_capital(chars[0]):
            self.changed(chars[0], chars[0].lower(), "capital at the start")
            chars = chars[0].lower() + chars[1:]
        at = 0
        while at < len(chars):
            at = self.step(state, chars, at, column)
        return self.finish(state)

    def auto_capital(self, char: str) -> bool:
        return char.lower() in ft.bases() and char not in (UNKNOWN_CONSONANT, UNKNOWN_VOWEL)

    def step(self, state: _Spelled, chars: str, at: int, column: int) -> int:
        """Read what starts at `at`; where the next step starts."""
        char, here = chars[at], len(state.phones)
        base = ""
        for end in range(min(len(chars), at + 5), at, -1):
            if chars[at:end] in ft.bases():
                base = chars[at:end]
                break
        alike = self.alike.get(chars[at : at + 2]) if len(chars) > at + 1 else None
        size = 2 if alike else 1
        alike = alike or self.alike.get(char)
        if alike and (not base or len(base) <= size):
            self.changed(chars[at : at + size], alike[0], alike[1])
            return self.substitute(state, chars, at, size, alike[0], column)
        if base:
            self.add(state, base)
            return at + len(base)
        return self.mark(state, chars, at, column, here)

    def substitute(self, state: _Spelled, chars: str, at: int, size: int, read_as: str, column: int) -> int:
        rest = read_as
        while rest:
            rest = rest[self.step_plain(state, rest, column + at) :]
        return at + size

    def step_plain(self, state: _Spelled, text: str, column: int) -> int:
        for end in range(min(len(text), 5), 0, -1):
            if text[:end] in ft.bases():
                self.add(state, text[:end])
                return end
        self.mark(state, text, 0, column, len(state.phones))
        return 1

    def add(self, state: _Spelled, symbol: str) -> None:
        """Add a sound, joined with the one before where the language has them as one."""
        if state.phones and len(state.phones) not in state.cuts and len(state.phones) not in state.stressed:
            last = state.phones[-1]
            if last.endswith(_TIE) or last == "ˀ":
                state.phones[-1] = last + symbol
                return
            joined = last + symbol
            if joined in self.lang.diphthongs:
                state.phones[-1] = joined
                return
            if f"{last}{_TIE}{symbol}" in self.lang.affricates:
                self.changed(joined, f"{last}{_TIE}{symbol}", "affricate without its tie bar")
                state.phones[-1] = f"{last}{_TIE}{symbol}"
                return
            if joined in self.lang.respelled:
                self.changed(joined, self.lang.respelled[joined], "one diphthong")
                state.phones[-1] = self.lang.respelled[joined]
                return
        if state.in_doubt:
            state.doubtful.add(len(state.phones))
        state.phones.append(symbol)

    def mark(self, state: _Spelled, chars: str, at: int, column: int, here: int) -> int:
        """Read one character that is not a base symbol."""
        char = chars[at]
        if char in _STRESS:
            state.stressed[here] = _STRESS[char]
        elif char == ".":
            state.cuts.add(here)
        elif char == _TIE and here:
            state.phones[-1] += char
        elif char in ft.marks() and here and state.phones[-1] not in (UNKNOWN_SOUND, UNINTELLIGIBLE):
            state.phones[-1] += char
        elif char == "ˀ" and at + 1 < len(chars):
            state.phones.append(char)
        elif char in "()":
            state.in_doubt = char == "("
        elif char == _CIRCLE and here:
            state.doubtful.add(here - 1)
        elif char == "?":
            self.question(state, here)
        elif char in (UNKNOWN_CONSONANT, UNKNOWN_VOWEL, UNKNOWN_SOUND):
            state.doubtful.add(here)
            state.phones.append(char)
        elif char == ",":
            self.changed(",", "ˌ", "comma for secondary stress")
            state.stressed[here] = 2
        elif char in OMISSIONS:
            self.omission(state, chars, at, here)
        else:
            self.wrong(char, column + at, self.hint(char, chars, at))
            state.doubtful.add(here)
            state.phones.append(UNKNOWN_SOUND)
        return at + 1

    def question(self, state: _Spelled, here: int) -> None:
        if here:
            state.doubtful.add(here - 1)
            self.changed("?", "", "doubt about the sound before it")
        else:
            state.doubtful.add(0)
            state.phones.append("ʔ")
            self.changed("?", "ʔ", "a doubtful ʔ: no sound stands before it")

    def omission(self, state: _Spelled, chars: str, at: int, here: int) -> None:
        if at == 0:
            state.start_omitted = True
        elif at == len(chars) - 1:
            state.end_omitted = True
        else:
            state.cuts.add(here)
            self.changed(chars[at], ".", "dash for a syllable cut")

    def hint(self, char: str, chars: str, at: int) -> str:
        if char.isupper() and char.lower() in ft.bases():
            return f"write '{char.lower()}', or read the text as X-SAMPA (--notation x-sampa)"
        if char.isdigit():
            return "numbers stand for no sound; 0 alone means left off"
        return "see rules/ipa/features.tsv and marks.tsv for the symbols, or write * for a sound without one"

    def finish(self, state: _Spelled) -> Word:
        phones, moved = _join_rhotic(state.phones, self.lang)
        if moved:
            self.changed("əɹ", "ɚ", "r-coloured vowel in two letters")
        where = {old: new for new, old in enumerate(_kept(state.phones, phones))}
        shift: Callable[[int], int] = lambda old: where.get(old, where.get(old - 1, len(phones))) if moved else old
        stressed = {shift(at): degree for at, degree in state.stressed.items() if shift(at) < len(phones)}
        return build(
            phones,
            stressed,
            {shift(at) for at in state.cuts},
            self.lang,
            {shift(at) for at in state.doubtful},
            (state.start_omitted, state.end_omitted),
        )


def _without_brackets(text: str) -> tuple[str, int]:
    """The text inside slashes or brackets, and the column where it starts."""
    body = text.strip()
    start = text.index(body) + 1 if body else 1
    for left, right in ("//", "[]", "⟨⟩"):
        if len(body) > 1 and body[0] == left and body[-1] == right and left not in body[1:-1]:
            return body[1:-1], start + 1
    return body, start


def _tokens(text: str) -> Iterator[tuple[int, str]]:
    """Words between blanks and group marks, with their place."""
    start = None
    for at, char in enumerate((*text, " ")):
        blank = char.isspace() or char in _BREAKS or unicodedata.category(char) == "Cf"
        if blank and start is not None:
            yield start, text[start:at]
            start = None
        elif not blank and start is None:
            start = at


def _join_rhotic(phones: list[str], lang: Language) -> tuple[list[str], bool]:
    """English əɹ, ɜɹ and ʌɹ before a consonant or the end are one vowel: ɚ, ɝ."""
    if not lang.code.startswith("en"):
        return phones, False
    out: list[str] = []
    for at, phone in enumerate(phones):
        follows = phones[at + 1] if at + 1 < len(phones) else ""
        if phone == "ɹ" and out and out[-1] in ("ə", "ɜ") and not ft.is_nucleus(follows or "t"):
            out[-1] = {"ə": "ɚ", "ɜ": "ɝ"}[out[-1]]
        else:
            out.append(phone)
    return out, len(out) != len(phones)


def _kept(before: list[str], after: list[str]) -> list[int]:
    """For each sound after joining, its place before."""
    if len(before) == len(after):
        return list(range(len(after)))
    kept, at = [], 0
    for phone in after:
        kept.append(at)
        at += 1 if before[at] == phone else 2
    return kept


def segments(text: str, language_tag: str = "en-US") -> tuple[str, ...]:
    """The sounds of one canonical form. ValueError on anything that is not one word of known symbols."""
    found = read(text, language_tag)
    if found.problems or len(found.words) != 1:
        raise ValueError("; ".join(map(str, found.problems)) or f"'{text}' is not one word")
    return found.words[0].phones
