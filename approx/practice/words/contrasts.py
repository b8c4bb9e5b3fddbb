"""Contrast pairs: words that one sound tells apart for the adult and nothing tells apart in this child's mouth today.

Practising such a pair shows the child that the sound changes the meaning. Minimal pair treatment: Weiner 1981, J Speech
Hear Disord 46:97-103 (from memory). Pairs are built on the child's own forms, not on a list of typical errors.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from approx.practice.suggest.answer import Approximation
from approx.practice.suggest.suggest import Suggester
from approx.practice.words.word_bank import BankWord
from approx.practice.words.word_filters import Candidate

_DRAWN = 0.3
"""How much a word that can be drawn counts for a pair: pairs are sorted and pointed at (common practice, no source)."""


AS_THE_OTHER = "as the other"
FormsToday = dict[tuple[str, ...], Approximation | None]
"""Today's form of each word by spelling and sounds, None where there is none."""


@dataclass(frozen=True, slots=True)
class ContrastPair:
    """Two words with one form today. `word` holds what is new; `differ` is the sound of each ("" for none).

    `kind`: "as the other" (the child's form is the other adult word, which is in the inventory) or "both alike" (neither is in
    hand and both come out the same). `processes` lead from the adult word to today's form. `new`: what `word` asks for.
    """

    word: str
    other: str
    adult: str
    other_adult: str
    today: str
    differ: tuple[str, str]
    kind: str
    processes: tuple[str, ...]
    new: tuple[str, ...]
    use: float = 0.0


@dataclass(frozen=True, slots=True)
class NearPair:
    """Two words that one sound tells apart for the adult. `word` holds what is new."""

    word: Candidate
    other: Candidate
    differ: tuple[str, str]

    @property
    def kind(self) -> str:
        """What the pair is if the child says both alike."""
        return "both alike" if self.other.things else AS_THE_OTHER

    @property
    def use(self) -> float:
        """How useful the two words are together."""
        one, other = self.word.bank, self.other.bank
        return round(one.use + other.use + _DRAWN * (one.picturable + other.picturable), 4)


def contrast_pairs(
    wanted: Sequence[Candidate], everything: Sequence[Candidate], suggester: Suggester
) -> tuple[ContrastPair, ...]:
    """Pairs for the words that pass the clinician's filters, the most useful pairs first.

    `wanted`: words to find partners for (those with something new); `everything`: the words a partner may come from.
    The partner is in the inventory, or asks for no more things than the word does.
    """
    forms: FormsToday = {}
    out: dict[tuple[str, str], ContrastPair] = {}
    for near in near_pairs(wanted, everything):
        pair = alike_today(near, suggester, forms)
        if pair is None:
            continue
        # one pair a pair of forms: May and may, to and two, stand once, under the more useful spelling
        key = pair.adult, pair.other_adult
        kept = out.get(key) or out.get(key[::-1])
        if kept is None or pair.use > kept.use:
            out.pop(key[::-1], None)
            out[key] = pair
    return tuple(sorted(out.values(), key=lambda pair: (pair.kind != AS_THE_OTHER, -pair.use, pair.word, pair.other)))


def near_pairs(wanted: Sequence[Candidate], everything: Sequence[Candidate]) -> Iterator[NearPair]:
    """Words that one sound tells apart for the adult, whatever this child makes of them. Cheap: no form of today is worked out."""
    index: dict[tuple[str, ...], list[Candidate]] = {}
    for candidate in everything:
        for key in _frames(candidate.bank):
            index.setdefault(key, []).append(candidate)
    for candidate in wanted:
        if not candidate.things:
            continue
        partners = {id(other): other for key in _frames(candidate.bank) for other in index.get(key, ())}
        for other in partners.values():
            differ = _told_apart(candidate, other)
            if differ is not None:
                yield NearPair(candidate, other, differ)


def alike_today(near: NearPair, suggester: Suggester, forms: FormsToday) -> ContrastPair | None:
    """The pair with its form of today, where nothing tells the two apart in this child's mouth; else None. `forms`: those worked
    out so far."""
    word, other = near.word.bank, near.other.bank
    found = _form(word, suggester, forms)
    if found is None:
        return None
    if near.kind == AS_THE_OTHER:
        same = found.word.phones == other.adult.phones
    else:
        partner = _form(other, suggester, forms)
        same = partner is not None and partner.word.phones == found.word.phones
    if not same:
        return None
    processes = tuple(dict.fromkeys(step.process for step in found.steps))
    new = tuple(thing.text for thing in near.word.things)
    return ContrastPair(
        word.word,
        other.word,
        word.adult.ipa,
        other.adult.ipa,
        found.word.ipa,
        near.differ,
        near.kind,
        processes,
        new,
        near.use,
    )


def _frames(word: BankWord) -> list[tuple[str, ...]]:
    """The word with each sound in turn left open, and with each left off: what a word one sound away shares with it."""
    phones = word.adult.phones
    out: list[tuple[str, ...]] = [("off", *phones)]
    for at in range(len(phones)):
        out.append(("open", *phones[:at], "_", *phones[at + 1 :]))
        out.append(("off", *phones[:at], *phones[at + 1 :]))
    return out


def _told_apart(word: Candidate, other: Candidate) -> tuple[str, str] | None:
    """The sound of each word that alone tells them apart, for a pair that is worth teaching; else None."""
    ours, theirs = word.bank.adult, other.bank.adult
    if ours.phones == theirs.phones or len(other.things) > len(word.things):
        return None
    if "V" not in word.bank.shape or "V" not in other.bank.shape:
        return None  # mmm and me are no pair to teach
    if [degree == 1 for degree in ours.stress] != [degree == 1 for degree in theirs.stress]:
        return None  # stress tells them apart as well
    return _difference(ours.phones, theirs.phones)


def _form(word: BankWord, suggester: Suggester, forms: FormsToday) -> Approximation | None:
    """The form `suggest` offers first for a word, worked out once."""
    key = word.word.lower(), *word.adult.phones
    if key not in forms:
        forms[key] = suggester.first_form(word.word, word.adult)
    return forms[key]


def _difference(one: Sequence[str], other: Sequence[str]) -> tuple[str, str] | None:
    """The sound of each word where they differ, "" where one has none; None if more than one sound differs."""
    start = 0
    while start < min(len(one), len(other)) and one[start] == other[start]:
        start += 1
    for left, right in ((1, 1), (1, 0), (0, 1)):
        if tuple(one[start + left :]) == tuple(other[start + right :]):
            return "".join(one[start : start + left]), "".join(other[start : start + right])
    return None
