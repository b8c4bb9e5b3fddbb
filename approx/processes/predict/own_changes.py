"""What one child was heard to say, for the child's file: the form of each word, and what is said for sounds, clusters and
weak syllables.

Counted by the alignment alone: of single sounds where they stand without another consonant beside them, so that no cluster
and no syllable left off is taken for a change of the sound.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from datetime import date

from approx.child.demands import position_of, weak_syllables
from approx.child.inventory import cluster_runs
from approx.child.profile import AGAIN, KEPT, LEFT_OFF, WEAK, WordHeard
from approx.ipa.features import is_nucleus
from approx.ipa.word import UNIDENTIFIED, Word
from approx.scoring.alignment.align import align_forms

HeardToken = tuple[str, Word | None, Word, str, Word | None]
"""Word as spelled, adult form, what was said, day ("" where not known), and the adult form that is as right and nearest to what was
said, if that is another."""
Subject = tuple[str, str]
"""Sound, cluster or `WEAK`, and position; "" for a vowel."""


@dataclass(frozen=True, slots=True)
class OwnForms:
    """Words heard with their form, and for each how often, in words, for a remark; changes commonest first, each form with
    the number of words it was heard in (`times`)."""

    heard: dict[str, WordHeard] = field(default_factory=dict)
    heard_counts: dict[str, str] = field(default_factory=dict)
    changes: dict[Subject, tuple[str, ...]] = field(default_factory=dict)
    times: dict[Subject, tuple[int, ...]] = field(default_factory=dict)


def own_forms(said: Iterable[HeardToken]) -> OwnForms:
    """The forms and changes of a sample. A form in doubt counts for nothing; of several, the one heard most often, then
    the latest. A sound, cluster or weak syllable that was once said otherwise is listed with all that was said for it."""
    forms: dict[str, Counter[str]] = defaultdict(Counter)
    days: dict[tuple[str, str], str] = {}
    words: dict[Subject, dict[str, set[str]]] = defaultdict(lambda: defaultdict(set))
    known: dict[tuple[Word, Word], tuple[tuple[Subject, str], ...]] = {}
    for word, adult, produced, typed_day, nearest in said:
        label = " ".join(word.lower().split())
        sure = not produced.doubtful and not any(produced.omitted) and not set(produced.phones) & UNIDENTIFIED
        if not label or not produced.phones or not sure:
            continue
        day = typed_day if _is_day(typed_day) else ""
        forms[label][produced.ipa] += 1
        days[label, produced.ipa] = max(day, days.get((label, produced.ipa), ""))
        if adult is None:
            continue
        pair = (adult, produced) if nearest is None else _as_listed(adult, nearest, produced)
        found = known.get(pair)
        if found is None:
            found = known[pair] = tuple(_Pair(*pair).changes())
        for subject, form in found:
            words[subject][form].add(label)
    out = OwnForms()
    for label in sorted(forms):
        counts = forms[label]
        form = max(counts, key=lambda ipa: (counts[ipa], days[label, ipa], ipa))
        out.heard[label] = WordHeard(form, days[label, form])
        out.heard_counts[label] = f"{counts[form]} of {counts.total()}"
    for subject in sorted(words, key=lambda each: (_rank(each), each)):
        counts = Counter({form: len(labels) for form, labels in words[subject].items()})
        ranked = sorted(counts, key=lambda form: (-counts[form], form))
        if any(form not in (subject[0], KEPT) for form in ranked):
            out.changes[subject] = tuple(ranked)
            out.times[subject] = tuple(counts[form] for form in ranked)
    return out


def _as_listed(adult: Word, nearest: Word, produced: Word) -> tuple[Word, Word]:
    """The adult form to measure by, and what was said with that form's sounds where adults would have said it so too: [o] for the oʊ
    of go is oʊ said right, once more than oʊ said otherwise. Where adults leave a sound off or add one, the form they say."""
    if len(adult.phones) != len(nearest.phones):
        return nearest, produced
    phones = list(produced.phones)
    for at, said_at in align_forms(nearest, produced).links:
        if at is not None and said_at is not None and phones[said_at] == nearest.phones[at]:
            phones[said_at] = adult.phones[at]
    return adult, replace(produced, phones=tuple(phones))


def _rank(subject: Subject) -> int:
    """Sounds first, then clusters, then weak syllables."""
    return 2 if subject[0] == WEAK else len(subject[0]) > 1 and subject[1] != ""


def _is_day(text: str) -> bool:
    """True for year-month-day, as a child file has it."""
    try:
        return date.fromisoformat(text).isoformat() == text
    except ValueError:
        return False


class _Pair:
    """An adult form beside what was said, laid side by side by the alignment."""

    def __init__(self, adult: Word, produced: Word) -> None:
        self.adult, self.produced = adult, produced
        self.nuclei = [at for at, phone in enumerate(adult.phones) if is_nucleus(phone)]
        links = align_forms(adult, produced).links
        self.stands: dict[int, int | None] = {at: said_at for at, said_at in links if at is not None}
        self.meant: dict[int, int] = {said_at: at for at, said_at in links if said_at is not None and at is not None}

    def changes(self) -> Iterator[tuple[Subject, str]]:
        """(What stands in the adult word, what was said for it): single sounds, clusters, weak syllables."""
        if not self.nuclei:
            return
        again = self.again()
        yield from self.weak(again)
        told = set(again)
        for low, high, place in self.runs():
            told |= set(range(low, high))
            form = self.between(low, high)
            if form is not None:
                yield ("".join(self.adult.phones[low:high]), place), form or LEFT_OFF
        for at, phone in enumerate(self.adult.phones):
            if at in told:
                continue
            said_at = self.stands.get(at)
            if is_nucleus(phone):
                if said_at is not None and is_nucleus(self.produced.phones[said_at]):
                    yield (phone, ""), self.produced.phones[said_at]
            elif self.alone(at):
                place = position_of(at, len(self.adult.phones), self.nuclei[0], self.nuclei[-1])
                yield (phone, place), self.vocalized(at) if said_at is None else self.produced.phones[said_at]

    def again(self) -> range:
        """The weak syllable in whose place the stressed one was said again; empty where it was not."""
        adult, produced = self.adult, self.produced
        if len(adult.starts) != 2 or len(produced.starts) != 2 or 0 not in adult.stress:
            return range(0)
        first, second = produced.phones[: produced.starts[1]], produced.phones[produced.starts[1] :]
        if first != second or adult.phones[: adult.starts[1]] == adult.phones[adult.starts[1] :]:
            return range(0)
        return range(adult.starts[1]) if adult.stress[0] == 0 else range(adult.starts[1], len(adult.phones))

    def weak(self, again: range) -> Iterator[tuple[Subject, str]]:
        """Every weak syllable of a word of two or more: kept, left off, or the stressed one again."""
        for number, place in weak_syllables(self.adult.stress):
            end = (*self.adult.starts, len(self.adult.phones))[number + 1]
            nucleus = next((at for at in self.nuclei if self.adult.starts[number] <= at < end), None)
            if nucleus is not None:
                kept = LEFT_OFF if self.stands.get(nucleus) is None else KEPT
                yield (WEAK, place), AGAIN if nucleus in again else kept

    def runs(self) -> Iterator[tuple[int, int, str]]:
        """Clusters, and a last weak vowel with its l: first sound, last (excluded), place."""
        for run, place in cluster_runs(self.adult):
            yield run.start, run.stop, place
        count = len(self.adult.phones)
        if self.adult.phones[-2:] == ("ə", "l"):
            yield count - 2, count, "final"

    def between(self, low: int, high: int) -> str | None:
        """What was said for a run of adult sounds, "" for nothing; None where a vowel beside it was left off."""
        said = self.produced.phones
        left = max((at for at in self.nuclei if at < low), default=None)
        right = min((at for at in self.nuclei if at >= high), default=None)
        start, end = 0, len(said)
        if left is not None:
            before = self.stands.get(left)
            if before is None:
                return None
            start = before + 1
        if right is not None:
            after = self.stands.get(right)
            if after is None:
                return None
            end = after
        return "".join(said[at] for at in range(start, end) if at not in self.meant or low <= self.meant[at] < high)

    def vocalized(self, at: int) -> str:
        """The vowel that stands after the one before a consonant without a counterpart; `LEFT_OFF` where there is none."""
        before = self.stands.get(at - 1)
        said = (
            self.produced.phones[before + 1 : before + 2] if before is not None and before + 1 not in self.meant else ()
        )
        return said[0] if said and is_nucleus(said[0]) else LEFT_OFF

    def alone(self, at: int) -> bool:
        """True for a consonant with no other beside it, whose vowel was said."""
        phones = self.adult.phones
        beside = [*phones[max(0, at - 1) : at], *phones[at + 1 : at + 2]]
        vowel = next((nucleus for nucleus in self.nuclei if nucleus > at), self.nuclei[-1])
        return all(map(is_nucleus, beside)) and self.stands.get(vowel) is not None
