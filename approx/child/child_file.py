"""`child.toml` read strictly: every contradiction, unknown sound, status or key is named with its line."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import date, datetime
from difflib import get_close_matches
from pathlib import Path
from typing import Any

from approx.child.changes_section import ChangesSection
from approx.child.profile import POSITIONS, PRONOUNS, STATUSES, VARIETIES, Profile, Status, WordHeard, remarks
from approx.child.toml_places import KeyPath as Keys
from approx.child.toml_places import TomlPlaces
from approx.datafiles import ALWAYS_RIGHT, accent_names, tidy_accent
from approx.ipa import Reading, read
from approx.ipa.features import is_nucleus
from approx.ipa.language import language
from approx.ipa.word import UNIDENTIFIED
from approx.problems import Problem
from approx.wording import enumerated, worded

_SECTION_KEYS = {
    "consonants": ("all", *POSITIONS, "clusters"),
    "vowels": STATUSES,
    "syllables": (*STATUSES, "max_syllables", "variety"),
}
_FREE_SECTIONS = ("chosen", "heard", "changes", "readings", "people")
"""Sections whose keys are words or sounds."""
_TOP = ("code", "age", "language", "languages", "accent", "interests", *_SECTION_KEYS, *_FREE_SECTIONS)
_TAG = re.compile(r"[A-Za-z]{2,3}([-_][A-Za-z0-9]{2,8})*")
_SHAPE = re.compile(r"C*V?C*")
_MOST_SYLLABLES = 9
_NUMBERS = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine")

Clusters = dict[tuple[tuple[str, ...], str], Status]


_HINT = "`approx child new FILE` writes a template to fill in"


def read_child_file(path: Path) -> tuple[Profile | None, tuple[Problem, ...]]:
    """The profile in a file and every problem found. No profile when the file cannot be read as TOML."""
    try:
        data = path.read_bytes()
        text = data.decode("utf-8-sig")
    except OSError as error:
        message = worded("cannot read the file: {strerror}", strerror=error.strerror)
        return None, (Problem("child.file", message, _HINT, str(path)),)
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        return None, (Problem("child.encoding", "not UTF-8 text", "save the file as UTF-8", str(path), line),)
    return read_child_text(text, str(path))


def read_child_text(text: str, file: str = "") -> tuple[Profile | None, tuple[Problem, ...]]:
    """The profile in the text of such a file, as `read_child_file` finds it; `file` is named in its problems."""
    import tomllib  # noqa: PLC0415 - a start without a child's file is sooner without

    text = text.replace("\r\n", "\n")
    try:
        table = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        return None, (_syntax(str(error), file, text.count("\n") + 1),)
    if not table:
        return None, (Problem("child.empty", "the file has nothing about a child", _HINT, file, 1),)
    return read_table(table, text, file)


def _syntax(message: str, file: str, last_line: int) -> Problem:
    place = re.search(r"\(at line (\d+), column (\d+)\)", message)
    line, column = (int(place[1]), int(place[2])) if place else (last_line, None)
    said = message.partition(" (at ")[0]
    hint = "a text value goes in double quotes"
    if "overwrite" in said or "twice" in said or "mutate" in said:
        said, hint = "a key or section stands twice", "keep one of the two"
    return Problem("child.syntax", worded("not valid TOML: {said}", said=said), hint, file, line, column)


def read_table(table: dict[str, Any], text: str = "", file: str = "") -> tuple[Profile, tuple[Problem, ...]]:
    """A profile from parsed TOML and its problems by line; `text` is the source, for places."""
    reader = _ChildReader(table, text, file)
    profile = reader.profile()
    return profile, tuple(sorted(reader.problems, key=lambda found: (found.line or 0, found.column or 0)))


class _ChildReader:
    def __init__(self, table: dict[str, Any], text: str, file: str) -> None:
        self.table, self.file, self.places = table, file, TomlPlaces(text)
        self.problems: list[Problem] = []
        self.tag = "en-US"
        self.others: tuple[str, ...] = ()

    def wrong(self, code: str, message: str, hint: str, path: Keys, symbol: str = "", fatal: bool = True) -> None:
        line, column = self.places.of(path, symbol)
        self.problems.append(Problem(f"child.{code}", message, hint, self.file, line, column, symbol, fatal=fatal))

    def profile(self) -> Profile:
        self.known_keys((), self.table, _TOP)
        for name, keys in _SECTION_KEYS.items():
            self.known_keys((name,), self.section(name), keys)
        self.tag = self.language()
        self.others = self.languages()
        consonants, syllables = self.section("consonants"), self.section("syllables")
        changes = ChangesSection(self).read()
        profile = Profile(
            code=self.text_value("code", "child"),
            age=self.age(),
            language=self.tag,
            languages=self.others,
            accent=self.accent(),
            consonants=self.consonants(consonants),
            clusters=self.clusters(consonants.get("clusters", [])),
            vowels=self.statuses(("vowels",), self.section("vowels"), self.vowel),
            shapes=self.statuses(("syllables",), syllables, self.shape),
            max_syllables=self.max_syllables(syllables.get("max_syllables", _MOST_SYLLABLES)),
            variety=self.variety(syllables.get("variety", "any")),
            chosen=self.forms("chosen"),
            heard=self.heard(),
            changes={key: tuple(said) for key, said in changes.items()},
            times={key: tuple(said.values()) for key, said in changes.items() if all(said.values())},
            readings=self.forms("readings"),
            people=self.people(),
            interests=self.interests(),
        )
        if not any(problem.fatal for problem in self.problems):
            for path, symbol, message, hint in remarks(profile, "final" in consonants):
                self.wrong("unused", message, hint, path, symbol, fatal=False)
        return profile

    def section(self, name: str) -> dict[str, Any]:
        value = self.table.get(name, {})
        return value if isinstance(value, dict) else {}

    def known_keys(self, path: Keys, table: dict[str, Any], known: tuple[str, ...]) -> None:
        for key, value in table.items():
            home = next((name for name, keys in _SECTION_KEYS.items() if key in keys), "")
            if key not in known:
                near = get_close_matches(key, known, 1)
                hint = (
                    worded("did you mean '{near}'?", near=near[0])
                    if near
                    else worded("known: {known}", known=", ".join(known))
                )
                if path == ("consonants",) and key in STATUSES:
                    hint = worded("name a position: all.{key}", key=key)
                elif home and not near:
                    hint = worded("it belongs under [{home}]", home=home)
                where = worded(" in [{path}]", path=path[0]) if path else ""
                self.wrong("key", worded("'{key}' is not known{where}", key=key, where=where), hint, (*path, key))
            elif not path and key in (*_SECTION_KEYS, *_FREE_SECTIONS) and not isinstance(value, dict):
                hint = worded("write [{key}] on a line of its own", key=key)
                self.wrong("section", worded("'{key}' is not a section", key=key), hint, (key,))

    def text_value(self, key: str, default: str) -> str:
        value = self.table.get(key, default)
        if isinstance(value, str):
            return value
        self.wrong(
            "value", worded("{key} must be text, not {value}", key=key, value=repr(value)), f'{key} = "..."', (key,)
        )
        return default

    def age(self) -> str:
        age = self.text_value("age", "")
        if age and not re.fullmatch(r"\d{1,2};(\d|1[01])", age):
            hint = 'for three years two months: age = "3;2"'
            self.wrong("age", worded("age '{age}' is not years;months", age=age), hint, ("age",))
        return age

    def language(self) -> str:
        tag = self.text_value("language", "en-US")
        if _TAG.fullmatch(tag):
            return tag
        self.wrong(
            "language", worded("'{tag}' is not a language tag", tag=tag), 'such as "en-US" or "es-MX"', ("language",)
        )
        return "en-US"

    def languages(self) -> tuple[str, ...]:
        """The other languages of the child."""
        value, path = self.table.get("languages", []), ("languages",)
        if not (isinstance(value, list) and all(isinstance(item, str) for item in value)):
            self.wrong("value", "languages must be a list of language tags", 'languages = ["es-MX"]', path)
            return ()
        out: dict[str, None] = {}
        for tag in value:
            if not _TAG.fullmatch(tag):
                self.wrong(
                    "language",
                    worded("'{tag}' is not a language tag", tag=tag),
                    'such as "en-US" or "es-MX"',
                    path,
                    tag,
                )
            elif tag == self.tag or tag in out:
                hint = "`languages` lists the others, each once"
                self.wrong("unused", worded("'{tag}' is named already", tag=tag), hint, path, tag, fatal=False)
            else:
                out[tag] = None
        return tuple(out)

    def interests(self) -> tuple[str, ...]:
        """Words and categories that this child loves, each once."""
        value = self.table.get("interests", [])
        if isinstance(value, list) and all(isinstance(item, str) for item in value):
            return tuple(dict.fromkeys(" ".join(item.split()) for item in value if item.strip()))
        hint = 'interests = ["truck", "animals"]'
        self.wrong("value", "interests must be a list of words or categories", hint, ("interests",))
        return ()

    def people(self) -> dict[str, str]:
        """[people]: name -> she, he or they."""
        out: dict[str, str] = {}
        typed_as: dict[str, str] = {}
        for name, value in self.section("people").items():
            pronoun = value.lower().strip() if isinstance(value, str) else ""
            if pronoun not in PRONOUNS:
                hint = worded('{name} = "she"; one of {pronouns}', name=name, pronouns=enumerated(", ", PRONOUNS))
                self.wrong("pronoun", worded("the pronoun of '{name}' is not known", name=name), hint, ("people", name))
            elif self.once(name, _label(name) not in typed_as, "people", typed_as):
                out[" ".join(name.split())] = pronoun
        return out

    def accent(self) -> tuple[str, ...]:
        value = self.table.get("accent", [])
        if isinstance(value, list) and all(isinstance(item, str) for item in value):
            known = accent_names()
            for name in value:
                if (typed := tidy_accent(name)) not in (*known, *ALWAYS_RIGHT):
                    near = [each for each in known if typed in each] or get_close_matches(typed, known, 1) or known
                    hint = worded("one of: {known}", known=", ".join(near))
                    self.wrong("accent", worded("no accent '{name}'", name=name), hint, ("accent",), name)
            return tuple(typed for typed in map(tidy_accent, value) if typed in (*known, *ALWAYS_RIGHT))
        self.wrong("value", "accent must be a list of names", 'accent = ["name"] or accent = []', ("accent",))
        return ()

    def consonants(self, table: dict[str, Any]) -> dict[str, dict[str, Status]]:
        parts: dict[str, dict[str, Status]] = {}
        for position in ("all", *POSITIONS):
            part, path = table.get(position), ("consonants", position)
            if isinstance(part, dict):
                for key in part.keys() - set(STATUSES):
                    near = get_close_matches(key, STATUSES, 1)
                    hint = (
                        worded("did you mean '{near}'?", near=near[0])
                        if near
                        else worded("known: {known}", known=", ".join(STATUSES))
                    )
                    self.wrong("status", worded("'{key}' is not a status", key=key), hint, (*path, key))
                parts[position] = self.statuses(path, part, self.consonant)
            elif part is not None:
                self.wrong(
                    "value",
                    worded("'{position}' needs a status", position=position),
                    f'{position}.established = "m b p"',
                    path,
                )
        return {position: parts.get(position, parts.get("all", {})) for position in POSITIONS}

    def statuses(
        self, path: Keys, table: dict[str, Any], check: Callable[[str, Keys], str | None]
    ) -> dict[str, Status]:
        """Status of each item, each read by `check`; an item under two statuses is a contradiction."""
        out: dict[str, Status] = {}
        typed_as: dict[str, str] = {}
        for status in STATUSES:
            here = (*path, status)
            for typed in self.items(here, table.get(status, "")):
                item = check(typed, here)
                if item is None:
                    continue
                if out.get(item, status) != status:
                    first = self.places.of((*path, out[item]), typed_as[item])[0]
                    message = worded(
                        "'{typed}' is {out} (line {first}) and {status}",
                        typed=typed,
                        out=out[item],
                        first=first,
                        status=status,
                    )
                    self.wrong("contradiction", message, "keep it in one of the two lines", here, typed)
                out[item], typed_as[item] = status, typed
        return out

    def items(self, path: Keys, value: object) -> list[str]:
        """Items between blanks or commas, in one text or in a list of texts."""
        if isinstance(value, list) and all(isinstance(item, str) for item in value):
            value = " ".join(value)
        if isinstance(value, str):
            return value.replace(",", " ").split()
        key = ".".join(path[1:])
        self.wrong("value", worded("{key} must be text or a list of texts", key=key), f'{key} = "m b p"', path)
        return []

    def sound(self, typed: str, path: Keys, syllabic: bool | None) -> str | None:
        """The one sound of an item, which carries a syllable or does not (None: either)."""
        reading = read(typed, self.tag_of(typed))
        word = reading.words[0] if len(reading.words) == 1 else None
        if reading.problems:
            problem = reading.problems[0]
            self.wrong("sound", problem.message, problem.hint, path, typed)
        elif word is None or len(word.phones) != 1:
            hint = "write IPA, with spaces between the sounds"
            self.wrong("sound", worded("'{typed}' is not one sound", typed=typed), hint, path, typed)
        elif word.phones[0] in UNIDENTIFIED or any(word.omitted) or "?" in typed or "(" in typed:
            hint = "a sound in doubt is not listed, or goes under untested"
            self.wrong("sound", worded("'{typed}' is not a known sound", typed=typed), hint, path, typed)
        elif syllabic is not None and is_nucleus(word.phones[0]) != syllabic:
            said, home = ("is a consonant", "[consonants]") if syllabic else ("carries a syllable", "[vowels]")
            meant = worded(" ({why})", why=reading.changes[0].why) if word.doubtful else ""
            self.wrong(
                "sound",
                worded("'{typed}' {said}", typed=typed, said=said),
                worded("it belongs under {home}{meant}", home=home, meant=meant),
                path,
                typed,
            )
        else:
            self.remark_changes(reading, path, typed, bool(word.doubtful))
            return word.phones[0]
        return None

    def tag_of(self, typed: str) -> str:
        """The language of a sound: another one of the child's where the sound is of that and not of the first (r of perro)."""
        own = language(self.tag).consonants
        return next((tag for tag in self.others if typed not in own and typed in language(tag).consonants), self.tag)

    def consonant(self, typed: str, path: Keys) -> str | None:
        return self.sound(typed, path, syllabic=False)

    def vowel(self, typed: str, path: Keys) -> str | None:
        """A vowel or a syllabic consonant."""
        return self.sound(typed, path, syllabic=True)

    def remark_changes(self, reading: Reading, path: Keys, typed: str, doubtful: bool = False) -> None:
        for change in reading.changes:
            if change.typed != change.read:
                message = worded(
                    "'{typed}' is read as '{read}' ({why})", typed=change.typed, read=change.read, why=change.why
                )
                self.wrong("lookalike", message, worded("write {ipa}", ipa=reading.ipa), path, typed, fatal=False)
            elif doubtful:
                self.wrong(
                    "doubt", worded("'{typed}' is seldom meant", typed=typed), change.why, path, typed, fatal=False
                )

    def shape(self, typed: str, path: Keys) -> str | None:
        if _SHAPE.fullmatch(typed):
            return typed
        hint = "C for a consonant, V for a vowel or diphthong, such as CVC"
        if _SHAPE.fullmatch(typed.upper()):
            hint = worded("in capitals: {typed}", typed=typed.upper())
        elif set(typed) == {"C", "V"}:
            hint = "a syllable has one V (a diphthong is one): list the syllables of the word, such as CV"
        self.wrong("shape", worded("'{typed}' is not a syllable shape", typed=typed), hint, path, typed)
        return None

    def clusters(self, value: object) -> Clusters:
        """Entries `nd final`, `sp initial`, or `sp` for every position; a status may stand last."""
        path = ("consonants", "clusters")
        out: Clusters = {}
        typed_as: dict[tuple[tuple[str, ...], str], str] = {}
        if not (isinstance(value, list) and all(isinstance(item, str) for item in value)):
            hint = 'clusters = ["sp initial", "nd final"] or clusters = []'
            self.wrong("value", "clusters must be a list of texts", hint, path)
            return out
        for typed in value:
            run, *rest = typed.split() or [""]
            status = next((status for status in STATUSES if rest[-1:] == [status]), None)
            rest = rest[:-1] if status else rest
            reading = read(run, self.tag)
            sounds = reading.words[0].phones if len(reading.words) == 1 else ()
            if reading.problems:
                problem = reading.problems[0]
                self.wrong(
                    "cluster",
                    worded("{message} (in '{typed}')", message=problem.message, typed=typed),
                    problem.hint,
                    path,
                    typed,
                )
            elif len(sounds) < 2 or len(rest) > 1 or any(s in UNIDENTIFIED or is_nucleus(s) for s in sounds):
                hint = 'two or more consonants and where: "sp initial", "nd final"'
                self.wrong(
                    "cluster", worded("'{typed}' is not a cluster with its position", typed=typed), hint, path, typed
                )
            elif rest and rest[0] not in POSITIONS:
                hint = worded("positions: {positions}", positions=", ".join(POSITIONS))
                self.wrong(
                    "cluster",
                    worded("'{rest}' in '{typed}' is not a position", rest=rest[0], typed=typed),
                    hint,
                    path,
                    typed,
                )
            else:
                self.remark_changes(reading, path, typed)
                found = dict.fromkeys(((sounds, place) for place in rest or POSITIONS), status or "established")
                clash = next((key for key in found if out.get(key, found[key]) != found[key]), None)
                if clash:
                    first = self.places.of(path, typed_as[clash])[0]
                    message = worded(
                        "cluster '{typed}' is {out} (line {first}) and {found}",
                        typed=typed,
                        out=out[clash],
                        first=first,
                        found=found[clash],
                    )
                    self.wrong("contradiction", message, "keep one of the two", path, typed)
                out |= found
                typed_as |= dict.fromkeys(found, typed)
        return out

    def max_syllables(self, value: object) -> int:
        if isinstance(value, int) and not isinstance(value, bool) and 1 <= value <= _MOST_SYLLABLES:
            return value
        name = str(value).lower()
        hint = worded("max_syllables = {index}", index=_NUMBERS.index(name) + 1 if name in _NUMBERS else 2)
        message = worded(
            "max_syllables {value} is not a number from 1 to {most_syllables}",
            value=repr(value),
            most_syllables=_MOST_SYLLABLES,
        )
        self.wrong("value", message, hint, ("syllables", "max_syllables"))
        return _MOST_SYLLABLES

    def variety(self, value: object) -> str:
        if isinstance(value, str) and value in VARIETIES:
            return value
        hint = worded("one of {table}", table=", ".join(f'"{name}"' for name in VARIETIES))
        self.wrong("variety", worded("variety {value} is not known", value=repr(value)), hint, ("syllables", "variety"))
        return "any"

    def forms(self, section: str) -> dict[str, str]:
        """Form of each word, in canonical IPA, of [chosen] or [readings]."""
        out: dict[str, str] = {}
        typed_as: dict[str, str] = {}
        for word, form in self.section(section).items():
            ipa = self.form(word, form, (section, word), worded('{word} = "pun"', word=word))
            if ipa and self.once(word, out.get(_label(word)) in (None, ipa), section, typed_as):
                out[_label(word)] = ipa
        return out

    def form(self, word: str, form: object, path: Keys, hint: str) -> str | None:
        """A form in canonical IPA; None where it is not one that is certain."""
        reading = read(form, self.tag) if isinstance(form, str) else None
        if reading is None or not (reading.words or reading.problems):
            self.wrong("form", worded("the form for '{word}' is not IPA text", word=word), hint, path)
        elif reading.problems:
            line, column = self.places.of(path, str(form))
            for problem in reading.problems:
                place = column + (problem.column or 1) - 1 if column else None
                self.problems.append(replace(problem, file=self.file, line=line, column=place))
        elif any(each.doubtful or any(each.omitted) for each in reading.words):
            hint = "write the form with known sounds only"
            self.wrong("form", worded("the form for '{word}' is in doubt", word=word), hint, path, str(form))
        else:
            self.remark_changes(reading, path, str(form))
            return reading.ipa
        return None

    def once(self, word: str, same: bool, section: str, typed_as: dict[str, str]) -> bool:
        """False, and a problem, where a word stands in the section before in other letters with another form."""
        if not same:
            first = self.places.of((section, typed_as[_label(word)]))[0]
            message = worded("'{word}' has another form in line {first}", word=word, first=first)
            hint = "small and capital letters are the same: keep one"
            self.wrong("contradiction", message, hint, (section, word))
            return False
        typed_as.setdefault(_label(word), word)
        return True

    def heard(self) -> dict[str, WordHeard]:
        """[heard]: word -> form and day."""
        out: dict[str, WordHeard] = {}
        typed_as: dict[str, str] = {}
        for word, value in self.section("heard").items():
            path, hint = (
                ("heard", word),
                worded('{word} = {{ form = "pun", date = 2026-03-02 }}; the date may be omitted', word=word),
            )
            if not isinstance(value, dict) or "form" not in value:
                self.wrong("form", worded("what was heard for '{word}' needs a form", word=word), hint, path)
                continue
            for key in value.keys() - {"form", "date"}:
                self.wrong(
                    "key",
                    worded("'{key}' is not known for '{word}' in [heard]", key=key, word=word),
                    "known: form, date",
                    (*path, key),
                )
            day = value.get("date", "")
            if isinstance(day, datetime) or not (day == "" or isinstance(day, date)):
                message = worded("the date of '{word}' is not a day", word=word)
                self.wrong("date", message, "year-month-day without quotes: date = 2026-03-02", (*path, "date"))
                day = ""
            ipa = self.form(word, value["form"], (*path, "form"), hint)
            if ipa:
                found = WordHeard(ipa, str(day))
                if self.once(word, out.get(_label(word)) in (None, found), "heard", typed_as):
                    out[_label(word)] = found
        return out


def _label(word: str) -> str:
    """A word as it is looked up: small letters, single blanks."""
    return " ".join(word.lower().split())
