"""Where syllables begin: maximal legal onset, with cuts that were written (dots, stress marks, compounds).

Measured on hand-cut words in `tests/data/syllables.tsv`. Whether the consonant of "apple" belongs to one side
or both is a question of display; one cut is kept, and nothing that is scored depends on it.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from itertools import pairwise

from approx.ipa.features import is_nucleus
from approx.ipa.language import Language
from approx.ipa.language import language as language_of


def syllable_starts(phones: Sequence[str], cuts: Collection[int] = (), lang: Language | None = None) -> tuple[int, ...]:
    """Index of the first sound of each syllable; () for no sounds, (0,) where there is no vowel.

    `cuts` are indexes that begin a syllable whatever the onset rules say; of several between two vowels the
    last counts. A cut that would leave a syllable without a vowel is passed over.
    """
    if not phones:
        return ()
    lang = lang or language_of()
    starts, left = [0], -1
    for right, phone in enumerate(phones):
        if not is_nucleus(phone):
            continue
        if left >= 0:
            written = 0
            for at in cuts:
                if max(left, written) < at <= right:
                    written = at
            starts.append(written or _maximal_onset(phones, left + 1, right, lang))
        left = right
    return tuple(starts)


def _maximal_onset(phones: Sequence[str], first: int, nucleus: int, lang: Language) -> int:
    """Start of the longest run before `nucleus` that may begin a syllable, not before `first`.

    A single consonant may unless it is listed. Every shorter run at the end of a legal run is legal too (a
    test holds the language files to it), so that the first illegal one ends the search.
    """
    if first == nucleus or phones[nucleus - 1] in lang.never_first:
        return nucleus
    start = nucleus - 1
    while start > first and tuple(phones[start - 1 : nucleus]) in lang.onsets:
        start -= 1
    return start


def place_stress(
    phones: Sequence[str], stress: Sequence[int | None], cuts: Sequence[int] = (), language: str = "en-US"
) -> str:
    """IPA text from sounds with a stress degree on each vowel: ˈ ˌ before syllables, if there are several.

    `stress` has None for consonants and 0, 1 or 2 for vowels. `cuts` are compound boundaries; a dot is
    written where a reader would otherwise cut elsewhere and no stress mark says so.
    """
    lang = language_of(language)
    starts = syllable_starts(phones, cuts, lang)
    if len(starts) < 2:
        return "".join(phones)
    free = set(syllable_starts(phones, (), lang))
    out: list[str] = []
    for start, end in pairwise((*starts, len(phones))):
        degrees = {value for value in stress[start:end] if value}
        mark = "ˈ" if 1 in degrees else "ˌ" if 2 in degrees else ""
        out.append(mark or ("." if start not in free and start else ""))
        out.extend(phones[start:end])
    return "".join(out)
