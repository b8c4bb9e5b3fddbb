"""Contrast pairs: words that one sound tells apart for the adult and nothing tells apart in this child's mouth today.

Practising such a pair shows the child that the sound changes the meaning. Minimal pair treatment: Weiner 1981, J Speech
Hear Disord 46:97-103 (from memory). Pairs are built on the child's own forms, not on a list of typical errors.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from approx.practice.suggest.answer import Approximation
from approx.practice.suggest.suggest import Suggester
from approx.practice.words.word_bank import BankWord
from approx.practice.words.word_filters import Candidate

_DRAWN = 0.3
"""How much a word that can be drawn counts for a pair: pairs are sorted and pointed at (common practice, no source)."""


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


def contrast_pairs(
    wanted: Sequence[Candidate], everything: Sequence[Candidate], suggester: Suggester
) -> tuple[ContrastPair, ...]:
    """Pairs for the words that pass the clinician's filters, the most useful pairs first.

    `wanted`: words to find partners for (those with something new); `everything`: the words a partner may come from.
    The partner is in the inventory, or asks for no more things than the word does.
    """
    index: dict[tuple[str, ...], list[Candidate]] = {}
    for candidate in everything:
        for key in _frames(candidate.bank):
            index.setdefault(key, []).append(candidate)
    forms: dict[tuple[str, ...], Approximation | None] = {}
    out: dict[tuple[str, str], ContrastPair] = {}
    for candidate in wanted:
        if not candidate.things:
            continue
        partners = {id(other): other for key in _frames(candidate.bank) for other in index.get(key, ())}
        for other in partners.values():
            pair = _pair(candidate, other, suggester, forms)
            if pair is None:
                continue
            # one pair a pair of forms: May and may, to and two, stand once, under the more useful spelling
            key = pair.adult, pair.other_adult
            kept = out.get(key) or out.get(key[::-1])
            if kept is None or pair.use > kept.use:
                out.pop(key[::-1], None)
                out[key] = pair
    return tuple(sorted(out.values(), key=lambda pair: (pair.kind != "as the other", -pair.use, pair.word, pair.other)))


def _frames(word: BankWord) -> list[tuple[str, ...]]:
    """The word with each sound in turn left open, and with each left off: what a word one sound away shares with it."""
    phones = word.adult.phones
    out: list[tuple[str, ...]] = [("off", *phones)]
    for at in range(len(phones)):
        out.append(("open", *phones[:at], "_", *phones[at + 1 :]))
        out.append(("off", *phones[:at], *phones[at + 1 :]))
    return out


def _pair(
    word: Candidate, other: Candidate, suggester: Suggester, forms: dict[tuple[str, ...], Approximation | None]
) -> ContrastPair | None:
    ours, theirs = word.bank.adult, other.bank.adult
    if ours.phones == theirs.phones or len(other.things) > len(word.things):
        return None
    if "V" not in word.bank.shape or "V" not in other.bank.shape:
        return None  # mmm and me are no pair to teach
    if [degree == 1 for degree in ours.stress] != [degree == 1 for degree in theirs.stress]:
        return None  # stress tells them apart as well
    differ = _difference(ours.phones, theirs.phones)
    if differ is None:
        return None
    found = _form(word.bank, suggester, forms)
    if found is None:
        return None
    said = found.word
    if not other.things:
        kind, same = "as the other", said.phones == theirs.phones
    else:
        partner = _form(other.bank, suggester, forms)
        kind, same = "both alike", partner is not None and partner.word.phones == said.phones
    if not same:
        return None
    processes = tuple(dict.fromkeys(step.process for step in found.steps))
    new = tuple(thing.text for thing in word.things)
    use = round(word.bank.use + other.bank.use + _DRAWN * (word.bank.picturable + other.bank.picturable), 4)
    return ContrastPair(
        word.bank.word, other.bank.word, ours.ipa, theirs.ipa, said.ipa, differ, kind, processes, new, use
    )


def _form(
    word: BankWord, suggester: Suggester, forms: dict[tuple[str, ...], Approximation | None]
) -> Approximation | None:
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
