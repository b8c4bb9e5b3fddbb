"""Many alignments at once: the same costs, ties and links as `approx.scoring.alignment.align`, worked out in arrays.

Targets of one length with productions of about one length are laid side by side and the table of `align` is filled for all
of them in one go; each pair is walked back from the cell where its own production ends. A cost is held as eight times its
hundredths plus the rank of the step it came from, so that the least number is the cheapest step and, among equally cheap
ones, the one the written tie-break takes.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache
from typing import TYPE_CHECKING, overload

from approx.scoring.alignment.align import Alignment, Link, align_prepared, finished, links_of
from approx.scoring.alignment.costs import NEVER, SYLLABIC_ONLY, Costs, Prepared, costs
from approx.scoring.bulk.different_numbers import different, told_apart

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    SmallInts = NDArray[np.int32]
    Places = NDArray[np.int64]
    Bits = NDArray[np.uint16]
    Bools = NDArray[np.bool_]

WalkLinks = tuple[Link, ...]

LONGEST_WALK = 24
"""Sounds of both forms together that still fit the code of a walk; longer pairs are aligned one by one."""

_AT_ONCE, _ENOUGH = 4096, 1024
"""Pairs laid side by side: at most, and from how many on those of the next length are laid apart."""
_LETTERS = ("L", "A", "AA", "D", "DD")
_END = 5


class Alignments(Sequence[Alignment]):
    """Many alignments, each made when it is asked for."""

    def __init__(self, targets: PreparedForms, produced: PreparedForms) -> None:
        self.targets, self.produced = targets.forms, produced.forms
        self.links = links_many(targets, produced)

    def __len__(self) -> int:
        return len(self.links)

    @overload
    def __getitem__(self, at: int) -> Alignment: ...
    @overload
    def __getitem__(self, at: slice) -> list[Alignment]: ...
    def __getitem__(self, at: int | slice) -> Alignment | list[Alignment]:
        if isinstance(at, slice):
            return [self[one] for one in range(*at.indices(len(self)))]
        return Alignment(self.targets[at].phones, self.produced[at].phones, self.links[at])


def align_many(targets: Sequence[Prepared], produced: Sequence[Prepared]) -> Alignments:
    """Alignments of prepared pairs (`approx.scoring.alignment.costs.prepare`), in order. ValueError for unequal numbers."""
    return Alignments(PreparedForms(targets), PreparedForms(produced))


def links_many(targets: PreparedForms, produced: PreparedForms) -> list[WalkLinks]:
    """Links alone, one tuple a pair; equal walks share one tuple. ValueError for unequal numbers of forms."""
    import numpy as np

    if len(targets.forms) != len(produced.forms):
        raise ValueError(f"{len(targets.forms)} targets and {len(produced.forms)} productions")
    if not (targets.forms and costs().sounds):  # no pair, or no form so far that has a sound
        return [()] * len(targets.forms)
    out = np.empty(len(targets.forms), object)
    for part, _, found, which in walks(targets, produced):
        made = np.empty(len(found), object)
        made[:] = [links_of_walk(*walk) for walk in found]
        out[part] = made[which]
    for at in np.flatnonzero(targets.length + produced.length > LONGEST_WALK).tolist():
        out[at] = align_prepared(targets.forms[at], produced.forms[at]).links
    joined = may_join(targets, produced)
    for at in {*targets.unfinished(), *produced.unfinished(), *np.flatnonzero(joined).tolist()}:
        if targets.length[at] + produced.length[at] <= LONGEST_WALK:
            out[at] = finished(targets.forms[at], produced.forms[at], out[at])
    links: list[WalkLinks] = out.tolist()
    return links


WalkCode = tuple[int, int]
"""Code of a walk and how many digits it has."""


def walks(
    targets: SoundRows, produced: SoundRows, never: Places | None = None
) -> Iterator[tuple[Places, int, list[WalkCode], Places]]:
    """The cheapest walk of every pair of up to LONGEST sounds, some pairs at a time: which pairs, the length of their
    targets, the distinct walks of them, and for each pair which of these it is. `never`: links that may not be made, a
    column each: pair, place in the target, place in the production."""
    book = _arrays(len(costs().sounds))
    for part in _side_by_side(targets.length, produced.length):
        codes, digits = _walks(targets, produced, part, book, never)
        found, which = told_apart(codes)
        yield part, int(targets.length[part[0]]), [(code, digits) for code in found.tolist()], which


def _side_by_side(targets: Places, produced: Places) -> Iterator[Places]:
    """Pairs of up to LONGEST sounds that are laid side by side: of one length of targets, the longest production last."""
    import numpy as np

    short = np.flatnonzero(targets + produced <= LONGEST_WALK)
    key = (targets[short] * 256 + produced[short]).astype(np.uint16)
    order = np.argsort(key, kind="stable")
    short, key = short[order], key[order]
    first = 0
    for border in [*(np.flatnonzero(np.diff(key)) + 1).tolist(), len(key)]:
        last = border == len(key) or key[border] >> 8 != key[first] >> 8
        if last or border - first >= _ENOUGH:
            for start in range(first, border, _AT_ONCE):
                yield short[start : min(border, start + _AT_ONCE)]
            first = border


def may_join(targets: SoundRows, produced: SoundRows) -> Bools:
    """For each pair whether a sound said may stand for two neighbours of the target."""
    book = _arrays(len(costs().sounds))
    joined: Bools = (targets.may_join(book) & produced.said(book)) != 0
    return joined


def joined(first: SmallInts, second: SmallInts, said: SmallInts) -> Bools:
    """Whether two neighbours of a target may be said as one sound, by the numbers of the sounds for the aligner."""
    book = _arrays(len(costs().sounds))
    found: Bools = (book.joins[first, second] & book.bits[said]) != 0
    return found


@lru_cache(maxsize=65536)
def said_at(walk: WalkCode, length: int) -> tuple[int, ...]:
    """For each target sound of a walk the place of what was said for it, -1 for nothing."""
    out = [-1] * length
    for i, j in links_of_walk(*walk):
        if i is not None and j is not None:
            out[i] = j
    return tuple(out)


_BETWEEN = "\U0010ffff"
"""Stands between two forms in a row of sounds."""


class SoundRows:
    """Sounds of many forms in one row, with a gap behind each form; where forms start in it, how long they are.

    `start` and `length` say which forms are aligned: those of the row in order, or any choice of them.
    """

    def __init__(self, sounds: SmallInts, ends: Places, start: Places, length: Places) -> None:
        self.sounds, self.ends, self.start, self.length = sounds, ends, start, length
        self._gaps: dict[bool, tuple[_Arrays, tuple[SmallInts, SmallInts]]] = {}

    def chosen(self, which: NDArray[np.integer]) -> SoundRows:
        """Some of the forms, in any order, as often as wanted."""
        chosen = SoundRows(self.sounds, self.ends, self.start[which], self.length[which])
        chosen._gaps = self._gaps  # they are of the whole row
        return chosen

    def places(self, group: Places, length: int) -> Places:
        """Where the sounds of some forms of up to some length stand in the row, the last one again after the end of a form:
        an array (length, forms)."""
        import numpy as np

        return self.start[group] + np.minimum(np.arange(length)[:, None], self.length[group] - 1)

    def gaps(self, arrays: _Arrays, added: bool) -> tuple[SmallInts, SmallInts]:
        """For each sound of the row what it costs to add (or lose) it; and it and the consonant before it together."""
        of, costs_of_row = self._gaps.get(added, (None, None))
        if costs_of_row is None or of is not arrays:
            costs_of_row = self._gap_costs(arrays, added)
            self._gaps[added] = arrays, costs_of_row
        return costs_of_row

    def _gap_costs(self, arrays: _Arrays, added: bool) -> tuple[SmallInts, SmallInts]:
        import numpy as np

        one = (arrays.added if added else arrays.lost).take(self.sounds)
        vowel = arrays.vowel.take(self.sounds)
        vowel[self.ends] = False  # what stands between two forms goes with no consonant before it
        last = self.ends[np.diff(self.ends, prepend=-1) > 1] - 1
        one[last] -= 8 * ~vowel[last]
        no_onset = vowel.copy()
        no_onset[self.ends] = True
        both = np.full(len(one), 4 * NEVER, np.int32)
        at = np.flatnonzero(vowel[1:] & ~no_onset[:-1]) + 1
        less = np.int32(8) if added else arrays.weak.take(self.sounds[at])
        both[at] = one[at] + one[at - 1] - less + _LETTERS.index("AA" if added else "DD")
        return one + np.int32(_LETTERS.index("A" if added else "D")), both

    def may_join(self, arrays: _Arrays) -> Bits:
        """For each form as a target, a bit for every sound that two of its neighbours may be said as."""
        import numpy as np

        pairs = self.sounds[:-1] * len(arrays.joins) + self.sounds[1:]
        return self._any_of(np.append(arrays.joins.ravel().take(pairs), np.uint16(0)))

    def said(self, arrays: _Arrays) -> Bits:
        """For each form as a production, a bit for every such sound it has."""
        return self._any_of(arrays.bits.take(self.sounds))

    def _any_of(self, bits: Bits) -> Bits:
        """The bits of each form together. What stands between two forms gives a bit too many at most."""
        import numpy as np

        if not len(self.start):
            return bits[:0]
        first = np.append(0, self.ends[:-1] + 1)
        return np.bitwise_or.reduceat(bits, first)[np.searchsorted(self.ends, self.start)]


class PreparedForms(SoundRows):
    """Many prepared forms laid out for the aligner."""

    def __init__(self, forms: Sequence[Prepared]) -> None:
        import numpy as np

        self.forms = forms
        row = _BETWEEN.join([code for _, code, _ in forms]) + _BETWEEN
        sounds = np.frombuffer(row.encode("utf-32-le"), "<u4")
        ends = np.flatnonzero(sounds == ord(_BETWEEN)) if forms else np.zeros(0, np.int64)
        start = np.concatenate((ends[:0], [0], ends[:-1] + 1))[: len(forms)]
        super().__init__(np.where(sounds == ord(_BETWEEN), 0, sounds).astype(np.int32), ends, start, ends - start)

    def unfinished(self) -> list[int]:
        """Forms with a syllabic consonant, whose numbers are not one a sound."""
        import numpy as np

        found = np.flatnonzero(_arrays(len(costs().sounds)).syllabic.take(self.sounds))
        return (np.searchsorted(self.start, found, side="right") - 1).tolist() if len(found) else []


class _Arrays:
    """The costs as arrays: eight times the hundredths, plus the rank of the step."""

    def __init__(self, book: Costs) -> None:
        import numpy as np

        self.book = book
        self.lost = np.array(book.lost, np.int32) * 8
        self.added = np.array(book.added, np.int32) * 8
        self.weak = np.array(book.weak, np.int32) * 8
        self.vowel = np.array(book.is_vowel, bool)
        self.syllabic = np.array([role == SYLLABIC_ONLY for _, role in book.sounds], bool)
        bit_of = {said: 1 << at for at, said in enumerate(sorted(book.coalesced))}
        self.bits = np.array([bit_of.get(phone, 0) for phone, _ in book.sounds], np.uint16)
        self.joins = np.zeros((len(book.sounds), len(book.sounds)), np.uint16)
        for first, second, said in book.coalescence:
            ones = [at for at, (phone, _) in enumerate(book.sounds) if phone == first]
            others = [at for at, (phone, _) in enumerate(book.sounds) if phone == second]
            self.joins[np.ix_(ones, others)] |= bit_of[said]
        self.link = np.full((len(book.sounds), len(book.sounds)), -1, np.int32)

    def links(self, target: SmallInts, produced: SmallInts) -> SmallInts:
        """Cost of linking every sound of every target with every sound of its production: (m, n, pairs)."""
        size = len(self.link)
        cells = target[:, None, :] * size + produced
        found = self.link.ravel().take(cells, mode="clip")
        if found.size and found.min() < 0:
            for code in different(cells[found < 0]).tolist():
                self.link[code // size, code % size] = self.book.link(code // size, code % size) * 8
            found = self.link.ravel().take(cells, mode="clip")
        return found


@lru_cache(maxsize=1)
def _arrays(sounds: int) -> _Arrays:
    """The arrays for so many sounds; made anew when new ones have been met."""
    return _Arrays(costs())


def _walks(
    targets: SoundRows, produced: SoundRows, pairs: Places, arrays: _Arrays, never: Places | None
) -> tuple[Places, int]:
    """The cheapest walk of some pairs laid side by side, as `_trace` gives it."""
    import numpy as np

    ends, size = produced.length[pairs], len(pairs)
    m, n = int(targets.length[pairs[0]]), int(ends[-1])
    meant, said = targets.places(pairs, m), produced.places(pairs, n)
    links = arrays.links(targets.sounds.take(meant), produced.sounds.take(said))
    if never is not None:
        column = np.full(len(targets.length), -1)
        column[pairs] = np.arange(size)
        at = column[never[0]]
        i, j = never[1:, at >= 0]
        links[i, j, at[at >= 0]] = 8 * NEVER
    deletions, drop = (costs_of_row.take(meant) for costs_of_row in targets.gaps(arrays, added=False))
    additions, bring = (costs_of_row.take(said) for costs_of_row in produced.gaps(arrays, added=True))
    drops, brings = ((pair.min(axis=1, initial=4 * NEVER) < 4 * NEVER).tolist() for pair in (drop, bring))
    ranked = np.empty((m + 1, n + 1, size), np.int32)
    cost = np.empty_like(ranked)
    ranked[0] = 8 * NEVER
    row_spare, spare = np.empty((n + 1, size), np.int32), np.empty(size, np.int32)
    ranked[0, 0] = _END
    cost[0, 0] = 0
    for i in range(m + 1):
        row = ranked[i]
        if i:
            np.add(cost[i - 1], deletions[i - 1], out=row)
            if n:
                np.add(cost[i - 1, :-1], links[i - 1], out=row_spare[1:])
                np.minimum(row[1:], row_spare[1:], out=row[1:])
            if drops[i - 1]:
                np.add(cost[i - 2], drop[i - 1], out=row_spare)
                np.minimum(row, row_spare, out=row)
            np.bitwise_and(row[0], -8, out=cost[i, 0])
        for j in range(1, n + 1):
            here = row[j]
            np.add(cost[i, j - 1], additions[j - 1], out=spare)
            np.minimum(here, spare, out=here)
            if brings[j - 1]:
                np.add(cost[i, j - 2], bring[j - 1], out=spare)
                np.minimum(here, spare, out=here)
            np.bitwise_and(here, -8, out=cost[i, j])
    return _trace(ranked, ends)


def _trace(ranked: SmallInts, ends: Places) -> tuple[Places, int]:
    """Walks every pair back from the cell where its production ends: a code of base-6 digits a pair, last step first, and
    how many digits."""
    import numpy as np

    rows, columns, size = ranked.shape
    m, n = rows - 1, columns - 1
    back = np.array([n + 2, 1, 2, n + 1, 2 * n + 2, 0]) * size
    flat = ranked.reshape(-1)
    cell = (m * columns + ends) * size + np.arange(size)
    code = np.zeros(size, np.int64)
    digits = 0
    while digits < m + n and cell.max() >= size:
        rank = flat.take(cell).astype(np.int64) & 7
        code *= 6
        code += rank
        cell -= back.take(rank)
        digits += 1
    return code, digits


@lru_cache(maxsize=8192)
def links_of_walk(code: int, digits: int) -> WalkLinks:
    """Links of a walk (`WalkCode`); the digit `_END` only fills up at the start of a walk that was over sooner than others."""
    steps = ""
    for _ in range(digits):
        code, taken = divmod(code, 6)
        steps += _LETTERS[taken] if taken != _END else ""
    return links_of(steps)
