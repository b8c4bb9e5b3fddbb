"""One production against one target, sound by sound: what was said for each target sound and whether it is right.

The rules are those of Shriberg & Kwiatkowski 1982, J Speech Hear Disord 47:256-270 (from memory; numbers in the comments),
with the open choices as options (`rules/measures.toml`). Every measure of accuracy is a sum over these slots. Most words are
judged in a quick way: each said sound stands for one target, and no rule looks beyond it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache, lru_cache

from approx.ipa.features import features, has, is_vowel, parse_bundle, split
from approx.ipa.language import language as language_of
from approx.ipa.word import Word
from approx.scoring.alignment.align import Alignment, moved, moved_among
from approx.scoring.alignment.costs import SYLLABIC, VOWEL, kind_of
from approx.scoring.judging.options import ScoringOptions, primary
from approx.scoring.judging.slots import (
    DISTORTIONS,
    STAND_INS,
    JudgedWord,
    Slot,
    Verdict,
    broad,
    dental_before_dental,
    one_for_one,
    plain_symbol,
    positions,
    stressed_sounds,
    verdict,
)


def judge_simple(target: Word, produced: Word, alignment: Alignment, options: ScoringOptions) -> JudgedWord | None:
    """Slots of a word of the simple kind; None for any other. It gives what `judge.judge_any` gives; a test compares them."""
    plan = _plan(target)
    sounds = produced.phones
    if plan is None or produced.doubtful or not options.final_voicing_errors:
        return None
    language = primary(options.language)
    if language != "en" and (options.syllabic == "vowel" or language_of(options.language).vowel_glides):
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
        if unstressed and exempt and said == unstressed[1:]:
            found = Verdict.RIGHT
        plain.append(found)
        slots.append(_slot(phone, place, said, found, vowel))
    return JudgedWord(tuple(slots), tuple(plain), 0, tuple(form))


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


def judge(target: Word, produced: Word, alignment: Alignment, options: ScoringOptions) -> JudgedWord:
    """Slots of a target in order. A syllabic consonant is judged as ə and consonant, so that l̩ and əl score alike."""
    return judge_simple(target, produced, alignment, options) or judge_any(target, produced, alignment, options)


def judge_any(target: Word, produced: Word, alignment: Alignment, options: ScoringOptions) -> JudgedWord:
    """The full way, for any word."""
    said_of: list[list[int]] = [[] for _ in target.phones]
    meant_by: list[list[int]] = [[] for _ in produced.phones]
    for i, j in alignment.links:
        if i is not None and j is not None:
            said_of[i].append(j)
            meant_by[j].append(i)
    places = positions(target.phones)
    stressed = stressed_sounds(target)
    slots: list[Slot] = []
    plain: list[Verdict] = []
    slot_of: dict[int, int] = {}
    for i, phone in enumerate(target.phones):
        js = said_of[i]
        said = "".join(produced.phones[j] for j in js)
        if kind_of(phone) == SYLLABIC:
            slots.append(_syllabic_vowel(phone, js, produced.phones, places[i]))
            plain.append(slots[-1].verdict)
            js = [j for j in js if kind_of(produced.phones[j]) != VOWEL]
            said = "".join(produced.phones[j] for j in js)
        found = alone = _verdict(target, produced, i, js, meant_by, options)
        is_last = i == len(target.phones) - 1
        if found == Verdict.WRONG and _right_when_unstressed(target.phones, i, said, stressed[i], options):
            found = alone = Verdict.RIGHT
        if is_last and not options.final_voicing_errors and _only_voicing(phone, said):
            found = Verdict.RIGHT
        if options.doubtful == "wrong" and produced.doubtful and any(j in produced.doubtful for j in js):
            found = alone = Verdict.WRONG
        slot_of[i] = len(slots)
        slots.append(Slot(plain_symbol(phone), places[i], said, found, kind_of(phone) == VOWEL))
        plain.append(alone)
    added = [j for j, targets in enumerate(meant_by) if not targets]
    if added:
        for at in _out_of_slot(alignment, slot_of) if options.metathesis == "slots" else ():
            plain[at] = _set_wrong(slots, at)
        if options.additions_wrong:
            for at in charged(target.phones, produced.phones, meant_by, slots, options, slot_of):
                _set_wrong(slots, at)
    syllabic = [slots[slot_of[i]].verdict for i, phone in enumerate(target.phones) if kind_of(phone) == SYLLABIC]
    if options.syllabic == "vowel" or (
        options.spanish_glides == "vowel" and language_of(options.language).vowel_glides
    ):
        slots, plain = _as_vowels(target, slots, plain, slot_of, options)
    form = _form(target.phones, produced.phones, meant_by, options)
    return JudgedWord(tuple(slots), tuple(plain), len(added), form, len(syllabic), syllabic.count(Verdict.RIGHT))


def _verdict(
    target: Word, produced: Word, i: int, js: list[int], meant_by: list[list[int]], options: ScoringOptions
) -> Verdict:
    if not js:
        return Verdict.WRONG
    phone, said = target.phones[i], produced.phones[js[-1]]
    both = meant_by[js[-1]]
    if len(both) > 1 and said not in STAND_INS:
        if kind_of(said) == SYLLABIC:
            # əl said as l̩: the vowel is there, the consonant is judged.
            return (
                Verdict.RIGHT
                if kind_of(phone) == VOWEL
                else verdict(phone, plain_symbol(said), primary(options.language))
            )
        return Verdict.RIGHT if options.coalescence == "one" and both[0] == i else Verdict.WRONG
    found = one_for_one(phone, said, primary(options.language), options.lisp_is_distortion, js[-1] == 0)
    if found in DISTORTIONS and dental_before_dental(phone, said, produced.phones, js[-1]):
        return Verdict.RIGHT
    return found


def _form(
    target: tuple[str, ...], produced: tuple[str, ...], meant_by: list[list[int]], options: ScoringOptions
) -> tuple[str, ...]:
    out: list[str] = []
    language = primary(options.language)
    for phone, targets in zip(produced, meant_by):
        if kind_of(phone) == SYLLABIC:
            out += ("ə", broad(plain_symbol(phone)))
        elif len(targets) == 1 and verdict(plain_symbol(target[targets[0]]), phone, language) == Verdict.RIGHT:
            out.append(plain_symbol(target[targets[0]]))
        else:
            out.append(broad(phone))
    return tuple(out)


def _syllabic_vowel(phone: str, js: list[int], said: tuple[str, ...], place: str) -> Slot:
    """The ə that a syllabic consonant stands for: right if a syllabic consonant or ə was said."""
    spoken = [said[j] for j in js if kind_of(said[j]) in (VOWEL, SYLLABIC)]
    right = any(kind_of(sound) == SYLLABIC or sound == "ə" for sound in spoken)
    return Slot("ə", place, "".join(spoken), Verdict.RIGHT if right else Verdict.WRONG, True)


def _right_when_unstressed(phones: tuple[str, ...], i: int, said: str, stressed: bool, options: ScoringOptions) -> bool:
    """Rule 10: h left out, and n for ŋ at the end, are right in an unstressed syllable."""
    if stressed or not options.unstressed_h_and_ng_right or primary(options.language) != "en":
        return False
    return (phones[i] == "h" and said == "") or (phones[i] == "ŋ" and i == len(phones) - 1 and said == "n")


def charged(
    target: Sequence[str],
    said: Sequence[str],
    meant_by: Sequence[Sequence[int]],
    slots: Sequence[Slot],
    options: ScoringOptions,
    slot_of: Mapping[int, int] | None = None,
) -> list[int]:
    """Slots that rule 9 makes wrong: a consonant added to a consonant makes that one wrong. Beside vowels only, nothing
    is charged (rule 1a), nor for a consonant out of place.

    `meant_by`: the target sounds that each sound said stands for. `slot_of`: the slot of a target sound, if not its place.
    """
    linked = {i for targets in meant_by for i in targets}
    lost = [i for i in range(len(target)) if i not in linked]
    added = [j for j, targets in enumerate(meant_by) if not targets]
    not_charged = {j for _, j in moved_among(target, said, lost, added)}
    wrong: list[int] = []
    for j in added:
        vowel = kind_of(said[j]) == VOWEL
        if j in not_charged or (vowel and not options.vowel_epenthesis_is_addition):
            continue
        beside = [
            slot_of[i] if slot_of else i
            for near in (j + 1, j - 1)
            if 0 <= near < len(said) and kind_of(said[near]) != VOWEL
            for i in meant_by[near]
        ]
        beside = [at for at in beside if not slots[at].vowel]
        if beside and all(slots[at].verdict != Verdict.WRONG and at not in wrong for at in beside):
            wrong.append(beside[-1] if vowel else beside[0])
    return wrong


def _out_of_slot(alignment: Alignment, slot_of: dict[int, int]) -> list[int]:
    """Slots of the consonants that a consonant out of place has passed: judged place by place, they are wrong too."""
    return [
        slot_of[k]
        for i, j in moved(alignment)
        for k, m in alignment.links
        if k is not None and m is not None and (k - i) * (m - j) < 0 and kind_of(alignment.target[k]) != VOWEL
    ]


def _set_wrong(slots: list[Slot], at: int) -> Verdict:
    slots[at] = slots[at]._replace(verdict=Verdict.WRONG)
    return Verdict.WRONG


def _as_vowels(
    target: Word, slots: list[Slot], plain: list[Verdict], slot_of: dict[int, int], options: ScoringOptions
) -> tuple[list[Slot], list[Verdict]]:
    """Options that count a consonant as part of a vowel: Spanish glides after a consonant; əl ən as one syllabic."""
    glides = language_of(options.language).vowel_glides
    gone: set[int] = set()
    out, alone = list(slots), list(plain)
    for i, phone in enumerate(target.phones):
        at = slot_of[i]
        glide = options.spanish_glides == "vowel" and phone in glides and 0 < i < len(target.phones) - 1
        if glide and not is_vowel(target.phones[i - 1]) and is_vowel(target.phones[i + 1]):
            out[at + 1], alone[at + 1] = _joined(out[at], out[at + 1]), max(alone[at], alone[at + 1])
            gone.add(at)
        elif options.syllabic == "vowel" and _ends_weak_syllable(target.phones, i) and at and out[at - 1].target == "ə":
            out[at - 1], alone[at - 1] = _joined(out[at - 1], out[at]), max(alone[at - 1], alone[at])
            gone.add(at)
    kept = [at for at in range(len(out)) if at not in gone]
    return [out[at] for at in kept], [alone[at] for at in kept]


def _joined(one: Slot, other: Slot) -> Slot:
    worst = max(one.verdict, other.verdict)
    vowel = one if one.vowel else other
    return Slot(one.target + other.target, vowel.position, one.said + other.said, worst, True)


def _ends_weak_syllable(phones: tuple[str, ...], i: int) -> bool:
    """True for a syllabic consonant, and for l n m ŋ after a consonant and ə, not before a vowel."""
    if kind_of(phones[i]) == SYLLABIC:
        return True
    after_schwa = i > 1 and phones[i - 1] == "ə" and not is_vowel(phones[i - 2])
    return after_schwa and split(phones[i])[0] in "lɫnmŋ" and not (i + 1 < len(phones) and is_vowel(phones[i + 1]))


@cache
def _only_voicing(phone: str, said: str) -> bool:
    """True for an obstruent and its cognate: the same features but for voicing."""
    one, other = features(phone), features(said)
    if one is None or other is None or not has(phone, parse_bundle("[-son]")):
        return False
    return [at for at, (x, y) in enumerate(zip(one, other)) if x != y] == [8]
