"""Which sound of a production stands for which sound of its target.

One global alignment, costs in `rules/alignment.toml`. A vowel is linked with a vowel, a consonant with a consonant; only
a liquid after a vowel and not before one may be linked with a vowel (vocalization). Syllabic l̩ n̩ are compared as əl ən.
Ties are settled as that file says: walking from the end, a link before an addition, an addition before a loss, one sound
before a whole syllable.

Coalescence (sp said as f, pairs in the same file) links both targets with the one sound; neither of them is right.
Metathesis keeps the order of both forms: the sound out of place is lost in one place and added in another, and `moved`
names the two. An exchange over a vowel (*cup* [pʌk]) is two links.

A phrase is aligned word by word: nothing is linked over the edge of a word. As many words on both sides: one by one. Else
the grouping whose alignments cost least: one word said as several, several said as one (cut where the sounds of the next
word begin), a word that was left out.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cache, lru_cache
from itertools import pairwise
from math import inf
from typing import NamedTuple, Protocol

from approx.ipa.features import is_vowel, split
from approx.ipa.language import language
from approx.ipa.word import Word, stretch
from approx.scoring.alignment.costs import NEVER, Costs, Prepared, costs, prepare

Link = tuple[int | None, int | None]
"""(index in the target, index in the production); None where a sound was added or lost."""
FormPair = tuple[Word, Word]
"""Adult form and production."""
PairLinks = tuple[Link, ...]
"""The links of one pair, in order."""
Never = frozenset[tuple[int, int]]
"""Links that may not be made."""

_ANY: Never = frozenset()


class Linker(Protocol):
    """Links of many pairs at once, in order. `never`: of each pair, where some links may not be made."""

    def __call__(self, forms: Sequence[FormPair], *, never: Sequence[Never] = ()) -> Sequence[PairLinks]:
        """The links of each pair."""


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


def align_forms(target: Word | Sequence[str], produced: Word | Sequence[str]) -> Alignment:
    """The links of one pair. Words bring their stress; with bare sounds stress plays no part.

    >>> from approx.ipa import read
    >>> align_forms(read("spun").words[0], read("pun").words[0]).links
    ((0, None), (1, 0), (2, 1), (3, 2))
    """
    if isinstance(target, Word) and isinstance(produced, Word) and (target.edges or produced.edges):
        return _align_phrase(target, produced)
    return align_prepared(prepare(target), prepare(produced))


MANY = 3000
"""Pairs from which on working in arrays is over sooner, what it needs loaded included (`approx.scoring.bulk`)."""


def one_by_one(forms: Sequence[FormPair], *, never: Sequence[Never] = ()) -> list[PairLinks]:
    """The links of each pair: the linker of a few pairs."""
    if never:
        return [align_prepared(prepare(one), prepare(other), each).links for (one, other), each in zip(forms, never)]
    return [align_forms(target, produced).links for target, produced in forms]


def _align_phrase(target: Word, produced: Word) -> Alignment:
    links: list[Link] = []
    for pair in word_pairs(target, produced):
        at, said_at = pair.at[0], pair.said_at[0]
        links += [
            (None if i is None else i + at, None if j is None else j + said_at)
            for i, j in align_prepared(prepare(pair.target), prepare(pair.produced)).links
        ]
    return Alignment(target.phones, produced.phones, tuple(links))


def align_prepared(target: Prepared, produced: Prepared, never: Never = _ANY) -> Alignment:
    """The links of two forms that are prepared already (`approx.scoring.alignment.costs.prepare`). `never`: links that may
    not be made (places among the numbers of the two)."""
    meant, said, book = target.numbers, produced.numbers, costs()
    steps = "" if never else _plain_steps(meant, said, book)
    if not steps:
        _, steps = _least(meant, said, book, never)
    return Alignment(target.phones, produced.phones, finished(target, produced, links_of(steps)))


def _plain_steps(target: list[int], produced: list[int], book: Costs) -> str:
    """Steps of a form as long as the target, or one sound shorter, where nothing but links and that one loss can be cheapest:
    every other way loses one sound more and adds one. "" elsewhere."""
    more = len(target) - len(produced)
    if more not in (0, 1):
        return ""
    total = sum(map(book.link, target[more:], produced))
    if not more:
        return "L" * len(target) if total < book.lost_and_added else ""
    deletions = gap_costs(target, book.lost, book)
    least, lost = total + deletions[0], 0
    for at, said in enumerate(
        produced, 1
    ):  # the loss goes one sound on; of equal ways the first one has most links at the end
        total += book.link(target[at - 1], said) - book.link(target[at], said)
        if total + deletions[at] < least:
            least, lost = total + deletions[at], at
    return "L" * lost + "D" + "L" * (len(produced) - lost) if least < book.two_lost_and_added else ""


_OPEN = {"ɑ": "ɑ", "a": "a", "æ": "æ", "ɔ": "ɑ"}
"""Vowels before a liquid that the first half of a typed aʊ may stand for."""
_LIQUIDS = ("l", "ɫ", "ɹ")


@cache
def _halves() -> dict[str, tuple[str, str]]:
    """Diphthongs of Spanish with their halves, as they are read."""
    return {pair: (pair[0], pair[1]) for pair in language("es").diphthongs}


def aimed_apart(produced: Sequence[Word]) -> list[int]:
    """The places of those productions of which `as_aimed` may give another form for some target: it is few."""
    rows, maybe_two = [form.phones for form in produced], frozenset(("aʊ", *_halves()))
    found = [
        at
        for at, row in enumerate(rows)
        if not maybe_two.isdisjoint(row) or ("s" in row and "t" in row) or ("z" in row and "d" in row)
    ]
    return [at for at in found if not maybe_two.isdisjoint(rows[at]) or _affricates(rows[at])]


def as_aimed(target: Word, produced: Word) -> Word:
    """The production with its sounds told apart as the target asks: `two_vowels`, `met_vowels` and `one_affricate`."""
    return one_affricate(target, met_vowels(target, two_vowels(target, produced)))


_AFFRICATES = {("t", "s"): "t͡s", ("d", "z"): "d͡z"}
_TURNED = frozenset(pair[::-1] for pair in _AFFRICATES)


def _affricates(phones: tuple[str, ...]) -> bool:
    """True where a stop and a fricative in a row may be one sound."""
    return not _AFFRICATES.keys().isdisjoint(pairwise(phones))


def one_affricate(target: Word, produced: Word) -> Word:
    """The production with t s and d z as one sound where an affricate was aimed at, or where the form begins so:
    match [mæts] ends in t͡s.

    Typed without a tie the two may be a stop and a fricative: so they are where the target has these two in a row itself,
    one way round or the other.
    """
    phones = produced.phones
    if ("s" not in phones and "z" not in phones) or not _affricates(phones):
        return produced
    neighbours = set(zip(target.phones, target.phones[1:]))
    if neighbours & (_AFFRICATES.keys() | _TURNED):
        return produced
    aimed = any(split(phone)[0] in ("t͡ʃ", "d͡ʒ") for phone in target.phones)
    out = produced
    for at in range(len(phones) - 2, -1, -1):
        one = _AFFRICATES.get((phones[at], phones[at + 1]))
        if one and at + 1 not in produced.edges and (aimed or at in (0, *produced.edges)):
            out = _in_one(out, at, one)
    return out


def _in_one(word: Word, at: int, sound: str) -> Word:
    """The word with two consonants in a row as one."""

    def left(place: int) -> int:
        return place - (place > at)

    return Word(
        (*word.phones[:at], sound, *word.phones[at + 2 :]),
        tuple(map(left, word.starts)),
        word.stress,
        frozenset(map(left, word.doubtful)),
        word.omitted,
        tuple(map(left, word.edges)),
    )


def two_vowels(target: Word, produced: Word) -> Word:
    """The production with aʊ as two vowels where the second stands for a lost liquid: ball [bɑʊ] is b ɑ ʊ.

    Typed ɑʊ or æʊ is read as the diphthong; where the target has ɑ, a, æ or ɔ with l or ɹ after it and no diphthong, the
    liquid was said as ʊ (vocalization). Else the production as it is.
    """
    if "aʊ" not in produced.phones or not _open_before_liquid(target.phones):
        return produced
    return _parted(target, produced)


def met_vowels(target: Word, produced: Word) -> Word:
    """The production with a diphthong of Spanish as two vowels where they met because the consonant between them was lost:
    mariposa [maiˈposa] has both its vowels, and no ɾ.

    Written side by side the two are read as one diphthong. Else the production as it is.
    """
    return produced if _halves().keys().isdisjoint(produced.phones) else _unmet(target, produced)


@lru_cache(maxsize=16384)
def _unmet(target: Word, produced: Word) -> Word:
    aimed, out = target.phones, produced
    apart = {(one, other) for one, lost, other in zip(aimed, aimed[1:], aimed[2:]) if not is_vowel(lost)}
    for at in range(len(produced.phones) - 1, -1, -1):
        halves = _halves().get(produced.phones[at])
        if halves in apart:
            parted = _in_two(out, at, *halves)
            out = parted if _cheapest(target, parted)[0] < _cheapest(target, out)[0] else out
    return out


@lru_cache(maxsize=16384)
def _open_before_liquid(phones: tuple[str, ...]) -> bool:
    return any(one in _OPEN and split(other)[0] in _LIQUIDS for one, other in pairwise(phones))


@lru_cache(maxsize=16384)
def _parted(target: Word, produced: Word) -> Word:
    made = align_forms(target, produced).links
    liquid = {i for i, j in made if i is not None and j is None and split(target.phones[i])[0] in _LIQUIDS}
    out = produced
    for i, j in reversed(made):
        if i is None or j is None or produced.phones[j] != "aʊ" or i + 1 not in liquid:
            continue
        last = i + 2 in (len(target.phones), *target.edges)
        if target.phones[i] in _OPEN and i + 1 not in target.edges and (last or not is_vowel(target.phones[i + 2])):
            out = _in_two(out, j, _OPEN[target.phones[i]], "ʊ")
    return out


def _in_two(word: Word, at: int, first: str, second: str) -> Word:
    """The word with the diphthong at a place as two syllables."""
    starts, stress = list(word.starts), list(word.stress)
    number = sum(start <= at for start in starts)
    starts = [*starts[:number], at + 1, *[start + 1 for start in starts[number:]]]
    stress.insert(number, 0)
    phones = (*word.phones[:at], first, second, *word.phones[at + 1 :])
    doubtful = frozenset(place + (place > at) for place in word.doubtful)
    edges = tuple(edge + (edge > at) for edge in word.edges)
    return Word(phones, tuple(starts), tuple(stress), doubtful, word.omitted, edges)


def _cheapest(target: Word, produced: Word) -> tuple[int, tuple[Link, ...]]:
    """What the alignment of two stretches costs, and its links."""
    meant, said, book = prepare(target), prepare(produced), costs()
    cost, steps = _least(meant.numbers, said.numbers, book)
    return cost, finished(meant, said, links_of(steps))


Span = tuple[int, int]


class WordPair(NamedTuple):
    """One word of the adult form and what was said for it: the words, and where each stands in its whole form (first
    sound, last excluded). A word that was left out has a production without sounds."""

    target: Word
    produced: Word
    at: Span
    said_at: Span


@lru_cache(maxsize=16384)
def word_pairs(target: Word, produced: Word) -> tuple[WordPair, ...]:
    """The words of the adult form in order, each with its part of the production; every sound said is in one of them.

    >>> from approx.samples.cells.forms import joined_words
    >>> from approx.ipa import read
    >>> meant, said = (joined_words(read(text).words) for text in ("ɡɪv mi ðæt", "dɪmi dæ"))
    >>> [(pair.target.ipa, pair.produced.ipa) for pair in word_pairs(meant, said)]
    [('ɡɪv', 'dɪ'), ('mi', 'mi'), ('ðæt', 'dæ')]
    """
    if not target.edges:
        one, whole = (0, len(target.phones)), (0, len(produced.phones))
        return (_pair(target, produced, one, whole) if produced.edges else WordPair(target, produced, one, whole),)
    meant, said = _spans(target), _spans(produced)
    if len(meant) == len(said):
        return tuple(_pair(target, produced, one, other) for one, other in zip(meant, said))
    return tuple(_grouped(target, produced, meant, said))


def _spans(word: Word) -> list[Span]:
    borders = (0, *word.edges, len(word.phones))
    return [(low, high) for low, high in zip(borders, borders[1:]) if high > low]


def _pair(target: Word, produced: Word, one: Span, other: Span) -> WordPair:
    return WordPair(stretch(target, *one), stretch(produced, *other), one, other)


def _grouped(target: Word, produced: Word, meant: list[Span], said: list[Span]) -> Iterator[WordPair]:
    """The cheapest grouping, each group with one word on one of its sides at least."""
    best: dict[Span, tuple[float, Span]] = {(0, 0): (0.0, (0, 0))}
    for i in range(1, len(meant) + 1):
        for j in range(len(said) + 1):
            before = [(i - 1, k) for k in range(j + 1)] + [(k, j - 1) for k in range(i - 1) if j]
            ways = [
                (best[k][0] + _cost(target, produced, meant[k[0] : i], said[k[1] : j]), k) for k in before if k in best
            ]
            best[i, j] = min(ways, default=(inf, (0, 0)))
    at, groups = (len(meant), len(said)), list[tuple[list[Span], list[Span]]]()
    while at != (0, 0):
        back = best[at][1]
        groups.append((meant[back[0] : at[0]], said[back[1] : at[1]]))
        at = back
    reached = 0
    for ones, others in reversed(groups):
        whole = (others[0][0], others[-1][1]) if others else (reached, reached)
        reached = whole[1]
        if len(ones) == 1:
            yield _pair(target, produced, ones[0], whole)
        else:
            yield from _cut(target, produced, ones, whole)


def _cost(target: Word, produced: Word, ones: list[Span], others: list[Span]) -> float:
    meant = stretch(target, ones[0][0], ones[-1][1])
    said = stretch(produced, others[0][0], others[-1][1]) if others else Word((), (), ())
    return _cheapest(meant, said)[0]


def _begin(target: Word, produced: Word, span: Span, firsts: dict[int, int]) -> int:
    """Where the sounds of a word begin in what was said as one; -1 if it has none.

    A first consonant that is linked with nothing takes the onset of its syllable if that is stressed: *want cookie*
    [ɑˈtʊti] has t for k, *feed her* [ˈfidɚ] nothing for h.
    """
    begin = min((firsts[at] for at in range(*span) if at in firsts), default=-1)
    if begin < 0 or span[0] in firsts or is_vowel(target.phones[span[0]]):
        return begin
    starts = [start for start, degree in zip(produced.starts, produced.stress) if start <= begin and degree]
    return starts[-1] if starts and starts[-1] == max(s for s in produced.starts if s <= begin) else begin


def _cut(target: Word, produced: Word, ones: list[Span], whole: Span) -> Iterator[WordPair]:
    """Several words said as one: each gets the sounds linked with its own; a sound added goes with the word before it."""
    low, high = ones[0][0], ones[-1][1]
    links = _cheapest(stretch(target, low, high), stretch(produced, *whole))[1]
    firsts = {i + low: j + whole[0] for i, j in reversed(links) if i is not None and j is not None}
    begins = [_begin(target, produced, span, firsts) for span in ones[1:]]
    end = whole[1]
    cuts = [whole[1]]
    for begin in reversed(begins):
        end = begin if begin >= 0 else end
        cuts.append(end)
    cuts = [whole[0], *reversed(cuts)]
    for span, one in zip(ones, zip(cuts, cuts[1:])):
        yield _pair(target, produced, span, one)


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


class _Gaps(NamedTuple):
    """What losing and adding each sound costs, and whether it can go or come together with the one before it."""

    deletions: list[int]
    additions: list[int]
    drops: list[bool]
    brings: list[bool]


def _least(target: list[int], produced: list[int], book: Costs, never: Never = _ANY) -> tuple[int, str]:
    """What the cheapest alignment costs, and its steps from the start."""
    gaps = _Gaps(
        gap_costs(target, book.lost, book),
        gap_costs(produced, book.added, book),
        ends_syllable(target, book),
        ends_syllable(produced, book),
    )
    table = _table(target, produced, book, gaps, never)
    return table[-1][-1], _walk_back(table, target, produced, book, gaps, never)


def _table(target: list[int], produced: list[int], book: Costs, gaps: _Gaps, never: Never) -> list[list[int]]:
    """Least cost of every pair of beginnings: rows over the target, columns over the production."""
    deletions, additions, drops, brings = gaps
    # what an added vowel costs together with the consonant before it, None where the two do not go together
    both = [additions[j] + additions[j - 1] - 1 if together else None for j, together in enumerate(brings)]
    top = [0]
    for j, added in enumerate(additions):
        best, two = top[j] + added, both[j]
        if two is not None and top[j - 1] + two < best:
            best = top[j - 1] + two
        top.append(best)
    rows = [top]
    for i, sound in enumerate(target):
        known, above, lost = book.rows[sound], rows[i], deletions[i]
        higher = rows[i - 1] if drops[i] else None
        dropped = lost + deletions[i - 1] - book.weak[sound]
        best = above[0] + lost
        if higher is not None and higher[0] + dropped < best:
            best = higher[0] + dropped
        row = [best]
        for j, said in enumerate(produced):
            link = known.get(said)
            if link is None:
                link = book.link(sound, said)
            if never and (i, j) in never:
                link = NEVER
            left, best = best + additions[j], above[j] + link
            best = min(best, left)
            two = both[j]
            if two is not None and row[j - 1] + two < best:
                best = row[j - 1] + two
            best = min(best, above[j + 1] + lost)
            if higher is not None and higher[j + 1] + dropped < best:
                best = higher[j + 1] + dropped
            row.append(best)
        rows.append(row)
    return rows


def _walk_back(
    table: list[list[int]],
    target: list[int],
    produced: list[int],
    book: Costs,
    gaps: _Gaps,
    never: Never,
) -> str:
    """Steps from the start, one letter each: L link, A addition, D loss; ties as the module says."""
    deletions, additions, _, brings = gaps
    i, j, steps = len(target), len(produced), ""
    while i or j:
        here = table[i][j]
        link = NEVER if (i - 1, j - 1) in never else book.link(target[i - 1], produced[j - 1]) if i and j else NEVER
        if i and j and here == table[i - 1][j - 1] + link:
            steps, i, j = steps + "L", i - 1, j - 1
        elif j and here == table[i][j - 1] + additions[j - 1]:
            steps, j = steps + "A", j - 1
        elif j and brings[j - 1] and here == table[i][j - 2] + additions[j - 1] + additions[j - 2] - 1:
            steps, j = steps + "AA", j - 2
        elif i and here == table[i - 1][j] + deletions[i - 1]:
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
    return coalesced(target.phones, produced.phones, links) if may_coalesce(produced.phones) else links


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


def coalesced(target: tuple[str, ...], produced: tuple[str, ...], links: tuple[Link, ...]) -> tuple[Link, ...]:
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
    >>> moved(align_forms(read("spəˈɡɛti").words[0], read("pəsˈɡɛti").words[0]))
    ((0, 2),)
    """
    lost = [i for i, j in alignment.links if i is not None and j is None]
    added = [j for i, j in alignment.links if i is None and j is not None]
    return moved_among(alignment.target, alignment.produced, lost, added)


def moved_among(
    target: Sequence[str], produced: Sequence[str], lost: Sequence[int], added: Sequence[int]
) -> tuple[tuple[int, int], ...]:
    """Consonants out of place, from the places of what was lost and of what was added, each in order; see `moved`."""
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
