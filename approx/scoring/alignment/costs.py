"""Costs of linking, losing and adding sounds, read from `rules/alignment.toml`, as whole hundredths.

A sound is known to the aligner by a number that stands for the symbol and its role: whether a vowel is stressed, whether
a liquid closes its syllable. Whole numbers make ties exact and let the batch aligner add the same costs in arrays.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from threading import Lock
from typing import Any, NamedTuple

from approx.datafiles import read_toml, rules_path
from approx.ipa.features import distance, in_class, is_nucleus, is_vowel, split
from approx.ipa.word import UNINTELLIGIBLE, UNKNOWN_CONSONANT, UNKNOWN_SOUND, UNKNOWN_VOWEL, Word

UNPLACED, PLAIN, ONSET, HEAD, CODA_LIQUID, SCHWA_LIQUID, UNSTRESSED, STRESSED, UNMARKED, SYLLABIC_ONLY = range(10)
"""Roles. Consonants: where stress is not known; elsewhere than next; before the vowel of a syllable; before that of the one with the main stress; a liquid
after a vowel and not before one; the same after ə. Vowels: by their stress, or where stress is not known; the ə that a
syllabic consonant stands for, unstressed."""

_PLACED = (PLAIN, HEAD, ONSET, ONSET)

CONSONANT, LIQUID, SYLLABIC, VOWEL = range(4)

NEVER = 1_000_000
"""Cost of a link that is not allowed."""


class Prepared(NamedTuple):
    """One form as the aligner sees it; a syllabic consonant is ə and a consonant.

    `code` has one character for each sound, whose `ord` is the sound's number in `Costs`: text is the most compact row of
    numbers there is to keep, join and lay out in arrays.
    `owner` gives for each number the index of the sound it came from; None where it is simply its place.
    """

    phones: tuple[str, ...]
    code: str
    owner: tuple[int, ...] | None = None

    @property
    def numbers(self) -> list[int]:
        """Numbers of the sounds in `Costs`."""
        return list(map(ord, self.code))


class Costs:
    """All costs of one costs file. Numbers of sounds are given out as sounds are met."""

    def __init__(self, table: dict[str, Any]) -> None:
        self.table = table
        self.version: int = table["version"]
        self._numbering = Lock()
        self.ids: dict[tuple[str, int], int] = {}
        self.sounds: list[tuple[str, int]] = []
        self.is_vowel: list[bool] = []
        self.lost: list[int] = []
        self.added: list[int] = []
        self.weak: list[int] = []
        """For each vowel: what is taken off when it is lost with the consonant before it."""
        self.rows: list[dict[int, int]] = []
        lost, added = dict(table["lost"]), table["added"]
        weak = lost.pop("weak_syllable")
        together = lost["consonant"] + lost["unstressed_vowel"] - weak
        one_lost, one_added = _hundredths(min(*lost.values(), together)), _hundredths(min(added.values()))
        # a last consonant and a whole syllable cost a hundredth less each
        self.lost_and_added = one_lost + one_added - 2
        """Less than this no way costs that loses a sound and adds one."""
        self.two_lost_and_added = min(2 * one_lost, _hundredths(together)) + one_added - 3
        """Less than this no way costs that loses two sounds and adds one."""
        pairs = [entry.split() for entry in table["coalescence"]["pairs"]]
        self.coalescence = {(one, other, said) for one, other, said in pairs}
        self.coalesced = frozenset(said for _, _, said in self.coalescence)

    def number(self, phone: str, role: int) -> int:
        """The number of a sound in a role."""
        found = self.ids.get((phone, role))
        return self._new(phone, role) if found is None else found

    def _new(self, phone: str, role: int) -> int:
        """The number of a sound that was not met before. Pages of the desk are worked out side by side: two sounds never get one
        number, and whoever counts `sounds` finds the rest of each."""
        with self._numbering:
            if (phone, role) in self.ids:
                return self.ids[phone, role]
            number = len(self.sounds)
            self.is_vowel.append(role >= UNSTRESSED)
            weak = role in (UNSTRESSED, SYLLABIC_ONLY)
            kind = {
                UNSTRESSED: "unstressed_vowel",
                STRESSED: "stressed_vowel",
                UNMARKED: "vowel",
                SYLLABIC_ONLY: "unstressed_vowel",
            }.get(role, "consonant")
            self.lost.append(_hundredths(self.table["lost"][kind]))
            self.added.append(_hundredths(self.table["added"][kind]))
            self.weak.append(_hundredths(self.table["lost"]["weak_syllable"]) if weak else 1)
            self.rows.append({})
            self.sounds.append((phone, role))
            self.ids[phone, role] = number
        return number

    def link(self, target: int, produced: int) -> int:
        """Cost of linking two sounds, from a row kept for each target sound."""
        row = self.rows[target]
        found = row.get(produced)
        if found is None:
            found = row[produced] = self._link(*self.sounds[target], *self.sounds[produced])
        return found

    def _link(self, target: str, role: int, produced: str, said_role: int) -> int:
        if UNINTELLIGIBLE in (target, produced):
            return NEVER
        link = self.table["link"]
        if UNKNOWN_SOUND in (target, produced):
            return 0 if target == produced else _hundredths(link["stand_in_sound"])
        if (role >= UNSTRESSED) != (said_role >= UNSTRESSED):
            if said_role < UNSTRESSED or role < CODA_LIQUID:
                return NEVER
            return _hundredths(self.table["vocalized"]["after_schwa" if role == SCHWA_LIQUID else "liquid"])
        if role >= UNSTRESSED:
            return _hundredths(self._vowels(target, produced)) + (
                _hundredths(link["stress"])
                if STRESSED in (role, said_role) and {role, said_role} & {UNSTRESSED, SYLLABIC_ONLY}
                else 0
            )
        return _hundredths(self._consonants(target, produced)) + self._elsewhere(role, said_role)

    def _elsewhere(self, role: int, said_role: int) -> int:
        """What it costs to link consonants that stand in different places of their syllables."""
        link: dict[str, float] = self.table["link"]
        if UNPLACED in (role, said_role):
            return 0
        if (role == HEAD) != (said_role == HEAD):
            return _hundredths(link["head"])
        return _hundredths(link["onset"]) if {role, said_role} == {PLAIN, ONSET} else 0

    def _vowels(self, target: str, produced: str) -> float:
        link: dict[str, float] = self.table["link"]
        if UNKNOWN_VOWEL in (target, produced):
            return 0.0 if target == produced else link["stand_in_vowel"]
        return min(link["vowel_share"] * distance(target, produced), link["vowel_most"])

    def _consonants(self, target: str, produced: str) -> float:
        link: dict[str, float] = self.table["link"]
        if UNKNOWN_CONSONANT in (target, produced):
            return 0.0 if target == produced else link["stand_in_consonant"]
        if target == produced:
            return 0.0
        far = (
            link["other_consonant"] + distance(target, produced) + self._other_class(_manner(target), _manner(produced))
        )
        if far > link["knee"]:
            far = link["knee"] + link["beyond_knee"] * (far - link["knee"])
        return min(far, link["consonant_most"])

    def _other_class(self, one: str, other: str) -> float:
        added: dict[str, float] = self.table["other_class"]
        kinds = {one, other}
        if len(kinds) == 1:
            return 0.0
        for kind in ("glottal", "affricate"):
            if kind in kinds:
                return added[kind]
        if kinds == {"nasal", "stop"}:
            return added["nasal_stop"]
        if kinds == {"nasal", "sonorant"}:
            return 0.0
        return added["stop_fricative" if kinds == {"stop", "fricative"} else "obstruent_sonorant"]


@cache
def _manner(consonant: str) -> str:
    """stop, fricative, affricate, nasal, glottal or sonorant."""
    base = split(consonant)[0]
    if base in ("h", "ɦ", "ʔ"):
        return "glottal"
    if in_class(base, "[+nas]"):
        return "nasal"
    if not in_class(base, "[-son]"):
        return "sonorant"
    if in_class(base, "[+cont]"):
        return "fricative"
    return "affricate" if in_class(base, "[+delrel]") else "stop"


def _hundredths(cost: float) -> int:
    return round(cost * 100)


@cache
def costs() -> Costs:
    """The costs of `rules/alignment.toml`."""
    return Costs(read_toml(rules_path("alignment.toml")))


def prepare(form: Word | Sequence[str]) -> Prepared:
    """A word, or sounds alone (then stress plays no part), as the aligner sees it."""
    phones = form.phones if isinstance(form, Word) else tuple(form)
    kinds = [kind_of(phone) for phone in phones]
    if not isinstance(form, Word):
        return _prepared(phones, kinds, None)
    strong = bytearray(len(phones))
    for start, end, degree in zip(form.starts, (*form.starts[1:], len(phones)), form.stress):
        for at in range(start, end):
            strong[at] = 1 if degree == 1 else 3 if degree else 2
            if kinds[at] >= SYLLABIC:
                break
    return _prepared(phones, kinds, strong)


def _prepared(phones: tuple[str, ...], kinds: Sequence[int], strong: Sequence[int] | None) -> Prepared:
    """Numbers of sounds of these kinds. `strong`, for the onset and the vowel of each syllable: 1 with the main stress, 3 with
    another, 2 without; None where stress is unknown."""
    number = costs().number
    ids: list[int] = []
    owner: list[int] = []
    for at, (whole, kind) in enumerate(zip(phones, kinds)):
        phone = whole
        if kind == VOWEL:
            role = UNMARKED if strong is None else STRESSED if strong[at] in (1, 3) else UNSTRESSED
        elif kind == SYLLABIC:
            ids.append(number("ə", SYLLABIC_ONLY))
            owner.append(at)
            phone = phone.replace("̩", "")
            role = SCHWA_LIQUID if kind_of(phone) == LIQUID else PLAIN
        elif kind == LIQUID and at and kinds[at - 1] == VOWEL and kinds[at + 1 : at + 2] != [VOWEL]:
            role = SCHWA_LIQUID if phones[at - 1] == "ə" else CODA_LIQUID
        else:
            role = UNPLACED if strong is None else _PLACED[strong[at]]
        ids.append(number(phone, role))
        owner.append(at)
    return Prepared(phones, "".join(map(chr, ids)), None if len(owner) == len(phones) else tuple(owner))


@cache
def kind_of(phone: str) -> int:
    """CONSONANT, LIQUID, SYLLABIC consonant or VOWEL (the stand-in V too)."""
    if is_vowel(phone) or phone == UNKNOWN_VOWEL:
        return VOWEL
    if is_nucleus(phone):
        return SYLLABIC
    return LIQUID if split(phone)[0] in ("l", "ɫ", "ɹ", "ɻ", "r", "ɾ") else CONSONANT
