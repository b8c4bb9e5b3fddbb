"""All adult forms that count as right for a word, by trying every set of rules that goes together."""

from __future__ import annotations

from approx.ipa.word import Word
from approx.processes.accept.accept import Accepted, variants_of
from approx.processes.accept.accept_rules import AccentSet
from approx.processes.accept.rule_uses import combined

MOST_FORMS = 64
"""Forms of one target that `accepted_forms` gives at most."""
_TRIED = 4096


def accepted_forms(target: Word, accents: AccentSet, gloss: str = "") -> tuple[Accepted, ...]:
    """The target first, then the other adult forms, those of fewest rules first; at most `MOST_FORMS`.

    A long word with many allophones has more forms than that: to judge what was said ask `nearest_accepted`, which
    looks at all of them.
    """
    out: dict[tuple[str, ...], Accepted] = {}
    variants = variants_of(target, accents, gloss)
    for tried, chosen in enumerate(combined(variants.places)):
        if len(out) >= MOST_FORMS or tried >= _TRIED:
            break
        form = variants.accepted(chosen)
        if form.word.phones:
            out.setdefault(form.word.phones, form)
    return tuple(out.values()) or (Accepted(target),)
