"""The quick way of judging most words: each said sound stands for one target, and no rule looks beyond it."""

from __future__ import annotations

from functools import lru_cache

from approx.ipa.word import Word
from approx.scoring.align import Alignment
from approx.scoring.costs import SYLLABIC, VOWEL, kind_of
from approx.scoring.options import Options, primary
from approx.scoring.slots import (
    DISTORTIONS,
    Judged,
    Slot,
    dental_before_dental,
    has_glide_rule,
    one_for_one,
    positions,
    stressed_sounds,
)
from approx.scoring.verdicts import Verdict, broad, verdict


def judge_simple(target: Word, produced: Word, alignment: Alignment, options: Options) -> Judged | None:
    """Slots of a word of the simple kind; None for any other. It gives what `judge.judge_any` gives; a test compares them."""
    plan = _plan(target)
    sounds = produced.phones
    if plan is None or produced.doubtful or not options.final_voicing_errors:
        return None
    language = primary(options.language)
    if language != "en" and (options.syllabic == "vowel" or has_glide_rule(options.language)):
        return None
    said_at = [-1] * len(plan)
    linked = 0
    for i, j in alignment.links:
        if i is None or (j is not None and said_at[i] >= 0):
            return None
        if j is not None:
            said_at[i] = j
            linked += 1
    if linked != len(sounds) or options.syllabic == "vowel":
        return None
    lisp, exempt = options.lisp_is_distortion, options.unstressed_h_and_ng_right and language == "en"
    slots: list[Slot] = []
    plain: list[Verdict] = []
    form: list[str] = []
    for (phone, place, vowel, unstressed), j in zip(plan, said_at):
        said, found = "", Verdict.WRONG
        if j >= 0:
            said = sounds[j]
            found, written = heard(phone, said, language, lisp, j == 0)
            if not written or (found in DISTORTIONS and dental_before_dental(phone, said, sounds, j)):
                return None
            form.append(written)
        plain.append(found)
        if unstressed and exempt and said == unstressed[1:]:
            found = Verdict.RIGHT
        slots.append(_slot(phone, place, said, found, vowel))
    return Judged(tuple(slots), tuple(plain), 0, tuple(form))


@lru_cache(maxsize=32768)
def _plan(target: Word) -> tuple[tuple[str, str, bool, str], ...] | None:
    """Each target sound, its place, whether it is a vowel, and "h" or "ŋn" where rule 10 holds. None with syllabics."""
    out: list[tuple[str, str, bool, str]] = []
    stressed = stressed_sounds(target)
    last = len(target.phones) - 1
    for i, (phone, place) in enumerate(zip(target.phones, positions(target.phones))):
        if kind_of(phone) == SYLLABIC:
            return None
        rule = "h" if phone == "h" else "ŋn" if phone == "ŋ" and i == last else ""
        out.append((phone, place, kind_of(phone) == VOWEL, "" if stressed[i] else rule))
    return tuple(out)


@lru_cache(maxsize=16384)
def heard(phone: str, said: str, language: str, lisp: bool, at_start: bool) -> tuple[Verdict, str]:
    """Verdict on one sound for one, and how it is written in a form; "" where that needs a closer look."""
    if kind_of(said) == SYLLABIC:
        return Verdict.WRONG, ""
    found = one_for_one(phone, said, language, lisp, at_start)
    return found, phone if verdict(phone, said, language) == Verdict.RIGHT else broad(said)


_slot = lru_cache(maxsize=65536)(Slot)
"""One object for all equal slots: a large sample has few different ones."""
