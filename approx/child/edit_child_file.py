"""A word heard, or a change seen in a child, entered in the text of a child file; all else, remarks too, stays as typed."""

from __future__ import annotations

import json
import re
import tomllib
from collections.abc import Callable, Mapping, Sequence

from approx.child.profile import WordHeard
from approx.child.toml_places import TomlPlaces, ValuePlace
from approx.problems import Problem
from approx.wording import worded

_BARE = re.compile(r"[A-Za-z0-9_-]+")


def with_heard(text: str, word: str, heard: WordHeard) -> str | Problem:
    """The text with what was heard for a word in [heard], in place of what stood there for the word before."""
    label = " ".join(word.lower().split())
    return _entered(text, "heard", label, heard_value(heard), lambda key: " ".join(key.lower().split()) == label)


def with_change(
    text: str, sound: str, position: str, said: Sequence[str], times: Sequence[int] = (), remark: str = ""
) -> str | Problem:
    """The text with what a child says for a sound or cluster in [changes], commonest first (`LEFT_OFF` among it).

    `position`: initial, medial, final, or "" for every other. `times`: in how many words each was heard. `remark` goes
    behind a line that is new.
    """
    label = f"{sound} {position}".strip()
    value = json.dumps(said_value(said, times), ensure_ascii=False)
    return _entered(text, "changes", label, value, lambda key: " ".join(key.split()) == label, remark)


def without(text: str, section: str, label: str) -> str:
    """The text without the line of a word in [heard] or of a sound in [changes]; as it was where there is none."""
    place = next((p for p in TomlPlaces(text).found if p.path == (section, label)), None)
    if place is None or text[place.key] == "[":
        return text
    start, end = text.rfind("\n", 0, place.key) + 1, text.find("\n", place.last)
    return text[:start] + (text[end + 1 :] if end >= 0 else "")


def heard_lines(heard: Mapping[str, WordHeard], remarks: Mapping[str, str] | None = None) -> list[str]:
    """The section [heard] as lines; `remarks` by word go behind."""
    return ["[heard]", *_lines({word: heard_value(each) for word, each in heard.items()}, remarks or {})]


def change_lines(
    changes: Mapping[tuple[str, str], Sequence[str]], times: Mapping[tuple[str, str], Sequence[int]] | None = None
) -> list[str]:
    """The section [changes] as lines; `times`: in how many words each form was heard, where that is known."""
    values = {
        " ".join(filter(None, key)): json.dumps(said_value(said, (times or {}).get(key, ())), ensure_ascii=False)
        for key, said in changes.items()
    }
    return ["[changes]", *_lines(values, {})]


def said_value(said: Sequence[str], times: Sequence[int] = ()) -> str:
    """What is said for a sound as it stands in [changes]: `h t`, or `h 4, t 2` with the number of words of each."""
    return ", ".join(f"{form} {number}" for form, number in zip(said, times)) if times else " ".join(said)


def heard_value(heard: WordHeard) -> str:
    """What was heard as an inline table."""
    day = f", date = {heard.date}" if heard.date else ""
    return f"{{ form = {json.dumps(heard.form, ensure_ascii=False)}{day} }}"


def _lines(values: Mapping[str, str], remarks: Mapping[str, str]) -> list[str]:
    return [
        f"{_key(key)} = {value}" + (f"   # {remarks[key]}" if key in remarks else "") for key, value in values.items()
    ]


def _key(label: str) -> str:
    return label if _BARE.fullmatch(label) else json.dumps(label, ensure_ascii=False)


def _entered(
    text: str, section: str, label: str, value: str, same: Callable[[str], bool], remark: str = ""
) -> str | Problem:
    """The text with one entry of a section; a Problem where it cannot be entered without spoiling the file."""
    text = text.replace("\r\n", "\n")
    try:
        before = tomllib.loads(text)
        after = _placed(text, section, label, value, same, remark)
        table = tomllib.loads(after)
    except tomllib.TOMLDecodeError as error:
        hint = worded("write [{section}] on a line of its own, or mend the file first", section=section)
        return Problem("child.syntax", worded("'{label}' cannot be entered: {error}", label=label, error=error), hint)
    others = {name: part for name, part in table.items() if name != section}
    if others != {name: part for name, part in before.items() if name != section}:
        hint = worded("write [{key}] on a line of its own", key=section)
        return Problem(
            "child.section", worded("'{label}' cannot be entered in [{section}]", label=label, section=section), hint
        )
    return after


def _placed(text: str, section: str, label: str, value: str, same: Callable[[str], bool], remark: str) -> str:
    places = [place for place in TomlPlaces(text).found if place.path[:1] == (section,)]
    known = next((place for place in places if len(place.path) == 2 and same(place.path[1])), None)
    if known is not None and text[known.key] != "[":
        return text[: known.first] + value + text[known.last :]
    if known is not None:
        text = _without_table(text, known)
        places = [place for place in TomlPlaces(text).found if place.path[:1] == (section,)]
    line = f"{_key(label)} = {value}" + (f"   # {remark}" if remark else "")
    header = next((place for place in places if place.path == (section,) and text[place.key] == "["), None)
    if header is None:
        dotted = [place for place in places if len(place.path) == 2]
        if dotted:
            return _after_line(text, dotted[-1], f"{section}.{line}")
        return text.rstrip("\n") + f"\n\n[{section}]\n{line}\n"
    inside = [place for place in places if len(place.path) == 2 and text[place.key] != "["]
    return _after_line(text, inside[-1] if inside else header, line)


def _after_line(text: str, place: ValuePlace, line: str) -> str:
    end = text.find("\n", place.last)
    return f"{text}\n{line}\n" if end < 0 else f"{text[: end + 1]}{line}\n{text[end + 1 :]}"


def _without_table(text: str, header: ValuePlace) -> str:
    """The text without a table of its own ([heard.soup]), up to the next header."""
    after = [place.key for place in TomlPlaces(text).found if place.key > header.key and text[place.key] == "["]
    end = min(after, default=len(text))
    return text[: header.key] + text[end:]
