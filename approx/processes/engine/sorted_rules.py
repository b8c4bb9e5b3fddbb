"""The rules of one language sorted by what they do, with what was found of each in its context.

Nothing here depends on the child, so that all children share one object.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

from approx.ipa.features import is_nucleus
from approx.processes.engine.apply import fits_beside, match_at, sees_beside_only, syllable_slots
from approx.processes.engine.cost_bounds import weights
from approx.processes.engine.form import Form
from approx.processes.rules.notation import Item
from approx.processes.rules.rule import Rule
from approx.processes.rules.ruleset import RuleSet

DOUBLING, SHORTENING = "reduplication", "weak syllable deletion"
Around = tuple[object, ...]
"""A sound with all that a rule of one sound for one can see beside it."""
RuleChain = tuple[tuple[Rule, float, str], ...]
"""Rules one after the other in one place: each with its cost there and the sound after it."""


Spot = tuple[Rule, int, bool]
"""A rule, the place of a sound in its focus, and whether that sound and its two neighbours are all it looks at."""


class _Looks(dict[str, int]):
    """What a set of rule items can tell of a sound, as one small number: sounds no item tells apart share it."""

    def __init__(self, items: Iterable[Item]) -> None:
        super().__init__()
        self._items = tuple({item.text: item for item in items if item.kind not in ("edge", "cut", "gap")}.values())
        self._numbers: dict[tuple[bool, ...], int] = {}

    def __missing__(self, phone: str) -> int:
        view = tuple(item.fits(phone) for item in self._items)
        number = self[phone] = self._numbers.setdefault(view, len(self._numbers))
        return number


class _BySound:
    """Of some rules, those that may have a sound in their focus when two sounds stand beside it; kept."""

    def __init__(self, rules: list[Rule]) -> None:
        self.rules = rules
        self._of: dict[str, list[Spot]] = {}
        self._look = _Looks(item for rule in rules for item in _seen(rule))
        self._between: dict[tuple[int, str, int], list[Spot]] = {}

    def of(self, phone: str) -> list[Spot]:
        found = self._of.get(phone)
        if found is None:
            places = ((rule, place, item) for rule in self.rules for place, item in enumerate(rule.change.focus))
            fitting = [(rule, place) for rule, place, item in places if item.fits(phone)]
            found = self._of[phone] = [(rule, place, sees_beside_only(rule.change, place)) for rule, place in fitting]
        return found

    def between(self, phones: tuple[str, ...], at: int) -> list[Spot]:
        """The rules that the sound itself and the two beside it do not rule out."""
        left, right = phones[at - 1] if at else "", phones[at + 1] if at + 1 < len(phones) else ""
        key = self._look[left] if left else -1, phones[at], self._look[right] if right else -1
        found = self._between.get(key)
        if found is None:
            found = self._between[key] = [
                (rule, place, sure)
                for rule, place, sure in self.of(phones[at])
                if fits_beside(rule.change, place, left, -1) and fits_beside(rule.change, place, right, 1)
            ]
        return found


def _seen(rule: Rule) -> tuple[Item, ...]:
    """All that a rule asks of sounds."""
    return *rule.change.focus, *rule.change.left, *rule.change.right


class SortedRules:
    """The rules that simplify in one language; `clusters`: sounds are also put for sounds to make clusters."""

    def __init__(self, rules: RuleSet, language: str, clusters: bool) -> None:
        self.w = weights()
        primary = language.lower().split("-")[0]
        usable = [r for r in rules.rules if "simplify" in r.uses and r.language in ("", primary)]
        self.near = [r for r in usable if r.change.focus and not r.change.of_syllables and not r.change.far]
        self.inserting = [rule for rule in usable if not rule.change.focus]
        self.doubling = [rule for rule in usable if rule.process == DOUBLING and rule.change.of_syllables]
        self.copying = [rule for rule in usable if rule.change.far and any(item.name for item in rule.change.result)]
        self.shortening = [rule for rule in usable if rule.process == SHORTENING]
        self.single = [r for r in self.near if len(r.change.focus) == 1 and len(r.change.result) == 1]
        # a sound for a sound can turn a cluster into one that is in the inventory (train, tweɪn), if there is one
        structural = [rule for rule in self.near if rule.shortens or clusters and rule in self.single]
        self.leaving_off = {
            rule.process: rule for rule in reversed(self.near) if rule.process.endswith("consonant deletion")
        }
        self.vocalizing = [r for r in self.near if r.process == "vocalization" and len(r.change.focus) == 1]
        self.atypical = frozenset(rule.process for rule in usable if rule.atypical)
        self.atypical_rules = frozenset(rule.id for rule in usable if rule.atypical)
        self.by_sound, self._structural = _BySound(self.single), _BySound(structural)
        self._nearby = _Looks(item for rule in self.single for item in (*rule.change.left, *rule.change.right))
        self.links: dict[tuple[object, ...], RuleChain] = {}
        """What the rules make of a sound, for children without changes of their own."""
        self._whole: dict[tuple[object, ...], list[tuple[Rule, int, int]]] = {}
        self._inserted: dict[tuple[str, str], list[Rule]] = {}
        self._weights: dict[tuple[tuple[str, ...], bool, bool], tuple[float, ...]] = {}
        self._weighed: tuple[Form | None, tuple[float, ...]] = (None, ())
        self._copies: dict[str, list[Rule]] = {}

    def beside(self, form: Form, at: int) -> Around:
        """All that a rule of one sound for one can see; far fewer kinds than whole contexts."""
        phones, look = form.phones, self._nearby
        left = look[phones[at - 1]] if at else -1
        right = look[phones[at + 1]] if at + 1 < len(phones) else -1
        stress = form.stress[form.syllable_at(at)]
        return phones[at], left, right, at in form.starts, at + 1 in form.starts, stress, self.weights(form)[at]

    def applicable(self, form: Form, at: int) -> list[tuple[Rule, int]]:
        """Rules that take sounds away or make clusters, with this sound in their focus, and where they start."""
        out = []
        for rule, place, sure in self._structural.between(form.phones, at):
            if sure or at >= place and match_at(rule.change, form, at - place) is not None:
                out.append((rule, at - place))
        return out

    def whole(self, form: Form) -> list[tuple[Rule, int, int]]:
        """Rules of whole syllables that fit a form: each with the first and last syllable (excluded) it stands on."""
        starts, phones = form.starts, form.phones
        key = form.stress, tuple([is_nucleus(phones[start]) for start in starts])
        found = self._whole.get(key)
        if found is None:
            found = self._whole[key] = [
                (rule, slot, slot + len(rule.change.focus))
                for rule in (*self.doubling, *self.shortening)
                if rule.change.of_syllables
                for slot in syllable_slots(rule.change, form)
            ]
        return found

    def copies(self, model: str) -> list[Rule]:
        """Rules that can write this consonant again in another's place."""
        found = self._copies.get(model)
        if found is None:
            contexts = [(rule, (*rule.change.left, *rule.change.right)) for rule in self.copying]
            found = [rule for rule, items in contexts if any(item.name and item.fits(model) for item in items)]
            self._copies[model] = found
        return found

    def inserted(self, form: Form, at: int) -> list[Rule]:
        """Rules that can put a sound in before the one at a place (or at the end)."""
        phones = form.phones
        key = phones[at - 1] if at else "", phones[at] if at < len(phones) else ""
        found = self._inserted.get(key)
        if found is None:
            found = self._inserted[key] = [rule for rule in self.inserting if self._may_stand(rule, *key)]
        return [rule for rule in found if match_at(rule.change, form, at) is not None] if found else found

    def _may_stand(self, rule: Rule, left: str, right: str) -> bool:
        return fits_beside(rule.change, 0, left, -1) and fits_beside(rule.change, -1, right, 1)

    def weights(self, form: Form) -> tuple[float, ...]:
        """How much a change of each sound weighs; found once for each syllable, stressed or not, first or not."""
        weighed, out = self._weighed
        if weighed is form:
            return out
        phones, starts, out = form.phones, form.starts, ()
        for number, start in enumerate(starts):
            sounds = phones[start : starts[number + 1]] if number + 1 < len(starts) else phones[start:]
            key = sounds, number == 0, form.stress[number] == 1
            found = self._weights.get(key)
            if found is None:
                found = self._weights[key] = self._weights_of(*key)
            out += found
        self._weighed = form, out
        return out

    def _weights_of(self, sounds: tuple[str, ...], first: bool, stressed: bool) -> tuple[float, ...]:
        out = []
        for at, phone in enumerate(sounds):
            if is_nucleus(phone):
                out.append(self.w.stressed_vowel if stressed else self.w.other_vowel)
            elif at == 0 and (first or stressed):
                out.append(self.w.first_consonant)
            else:
                closing = not any(map(is_nucleus, sounds[at:]))
                out.append(self.w.closing_consonant if closing else self.w.other_consonant)
        return tuple(out)


@lru_cache(maxsize=16)
def sorted_rules(rules: RuleSet, language: str, clusters: bool) -> SortedRules:
    """The rules of a set sorted for a language, one object for all children."""
    return SortedRules(rules, language, clusters)
