"""What may be asked of a child now, from the profile: what is in the inventory, what is emerging, own changes."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache, lru_cache
from typing import cast

from approx.child.demands import all_demands, weak_syllables
from approx.child.profile import KEPT, LEFT_OFF, NOTHING_IN_HAND, POSITIONS, WEAK, Limits, Profile, Status
from approx.datafiles import read_toml, rules_path
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
        runs=_own_runs(profile),
        weak={place: said for place, said in _own_weak(profile).items() if (WEAK, (place,)) not in let_in},
        evidence=_evidence(profile),
        counted=bool(profile.times),
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
    not_kept = _own_weak(profile)
    for heard in profile.heard.values():
        for word in read(heard.form, profile.language).words:
            soft |= {demand.key for demand in all_demands(word.phones, word.starts, NOTHING_IN_HAND)} - sure
            soft |= {(WEAK, (place,)) for _, place in weak_syllables(word.stress) if place in not_kept}
    return frozenset(soft)


def untested_demands(profile: Profile) -> frozenset[Key]:
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


@cache
def _listed() -> dict[str, float]:
    return cast(dict[str, float], read_toml(rules_path("predict.toml"))["listed"])


def _firm(profile: Profile, key: tuple[str, str]) -> tuple[str, ...]:
    """What is said for a sound as a rule: all that is listed without numbers, else what is in enough words and trials
    (`rules/predict.toml`, [listed])."""
    said, times = profile.changes[key], profile.times.get(key)
    if not times:
        return said
    table, trials = _listed(), sum(times)
    return tuple(
        form for form, number in zip(said, times) if number >= table["words"] and number >= table["share"] * trials
    )


def _own_changes(profile: Profile) -> dict[tuple[str, str], tuple[str, ...]]:
    """The changes of a profile for every place they hold in; backing where the inventory alone shows it."""
    out: dict[tuple[str, str], tuple[str, ...]] = {}
    for sound, place in _places(profile):
        key = (sound, place) if (sound, place) in profile.changes else (sound, "")
        said = tuple(each for each in _firm(profile, key) if each != sound and len(_sounds(each, profile)) < 2)
        if said:
            out[sound, place or "vowel"] = said
    have = {place: _had(profile.consonants.get(place, {})) for place in POSITIONS}
    if not any(have[place] & {"t", "d", "n"} for place in POSITIONS):
        for place in POSITIONS:
            if have[place] & {"k", "ɡ"}:
                for sound, said in _BACKED.items():
                    out.setdefault((sound, place), said)
    return out


def _places(profile: Profile) -> list[tuple[str, str]]:
    """Each sound of [changes] with every position its line holds in; "" for a vowel."""
    out: dict[tuple[str, str], None] = {}
    for what, position in profile.changes:
        if what != WEAK and len(_sounds(what, profile)) == 1:
            every = POSITIONS if not (position or is_nucleus(what)) else (position,)
            out |= {(what, place): None for place in every}
    return list(out)


def _own_runs(profile: Profile) -> dict[tuple[tuple[str, ...], str], tuple[tuple[str, ...], ...]]:
    """What is said for each cluster, and for a last consonant with a vowel after it."""
    out: dict[tuple[tuple[str, ...], str], tuple[tuple[str, ...], ...]] = {}
    for what, place in profile.changes:
        sounds = _sounds(what, profile) if what != WEAK else ()
        said = tuple(_sounds(form, profile) for form in _firm(profile, (what, place)) if form != what)
        if len(sounds) == 1:
            said = tuple(form for form in said if len(form) > 1)
        if sounds and place and said:
            out[sounds, place] = said
    return out


def _own_weak(profile: Profile) -> dict[str, str]:
    """Positions in which a weak syllable is mostly not kept, with what is said for it."""
    out = {}
    for what, place in profile.changes:
        if what == WEAK:
            said, firm = profile.changes[what, place], _firm(profile, (what, place))
            times = profile.times.get((what, place)) or (1, *(0 for _ in said[1:]))
            most = said[times.index(max(times))]
            if most in firm and most != KEPT and 2 * max(times) > sum(times):
                out[place] = most
    return out


def _evidence(profile: Profile) -> dict[tuple[tuple[str, ...], str], tuple[tuple[tuple[str, ...], int], ...]]:
    """All that is listed for sounds (a vowel in the position "") and clusters; a form without a number counts as so many
    words as make a change firm."""
    each = int(_listed()["words"])
    out = {}
    lines = [(what, place) for what, place in profile.changes if what != WEAK and len(_sounds(what, profile)) > 1]
    for what, place in (*_places(profile), *lines):
        key = (what, place) if (what, place) in profile.changes else (what, "")
        said = profile.changes[key]
        times = profile.times.get(key) or (each,) * len(said)
        out[_sounds(what, profile), place] = tuple((_sounds(form, profile), n) for form, n in zip(said, times))
    return out


def _sounds(text: str, profile: Profile) -> tuple[str, ...]:
    """The sounds of what stands in [changes]; () where it is left off."""
    return () if text == LEFT_OFF else _read(text, profile.language, profile.languages)


@lru_cache(maxsize=4096)
def _read(text: str, tag: str, others: tuple[str, ...]) -> tuple[str, ...]:
    readings = (read(text, each) for each in (tag, *others))
    return next((reading.words[0].phones for reading in readings if len(reading.words) == 1), (text,))


def _had(table: Mapping[str, Status]) -> frozenset[str]:
    return frozenset(sound for sound, status in table.items() if status in ("established", "emerging"))
