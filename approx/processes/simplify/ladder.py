"""Climb: the way back up from today's form to the adult word, one new demand a rung.

The same search runs again with one more demand granted. What today's derivation had to mend is what can be granted;
the easiest comes first (emerging, then what children stop simplifying earliest: `rules/climb.toml`). Demands that
change nothing alone (a cluster without its sounds) are granted together and make one rung.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

from approx.child.demands import Demand, demands, describe
from approx.datafiles import read_toml, rules_path
from approx.ipa.word import Word
from approx.processes.engine.repair import Granted
from approx.processes.engine.search import Key
from approx.processes.simplify.simplify import Simplifier
from approx.processes.simplify.walk import Way


@dataclass(frozen=True, slots=True)
class Rung:
    """One form of a ladder and what it adds to the rung below, in words and as demands; nothing on the first."""

    word: Word
    adds: str | None
    demands: tuple[Key, ...] = ()


def ladder(simplifier: Simplifier, adult: Word, start: Word | None = None) -> tuple[Rung, ...]:
    """Rungs from `start` (default: the nearest sayable form) to the adult word; () if nothing is sayable.

    Every rung asks only for what the child has plus what the rungs below added. A `start` the clinician chose may
    ask for more than the child has: that much is then taken as granted.
    """
    granted: Granted = frozenset()
    if start is not None:
        granted = frozenset(demand.key for demand in demands(start.phones, start.starts, simplifier.limits))
    here = simplifier.way(adult, granted)
    if here is None:
        return ()
    rungs = [Rung(start or here.form.word, None)]
    if rungs[0].word.phones != here.form.phones:
        rungs.append(Rung(here.form.word, "sounds and shapes already in the inventory"))
    while here.steps:
        raised = _raise(simplifier, adult, here, granted)
        if raised is None:
            rest = tuple(d.key for d in demands(adult.phones, adult.starts, simplifier.limits, granted))
            rungs.append(Rung(adult, _words(rest), rest))
            break
        here, added = raised
        granted |= frozenset(added)
        rungs.append(Rung(here.form.word, _words(added), added))
    return tuple(rungs)


def _raise(simplifier: Simplifier, adult: Word, here: Way, granted: Granted) -> tuple[Way, tuple[Key, ...]] | None:
    """The next form up and what it asks for: the easiest demand that changes the form for the better."""
    # sounds that happen to be alike after other changes hide that the word needs different ones
    asks = demands(adult.phones, adult.starts, simplifier.limits, granted) if simplifier.limits.variety != "any" else ()
    varied = {demand.key for demand in asks if demand.kind == "variety"}
    waiting = sorted({why for _, why, _ in here.steps} | varied, key=lambda key: _ease(simplifier, key))
    for joins in (_one_place, _anything):
        for key in waiting:
            raised = _grant(simplifier, adult, here, granted, key, joins)
            if raised is not None:
                return raised
    return None


def _grant(
    simplifier: Simplifier, adult: Word, here: Way, granted: Granted, key: Key, joins: Callable[[Key, Key], bool]
) -> tuple[Way, tuple[Key, ...]] | None:
    """Grant one demand, and what then stands in its way in the same place, until the form changes for the better."""
    added: list[Key] = [key, *_members(simplifier, granted, key)]
    old = {why for _, why, _ in here.steps}
    while True:
        wider = granted | frozenset(added)
        found = (simplifier.put_back(adult, here, key, wider) if len(added) == 1 else None) or simplifier.way(
            adult, wider
        )
        if found is None:
            return None
        if found.form.phones != here.form.phones and _kept(found, adult) > _kept(here, adult):
            return found, tuple(added)
        fresh = [why for _, why, _ in found.steps if why not in added and (why not in old or joins is _anything)]
        more = next((why for why in fresh if joins(key, why) and not _of_likes(why)), None)
        if more is None:
            return None
        added.append(more)


def _members(simplifier: Simplifier, granted: Granted, key: Key) -> list[Key]:
    """Sounds of a cluster that are not in hand: granted with it, or it would come back with others in their place."""
    kind, item = key
    if kind != "cluster":
        return []
    have = simplifier.repairs.available(granted)[item[-1]]
    return [("consonant", (sound, item[-1])) for sound in dict.fromkeys(item[:-1]) if sound not in have]


def _of_likes(key: Key) -> bool:
    """True for a cluster of one sound twice, which no adult word has to give."""
    kind, item = key
    return kind == "cluster" and len(set(item[:-1])) < len(item) - 1


def _kept(found: Way, adult: Word) -> int:
    """How much of the adult word a form has: a point a sound that stands for an adult one, one more if it is the same.

    Not the cost: a syllable that comes back brings its own simplified sounds, and each of them costs.
    """
    form = found.form
    return sum(1 + (adult.phones[at] == phone) for at, phone in zip(form.origins, form.phones) if at >= 0)


def _one_place(key: Key, other: Key) -> bool:
    """A cluster needs its shape and its sounds; a shape the sound or the cluster that closes or opens it."""
    kind, item = key
    if kind == "cluster":
        return other[0] == "shape" or other[0] == "consonant" and other[1][0] in item[:-1] or other[0] == "cluster"
    return kind == "shape" and other[0] in ("consonant", "cluster", "shape")


def _anything(key: Key, other: Key) -> bool:
    return True


@cache
def _months() -> tuple[dict[str, int], dict[str, int], dict[str, int]]:
    table = read_toml(rules_path("climb.toml"))

    def spread(part: dict[str, int]) -> dict[str, int]:
        return {sound: months for sounds, months in part.items() for sound in sounds.split()}

    return table["kinds"], spread(table["consonants"]), spread(table["vowels"])


def _ease(simplifier: Simplifier, key: Key) -> tuple[bool, int, str, tuple[str, ...]]:
    kinds, consonants, vowels = _months()
    kind, item = key
    if kind == "consonant":
        months = consonants.get(item[0], consonants["other"])
    else:
        months = vowels.get(item[0], kinds[kind]) if kind == "vowel" else kinds[kind]
    return key not in simplifier.limits.emerging, months, kind, item


def _words(keys: tuple[Key, ...]) -> str:
    """What a rung adds, shortest true wording: a cluster says its new sounds, a shape is left out beside it."""
    if not keys:
        return "the adult word"
    clusters = [item for kind, item in keys if kind == "cluster"]
    sounds = [item[0] for kind, item in keys if kind in ("consonant", "vowel")]
    if clusters:
        run = "".join(clusters[-1][:-1])
        inside = [sound for sound in sounds if sound in clusters[-1][:-1]]
        head = f"{' and '.join(inside)} in the cluster {run}" if inside else f"the cluster {run}"
        rest = [
            key for key in keys if key[0] in ("consonant", "vowel", "length", "variety") and key[1][0] not in inside
        ]
        return ", ".join([head, *(_word(key) for key in rest)])
    return ", ".join(_word(key) for key in keys)


def _word(key: Key) -> str:
    return describe(Demand(*key, 0, 0))
