"""What may be asked of a child now, from the profile: what is in the inventory, what is emerging, own changes."""

from __future__ import annotations

from collections.abc import Mapping

from approx.child.demands import all_demands
from approx.child.profile import NOTHING_IN_HAND, POSITIONS, Limits, Profile, Status
from approx.ipa import read
from approx.ipa.features import is_nucleus

Key = tuple[str, tuple[str, ...]]
"""A demand without its place in the word (`Demand.key`)."""
_ONE_VOWEL = ("ʌ", "ə")
"""One vowel of English by stress: who has either has both."""
_BACKED = {"t": ("k",), "d": ("ɡ",)}
"""What a child who has velars and no t, d or n says for t and d (common practice, no source)."""


def limits(profile: Profile, emerging: bool = False) -> Limits:
    """What the child may be asked to say; `emerging` lets emerging sounds and shapes in.

    What was heard in one word counts as emerging for other words.
    """
    soft = _emerging(profile)
    allowed = ("established", "emerging") if emerging else ("established",)
    let_in = soft if emerging else frozenset()

    def keep(kind: str, table: Mapping[str, Status], place: str = "") -> frozenset[str]:
        heard = (item[0] for name, item in let_in if name == kind and (not place or item[1] == place))
        return frozenset((*(item for item, status in table.items() if status in allowed), *heard))

    vowels = keep("vowel", profile.vowels)
    if not profile.language.lower().startswith("es") and vowels & set(_ONE_VOWEL):
        vowels |= set(_ONE_VOWEL)
    clusters = {key for key, status in profile.clusters.items() if status in allowed}
    return Limits(
        consonants={place: keep("consonant", profile.consonants.get(place, {}), place) for place in POSITIONS},
        clusters=frozenset(clusters | {(item[:-1], item[-1]) for kind, item in let_in if kind == "cluster"}),
        vowels=vowels,
        shapes=keep("shape", profile.shapes),
        max_syllables=profile.max_syllables,
        variety=profile.variety,
        emerging=soft,
        changes=_own_changes(profile),
    )


def _emerging(profile: Profile) -> frozenset[Key]:
    """All that is emerging by the profile, or was heard in some word and is not established."""
    soft: set[Key] = set()
    sure: set[Key] = set()
    for place in POSITIONS:
        table = profile.consonants.get(place, {})
        soft |= {("consonant", (sound, place)) for sound, status in table.items() if status == "emerging"}
        sure |= {("consonant", (sound, place)) for sound, status in table.items() if status == "established"}
    for kind, statuses in (("vowel", profile.vowels), ("shape", profile.shapes)):
        soft |= {(kind, (item,)) for item, status in statuses.items() if status == "emerging"}
        sure |= {(kind, (item,)) for item, status in statuses.items() if status == "established"}
    for (run, place), status in profile.clusters.items():
        (soft if status == "emerging" else sure).add(("cluster", (*run, place)))
    for heard in profile.heard.values():
        for word in read(heard.form, profile.language).words:
            soft |= {demand.key for demand in all_demands(word.phones, word.starts, NOTHING_IN_HAND)} - sure
    return frozenset(soft)


def untested(profile: Profile) -> frozenset[Key]:
    """Everything that stands under untested."""
    out: set[Key] = set()
    for place in POSITIONS:
        table = profile.consonants.get(place, {})
        out |= {("consonant", (sound, place)) for sound, status in table.items() if status == "untested"}
    out |= {("vowel", (sound,)) for sound, status in profile.vowels.items() if status == "untested"}
    out |= {("shape", (shape,)) for shape, status in profile.shapes.items() if status == "untested"}
    return frozenset(
        out | {("cluster", (*run, place)) for (run, place), status in profile.clusters.items() if status == "untested"}
    )


def _own_changes(profile: Profile) -> dict[tuple[str, str], tuple[str, ...]]:
    """The changes of a profile for every place they hold in; backing where the inventory alone shows it."""
    out: dict[tuple[str, str], tuple[str, ...]] = {}
    for sound, _ in profile.changes:
        for place in ("vowel",) if is_nucleus(sound) else POSITIONS:
            said = tuple(each for each in profile.said_for(sound, "" if place == "vowel" else place) if each != sound)
            if said:
                out[sound, place] = said
    have = {place: _had(profile.consonants.get(place, {})) for place in POSITIONS}
    if not any(have[place] & {"t", "d", "n"} for place in POSITIONS):
        for place in POSITIONS:
            if have[place] & {"k", "ɡ"}:
                for sound, said in _BACKED.items():
                    out.setdefault((sound, place), said)
    return out


def _had(table: Mapping[str, Status]) -> frozenset[str]:
    return frozenset(sound for sound, status in table.items() if status in ("established", "emerging"))
