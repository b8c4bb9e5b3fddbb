"""Which sound of a production stands for which sound of its target.

One global alignment, costs in `rules/alignment.toml`. A vowel is linked with a vowel, a consonant with a consonant; only
a liquid after a vowel and not before one may be linked with a vowel (vocalization). Syllabic l̩ n̩ are compared as əl ən.
Ties are settled as that file says: walking from the end, a link before an addition, an addition before a loss, one sound
before a whole syllable.

Coalescence (sp said as f, pairs in the same file) links both targets with the one sound; neither of them is right.
Metathesis keeps the order of both forms: the sound out of place is lost in one place and added in another, and `moved`
names the two. An exchange over a vowel (*cup* [pʌk]) is two links.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from approx.ipa.features import is_vowel, split
from approx.ipa.word import Word
from approx.scoring.alignment.costs import NEVER, Costs, Prepared, costs, prepare

Link = tuple[int | None, int | None]
"""(index in the target, index in the production); None where a sound was added or lost."""


class Alignment(NamedTuple):
    """Sounds of both forms and the links between them, in order. Every index appears at least once."""

    target: tuple[str, ...]
    produced: tuple[str, ...]
    links: tuple[Link, ...]

    def as_json(self) -> dict[str, object]:
        """The promise of `approx align --json`."""
        return {
            "target": list(self.target),
            "produced": list(self.produced),
            "links": [list(link) for link in self.links],
        }


def align(target: Word | Sequence[str], produced: Word | Sequence[str]) -> Alignment:
    """The links of one pair. Words bring their stress; with bare sounds stress plays no part.

    >>> from approx.ipa import read
    >>> align(read("spun").words[0], read("pun").words[0]).links
    ((0, None), (1, 0), (2, 1), (3, 2))
    """
    return align_prepared(prepare(target), prepare(produced))


def align_prepared(target: Prepared, produced: Prepared) -> Alignment:
    """The same from forms already prepared (`approx.scoring.alignment.costs.prepare`)."""
    meant, said, book = target.numbers, produced.numbers, costs()
    steps = _walk_back(_table(meant, said, book), meant, said, book)
    return Alignment(target.phones, produced.phones, finished(target, produced, links_of(steps)))


def gap_costs(ids: Sequence[int], prices: Sequence[int], book: Costs) -> list[int]:
    """Cost of losing or adding each sound: one less for a last consonant, which settles a tie."""
    out = [prices[sound] for sound in ids]
    if ids and not book.is_vowel[ids[-1]]:
        out[-1] -= 1
    return out


def ends_syllable(ids: Sequence[int], book: Costs) -> list[bool]:
    """For each sound whether it is a vowel straight after a consonant, so that the two can go or come together."""
    vowel = book.is_vowel
    return [at > 0 and vowel[ids[at]] and not vowel[ids[at - 1]] for at in range(len(ids))]


def _table(target: list[int], produced: list[int], book: Costs) -> list[list[int]]:
    """Least cost of every pair of beginnings: rows over the target, columns over the production."""
    losses, additions = gap_costs(target, book.lost, book), gap_costs(produced, book.added, book)
    drops, brings = ends_syllable(target, book), ends_syllable(produced, book)
    rows: list[list[int]] = []
    for i in range(len(target) + 1):
        links = [book.link(target[i - 1], sound) for sound in produced] if i else []
        row: list[int] = []
        for j in range(len(produced) + 1):
            best = rows[i - 1][j - 1] + links[j - 1] if i and j else NEVER * (i + j > 0)
            if j:
                best = min(best, row[j - 1] + additions[j - 1])
                if brings[j - 1]:
                    best = min(best, row[j - 2] + additions[j - 1] + additions[j - 2] - 1)
            if i:
                best = min(best, rows[i - 1][j] + losses[i - 1])
                if drops[i - 1]:
                    best = min(best, rows[i - 2][j] + losses[i - 1] + losses[i - 2] - book.weak[target[i - 1]])
            row.append(best)
        rows.append(row)
    return rows


def _walk_back(table: list[list[int]], target: list[int], produced: list[int], book: Costs) -> str:
    """Steps from the start, one letter each: L link, A addition, D loss; ties as the module says."""
    additions, brings = gap_costs(produced, book.added, book), ends_syllable(produced, book)
    losses = gap_costs(target, book.lost, book)
    i, j, steps = len(target), len(produced), ""
    while i or j:
        here = table[i][j]
        if i and j and here == table[i - 1][j - 1] + book.link(target[i - 1], produced[j - 1]):
            steps, i, j = steps + "L", i - 1, j - 1
        elif j and here == table[i][j - 1] + additions[j - 1]:
            steps, j = steps + "A", j - 1
        elif j and brings[j - 1] and here == table[i][j - 2] + additions[j - 1] + additions[j - 2] - 1:
            steps, j = steps + "AA", j - 2
        elif i and here == table[i - 1][j] + losses[i - 1]:
            steps, i = steps + "D", i - 1
        else:
            steps, i = steps + "DD", i - 2
    return steps[::-1]


def links_of(steps: str) -> tuple[Link, ...]:
    """Links from the letters of a walk."""
    out: list[Link] = []
    i = j = 0
    for step in steps:
        if step == "L":
            out.append((i, j))
            i, j = i + 1, j + 1
        elif step == "A":
            out.append((None, j))
            j += 1
        else:
            out.append((i, None))
            i += 1
    return tuple(out)


def finished(target: Prepared, produced: Prepared, links: tuple[Link, ...]) -> tuple[Link, ...]:
    """Links between the sounds as written: ə + consonant back to one syllabic consonant, coalescence to both targets."""
    if target.owner is not None or produced.owner is not None:
        links = _as_written(target.owner, produced.owner, links)
    return _coalesced(target.phones, produced.phones, links) if may_coalesce(produced.phones) else links


def _as_written(
    target: tuple[int, ...] | None, produced: tuple[int, ...] | None, links: tuple[Link, ...]
) -> tuple[Link, ...]:
    back = [
        (i if i is None or target is None else target[i], j if j is None or produced is None else produced[j])
        for i, j in links
    ]
    linked_targets = {i for i, j in back if j is not None}
    linked_sounds = {j for i, j in back if i is not None}
    out: list[Link] = []
    for i, j in back:
        half_lost = j is None and i in linked_targets
        half_added = i is None and j in linked_sounds
        if not half_lost and not half_added and (i, j) not in out:
            out.append((i, j))
    return tuple(out)


def may_coalesce(produced: tuple[str, ...]) -> bool:
    """True if a sound of the production can stand for two targets; most forms have none."""
    return not costs().coalesced.isdisjoint(produced)


def _coalesced(target: tuple[str, ...], produced: tuple[str, ...], links: tuple[Link, ...]) -> tuple[Link, ...]:
    """Where one of two neighbours is lost and the other's sound has features of both, link both with it."""
    pairs, out = costs().coalescence, list(links)
    for at in range(len(out) - 1):
        (i, j), (k, m) = out[at], out[at + 1]
        if i is None or k is None or (j is None) == (m is None):
            continue
        said = j if j is not None else m
        if said is not None and (target[i], target[k], produced[said]) in pairs:
            out[at], out[at + 1] = (i, said), (k, said)
    return tuple(out)


def moved(alignment: Alignment) -> tuple[tuple[int, int], ...]:
    """Consonants out of place: (index where it is lost in the target, index where it is added in the production).

    >>> from approx.ipa import read
    >>> moved(align(read("spəˈɡɛti").words[0], read("pəsˈɡɛti").words[0]))
    ((0, 2),)
    """
    lost = [i for i, j in alignment.links if i is not None and j is None]
    added = [j for i, j in alignment.links if i is None and j is not None]
    return moved_among(alignment.target, alignment.produced, lost, added)


def moved_among(
    target: Sequence[str], produced: Sequence[str], lost: Sequence[int], added: Sequence[int]
) -> tuple[tuple[int, int], ...]:
    """The same from the places of what was lost and of what was added, each in order."""
    out: list[tuple[int, int]] = []
    left = list(added)
    for i in lost:
        base = split(target[i])[0]
        for j in left:
            if split(produced[j])[0] == base and not is_vowel(base):
                out.append((i, j))
                left.remove(j)
                break
    return tuple(out)
