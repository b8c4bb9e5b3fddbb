"""Targets from what a clinician types: a phrase, or a list with optional IPA, typed or in a file (a word a line, or CSV or TSV with
`target_word` and optional `target_ipa`).
"""

from __future__ import annotations

import csv
import io
import re
import sys
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from approx.child.profile import Profile
from approx.ipa import read
from approx.ipa.word import Word
from approx.lexicon.pronunciation import Pronunciation
from approx.lexicon.reading import pronunciations
from approx.lexicon.spelling import base_language, look_up_form
from approx.lexicon.word_lists import name_reading
from approx.problems import Problem
from approx.wording import worded

WORD_NAMES = ("target_word", "word", "gloss", "target")
IPA_NAMES = ("target_ipa", "ipa")
ListRow = tuple[str, str, int]
"""Word, IPA or "", and the line it stands on (from 1, the header counted); 0 where it was typed in one line."""


def read_words(name: str) -> tuple[list[ListRow], tuple[Problem, ...]]:
    """Rows of a file, or of stdin for "-". Blank lines and lines that start with # are passed over."""
    try:
        raw = sys.stdin.buffer.read() if name == "-" else Path(name).read_bytes()
    except OSError as error:
        return [], (
            Problem(
                "words.file",
                worded("cannot read the list: {strerror}", strerror=error.strerror),
                "check the name",
                name,
            ),
        )
    file = "stdin" if name == "-" else name
    encoding = "utf-16" if raw[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8-sig"
    try:
        text = raw.decode(encoding)
    except UnicodeDecodeError:
        return [], (Problem("words.encoding", "not UTF-8 text", "save the list as UTF-8", file),)
    if "\0" in text:
        return [], (Problem("words.encoding", "not a text file", "save the list as UTF-8 text or CSV", file),)
    rows = _table(text) if _has_header(text) else _lines(text)
    if not rows:
        return [], (Problem("words.empty", "no word in the list", "write one word per line", file),)
    return rows, ()


def typed_rows(typed: str) -> list[ListRow]:
    """Rows of words typed one after the other, with commas, semicolons or new lines between; word=/ipa/ gives the IPA too."""
    rows: list[ListRow] = []
    for number, part in enumerate(re.split(r"[,;\n]", typed), 1):
        word, equals, ipa = part.strip().partition("=")
        if word.strip():
            rows.append((" ".join(word.split()), ipa.strip() if equals else "", number))
    return rows


def _has_header(text: str) -> bool:
    first = text.lstrip("\r\n ").splitlines()[:1]
    names = (
        [cell.strip(' "').lower() for cell in first[0].replace("\t", ",").replace(";", ",").split(",")] if first else []
    )
    return any(name in WORD_NAMES for name in names) and (len(names) > 1 or names[0] in WORD_NAMES)


def _lines(text: str) -> list[ListRow]:
    rows = ((line.strip(), "", number) for number, line in enumerate(text.splitlines(), 1))
    return [row for row in rows if row[0] and not row[0].startswith("#")]


def _table(text: str) -> list[ListRow]:
    head = text.lstrip("\r\n ").splitlines()[0]
    separator = max("\t;,", key=head.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator)
    word_at = ipa_at = -1
    rows: list[ListRow] = []
    for cells in reader:
        if word_at < 0:
            names = [cell.strip().lower() for cell in cells]
            word_at = next((names.index(name) for name in WORD_NAMES if name in names), -1)
            ipa_at = next((names.index(name) for name in IPA_NAMES if name in names), -1)
            continue
        word = cells[word_at].strip() if word_at < len(cells) else ""
        ipa = cells[ipa_at].strip() if 0 <= ipa_at < len(cells) else ""
        if word or ipa:
            rows.append((word or ipa, ipa, reader.line_num))
    return rows


_IN_WORDS = "'-’‘.&·" + "".join(chr(code) for code in range(0x300, 0x370) if unicodedata.combining(chr(code)))
"""Signs that belong in a spelled word."""


@dataclass(frozen=True, slots=True)
class InputTarget:
    """One word to aim at: as typed, its adult form (None if unreadable) and where that came from.

    `language`: the child's other language it was read in, "" for the language of the phrase.
    """

    typed: str
    adult: Word | None
    read_from: str
    sure: bool
    note: str = ""
    other_readings: tuple[str, ...] = ()
    language: str = ""


def targets_in_phrase(
    text: str, language: str, profile: Profile, notation: str = "ipa"
) -> tuple[tuple[InputTarget, ...], tuple[Problem, ...]]:
    """The words of a phrase in order; `notation` is how words between slashes are typed (ipa, x-sampa).
    An empty phrase is a problem; a word that cannot be read is kept and named."""
    from approx.lexicon.reading import read_phrase

    if not text.strip():
        hint = 'write a phrase between quotes, such as "more tea"'
        return (), (Problem("suggest.empty", "the phrase is empty", hint),)
    spoken, problems = read_phrase(text, language, own=own_readings(language, profile))
    out: list[InputTarget] = []
    found = list(problems)
    for word in spoken:
        if not typed_ipa(word.readings):
            tag, readings = in_which_language(word.typed, word.readings, language, profile)
            out += _targets(word.typed, readings, language, found, column=word.column, notation=notation, read_in=tag)
            continue
        out += _targets(word.typed, word.readings, language, found, column=word.column, notation=notation)
    return tuple(out), tuple(found)


def targets_in_list(
    rows: Sequence[tuple[str, str, int]], language: str, profile: Profile, file: str, notation: str = "ipa"
) -> tuple[tuple[InputTarget, ...], tuple[Problem, ...]]:
    """The words of a list; IPA in the second place wins over the lexicon."""
    from approx.lexicon import pronunciations

    own = own_readings(language, profile)
    out: list[InputTarget] = []
    found: list[Problem] = []
    for typed, beside, number in rows:
        line = number or None
        tag = ""
        between_slashes = len(typed) > 2 and typed[0] == typed[-1] == "/"
        ipa = beside or (typed if between_slashes else "")
        if ipa:
            readings: tuple[Pronunciation, ...] = (Pronunciation(ipa.strip("/[] "), "typed", True),)
        elif len(typed.split()) > 1:
            phrase, more = targets_in_phrase(typed, language, profile, notation)
            out += phrase
            found += [problem.at(file, line) for problem in more]
            continue
        else:
            readings = pronunciations(typed, language, own)
            tag, readings = in_which_language(typed, readings, language, profile)
        if not readings:
            hint = "write it as IPA: in the column target_ipa, or between slashes"
            found.append(
                Problem("lexicon.unknown", worded("cannot read '{word}'", word=typed), hint, file, line, symbol=typed)
            )
            out.append(InputTarget(typed, None, "", False, "not read"))
            continue
        out += _targets(typed, readings, language, found, file, line, notation=notation, read_in=tag)
    return tuple(out), tuple(found)


def typed_ipa(readings: Sequence[Pronunciation]) -> bool:
    """Whether a word was given as IPA."""
    return bool(readings) and readings[0].source == "typed"


def in_which_language(
    typed: str, readings: Sequence[Pronunciation], language: str, profile: Profile
) -> tuple[str, tuple[Pronunciation, ...]]:
    """("", readings), or the child's other language that has the word, with the readings there."""
    if not profile.languages or readings and readings[0].source == "own words":
        return "", tuple(readings)
    from approx.lexicon import pronunciations

    tag = language_of(typed, language, (profile.language, *profile.languages))
    if tag == language:
        return "", tuple(readings)
    other = pronunciations(typed, tag, own_readings(tag, profile))
    return (tag, other) if other else ("", tuple(readings))


def own_readings(language: str, profile: Profile) -> dict[str, str]:
    """Remembered readings of this user, then the child's own, which win."""
    from approx.lexicon.own_words import load_own_words

    own, _ = load_own_words(language)
    return {**own, **profile.readings}


def _targets(
    typed: str,
    readings: Sequence[Pronunciation],
    language: str,
    problems: list[Problem],
    file: str = "",
    line: int | None = None,
    column: int | None = None,
    notation: str = "ipa",
    read_in: str = "",
) -> list[InputTarget]:
    """The target of one typed word: its first reading, the others named; `read_in` is its language if another."""
    if not readings:
        return [InputTarget(typed, None, "", False, "not read")]
    first = readings[0]
    reading = read(first.ipa, read_in or language, notation if first.source == "typed" else "ipa")
    if reading.problems or not reading.words:
        problems += [problem.at(file, line, column) for problem in reading.problems]
        if not reading.words:
            message = worded("'{typed}' contains no sound", typed=typed)
            problems.append(
                Problem("suggest.no-sound", message, "write IPA between slashes", file, line, column, typed)
            )
        return [InputTarget(typed, None, first.source, False, "not read")]
    spelled = first.source not in ("typed", "own words")
    strange = [
        char
        for char in typed
        if spelled and not (char.isalnum() or char in _IN_WORDS or unicodedata.category(char) == "Cf")
    ]
    if strange or (spelled and any(char.isdigit() for char in typed) and any(map(str.isalpha, typed))):
        symbol = "".join(dict.fromkeys(strange)) or "".join(char for char in typed if char.isdigit())
        message = worded("'{symbol}' in '{typed}' was not read; the rest was", symbol=symbol, typed=typed)
        problems.append(Problem("lexicon.symbol", message, "check the word", file, line, column, symbol, fatal=False))
        first = replace(first, sure=False, note="a symbol in it was not read")
    others = tuple(other.ipa for other in readings[1:])
    note = first.note
    if read_in:
        english = read_in.split("-", maxsplit=1)[0].lower() == "en"
        pattern = "read as an English word ({tag})" if english else "read as a Spanish word ({tag})"
        note = worded(pattern, tag=read_in)
        message = worded("'{typed}' was {note}, a language of this child", typed=typed, note=note)
        hint = "write it between slashes if it is meant otherwise"
        problems.append(Problem("lexicon.language", message, hint, file, line, column, typed, fatal=False))
    return [
        InputTarget(typed, word, first.source, first.sure, note, others if len(reading.words) == 1 else (), read_in)
        for word in reading.words
    ]


_SPANISH_SIGNS = frozenset("ñáéíóúü")


def language_of(word: str, language: str, others: Sequence[str]) -> str:
    """The language a word of a phrase is read in: `language`, or the one of `others` that has it.

    A word of a family's day or a first name in `language` is never taken as another's. Else it is if the other has it
    so, if its letters are Spanish only, or if English has it in no list and builds it of no words of a family's day
    (*kitties*, *bathtime*) while the child speaks Spanish as well. No sign but a hyphen stands inside a Spanish word.
    """
    form = look_up_form(word)
    if not others or not any(map(str.isalpha, form)) or _has(form, language):
        return language
    for other in others:
        tag = base_language(other)
        if tag not in ("en", "es") or tag == base_language(language):
            continue
        if tag == "es" and _has_inner_sign(form):
            continue
        if _has(form, other) or tag == "es" and (_SPANISH_SIGNS & set(form) or not _is_english(form, language, other)):
            return other
    return language


def _has(form: str, language: str) -> bool:
    """Whether a word stands in the word bank, the core words or the first names of a language."""
    from approx.lexicon.homophones import family_words

    if name_reading(form, language):
        return True
    return any(form in family_words(reading.ipa, language) for reading in _readings(form, language))


def _readings(form: str, language: str) -> tuple[Pronunciation, ...]:
    return pronunciations(form, "es-419" if base_language(language) == "es" else language)


def _has_inner_sign(form: str) -> bool:
    """Whether a sign other than a hyphen stands between the letters of a word: bunny's, zib=/zɪb/."""
    letters = [at for at, char in enumerate(form) if char.isalpha()]
    inside = form[letters[0] : letters[-1]]
    return any(not (char.isalpha() or unicodedata.combining(char) or char == "-") for char in inside)


def _is_english(form: str, language: str, other: str) -> bool:
    """Whether English has a word in a list, or builds it, part by part, of words of a family's day that are not the other
    language's: kitties of kitty, but not camisas of camisa, which the dictionary has too."""
    from approx.lexicon.english.endings import stems
    from approx.lexicon.english.recorded import known, recorded
    from approx.lexicon.english.word_forms import likeliest_build

    if recorded(form):
        return True
    if "-" in form.strip("-"):
        whole = likeliest_build(form, known)
        parts = [part for part in form.split("-") if part]
        return whole is not None or all(_is_english(part, language, other) for part in parts)
    build = likeliest_build(form, known)
    if build is None:
        return False
    words = [part for part in build.parts.split(" + ") if not part.startswith("-")]
    if any(_has(each, other) for each in words):
        return False
    if build.source == "word form":
        return any(_has(each, language) for each in (*words, *[stem for stem, _ in stems(form) if known(stem)]))
    return all(_has(each, language) for each in words)
