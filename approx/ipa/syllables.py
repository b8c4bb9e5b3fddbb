"""Where syllables begin: maximal legal onset, with cuts that were written (dots, stress marks, compounds).

Measured on 70 hand-cut words in `tests/data/syllables.tsv`. Whether the consonant of "apple" belongs to one side or
both is a question of display; one cut is kept, and nothing that is scored depends on it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from approx.ipa.features import is_nucleus
from approx.ipa.language import Language, language


def syllable_starts(phones: Sequence[str], cuts: Iterable[int] = (), lang: Language | None = None) -> tuple[int, ...]:
    """Index of the first sound of each syllable; () for no sounds, (0,) where there is no vowel.

    `cuts` are indexes that begin a syllable whatever the onset rules say. A cut that would leave a syllable without
    a vowel is passed over.
    """
    if not phones:
        return ()
    lang = lang or language()
    nuclei = [at for at, phone in enumerate(phones) if is_nucleus(phone)]
    fixed = set(cuts)
    starts = [0]
    for left, right in zip(nuclei, nuclei[1:]):
        written = [at for at in range(left + 1, right + 1) if at in fixed]
        starts.append(written[-1] if written else _maximal_onset(phones, left + 1, right, lang))
    return tuple(starts)


def _maximal_onset(phones: Sequence[str], first: int, nucleus: int, lang: Language) -> int:
    """Longest run before `nucleus` that may begin a syllable; a single consonant may unless it is listed."""
    start = nucleus
    while start > first:
        onset = tuple(phones[start - 1 : nucleus])
        if onset not in lang.onsets if len(onset) > 1 else onset[0] in lang.never_first:
            break
        start -= 1
    # sp-, st- and the like need their own entry, so a longer run can be legal where a shorter one is not tried:
    # every legal three-consonant onset ends in a legal pair, which the loop relies on.
    return start


def place_stress(
    phones: Sequence[str], stress: Sequence[int | None], cuts: Sequence[int] = (), language: str = "en-US"
) -> str:
    """IPA text from sounds with a stress degree on each vowel: ˈ ˌ before their syllables, if there are two or more.

    `stress` has None for consonants and 0, 1 or 2 for vowels. `cuts` are compound boundaries; a dot is written where
    a reader would otherwise cut elsewhere and no stress mark says so.
    """
    from approx.ipa.language import language as load

    lang = load(language)
    starts = syllable_starts(phones, cuts, lang)
    if len(starts) < 2:
        return "".join(phones)
    free = set(syllable_starts(phones, (), lang))
    out: list[str] = []
    for start, end in zip(starts, (*starts[1:], len(phones))):
        degree = max((value or 0 for value in stress[start:end]), default=0, key=lambda value: {1: 2, 2: 1}.get(value, 0))
        mark = {1: "ˈ", 2: "ˌ"}.get(degree, "")
        out.append(mark or ("." if start not in free and start else ""))
        out.extend(phones[start:end])
    return "".join(out)
