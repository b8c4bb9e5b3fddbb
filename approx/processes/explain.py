"""Explain: the processes that lead from an adult form to exactly what a child said.

The alignment says which sounds were lost, added or stand for which. The same rules and search as for suggestions then
look for the cheapest derivation that does just that: structure first (syllables, clusters, single consonants, added
sounds), then each surviving sound against its own target (process conventions 1). What no rule reaches is unexplained.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache

from approx.ipa import features as ft
from approx.ipa.features import is_nucleus
from approx.ipa.syllables import syllable_starts
from approx.ipa.word import Word
from approx.processes.apply import apply
from approx.processes.form import Form, form_of, respan
from approx.processes.losses import COST_UNEXPLAINED, UNEXPLAINED, LossesAndAdditions, LossState, StructureRules
from approx.processes.ruleset import RuleSet
from approx.processes.search import search
from approx.processes.sound_changes import SoundChanges
from approx.scoring.align import align, moved

_SYLLABIC = "̩"
_SPREAD = 0.45
"""Readings this much dearer than the best are still kept as other good readings."""


@dataclass(frozen=True, slots=True)
class Use:
    """One process found: its rule, and the adult sounds it took (0-based)."""

    process: str
    rule: str
    targets: tuple[int, ...]
    kind: str = ""


@dataclass(frozen=True, slots=True)
class Derivation:
    """One reading of a pair: processes in order, steps as forms, and adult sounds whose change no rule reaches."""

    uses: tuple[Use, ...]
    steps: tuple[tuple[str, str, str], ...]
    unexplained: tuple[int, ...]
    cost: float

    @property
    def names(self) -> tuple[str, ...]:
        return tuple(use.process for use in self.uses)


@dataclass(frozen=True, slots=True)
class Explanation:
    """The first reading of a pair and others that are nearly as good."""

    target: Word
    produced: Word
    best: Derivation
    readings: tuple[Derivation, ...] = ()


class Explainer:
    """The rules that explain, ready for many pairs of one language."""

    def __init__(self, rules: RuleSet, tag: str = "en-US") -> None:
        self.tag = tag
        primary = tag.lower().split("-")[0]
        usable = [r for r in rules.rules if "explain" in r.uses and r.language in ("", primary)]
        self.rules = StructureRules(usable, tag)
        self.doubling = [r for r in usable if r.process == "reduplication"]
        single = [r for r in usable if len(r.change.focus) == 1 == len(r.change.result) and not r.change.of_syllables]
        self.sounds = SoundChanges(single, tag)

    def explain(self, target: Word, produced: Word) -> Explanation:
        """The cheapest derivation and other good readings. A syllabic consonant is read as ə and the consonant."""
        (start, back), (said, _) = opened(target), opened(produced)
        best, *others = [_as_written(each, back) for each in self._ranked(start, said.word)]
        return Explanation(target, produced, best, tuple(others))

    def _ranked(self, start: Form, produced: Word) -> list[Derivation]:
        """The best derivation, then those of other processes that are nearly as good."""
        found = list(self._derivations(start, produced, 0.0, (), ()))
        for after, targets in _moves(start, produced):
            use = Use("metathesis", "metathesis.moved", targets)
            found += self._derivations(after, produced, 0.9, (use,), (_step("metathesis.moved", start, after),))
        for rule in self.doubling:
            if _repeats(produced) and not _repeats(start.word):
                for first, last, after in apply(rule.change, start, self.tag):
                    use = Use(rule.process, rule.id, start.origins[first:last])
                    found += self._derivations(
                        after, produced, rule.cost - 0.4, (use,), (_step(rule.id, start, after),)
                    )
        found.sort(key=lambda each: (round(each.cost, 6), len(each.uses)))
        best = found[0]
        others: dict[tuple[str, ...], Derivation] = {}
        for each in found[1:]:
            names = tuple(sorted(each.names))
            if each.cost <= best.cost + _SPREAD and names != tuple(sorted(best.names)):
                others.setdefault(names, each)
        return [best, *list(others.values())[:6]]

    def _derivations(
        self, start: Form, produced: Word, cost: float, uses: tuple[Use, ...], steps: tuple[tuple[str, str, str], ...]
    ) -> Iterator[Derivation]:
        """Readings from one start: ways to lose and add sounds, each with ways to change what stays."""
        wanted, lost, added = _wanted(start, produced)
        begin = LossState(start, lost, added)
        walk = LossesAndAdditions(self.rules, wanted)
        for state, price, path in search(begin, walk.moves, 3, 200, _SPREAD):
            taken = [Use(step.process, step.rule, step.targets) for step in path]
            shown = [_step(step.rule, step.before, step.after) for step in path]
            yield from self._with_sounds(start, state.form, wanted, produced, cost + price, uses, taken, steps, shown)

    def _with_sounds(
        self, adult: Form, form: Form, wanted: dict[int, str], produced: Word, cost: float,
        uses: tuple[Use, ...], taken: list[Use], steps: tuple[tuple[str, str, str], ...], shown: list[tuple[str, str, str]],
    ) -> Iterator[Derivation]:  # fmt: skip
        """Each surviving sound against its own target: the cheapest chain, then one other chain at a time."""
        slots = [(at, origin) for at, origin in enumerate(form.origins) if origin >= 0 and origin in wanted]
        swapped = _swapped(form, wanted)
        choices = []
        for at, origin in slots:
            if wanted[origin] != form.phones[at] and origin not in swapped:
                choices.append((at, origin, self.sounds.chains(form, at, adult, origin, wanted[origin])))
        plans = [[0] * len(choices)]
        for number, (_, _, chains) in enumerate(choices):
            for other in range(1, len(chains)):
                plan = [0] * len(choices)
                plan[number] = other
                plans.append(plan)
        for plan in plans:
            total, more, here, path, failed = (
                cost,
                list(taken),
                form,
                list(shown),
                [t for use in taken if use.process == UNEXPLAINED for t in use.targets],
            )
            if swapped:
                after = here._replace(
                    phones=tuple(wanted.get(o, p) if o in swapped else p for p, o in zip(here.phones, here.origins))
                )
                more.append(Use("metathesis", "metathesis.exchange", tuple(sorted(swapped))))
                path.append(_step("metathesis.exchange", here, after))
                here, total = after, total + 0.6
            for pick, (at, origin, chains) in zip(plan, choices):
                price, chain = chains[pick] if chains else (COST_UNEXPLAINED, ())
                total += price
                for rule, sound in chain:
                    after = here._replace(phones=(*here.phones[:at], sound, *here.phones[at + 1 :]))
                    more.append(Use(rule.process, rule.id, (origin,), rule.kind))
                    path.append(_step(rule.id, here, after))
                    here = after
                if not chain:
                    failed.append(origin)
            named = [use for use in more if use.process != UNEXPLAINED]
            yield Derivation((*uses, *_joined(named, adult)), (*steps, *path), tuple(sorted(failed)), round(total, 4))


def _wanted(start: Form, produced: Word) -> tuple[dict[int, str], frozenset[int], tuple[tuple[int, str], ...]]:
    """What the alignment asks: sound wanted for each adult sound that stays, those lost, those added."""
    alignment = align(start.word, produced)
    wanted: dict[int, str] = {}
    lost: set[int] = set()
    added: list[tuple[int, str]] = []
    said: dict[int, int] = {}
    last = -1
    for i, j in alignment.links:
        origin = start.origins[i] if i is not None else -1
        if i is None and j is not None:
            added.append((last, produced.phones[j]))
        elif j is None:
            lost.add(origin)
        else:
            if j in said:
                lost.add(origin)
            else:
                said[j] = origin
                wanted[origin] = as_meant(start.phones[i], produced.phones[j])  # type: ignore[index]  # i is not None here
            last = origin
    return wanted, frozenset(lost), tuple(added)


@cache
def as_meant(target: str, produced: str) -> str:
    """The produced sound, or the target's own where they differ in allophone marks only (convention 15)."""
    base, rest = ft.bare(produced)
    kinds = ft.mark_kinds()
    if rest and all(kinds.get(mark, ("", ""))[1] == "allophone" for mark in rest):
        produced = base
    alike = {("t", "ɾ"), ("d", "ɾ"), ("l", "ɫ"), ("t", "ʔt")}
    return target if (target, produced) in alike or target == produced else produced


def opened(word: Word) -> tuple[Form, tuple[int, ...]]:
    """The word with l̩ as ə l and the like, and for each sound the index of the one that was written."""
    plain = form_of(word)
    if not any(_SYLLABIC in phone for phone in word.phones):
        return plain, plain.origins
    phones: list[str] = []
    back: list[int] = []
    owners: list[int] = []
    for at, phone in enumerate(word.phones):
        for sound in ("ə", phone.replace(_SYLLABIC, "")) if _SYLLABIC in phone else (phone,):
            phones.append(sound)
            back.append(at)
            owners.append(plain.syllable_at(at))
    return respan(phones, list(range(len(phones))), owners, word.stress), tuple(back)


def _as_written(found: Derivation, back: tuple[int, ...]) -> Derivation:
    """The derivation with its targets as indexes of the sounds that were written."""
    uses = tuple(replace(use, targets=tuple(sorted({back[t] for t in use.targets}))) for use in found.uses)
    return replace(found, uses=uses, unexplained=tuple(sorted({back[t] for t in found.unexplained})))


def _moves(start: Form, produced: Word) -> Iterator[tuple[Form, tuple[int, ...]]]:
    """The form with a consonant put where the child said it, for each consonant out of place, and its adult index."""
    alignment = align(start.word, produced)
    for lost, added in moved(alignment):
        ahead = [i for i, j in alignment.links if i is not None and j is not None and j > added]
        place = min(ahead, default=len(start.phones))
        order = [at for at in range(len(start.phones)) if at != lost]
        order.insert(sum(at < place for at in order), lost)
        phones = tuple(start.phones[at] for at in order)
        starts = syllable_starts(phones)
        if len(starts) == len(start.starts):
            yield Form(phones, starts, start.stress, tuple(start.origins[at] for at in order)), (start.origins[lost],)


def _repeats(word: Word) -> bool:
    spans = list(zip(word.starts, (*word.starts[1:], len(word.phones))))
    half = len(word.phones) // 2
    doubled = half > 0 and word.phones[:half] == word.phones[half:]
    return doubled or any(word.phones[a:b] == word.phones[c:d] for (a, b), (c, d) in zip(spans, spans[1:]))


def _swapped(form: Form, wanted: dict[int, str]) -> frozenset[int]:
    """Two consonants that changed places with each other."""
    pairs = [(p, o) for p, o in zip(form.phones, form.origins) if o in wanted and wanted[o] != p and not is_nucleus(p)]
    for number, (phone, origin) in enumerate(pairs):
        for other, far in pairs[number + 1 :]:
            if wanted[origin] == other and wanted[far] == phone and phone != other:
                return frozenset({origin, far})
    return frozenset()


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


def _step(rule: str, before: Form, after: Form) -> tuple[str, str, str]:
    return rule, before.word.ipa, after.word.ipa
