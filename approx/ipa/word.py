"""One word as sounds in syllables: what every other package passes around."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

from approx.ipa import features
from approx.ipa.features import BEFORE, bare, is_nucleus, is_vowel
from approx.ipa.language import Language
from approx.ipa.syllables import syllable_starts

UNKNOWN_CONSONANT, UNKNOWN_VOWEL, UNKNOWN_SOUND, UNINTELLIGIBLE = "C", features.UNKNOWN_VOWEL, "*", "xxx"
"""Stand-ins for sounds that were heard but not identified, and for a stretch nobody understood."""
UNIDENTIFIED = frozenset({UNKNOWN_CONSONANT, UNKNOWN_VOWEL, UNKNOWN_SOUND, UNINTELLIGIBLE})
"""All of them: no sound of a language, and never certain."""
WEAK_VOWEL = "ə"
"""Never stressed where no mark says so."""
DASHES = "-–—−‐‑"
OMISSIONS = "0∅Ø⌀" + DASHES
"""Signs a transcriber writes for what was left off."""

_JOINED = frozenset(
    "tʃ dʒ aɪ aʊ ɔɪ eɪ oʊ ai ei oi au ou eu ɔi ʌɪ oɪ ɑɪ ɑʊ æʊ əʊ eʊ".split()  # noqa: SIM905
)
"""Two sounds that English or Spanish would read as one; a test holds it to the language files. Spanish ui and iu
are not among them: two such vowels in two syllables are rare there, and common in English ("gooey")."""
_JOINED_RHOTIC = frozenset({"əɹ", "ɜɹ"})
"""Two sounds that English would read as one where no vowel follows."""


@dataclass(frozen=True, slots=True)
class Segment:
    """One sound: a consonant, a vowel, a diphthong or an affricate, with its marks."""

    text: str
    doubtful: bool = False

    @property
    def base(self) -> str:
        """The symbol without its marks; a diphthong whole."""
        return bare(self.text)[0]

    @property
    def is_vowel(self) -> bool:
        """True for a vowel or a diphthong, identified or not."""
        return is_vowel(self.text)


@dataclass(frozen=True, slots=True)
class Syllable:
    """Onset, nucleus and coda as segments; stress 1 main, 2 secondary, 0 none."""

    onset: tuple[Segment, ...]
    nucleus: tuple[Segment, ...]
    coda: tuple[Segment, ...]
    stress: int = 0

    @property
    def shape(self) -> str:
        """C and V in order; a syllabic consonant is V, as a diphthong is."""
        return "C" * len(self.onset) + "V" * len(self.nucleus) + "C" * len(self.coda)


@dataclass(slots=True, unsafe_hash=True)  # never changed; a frozen one takes four times as long to make
class Word:
    """Sounds in order, where each syllable starts, its stress, and which sounds were doubtful.

    `phones`: one symbol a sound. `starts`: index of the first sound of each syllable. `stress`: one degree a
    syllable. `omitted`: sounds marked as left off by the transcriber ("-a"): at the start, at the end. `edges`: where
    several words were typed in one cell, the first sound of each word after the first.
    """

    phones: tuple[str, ...]
    starts: tuple[int, ...]
    stress: tuple[int, ...]
    doubtful: frozenset[int] = frozenset()
    omitted: tuple[bool, bool] = (False, False)
    edges: tuple[int, ...] = ()

    @property
    def ipa(self) -> str:
        """Canonical text: stress in words of two or more syllables; a dot where two sounds would join; a blank between
        words, of which those of one syllable have a mark where others of them are unstressed."""
        return _phrase(self) if self.edges else written(self.phones, self.starts, self.stress)

    @property
    def segments(self) -> tuple[Segment, ...]:
        """The sounds with their doubt."""
        return tuple(Segment(phone, at in self.doubtful) for at, phone in enumerate(self.phones))

    @property
    def syllables(self) -> tuple[Syllable, ...]:
        """The sounds by syllable; in a word without a vowel all are onset."""
        segments, out = self.segments, []
        for (start, end), degree in zip(pairwise((*self.starts, len(self.phones))), self.stress, strict=True):
            core = [at for at in range(start, end) if is_nucleus(self.phones[at])]
            first, last = (core[0], core[-1] + 1) if core else (end, end)
            out.append(Syllable(segments[start:first], segments[first:last], segments[last:end], degree))
        return tuple(out)

    def __str__(self) -> str:
        return self.ipa


@lru_cache(maxsize=8192)
def words_of(word: Word) -> tuple[Word, ...]:
    """The words of one form: those that were typed in one cell, or the one word itself.

    >>> [each.ipa for each in words_of(Word(("h", "i", "æ", "t"), (0, 2), (1, 0), edges=(2,)))]
    ['hi', 'æt']
    """
    if not word.edges:
        return (word,)
    return tuple(stretch(word, low, high) for low, high in pairwise((0, *word.edges, len(word.phones))))


def stretch(word: Word, low: int, high: int) -> Word:
    """The sounds from one place to another (excluded) as a word, with the syllables and stress they have there."""
    inside = [(max(start - low, 0), degree) for start, end, degree in _spans(word) if start < high and end > low]
    cores = [(start, degree) for start, degree in inside if high > low]
    doubtful = frozenset(at - low for at in word.doubtful if low <= at < high)
    starts, stress = tuple(start for start, _ in cores), tuple(degree for _, degree in cores)
    return Word(word.phones[low:high], starts, stress, doubtful)


def _spans(word: Word) -> Iterator[tuple[int, int, int]]:
    """First sound, end and stress of each syllable."""
    for (start, end), degree in zip(pairwise((*word.starts, len(word.phones))), word.stress, strict=True):
        yield start, end, degree


def _phrase(word: Word) -> str:
    parts = words_of(word)
    short = {part.stress for part in parts if len(part.stress) == 1}
    mixed = len(short) > 1
    marks = ["" if len(part.stress) != 1 else ("", "ˈ", "ˌ")[part.stress[0]] if mixed else "" for part in parts]
    return " ".join(mark + part.ipa for mark, part in zip(marks, parts))


@lru_cache(maxsize=32768)
def written(phones: tuple[str, ...], starts: tuple[int, ...], stress: tuple[int, ...]) -> str:
    """The text of a word of these sounds; kept, for the same few forms are printed over and over."""
    return write(phones, starts, stress)


def write(phones: tuple[str, ...], starts: tuple[int, ...], stress: tuple[int, ...]) -> str:
    """The text of a word of these sounds, for a form that is not met again: nothing is kept."""
    marks = {}
    if len(starts) > 1:
        marks = {start: "ˈˌ"[degree - 1] for start, degree in zip(starts, stress, strict=True) if degree}
    out, last = "", ""
    for at, phone in enumerate(phones):
        if at in marks:
            out += marks[at]
        elif last and (phone[0] in BEFORE or _joins(last + phone, phones, at)):
            out += "."
        out += phone
        last = phone if len(phone) == 1 else bare(phone)[0]
    return out


def _joins(pair: str, phones: tuple[str, ...], at: int) -> bool:
    """True if a sound and the one before it would be read as one."""
    if pair not in _JOINED_RHOTIC:
        return pair in _JOINED
    return at + 1 == len(phones) or not is_nucleus(phones[at + 1])


def build_word(
    phones: Sequence[str],
    stressed: Mapping[int, int],
    cuts: Collection[int],
    lang: Language,
    doubtful: Iterable[int] = (),
    omitted: tuple[bool, bool] = (False, False),
) -> Word:
    """A word from sounds, {index where a stress mark stood: degree} and written cuts.

    A word of one vowel is stressed; where a longer word has no mark, the first syllable is (measures: WCM), or the first
    one whose vowel is not ə, which is never stressed (*blu* [bəwu]).
    """
    starts = syllable_starts(phones, (*cuts, *stressed), lang)
    stress = [0] * len(starts)
    for at, degree in stressed.items():
        stress[bisect_right(starts, at) - 1] = degree
    if stress and 1 not in stress:
        stress[stress.index(2) if 2 in stress else unmarked(phones, starts)] = 1
    return Word(tuple(phones), starts, tuple(stress), frozenset(doubtful), omitted)


def unmarked(phones: Sequence[str], starts: Sequence[int]) -> int:
    """The syllable that is stressed where no mark says so: the first one whose vowel is not ə, else the first."""
    first = 0
    for phone in phones:
        if is_nucleus(phone):
            if phone != WEAK_VOWEL:
                return first
            first += 1
            if first == len(starts):
                break
    return 0
