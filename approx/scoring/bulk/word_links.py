"""Links of many pairs of words at once, worked out in arrays: the linker of a large sample."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from approx.ipa.word import Word
from approx.scoring.alignment.align import FormPair, Never, PairLinks, align_forms, coalesced, one_by_one
from approx.scoring.alignment.costs import prepare
from approx.scoring.bulk.different_numbers import NumberedObjects
from approx.scoring.bulk.fast_align import LONGEST_WALK, align_many, links_of_walk, may_join, walks
from approx.scoring.bulk.form_arrays import FormTable, SoundNumbers
from approx.scoring.judging.options import default_scoring_options

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Places = NDArray[np.int64]


def link_words(
    forms: Sequence[FormPair],
    heard: tuple[NumberedObjects[Word], FormTable] | None = None,
    *,
    never: Sequence[Never] = (),
) -> list[PairLinks]:
    """The links of each pair, as `align_forms` gives them. Equal walks share one tuple. `heard`: all that was said,
    numbered and laid out, where it is already. `never`: links of each pair that may not be made, as of `one_by_one`."""
    import numpy as np

    out: list[PairLinks] = [()] * len(forms)
    alone = np.ones(len(forms), bool)
    if forms:
        targets, said = zip(*forms)
        ones, meant = _laid_out(targets)
        others, laid_out = heard or _laid_out(said)
        target, form = ones.each, others.of(said) if heard else others.each
        among = np.flatnonzero(meant.plain[target] & laid_out.plain[form])
        left, right = meant.rows.chosen(target[among]), laid_out.rows.chosen(form[among])
        alone[among[left.length + right.length <= LONGEST_WALK]] = False
        for part, _, found, walk in walks(left, right, _by_column(never, among)):
            made = [links_of_walk(*one) for one in found]
            for at, number in zip(among[part].tolist(), walk.tolist()):
                out[at] = made[number]
        for at in among[may_join(left, right)].tolist():
            out[at] = coalesced(targets[at].phones, said[at].phones, out[at])
    rest = np.flatnonzero(alone).tolist()
    if never:
        for at, links in zip(rest, one_by_one([forms[at] for at in rest], never=[never[at] for at in rest])):
            out[at] = links
        return out
    words_alone = [at for at in rest if not any(word.edges for word in forms[at])]
    one, other = ([prepare(forms[at][side]) for at in words_alone] for side in (0, 1))
    for at, found_links in zip(words_alone, align_many(one, other).links):
        out[at] = found_links
    for at in set(rest).difference(words_alone):  # phrases, word by word
        out[at] = align_forms(*forms[at]).links
    return out


def _by_column(never: Sequence[Never], among: Places) -> Places | None:
    """What may not be linked as `walks` takes it: pairs by their place among some of them."""
    import numpy as np

    if not never:
        return None
    rows = [(at, i, j) for at, number in enumerate(among.tolist()) for i, j in never[number]]
    return np.array(rows, np.int64).reshape(-1, 3).T


def _laid_out(forms: Sequence[Word]) -> tuple[NumberedObjects[Word], FormTable]:
    numbers = NumberedObjects(forms)
    return numbers, FormTable(numbers.different, SoundNumbers(default_scoring_options()), facts=False)
