"""`child.toml` read strictly: every contradiction, unknown sound, status or key is named with its line."""

from __future__ import annotations

import re
from difflib import get_close_matches
from pathlib import Path
from typing import Any

from approx.child.profile import POSITIONS, STATUSES, VARIETIES, Profile, Status
from approx.ipa import read
from approx.ipa.features import is_nucleus
from approx.problems import Problem

_SECTIONS = ("consonants", "vowels", "syllables", "chosen", "readings")
_TOP = ("code", "age", "language", "accent", *_SECTIONS)
_SYLLABLE_KEYS = (*STATUSES, "max_syllables", "variety")
_SHAPE = re.compile(r"C*V?C*")


def read_child(path: Path) -> tuple[Profile | None, tuple[Problem, ...]]:
    """The profile in a file and every problem found. No profile when the file cannot be read as TOML at all."""
    import tomllib

    try:
        text = path.read_bytes().decode("utf-8-sig")
        table = tomllib.loads(text)
    except OSError as error:
        hint = "`approx child new FILE` writes a template to fill in"
        return None, (Problem("child.file", f"cannot read the file: {error.strerror}", hint, str(path)),)
    except UnicodeDecodeError:
        return None, (Problem("child.encoding", "not UTF-8 text", "save the file as UTF-8", str(path)),)
    except tomllib.TOMLDecodeError as error:
        return None, (_syntax(str(error), str(path)),)
    return read_table(table, text, str(path))


def _syntax(message: str, file: str) -> Problem:
    place = re.search(r"\(at line (\d+), column (\d+)\)", message)
    line, column = (int(place[1]), int(place[2])) if place else (None, None)
    said = message.split(" (at ")[0]
    return Problem("child.syntax", f"not valid TOML: {said}", "a text value stands in double quotes", file, line, column)


def read_table(table: dict[str, Any], text: str = "", file: str = "") -> tuple[Profile, tuple[Problem, ...]]:
    """A profile from parsed TOML; `text` is the source, for line numbers."""
    reader = _ChildReader(table, text, file)
    return reader.profile(), tuple(reader.problems)


class _ChildReader:
    def __init__(self, table: dict[str, Any], text: str, file: str) -> None:
        self.table, self.file, self.lines = table, file, text.splitlines()
        self.problems: list[Problem] = []
        self.tag = str(table.get("language", "en-US"))

    def wrong(self, code: str, message: str, hint: str, section: str, key: str, symbol: str = "") -> None:
        line, column = self.place(section, key, symbol)
        self.problems.append(Problem(f"child.{code}", message, hint, self.file, line, column, symbol))

    def place(self, section: str, key: str, symbol: str = "") -> tuple[int | None, int | None]:
        """Line and column (from 1) of a key in its section, or of a symbol in its value."""
        inside = ""
        for number, line in enumerate(self.lines, 1):
            bare = line.strip()
            if bare.startswith("[") and "=" not in bare:
                inside = bare.strip("[] ")
                if not key and inside == section:
                    return number, 1
            name, _, value = line.partition("=")
            if inside == section and name.strip().strip('"') == key:
                found = re.search(rf"(?<!\S){re.escape(symbol)}(?!\S)", value.replace('"', " ")) if symbol else None
                return number, len(name) + 2 + found.start() if found else 1
        return None, None

    def profile(self) -> Profile:
        self.known_keys("", self.table, _TOP)
        vowels = self.section("vowels")
        syllables = self.section("syllables")
        self.known_keys("vowels", vowels, STATUSES)
        self.known_keys("syllables", syllables, _SYLLABLE_KEYS)
        return Profile(
            code=self.text_value("code", "child"),
            age=self.age(),
            language=self.language(),
            accent=self.accent(),
            consonants=self.consonants(self.section("consonants")),
            clusters=self.clusters(self.section("consonants").get("clusters", [])),
            vowels=self.statuses("vowels", vowels, self.vowel),
            shapes=self.statuses("syllables", syllables, self.shape),
            max_syllables=self.max_syllables(syllables),
            variety=self.variety(syllables),
            chosen=self.forms("chosen"),
            readings=self.forms("readings"),
        )

    def section(self, name: str) -> dict[str, Any]:
        value = self.table.get(name, {})
        if isinstance(value, dict):
            return value
        self.wrong("section", f"'{name}' is not a section", f"write [{name}] on a line of its own", "", name)
        return {}

    def known_keys(self, section: str, table: dict[str, Any], known: tuple[str, ...]) -> None:
        for key in table:
            if key not in known:
                near = get_close_matches(key, known, 1)
                hint = f"did you mean '{near[0]}'?" if near else "known: " + ", ".join(known)
                where = f" in [{section}]" if section else ""
                self.wrong("key", f"'{key}' is not known{where}", hint, section, key)

    def text_value(self, key: str, default: str) -> str:
        value = self.table.get(key, default)
        if isinstance(value, str):
            return value
        self.wrong("value", f"{key} must be text, not {value!r}", f'{key} = "..."', "", key)
        return default

    def age(self) -> str:
        age = self.text_value("age", "")
        if age and not re.fullmatch(r"\d{1,2};(\d|1[01])", age):
            self.wrong("age", f"age '{age}' is not years;months", 'for three years two months: age = "3;2"', "", "age")
        return age

    def language(self) -> str:
        tag = self.text_value("language", "en-US")
        if not re.fullmatch(r"[A-Za-z]{2,3}([-_][A-Za-z0-9]{2,8})*", tag):
            self.wrong("language", f"'{tag}' is not a language tag", 'such as "en-US" or "es-MX"', "", "language")
            return "en-US"
        return tag

    def accent(self) -> tuple[str, ...]:
        value = self.table.get("accent", [])
        if isinstance(value, list) and all(isinstance(item, str) for item in value):
            return tuple(value)
        self.wrong("value", "accent must be a list of names", 'accent = ["name"] or accent = []', "", "accent")
        return ()

    def consonants(self, table: dict[str, Any]) -> dict[str, dict[str, Status]]:
        self.known_keys("consonants", table, ("all", *POSITIONS, "clusters"))
        parts: dict[str, dict[str, Status]] = {}
        for position in ("all", *POSITIONS):
            part = table.get(position)
            if part is None:
                continue
            if not isinstance(part, dict):
                hint = f'{position}.established = "m b p"'
                self.wrong("value", f"'{position}' needs a status", hint, "consonants", position)
                continue
            for key in part:
                if key not in STATUSES:
                    self.status_key(f"{position}.{key}", key)
            parts[position] = self.statuses("consonants", part, self.consonant, position + ".")
        return {position: parts.get(position, parts.get("all", {})) for position in POSITIONS}

    def status_key(self, written: str, key: str) -> None:
        near = get_close_matches(key, STATUSES, 1)
        hint = f"did you mean '{near[0]}'?" if near else "known: " + ", ".join(STATUSES)
        self.wrong("status", f"'{key}' is not a status", hint, "consonants", written)

    def statuses(self, section: str, table: dict[str, Any], check: Any, prefix: str = "") -> dict[str, Status]:
        """item -> status, each item read by `check`; an item under two statuses is a contradiction."""
        out: dict[str, Status] = {}
        for status in STATUSES:
            key = prefix + status
            for typed in self.items(section, key, table.get(status, "")):
                item = check(typed, section, key)
                if item is None:
                    continue
                if out.get(item, status) != status:
                    first = self.place(section, prefix + out[item], typed)[0]
                    message = f"'{typed}' is {out[item]} (line {first}) and {status}"
                    self.wrong("contradiction", message, "keep it in one of the two lines", section, key, typed)
                out[item] = status
        return out

    def items(self, section: str, key: str, value: Any) -> list[str]:
        if isinstance(value, str):
            return value.replace(",", " ").split()
        if isinstance(value, list) and all(isinstance(item, str) for item in value):
            return [item.strip() for item in value]
        self.wrong("value", f"{key} must be text or a list of texts", f'{key} = "m b p"', section, key)
        return []

    def sound(self, typed: str, section: str, key: str) -> str | None:
        reading = read(typed, self.tag)
        phones = reading.words[0].phones if len(reading.words) == 1 else ()
        if reading.problems or len(phones) != 1 or phones[0] in ("C", "V", "*", "xxx"):
            hint = "write IPA, sounds set apart by blanks"
            if reading.problems:
                hint = reading.problems[0].hint
            self.wrong("sound", f"'{typed}' is not one sound", hint, section, key, typed)
            return None
        return phones[0]

    def consonant(self, typed: str, section: str, key: str) -> str | None:
        sound = self.sound(typed, section, key)
        if sound and is_nucleus(sound) and "̩" not in sound:
            self.wrong("sound", f"'{typed}' is a vowel", "vowels stand under [vowels]", section, key, typed)
            return None
        return sound

    def vowel(self, typed: str, section: str, key: str) -> str | None:
        sound = self.sound(typed, section, key)
        if sound and not is_nucleus(sound):
            self.wrong("sound", f"'{typed}' is a consonant", "consonants stand under [consonants]", section, key, typed)
            return None
        return sound

    def shape(self, typed: str, section: str, key: str) -> str | None:
        if typed and _SHAPE.fullmatch(typed):
            return typed
        hint = "C for a consonant, V for a vowel or diphthong, such as CVC"
        self.wrong("shape", f"'{typed}' is not a syllable shape", hint, section, key, typed)
        return None

    def clusters(self, value: Any) -> dict[tuple[tuple[str, ...], str], Status]:
        """Entries `nd final`, `sp initial`, or `sp` for every position; `emerging` may stand last."""
        out: dict[tuple[tuple[str, ...], str], Status] = {}
        for typed in self.items("consonants", "clusters", value if isinstance(value, list) else None):
            words = typed.split()
            sounds = read(words[0], self.tag).words[0].phones if words and read(words[0], self.tag).words else ()
            rest = words[1:]
            status = rest.pop() if rest and rest[-1] in STATUSES else "established"
            if len(sounds) < 2 or any(is_nucleus(sound) or sound in "CV*" for sound in sounds) or len(rest) > 1:
                hint = 'such as "sp initial" or "nd final"'
                self.wrong("cluster", f"'{typed}' is not a cluster with its position", hint, "consonants", "clusters")
            elif rest and rest[0] not in POSITIONS:
                hint = "positions: " + ", ".join(POSITIONS)
                self.wrong("cluster", f"'{rest[0]}' in '{typed}' is not a position", hint, "consonants", "clusters")
            else:
                for position in rest or POSITIONS:
                    if out.get((sounds, position), status) != status:
                        hint = "keep one of the two entries"
                        self.wrong("contradiction", f"cluster '{typed}' has two statuses", hint, "consonants", "clusters")
                    out[sounds, position] = status  # type: ignore[assignment]  # checked against STATUSES above
        return out

    def max_syllables(self, table: dict[str, Any]) -> int:
        value = table.get("max_syllables", 9)
        if isinstance(value, int) and not isinstance(value, bool) and 1 <= value <= 9:
            return value
        self.wrong("value", f"max_syllables {value!r} is not a number from 1 to 9", "", "syllables", "max_syllables")
        return 9

    def variety(self, table: dict[str, Any]) -> str:
        value = table.get("variety", "any")
        if value in VARIETIES:
            return str(value)
        hint = "one of " + ", ".join(f'"{name}"' for name in VARIETIES)
        self.wrong("variety", f"variety {value!r} is not known", hint, "syllables", "variety")
        return "any"

    def forms(self, section: str) -> dict[str, str]:
        out: dict[str, str] = {}
        for word, form in self.section(section).items():
            reading = read(form, self.tag) if isinstance(form, str) else None
            if reading is None or not reading.words:
                self.wrong("form", f"the form for '{word}' is not IPA text", f'{word} = "pun"', section, word)
            elif reading.problems:
                self.problems += [problem.at(self.file, *self.place(section, word)) for problem in reading.problems]
            else:
                out[word.lower()] = reading.ipa
        return out


