"""What the forms of a sample come to: how each word was said, and how the different forms are built."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from approx.scoring.judging.structure import level_of_kinds, structure_kind

FormKey = tuple[str, str, bool]
"""Name of a word across tokens; what was said, its sounds between blanks, allophones aside; whether it is right."""


class SaidWord(NamedTuple):
    """One word: its different forms (allophones are one form), its tokens, and whether it was ever right."""

    forms: int
    tokens: int
    right: bool


@dataclass(frozen=True, slots=True)
class ProductionSummary:
    """How words were said -> how many words were said so; how many of the different forms are of syllable structure
    level 1, 2 and 3."""

    words: Mapping[SaidWord, int] = field(default_factory=dict)
    levels: tuple[int, int, int] = (0, 0, 0)


def said_of(forms: Mapping[FormKey, int]) -> ProductionSummary:
    """The summary of some forms with how often each was said."""
    forms_of: dict[str, set[str]] = {}
    tokens: dict[str, int] = {}
    for (word, form, _), times in forms.items():
        forms_of.setdefault(word, set()).add(form)
        tokens[word] = tokens.get(word, 0) + times
    right = {word for word, _, is_right in forms if is_right}
    words = Counter([SaidWord(len(said), tokens[word], word in right) for word, said in forms_of.items()])
    levels = [0, 0, 0]
    for form in set().union(*forms_of.values()):
        level = level_of_kinds({structure_kind(phone) for phone in form.split()})
        if level:
            levels[level - 1] += 1
    return ProductionSummary(words, (levels[0], levels[1], levels[2]))
