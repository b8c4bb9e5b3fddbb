"""Place, manner and voice of a consonant, as the trade sorts them: what a step on the way to another sound changes."""

from __future__ import annotations

from functools import cache

from approx.ipa import features as ft

PLACE, MANNER, VOICE = 1, 2, 4
_MANNERS = ("stop", "affricate", "fricative", "nasal", "liquid", "glide")
_CORONAL, _FRONT, _WIDE, _HIGH, _BACK, _VOICED = "cor", "ant", "distr", "hi", "back", "voi"


@cache
def manner(phone: str) -> str:
    """stop, affricate, fricative, nasal, liquid or glide; "" for the others (h, ʔ, vowels)."""
    return next((name for name in _MANNERS if ft.in_class(phone, name)), "")


@cache
def place(phone: str) -> str:
    """labial, dental, alveolar, palatal, velar or glottal, from the features."""
    if ft.in_class(phone, "labial"):
        return "labial"
    if _has(phone, _CORONAL):
        if not _has(phone, _FRONT):
            return "palatal"
        dental = _has(phone, _WIDE) and manner(phone) == "fricative"
        return "dental" if dental else "alveolar"
    if _has(phone, _HIGH):
        return "velar" if _has(phone, _BACK) else "palatal"
    return "glottal"


@cache
def changed(before: str, after: str) -> int:
    """Which of place, manner and voice differ, as a sum of `PLACE`, `MANNER` and `VOICE`."""
    out = PLACE * (place(before) != place(after)) + MANNER * (manner(before) != manner(after))
    return out + VOICE * (_has(before, _VOICED) != _has(after, _VOICED))


def _has(phone: str, feature: str) -> bool:
    values = ft.features(phone)
    return values is not None and values[ft.FEATURES.index(feature)] > 0
