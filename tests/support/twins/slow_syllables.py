"""A slow, obvious maximal-onset syllabifier: tries every cut and keeps the longest legal onset."""

from __future__ import annotations

from collections.abc import Collection, Sequence

_ENGLISH = (  # by hand: onsets of General American words, Cj as in "cute", not dw (sand.wich) or nj (on.ion)
    "pl pɹ pj bl bɹ bj tɹ tw dɹ kl kɹ kw kj ɡl ɡɹ ɡw ɡj fl fɹ fj vj θɹ θw ʃɹ sp st sk sm sn sl sw sf mj hj hw "
    "spl spɹ spj stɹ skɹ skw skl skj"
)
LEGAL_ENGLISH = frozenset(tuple(onset) for onset in _ENGLISH.split())


def slow_starts(
    phones: Sequence[str],
    vowels: Collection[str],
    legal: Collection[tuple[str, ...]],
    never_first: Collection[str] = ("ŋ",),
) -> tuple[int, ...]:
    """Index of the first sound of each syllable; (0,) without a vowel, () without a sound."""
    if not phones:
        return ()
    nuclei = [at for at, phone in enumerate(phones) if phone in vowels]
    starts = [0]
    for before, nucleus in zip(nuclei, nuclei[1:], strict=False):
        cuts = []
        for cut in range(before + 1, nucleus + 1):
            onset = tuple(phones[cut:nucleus])
            single = len(onset) == 1 and onset[0] not in never_first
            if not onset or single or onset in legal:
                cuts.append(cut)
        starts.append(min(cuts))
    return tuple(starts)
