"""What a sample shows beside what the inventory says: each difference by itself, to be accepted or not."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from approx.child.profile import POSITIONS, Profile, Status, WordHeard


@dataclass(frozen=True, slots=True)
class NewSound:
    """One difference. `part`: a position, vowels, shapes or clusters. `wanted`: more is heard than the inventory says."""

    part: str
    item: str
    now: Status
    heard: Status

    @property
    def key(self) -> str:
        """Names the difference in a form."""
        return f"{self.part} {self.item}"

    @property
    def wanted(self) -> bool:
        """Whether it is ticked at first: it says more than is known."""
        return self.now == "untested" or _RANK[self.heard] > _RANK[self.now]


_RANK = {"untested": 0, "absent": 1, "emerging": 2, "established": 3}
"""From nothing known to all of it."""


def differences(now: Profile, heard: Profile) -> tuple[NewSound, ...]:
    """What was heard otherwise than the inventory has it. A sound the sample did not test is no difference."""
    out = []
    for part in (*POSITIONS, "vowels", "shapes", "clusters"):
        old, new = _table(now, part), _table(heard, part)
        for item in dict.fromkeys((*new, *old)):
            before, after = old.get(item, "absent"), new.get(item, "absent")
            if after not in ("untested", before):
                out.append(NewSound(part, item, before, after))
    return tuple(sorted(out, key=lambda each: not each.wanted))


@dataclass(frozen=True, slots=True)
class OwnNew:
    """What suggestions follow and the inventory does not have yet. `forms`: word and form; `changes`: sound, cluster or `WEAK`
    with its place ("" for every other), and what is said for it, commonest first, with the number of words (0: not noted)."""

    forms: tuple[tuple[str, str], ...]
    changes: tuple[tuple[str, str, tuple[tuple[str, int], ...]], ...]


FORMS, CHANGES = "own forms", "own changes"
"""Names of these two in the form."""


def own_new(now: Profile, heard: Profile) -> OwnNew:
    """Forms and changes of the sample that the inventory has otherwise or not at all."""
    forms = tuple((word, each.form) for word, each in heard.heard.items() if _form(now, word) != each.form)
    changes = tuple(
        (*key, tuple(zip(said, heard.times.get(key) or (0,) * len(said))))
        for key, said in heard.changes.items()
        if (now.changes.get(key), now.times.get(key)) != (said, heard.times.get(key))
    )
    return OwnNew(forms, changes)


def dated(profile: Profile, day: str) -> Profile:
    """The profile with a day for each form heard that has none."""
    return replace(
        profile, heard={word: WordHeard(each.form, each.date or day) for word, each in profile.heard.items()}
    )


def _form(profile: Profile, word: str) -> str:
    return profile.heard[word].form if word in profile.heard else ""


def accepted(now: Profile, heard: Profile, keys: Iterable[str]) -> Profile:
    """The inventory with the differences that were accepted; all else stays as it was."""
    wanted = set(keys)
    mine = [each for each in differences(now, heard) if each.key in wanted]

    def changed(part: str) -> dict[str, Status]:
        return _table(now, part) | {each.item: each.heard for each in mine if each.part == part}

    return replace(
        now,
        consonants={position: changed(position) for position in POSITIONS},
        vowels=changed("vowels"),
        shapes=changed("shapes"),
        clusters=dict(now.clusters)
        | {key: status for key, status in heard.clusters.items() if f"clusters {_cluster(key)}" in wanted},
        max_syllables=max(now.max_syllables, heard.max_syllables) if mine else now.max_syllables,
        heard={**now.heard, **heard.heard} if FORMS in wanted else now.heard,
        changes={**now.changes, **heard.changes} if CHANGES in wanted else now.changes,
        times={**now.times, **heard.times} if CHANGES in wanted else now.times,
    )


def _table(profile: Profile, part: str) -> dict[str, Status]:
    if part == "vowels":
        return dict(profile.vowels)
    if part == "shapes":
        return dict(profile.shapes)
    if part == "clusters":
        return {_cluster(key): status for key, status in profile.clusters.items()}
    return dict(profile.consonants.get(part, {}))


def _cluster(key: tuple[tuple[str, ...], str]) -> str:
    return f"{''.join(key[0])} {key[1]}"
