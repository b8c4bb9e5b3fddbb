"""Ways to lose and add sounds, found once for every adult form and every set of sounds lost and added.

Most productions of a word lose the same few sounds. What stands for the sounds that stay matters to structure only where
two sounds may have become one (coalescence, vocalization); so the answer is kept by that alone.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from approx.ipa.features import is_nucleus
from approx.processes.derivation import Use
from approx.processes.form import Form
from approx.processes.losses import UNEXPLAINED, LossesAndAdditions, LossState, StructureRules
from approx.processes.rule import Rule
from approx.processes.search import Step, search
from approx.processes.sound_changes import Place

SPREAD = 0.45
"""Readings this much dearer than the best are still kept as other good readings."""
_MOST, _EXPANSIONS = 3, 200
_KEPT = 8192
Lost = frozenset[int]
Added = tuple[tuple[int, str], ...]


class Structure:
    """One way to lose and add what was lost and added: the form after it, and which adult sound stands where.

    `slots`: (place in the form, adult sound, the sound); `places`: what is known about a place, filled when asked for.
    """

    __slots__ = ("cost", "failed", "form", "places", "slots", "steps", "uses")

    def __init__(self, form: Form, cost: float, steps: Sequence[Step], adult: Form) -> None:
        self.form, self.cost, self.steps = form, cost, tuple(steps)
        self.slots = [(at, origin, form.phones[at]) for at, origin in enumerate(form.origins) if origin >= 0]
        self.places: dict[int, Place] = {}
        named = [Use(step.process, step.rule, step.targets) for step in steps if step.process != UNEXPLAINED]
        self.uses = tuple(_joined(named, adult))
        self.failed = [t for step in steps if step.process == UNEXPLAINED for t in step.targets]


class Structures:
    """The ways of losing and adding, for many pairs of one language."""

    def __init__(self, rules: Sequence[Rule], tag: str) -> None:
        self.rules = StructureRules(rules, tag)
        joining = [r for r in self.rules.losing if r.process in ("coalescence", "vocalization")]
        self._reach = max((len(rule.change.focus) for rule in joining), default=1) - 1
        results = [rule.change.result for rule in joining]
        plain = all(item.kind == "sound" and not item.name for result in results for item in result)
        # None: a result is not written out, so that any sound might come of it
        self._becomes = frozenset(item.text for result in results for item in result) if plain else None
        self._known: dict[tuple[Form, Lost, Added, tuple[tuple[int, str], ...]], tuple[Structure, ...]] = {}

    def ways(self, start: Form, lost: Lost, added: Added, wanted: Mapping[int, str]) -> tuple[Structure, ...]:
        """Up to three ways, cheapest first."""
        key = start, lost, added, self._near(lost, wanted) if lost else ()
        found = self._known.get(key)
        if found is None:
            if len(self._known) >= _KEPT:
                self._known.clear()
            found = self._known[key] = self.search(start, lost, added, wanted)
        return found

    def search(self, start: Form, lost: Lost, added: Added, wanted: Mapping[int, str]) -> tuple[Structure, ...]:
        """The same, looked for anew."""
        if not lost and not added:
            return (Structure(start, 0.0, (), start),)
        walk = LossesAndAdditions(self.rules, wanted)
        found = search(LossState(start, lost, added), walk.moves, _MOST, _EXPANSIONS, SPREAD)
        return tuple(Structure(each.state.form, each.cost, each.steps, start) for each in found)

    def _near(self, lost: Lost, wanted: Mapping[int, str]) -> tuple[tuple[int, str], ...]:
        """Sounds said beside what was lost that two sounds can have become."""
        around = sorted({at + step for at in lost for step in range(-self._reach, self._reach + 1)} - lost)
        said = [(at, wanted[at]) for at in around if at in wanted]
        return tuple(each for each in said if self._becomes is None or each[1] in self._becomes)


def _joined(uses: list[Use], adult: Form) -> list[Use]:
    """Cluster reductions of one cluster are one use, naming all members lost."""
    out: list[Use] = []
    for use in uses:
        before = out[-1] if out else None
        same = before is not None and before.process == use.process == "cluster reduction"
        if before is not None and same and _one_run(adult, (*before.targets, *use.targets)):
            out[-1] = Use(use.process, before.rule, tuple(sorted({*before.targets, *use.targets})))
        else:
            out.append(use)
    return out


def _one_run(adult: Form, targets: tuple[int, ...]) -> bool:
    low, high = min(targets), max(targets)
    return not any(is_nucleus(phone) for phone, origin in zip(adult.phones, adult.origins) if low <= origin <= high)
