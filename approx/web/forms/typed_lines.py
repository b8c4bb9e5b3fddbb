"""What is typed into the text fields of an inventory: clusters, own changes and forms heard; to and from a child file."""

from __future__ import annotations

import json
import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, fields, replace
from datetime import date

from approx.child.profile import Profile, WordHeard
from approx.child.write_profile import heard_value, said_value
from approx.problems import Problem
from approx.web.server.posted import Posted
from approx.wording import worded

_SIGN = re.compile(r"\s*[:=→]\s*")
_DAY = re.compile(r"(.*\S)\s+(\d{4}-\d{2}-\d{2})")


@dataclass(frozen=True, slots=True)
class TypedLines:
    """The three fields as typed. `clusters`: separated by commas; `changes` (s initial: h 4, t 2) and `heard`
    (soup: tup 2026-03-02): a line each."""

    clusters: str
    changes: str
    heard: str

    def cluster_entries(self) -> list[str]:
        """Each cluster as a child file lists it."""
        entries = (" ".join(entry.split()) for entry in self.clusters.replace("\n", ",").split(","))
        return [entry for entry in entries if entry]

    def sections(self) -> list[str]:
        """The sections [heard] and [changes] as lines of a child file. What cannot be read stays in them, to be named there."""
        return [
            "[heard]",
            *(f"{_quoted(word)} = {heard_value(_heard(said))}" for word, said in _entries(self.heard)),
            "",
            "[changes]",
            *(f"{_quoted(sound)} = {_quoted(said)}" for sound, said in _entries(self.changes)),
        ]

    def problems(self) -> tuple[Problem, ...]:
        """Lines without a colon, and what stands on two lines: a child file could not hold them."""
        found: list[Problem] = []
        for text, example in ((self.changes, "s initial: h 4, t 2"), (self.heard, "soup: tup 2026-03-02")):
            hint = worded("one per line, such as {example}", example=example)
            for line in filter(str.strip, text.split("\n")):
                if not all(_parts(line)):
                    found.append(
                        Problem(
                            "child.line", worded("'{line}' has no colon with something on both sides", line=line), hint
                        )
                    )
            times = Counter(" ".join(label.split()) for label, _ in _entries(text))
            found += [
                Problem("child.contradiction", worded("'{label}' is on two lines", label=label), "keep one of the two")
                for label, number in times.items()
                if number > 1
            ]
        return tuple(found)


def typed_lines(profile: Profile) -> TypedLines:
    """The fields as they are filled from a profile."""
    changes = (
        f"{' '.join(filter(None, key))}: {said_value(said, profile.times.get(key, ()))}"
        for key, said in profile.changes.items()
    )
    heard = (f"{word}: {' '.join(filter(None, (each.form, each.date)))}" for word, each in profile.heard.items())
    return TypedLines(", ".join(_clusters(profile)), "\n".join(changes), "\n".join(heard))


def typed_in(form: Posted, before: TypedLines) -> TypedLines:
    """The fields as they came with a form; one that did not come stays as it was before."""
    return replace(before, **{each.name: form.raw(each.name) for each in fields(TypedLines) if form.every(each.name)})


def _clusters(profile: Profile) -> Iterator[str]:
    """The clusters as a child file lists them: `sp initial`, `nd final emerging`."""
    for (run, place), status in profile.clusters.items():
        yield f"{''.join(run)} {place}" + ("" if status == "established" else f" {status}")


def _entries(text: str) -> Iterator[tuple[str, str]]:
    yield from (parts for line in text.split("\n") if all(parts := _parts(line)))


def _parts(line: str) -> tuple[str, str]:
    label, *said = _SIGN.split(line.strip(), maxsplit=1)
    return label, "".join(said)


def _heard(said: str) -> WordHeard:
    found = _DAY.fullmatch(said)
    if found is None:
        return WordHeard(said)
    try:
        date.fromisoformat(found[2])
    except ValueError:
        return WordHeard(said)
    return WordHeard(found[1], found[2])


def _quoted(text: str) -> str:
    """A text in double quotes; JSON writes it as TOML reads it."""
    return json.dumps(text, ensure_ascii=False)
