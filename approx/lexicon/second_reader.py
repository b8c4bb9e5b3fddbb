"""A second, independent reader of unknown words where one is installed (gruut, MIT licence, an optional extra)."""

from __future__ import annotations

from functools import cache
from importlib.util import find_spec

from approx.lexicon.sounds import Sounds, is_vowel

_SAME = {"ɔ": "ɑ", "ɪ": "ə", "ʌ": "ə", "ɾ": "t", "ʍ": "w"}
_R_COLOURED = {"ɝ": ("ə", "ɹ"), "ɚ": ("ə", "ɹ")}


@cache
def is_installed() -> bool:
    """Whether the second reader can be imported; importing it is left until a word needs it."""
    return find_spec("gruut") is not None


def second_reading(word: str) -> Sounds | None:
    """The second reader's sounds, None if it is not installed or has no answer for this word."""
    if not is_installed():
        return None
    import gruut

    phones: list[str] = []
    stress: list[int | None] = []
    try:
        spoken = [phone for sentence in gruut.sentences(word, lang="en-us") for part in sentence for phone in part.phonemes]
    except Exception:  # a foreign library's failure on an odd word must not stop a session
        return None
    for marked in spoken:
        phone = marked.strip("ˈˌ")
        degree = {"ˈ": 1, "ˌ": 2}.get(marked[:1], 0)
        if phone == "ɚ" and degree:
            phone = "ɝ"
        if phone:
            phones.append(phone)
            stress.append(degree if is_vowel(phone) else None)
    return Sounds(tuple(phones), tuple(stress)) if phones else None


def agree(one: Sounds, other: Sounds) -> bool:
    """Whether two readings have the same segments, leaving aside stress and what listeners seldom hear apart.

    Counted as equal: cot and caught, unstressed ɪ and ə, ʌ and ə, vowel quality before ɹ, w and hw, flap and t.
    """
    return _folded(one) == _folded(other)


def _folded(sounds: Sounds) -> tuple[str, ...]:
    flat = [part for phone in sounds.phones for part in _R_COLOURED.get(phone, (phone,))]
    out: list[str] = []
    for phone, following in zip(flat, [*flat[1:], ""]):
        if is_vowel(phone) and following == "ɹ":
            phone = {"i": "ɪ", "ɪ": "ɪ", "u": "ʊ", "oʊ": "ɑ", "æ": "ɛ", "eɪ": "ɛ"}.get(phone, _SAME.get(phone, phone))
        else:
            phone = _SAME.get(phone, phone)
        out.append(phone)
    return tuple(out)
