"""What one child was heard to say, for the child's file: the form of each word, and what is said for single sounds.

Counted by the alignment alone, in places where a sound stands without another consonant beside it, so that no cluster and
no syllable left off is taken for a change of the sound.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date

from approx.child.demands import position_of
from approx.child.profile import LEFT_OFF, WordHeard
from approx.ipa.features import is_nucleus
from approx.ipa.word import UNIDENTIFIED, Word
from approx.processes.engine.pooling import settings
from approx.scoring.alignment.align import align

Said = tuple[str, Word | None, Word, str]
"""Word as spelled, adult form, what was said, day ("" where not known)."""
Place = tuple[str, str]
"""Sound and position; "" for a vowel."""


@dataclass(frozen=True, slots=True)
class OwnForms:
    """Words heard with their form, changes commonest first, and for each how often, in words, for a remark."""

    heard: dict[str, WordHeard] = field(default_factory=dict)
    heard_counts: dict[str, str] = field(default_factory=dict)
    changes: dict[Place, tuple[str, ...]] = field(default_factory=dict)
    change_counts: dict[Place, str] = field(default_factory=dict)


def own_forms(said: Iterable[Said]) -> OwnForms:
    """The forms and changes of a sample. A form in doubt counts for nothing; of several, the one heard most often, then
    the latest. A change is listed from so many words and such a share of the trials as `rules/predict.toml` says."""
    forms: dict[str, Counter[str]] = defaultdict(Counter)
    days: dict[tuple[str, str], str] = {}
    outcomes: dict[Place, Counter[str]] = defaultdict(Counter)
    words: dict[tuple[Place, str], set[str]] = defaultdict(set)
    for word, adult, produced, day in said:
        label = " ".join(word.lower().split())
        sure = not produced.doubtful and not any(produced.omitted) and not set(produced.phones) & UNIDENTIFIED
        if not label or not produced.phones or not sure:
            continue
        day = day if _is_day(day) else ""
        forms[label][produced.ipa] += 1
        days[label, produced.ipa] = max(day, days.get((label, produced.ipa), ""))
        for place, sound in _changes(adult, produced) if adult is not None else ():
            outcomes[place][sound] += 1
            words[place, sound].add(label)
    out = OwnForms()
    for label in sorted(forms):
        counts = forms[label]
        form = max(counts, key=lambda ipa: (counts[ipa], days[label, ipa], ipa))
        out.heard[label] = WordHeard(form, days[label, form])
        out.heard_counts[label] = f"{counts[form]} of {counts.total()}"
    table = settings()["listed"]
    for place in sorted(outcomes):
        counts, trials = outcomes[place], outcomes[place].total()
        ranked = sorted(counts, key=lambda sound: (-counts[sound], sound))
        often = [
            sound for sound in ranked
            if len(words[place, sound]) >= table["words"] and counts[sound] >= table["share"] * trials
        ]  # fmt: skip
        if any(sound != place[0] for sound in often):
            out.changes[place] = tuple(often)
            out.change_counts[place] = ", ".join(f"{sound} {counts[sound]}" for sound in ranked) + f" of {trials}"
    return out


def _is_day(text: str) -> bool:
    """True for year-month-day, as a child file has it."""
    try:
        return date.fromisoformat(text).isoformat() == text
    except ValueError:
        return False


def _changes(adult: Word, produced: Word) -> Iterable[tuple[Place, str]]:
    """(sound and position, what was said for it) for every single sound of an adult word."""
    phones, nuclei = adult.phones, [at for at, phone in enumerate(adult.phones) if is_nucleus(phone)]
    if not nuclei:
        return
    links = align(adult, produced).links
    stands = {at: said_at for at, said_at in links if at is not None}
    for at, phone in enumerate(phones):
        said_at = stands.get(at)
        if is_nucleus(phone):
            if said_at is not None and is_nucleus(produced.phones[said_at]):
                yield (phone, ""), produced.phones[said_at]
            continue
        beside = [*phones[max(0, at - 1) : at], *phones[at + 1 : at + 2]]
        vowel = next((n for n in nuclei if n > at), nuclei[-1])
        if all(map(is_nucleus, beside)) and stands.get(vowel) is not None:
            place = position_of(at, len(phones), nuclei[0], nuclei[-1])
            yield (phone, place), LEFT_OFF if said_at is None else produced.phones[said_at]
