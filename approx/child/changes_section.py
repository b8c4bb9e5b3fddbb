"""[changes] of a child file: what this child says for sounds, clusters and weak syllables, by position.

`"s initial" = "h 4, s 2"`: forms commonest first; behind each may stand in how many words it was heard.
"""

from __future__ import annotations

from typing import Any, Protocol

from approx.child.profile import AGAIN, KEPT, LEFT_OFF, POSITIONS, WEAK
from approx.child.toml_places import KeyPath as Keys
from approx.child.toml_places import TomlPlaces
from approx.ipa import read
from approx.ipa.features import is_nucleus
from approx.ipa.word import UNIDENTIFIED
from approx.wording import enumerated, worded


class ChildFile(Protocol):
    """What a section asks of the reader of its file."""

    tag: str
    places: TomlPlaces

    def wrong(self, code: str, message: str, hint: str, path: Keys, symbol: str = "", fatal: bool = True) -> None:
        """A problem at the place of some keys."""

    def section(self, name: str) -> dict[str, Any]:
        """A section as it was typed."""

    def sound(self, typed: str, path: Keys, syllabic: bool | None) -> str | None:
        """The one sound of an item; None, and a problem, where it is not one."""


class ChangesSection:
    """The section in one file."""

    def __init__(self, file: ChildFile) -> None:
        self.file = file

    def read(self) -> dict[tuple[str, str], dict[str, int]]:
        """[changes]: sound, cluster or weak syllable and position ("" for every other) -> what the child says, commonest
        first, each with the number of words it was heard in, 0 where that is not noted."""
        out: dict[tuple[str, str], dict[str, int]] = {}
        typed_as: dict[tuple[str, str], str] = {}
        for typed, value in self.file.section("changes").items():
            path = ("changes", typed)
            key = self._subject(typed, path)
            if key is None:
                continue
            if key in out:
                first = self.file.places.of(("changes", typed_as[key]))[0]
                self.file.wrong(
                    "contradiction",
                    worded("'{typed}' is already in line {first}", typed=typed, first=first),
                    "keep one of the two",
                    path,
                )
            elif said := self._said(typed, key, value, path):
                out[key], typed_as[key] = said, typed
        return out

    def _subject(self, typed: str, path: Keys) -> tuple[str, str] | None:
        """What a line of [changes] is about: a sound, the sounds of a cluster, or `WEAK`, and a position ("" for every one)."""
        what, *rest = typed.split() or [""]
        sounds = self._run(what) if len(rest) == 1 and what != WEAK else ()
        sound = what if what == WEAK or len(sounds) > 1 else self.file.sound(what, path, None)
        if sound is None:
            return None
        vowel = what != WEAK and len(sounds) < 2 and is_nucleus(sound)
        needed = what == WEAK or len(sounds) > 1
        if len(rest) > 1 or needed > len(rest) or rest and (rest[0] not in POSITIONS or vowel):
            hint: str = worded(
                '"{sound} initial" = "h t"; positions: {positions}', sound=what, positions=enumerated(", ", POSITIONS)
            )
            if what == WEAK:
                hint = worded('"weak initial" = "∅"; positions: {positions}', positions=enumerated(", ", POSITIONS))
            why = (
                "a vowel has no position"
                if vowel
                else worded("'{rest}' is not a position", rest=" ".join(rest))
                if rest
                else "a weak syllable needs a position"
            )
            hint = f'"{what}" = "u"' if vowel else hint
            self.file.wrong("change", worded("{why} (in '{typed}')", why=why, typed=typed), hint, path)
            return None
        return "".join(sounds) if len(sounds) > 1 else sound, rest[0] if rest else ""

    def _run(self, typed: str) -> tuple[str, ...]:
        """The sounds of a text; () where it is not known sounds without doubt."""
        reading = read(typed, self.file.tag)
        if reading.problems or len(reading.words) != 1 or reading.words[0].doubtful or any(reading.words[0].omitted):
            return ()
        return () if UNIDENTIFIED & set(reading.words[0].phones) else reading.words[0].phones

    def _said(self, typed: str, key: tuple[str, str], value: object, path: Keys) -> dict[str, int]:
        """What a child says for a sound, a cluster or a weak syllable, each with the number of words that may stand behind
        it; between blanks, `∅` or `0` where it is left off."""
        if not isinstance(value, str) or not value.split():
            hint = worded('"{typed}" = "t", with ∅ or 0 where it is omitted', typed=typed)
            self.file.wrong("change", worded("what is said for '{typed}' must be sounds", typed=typed), hint, path)
            return {}
        out: dict[str, int] = {}
        last: str | None = None
        for item in value.replace(",", " ").split():
            if item.isdecimal() and int(item) and last is not None:
                out[last], last = int(item), None
                continue
            last = self._form(item, key, path)
            if last in out:
                self.file.wrong(
                    "contradiction",
                    worded("'{item}' is listed twice for '{typed}'", item=item, typed=typed),
                    "keep the first",
                    path,
                    item,
                )
            elif last is not None:
                out[last] = 0
        if any(out.values()) and not all(out.values()):
            message = worded("for '{typed}' some forms have a number of words and some have none", typed=typed)
            self.file.wrong("change", message, worded('"{typed}" = "t 5, s 2", or no number', typed=typed), path)
        return out

    def _form(self, item: str, key: tuple[str, str], path: Keys) -> str | None:
        """One form of a line of [changes], as the profile holds it."""
        if item in (LEFT_OFF, "0"):
            return LEFT_OFF
        if key[0] == WEAK:
            if item in (KEPT, AGAIN):
                return item
            hint = worded("one of {forms}", forms=enumerated(", ", (LEFT_OFF, KEPT, AGAIN)))
            self.file.wrong("change", worded("'{item}' cannot stand for a weak syllable", item=item), hint, path, item)
            return None
        sounds = self._run(item)
        with_vowel = len(sounds) == 2 and is_nucleus(sounds[1]) and sounds[0] == key[0] and key[1] == "final"
        if len(sounds) > 1 and (len(self._run(key[0])) > 1 or with_vowel):
            return "".join(sounds)
        return self.file.sound(item, path, None)
