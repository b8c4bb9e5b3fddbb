"""One sound for another: the chains of rules that lead from an adult sound to the one that was said."""

from __future__ import annotations

import heapq
from collections.abc import Sequence

from approx.ipa import features as ft
from approx.ipa.features import is_nucleus, is_vowel
from approx.processes.apply import apply_at
from approx.processes.form import Form
from approx.processes.rule import Rule

Chain = tuple[tuple[Rule, str], ...]
"""Rules one after the other, each with the sound after it."""
_SPREAD, _LONGEST, _MOST = 0.45, 3, 4
_SYL, _HI, _LO, _BACK, _ROUND, _TENSE, _CENTRAL = 0, 15, 16, 17, 18, 20, ("ə", "ʌ", "ɜ", "ɐ")
DISTORTION = Rule("distortion", "distortion", "", 0.3, 95, "common practice, no source", ())
LIQUID = Rule("vocalization.other-vowel", "vocalization", "", 0.4, 95, "common practice, no source", ())
_LIQUIDS = ("l", "ɹ")
RHOTIC = Rule("vocalization.rhotic-other", "vocalization", "", 0.4, 95, "common practice, no source", ())


class SoundChanges:
    """The rules that put one sound for another; near ones by what stands beside, far ones by the adult word."""

    def __init__(self, rules: Sequence[Rule], tag: str) -> None:
        self.near = [rule for rule in rules if not rule.change.far]
        self.far = [rule for rule in rules if rule.change.far]
        self.tag = tag
        self._known: dict[tuple[object, ...], tuple[tuple[float, Chain], ...]] = {}

    def chains(self, form: Form, at: int, adult: Form, origin: int, wanted: str) -> tuple[tuple[float, Chain], ...]:
        """Ways from the sound at a place to `wanted`, cheapest first; () if no rule leads there.

        Assimilation looks for its trigger in the adult word (process conventions 6): `adult`, where the sound stands
        at index `origin` of its origins.
        """
        phones = form.phones
        here = adult.origins.index(origin)
        key = (phones[at], wanted, phones[at - 1 : at], phones[at + 1 : at + 3], at in form.starts, at + 1 in form.starts,
               at + 1 == len(phones), adult.phones, here)  # fmt: skip
        found = self._known.get(key)
        if found is None:
            if len(self._known) > 200_000:
                self._known.clear()
            found = self._known[key] = self._search(form, at, adult, here, wanted)
        return found

    def _search(self, form: Form, at: int, adult: Form, here: int, wanted: str) -> tuple[tuple[float, Chain], ...]:
        base, marks = ft.bare(wanted)
        start = form.phones[at]
        if marks and base and _distorts(marks):
            inner = self._search(form, at, adult, here, base) if base != start else ((0.0, ()),)
            return tuple((cost + DISTORTION.cost, (*chain, (DISTORTION, wanted))) for cost, chain in inner)
        out: list[tuple[float, Chain]] = []
        heap: list[tuple[float, int, str, Chain]] = [(0.0, 0, start, ())]
        tie, limit = 0, 3.2
        while heap and len(out) < _MOST:
            cost, _, phone, chain = heapq.heappop(heap)
            if cost > limit:
                break
            if phone == wanted:
                out.append((cost, chain))
                limit = min(limit, cost + _SPREAD)
                continue
            if len(chain) == _LONGEST:
                continue
            past = {start, *(sound for _, sound in chain)}
            for rule, sound in self._changes(form, at, adult, here, phone):
                if sound not in past and rule.process not in {r.process for r, _ in chain}:
                    tie += 1
                    heapq.heappush(heap, (cost + rule.cost, tie, sound, (*chain, (rule, sound))))
        if is_nucleus(start) and is_nucleus(wanted):
            out.append(_vowel_change(start, wanted))
        elif start in _LIQUIDS and (is_nucleus(wanted) or wanted == "w") and not out:
            out.append((LIQUID.cost, ((LIQUID, wanted),)))
        return _distinct(out)

    def _changes(self, form: Form, at: int, adult: Form, here: int, phone: str) -> list[tuple[Rule, str]]:
        """Sounds one rule away; vowels are left to `_vowel_change`, which knows every pair."""
        if is_vowel(phone):
            rules = [rule for rule in self.near if rule.process != "vowel change"]
        else:
            rules = self.near
        now = form._replace(phones=(*form.phones[:at], phone, *form.phones[at + 1 :]))
        out = []
        for rule in rules:
            after = apply_at(rule.change, now, at, self.tag)
            if after is not None and len(after.phones) == len(now.phones):
                out.append((rule, after.phones[at]))
        whole = adult._replace(phones=(*adult.phones[:here], phone, *adult.phones[here + 1 :]))
        for rule in self.far:
            after = apply_at(rule.change, whole, here, self.tag)
            if after is not None:
                out.append((rule, after.phones[here]))
        return out


def _distinct(found: list[tuple[float, Chain]]) -> tuple[tuple[float, Chain], ...]:
    """Chains of different processes, cheapest first, within the spread of the best."""
    out: dict[tuple[str, ...], tuple[float, Chain]] = {}
    for cost, chain in sorted(found, key=lambda each: each[0]):
        out.setdefault(tuple(sorted(rule.process for rule, _ in chain)), (cost, chain))
    kept = list(out.values())
    return tuple(each for each in kept if each[0] <= kept[0][0] + _SPREAD)


def _distorts(marks: str) -> bool:
    kinds = ft.mark_kinds()
    return any(kinds[mark][1] != "allophone" for mark in marks if mark in kinds)


def _vowel_change(start: str, wanted: str) -> tuple[float, Chain]:
    """Any vowel for any other, with its kind; a rhotic vowel without its colour is vocalization (convention 8)."""
    if start[0] in "ɝɚ" and wanted[0] not in "ɝɚ":
        return RHOTIC.cost, ((RHOTIC, wanted),)
    kind = vowel_kind(start, wanted)
    rule = Rule(
        "vowel-change." + kind.replace(" ", "-"), "vowel change", "", 0.5, 95, "common practice, no source", (), kind
    )
    return rule.cost, ((rule, wanted),)


def vowel_kind(start: str, wanted: str) -> str:
    """Kind of a vowel change: diphthong reduced, derhotacized, centralized, raised, lowered, fronted, backed, ..."""
    (a, a2), (b, b2) = ft.halves(start), ft.halves(wanted)
    if a2 != a and b2 == b:
        return "diphthong reduced"
    if a2 == a and b2 != b:
        return "diphthongized"
    if start[0] in "ɝɚ":
        return "derhotacized"
    if wanted[0] in _CENTRAL and start[0] not in _CENTRAL:
        return "centralized"
    one, other = ft.features(a), ft.features(b)
    if one is None or other is None:
        return "other"
    height = (other[_HI] - other[_LO]) - (one[_HI] - one[_LO])
    if height:
        return "raised" if height > 0 else "lowered"
    if one[_BACK] != other[_BACK]:
        return "backed" if other[_BACK] > one[_BACK] else "fronted"
    if one[_TENSE] != other[_TENSE]:
        front = one[_BACK] < 0
        return ("raised" if other[_TENSE] > one[_TENSE] else "lowered") if front or one[_ROUND] > 0 else "tenseness"
    return "rounding" if one[_ROUND] != other[_ROUND] else "other"
