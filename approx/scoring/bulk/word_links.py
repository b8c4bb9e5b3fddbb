"""Links of many pairs of words at once, worked out in arrays: the linker of a large sample."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from itertools import chain, count

from approx.ipa.word import Word
from approx.scoring.alignment.align import FormPair, Link, align_forms
from approx.scoring.alignment.costs import prepare
from approx.scoring.bulk.fast_align import LONGEST_WALK, SoundRows, align_many, links_of_walk, may_join, walks
from approx.scoring.bulk.form_arrays import FormArrays, SoundNumbers, is_usual
from approx.scoring.judging.options import default_scoring_options


def link_words(pairs: Sequence[FormPair]) -> list[Sequence[Link]]:
    """The links of each pair, as `align_forms` gives them. Equal walks share one tuple."""
    import numpy as np

    numbers = list(map(id, chain.from_iterable(pairs)))
    words: dict[int, Word] = dict(zip(numbers, chain.from_iterable(pairs)))
    usual = [number for number, word in words.items() if is_usual(word)]
    place = dict.fromkeys(words, -1) | dict(zip(usual, count()))
    out: list[Sequence[Link]] = [()] * len(pairs)
    alone = np.ones(len(pairs), bool)
    which = np.fromiter(map(place.__getitem__, numbers), np.int64, len(numbers)).reshape(-1, 2)
    among = np.flatnonzero((which >= 0).all(axis=1))
    if len(among):
        forms = FormArrays([words[number] for number in usual], _sounds())
        rows = SoundRows(forms.role, forms.ends, forms.start, forms.length)
        left, right = (rows.chosen(which[among, side]) for side in (0, 1))
        in_arrays = (left.length + right.length <= LONGEST_WALK) & ~may_join(left, right)
        in_arrays &= forms.plain[which[among]].all(axis=1)
        alone[among[in_arrays]] = False
        for part, _, found, walk in walks(left, right):
            links = [links_of_walk(*one) for one in found]
            for at, number in zip(among[part].tolist(), walk.tolist()):
                out[at] = links[number]
    rest = np.flatnonzero(alone).tolist()
    words_alone = [at for at in rest if not any(word.edges for word in pairs[at])]
    one, other = ([prepare(pairs[at][side]) for at in words_alone] for side in (0, 1))
    for at, found_links in zip(words_alone, align_many(one, other).links):
        out[at] = found_links
    for at in set(rest).difference(words_alone):  # phrases, word by word
        out[at] = align_forms(*pairs[at]).links
    return out


@cache
def _sounds() -> SoundNumbers:
    return SoundNumbers(default_scoring_options())
