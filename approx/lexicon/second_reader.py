"""A second, independent reader of unknown words, if installed (gruut, MIT licence, an optional extra)."""

from __future__ import annotations

from functools import cache

from approx.lexicon.sounds import Sounds, is_vowel


@cache
def is_installed() -> bool:
    """Whether the second reader can be imported; importing it is left until a word needs it."""
    from importlib.util import find_spec

    return find_spec("gruut") is not None


def second_reading(word: str) -> Sounds | None:
    """The second reader's sounds, None if it is not installed or has no answer for this word."""
    if not is_installed():
        return None
    import gruut

    phones: list[str] = []
    stress: list[int | None] = []
    try:
        sentences = gruut.sentences(word, lang="en-us")
        spoken = [phone for sentence in sentences for part in sentence for phone in part.phonemes]
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
