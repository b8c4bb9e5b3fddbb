"""Links of many pairs of words at once, worked out in arrays: the linker of a large sample."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

from approx.ipa.word import Word
from approx.scoring.alignment.align import FormPair, Link, align_forms, coalesced
from approx.scoring.alignment.costs import prepare
from approx.scoring.bulk.different_numbers import NumberedObjects
from approx.scoring.bulk.fast_align import LONGEST_WALK, align_many, links_of_walk, may_join, walks
from approx.scoring.bulk.form_arrays import FormTable, SoundNumbers
from approx.scoring.judging.options import default_scoring_options


def link_words(
    pairs: Sequence[FormPair], heard: tuple[NumberedObjects[Word], FormTable] | None = None
) -> list[Sequence[Link]]:
    """The links of each pair, as `align_forms` gives them. Equal walks share one tuple. `heard`: all that was said,
    numbered and laid out, where it is already."""
    import numpy as np

    out: list[Sequence[Link]] = [()] * len(pairs)
    alone = np.ones(len(pairs), bool)
    if pairs:
        targets, said = zip(*pairs)
        ones, meant = _laid_out(targets)
        others, laid_out = heard or _laid_out(said)
        target, form = ones.each, others.of(said) if heard else others.each
        among = np.flatnonzero(meant.plain[target] & laid_out.plain[form])
        left, right = meant.rows.chosen(target[among]), laid_out.rows.chosen(form[among])
        alone[among[left.length + right.length <= LONGEST_WALK]] = False
        for part, _, found, walk in walks(left, right):
            links = [links_of_walk(*one) for one in found]
            for at, number in zip(among[part].tolist(), walk.tolist()):
                out[at] = links[number]
        for at in among[may_join(left, right)].tolist():
            out[at] = coalesced(targets[at].phones, said[at].phones, tuple(out[at]))
    rest = np.flatnonzero(alone).tolist()
    words_alone = [at for at in rest if not any(word.edges for word in pairs[at])]
    one, other = ([prepare(pairs[at][side]) for at in words_alone] for side in (0, 1))
    for at, found_links in zip(words_alone, align_many(one, other).links):
        out[at] = found_links
    for at in set(rest).difference(words_alone):  # phrases, word by word
        out[at] = align_forms(*pairs[at]).links
    return out


def _laid_out(forms: Sequence[Word]) -> tuple[NumberedObjects[Word], FormTable]:
    numbers = NumberedObjects(forms)
    return numbers, FormTable(numbers.different, _sounds(), facts=False)


@cache
def _sounds() -> SoundNumbers:
    return SoundNumbers(default_scoring_options())
