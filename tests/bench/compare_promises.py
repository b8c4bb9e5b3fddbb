"""Keys of JSON and headings of tables in two recordings of `compare_outputs.py`: what one had and the other has not.

    python tests/bench/compare_promises.py OLD NEW

Keys may be added and are never renamed; columns may be added at the end (DEVELOPERS.md, "Promises"). For each kind of answer
the keys of all its cases are taken together, and so are its headings. Named is a key of the old answers that no new one has, a
list's items being `*`, and an old heading that no new one begins with; the end is 1 if there is any. A key that only some
answers have, such as a severity band, is named too where no case of the new recording has it: a person judges. Keys that
are data, such as the words of a child's file, are not looked at.
"""

from __future__ import annotations

import json
import shlex
import sys
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

NAMED_BY_DATA = {"rules", "heard", "changes", "chosen", "people", "times"}
"""Keys whose own keys are data."""
GROUPS, SHAPES = {"child", "sheet", "list"}, {"--frames", "--contrast", "--set", "--tokens", "--grammar"}


class Answers(NamedTuple):
    """By kind of answer: the keys of its JSON, and the headings of its tables."""

    keys: dict[str, set[str]]
    headings: dict[str, set[str]]


def kind_of(words: list[str]) -> str:
    """A command with what decides the shape of its answer."""
    named = words[:2] if words[0] in GROUPS or words[:2] == ["words", "say"] else words[:1]
    return " ".join([*named, *sorted(SHAPES.intersection(words))])


def printed(text: str) -> Iterator[tuple[list[str], str]]:
    """Each command of a case with what it wrote to stdout."""
    for part in text.split("$ approx ")[1:]:
        typed, _, rest = part.partition("\n")
        words = shlex.split(typed)
        _, found, out = rest.partition("--- stdout\n")
        if words and found:
            yield words, out.partition("\n--- ")[0]


def keys_of(value: object, path: str = "") -> Iterator[str]:
    if isinstance(value, dict):
        for key, part in value.items():
            yield f"{path}{key}"
            if key not in NAMED_BY_DATA:
                yield from keys_of(part, f"{path}{key}.")
    elif isinstance(value, list):
        for part in value:
            yield from keys_of(part, f"{path}*.")


def answers_in(folder: Path) -> Answers:
    """All that a recording holds. SystemExit if it holds nothing, for then nothing would be compared."""
    found = Answers(defaultdict(set), defaultdict(set))
    for path in folder.rglob("*.txt"):
        for words, out in printed(path.read_bytes().decode("utf-8")):
            if "--json" in words and out.startswith("{"):
                found.keys[kind_of(words)].update(keys_of(json.loads(out)))
            elif "--csv" in words and out.startswith("\ufeff"):
                found.headings[kind_of(words)].add(out[1:].splitlines()[0])
    if not (found.keys and found.headings):
        raise SystemExit(f"{folder}: no answers; record them with compare_outputs.py")
    return found


def departures(old: Answers, new: Answers) -> Iterator[str]:
    """A line for each key and heading that is not there any more, of the kinds of answer that both have."""
    for kind in sorted(old.keys.keys() & new.keys.keys()):
        gone = old.keys[kind] - new.keys[kind]
        for key in sorted(gone):
            if not any(key.startswith(f"{other}.") for other in gone):
                yield f"{kind} --json: {key} is gone"
    for kind in sorted(old.headings.keys() & new.headings.keys()):
        for heading in sorted(old.headings[kind]):
            if not any(f"{other},".startswith(f"{heading},") for other in new.headings[kind]):
                yield f"{kind} --csv: {heading}\n  is now: {' | '.join(sorted(new.headings[kind]))}"


def main() -> None:
    if len(sys.argv) != 3:
        raise SystemExit(__doc__)
    found = list(departures(*(answers_in(Path(name)) for name in sys.argv[1:])))
    print("\n".join([*found, f"{len(found)} departures"]))
    sys.exit(1 if found else 0)


if __name__ == "__main__":
    main()
