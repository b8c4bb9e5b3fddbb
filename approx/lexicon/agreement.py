"""When two readings of a word count as one."""

from __future__ import annotations

from approx.lexicon.sounds import Sounds, is_vowel

_SAME = {"ɔ": "ɑ", "ɪ": "ə", "ʌ": "ə", "ɾ": "t", "ʍ": "w"}
_R_COLOURED = {"ɝ": ("ə", "ɹ"), "ɚ": ("ə", "ɹ")}
_BEFORE_R = {"i": "ɪ", "u": "ʊ", "oʊ": "ɑ", "æ": "ɛ", "eɪ": "ɛ"}


def agree(one: Sounds, other: Sounds) -> bool:
    """Whether two readings have the same segments, leaving aside stress and what listeners seldom hear apart.

    Counted as equal: cot and caught, unstressed ɪ and ə, ʌ and ə, vowels before ɹ, w and hw, flap and t.
    """
    return _folded(one) == _folded(other)


def _folded(sounds: Sounds) -> tuple[str, ...]:
    flat = [part for phone in sounds.phones for part in _R_COLOURED.get(phone, (phone,))]
    out: list[str] = []
    for phone, following in zip(flat, [*flat[1:], ""]):
        if is_vowel(phone) and following == "ɹ":
            out.append(_SAME.get(_BEFORE_R.get(phone, phone), phone))
        else:
            out.append(_SAME.get(phone, phone))
    return tuple(out)
