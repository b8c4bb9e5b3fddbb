"""The laws of a ladder, each checked from the forms alone, apart from the code that builds ladders."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from itertools import pairwise

from approx.child.demands import demands
from approx.child.profile import Limits
from approx.ipa.features import is_nucleus
from approx.ipa.language import language
from approx.ipa.word import Word
from approx.processes.simplify.ladder import Rung
from approx.scoring.alignment.align import align_forms

NEVER_LAST = {"en": ("w", "h", "j"), "es": ("w", "j", "ʝ", "ɲ", "t͡ʃ")}
PLACES = {
    "labial": "p b m f v w", "coronal": "t d n s z θ ð l ɹ ɾ r ʃ ʒ t͡ʃ d͡ʒ ɲ", "dorsal": "k ɡ ŋ x ɣ", "palatal": "j ʝ",
    "glottal": "h ʔ",
}  # fmt: skip
ONE_VOWEL = str.maketrans({"ə": "ʌ", "ɚ": "ɝ"})


def place(sound: str) -> str:
    return next((name for name, sounds in PLACES.items() if sound in sounds.split()), "")


def heard(word: Word) -> tuple[str, ...]:
    return tuple(sound.translate(ONE_VOWEL) for sound in word.phones)


def shared(adult: Word, rung: Word) -> Counter[tuple[str, str]]:
    """How often the rung has the sound, or the place, of an adult sound. Counted by sound and not by where it stands: of two
    alike (boo-boo, said u), nobody can say which one was said."""
    out: Counter[tuple[str, str]] = Counter()
    for at, said_at in align_forms(adult, rung).links:
        if at is None or said_at is None:
            continue
        sound, said = adult.phones[at].translate(ONE_VOWEL), rung.phones[said_at].translate(ONE_VOWEL)
        if sound == said:
            out[sound, "sound"] += 1
        if place(sound) and place(sound) == place(said):
            out[sound, "place"] += 1
    return out


def said_twice(form: Word) -> bool:
    """Whether a form is one syllable and the same syllable again."""
    half = len(form.phones) // 2
    return len(form.starts) == 2 and form.phones[:half] == form.phones[half:]


def unlike_nasals(word: Word) -> set[tuple[str, str]]:
    """n before k or ɡ, but where a stressed syllable begins between them (pancake)."""
    feet = {start for start, stress in zip(word.starts, word.stress, strict=True) if stress}
    pairs = enumerate(pairwise(word.phones), 1)
    return {(a, b) for at, (a, b) in pairs if a == "n" and b in ("k", "ɡ") and at not in feet}


def faults(rungs: Sequence[Rung], adult: Word, limits: Limits, tag: str = "en-US") -> list[str]:
    """Every law that a ladder breaks."""
    out: list[str] = []
    if not rungs:
        return ["no rung"]
    forms = [rung.word for rung in rungs]
    shown = " > ".join(form.ipa for form in forms)
    lang = language(tag)
    if forms[-1].phones != adult.phones:
        out.append(f"{shown}: does not end at {adult.ipa}")
    if len(forms) > 5:
        out.append(f"{shown}: {len(forms)} rungs")
    for below, above in pairwise(forms):
        lost = shared(adult, below) - shared(adult, above)
        if lost:
            out.append(f"{shown}: {above.ipa} loses {sorted(lost)}")
        if heard(below) == heard(above) and above.phones != adult.phones:
            out.append(f"{shown}: no ear hears {below.ipa} > {above.ipa}")
    for form in forms[1:-1]:
        nuclei = [at for at, sound in enumerate(form.phones) if is_nucleus(sound)]
        last, start = form.phones[-1], form.phones[: nuclei[0]] if nuclei else ()
        if last in NEVER_LAST[tag[:2]] and adult.phones[-1] != last:
            out.append(f"{shown}: {form.ipa} ends in {last}")
        if start[:1] == ("ŋ",):
            out.append(f"{shown}: {form.ipa} begins with ŋ")
        if len(start) > 1 and start not in lang.onsets and start != adult.phones[: len(start)]:
            out.append(f"{shown}: {form.ipa} begins with {''.join(start)}")
    if tag.startswith(
        "en"
    ):  # n before a velar has its place, within a foot; not where one syllable is said twice (cancan)
        for form in (each for each in forms[:-1] if not said_twice(each)):
            new = unlike_nasals(form) - unlike_nasals(adult)
            out += [f"{shown}: {form.ipa} has {''.join(pair)} within a foot" for pair in sorted(new)]
    granted = {demand.key for demand in demands(forms[0].phones, forms[0].starts, limits)}
    for rung in rungs[1:]:
        asked = {demand.key for demand in demands(rung.word.phones, rung.word.starts, limits)}
        if asked - granted != set(rung.demands) - granted:
            out.append(f"{shown}: {rung.word.ipa} says it adds {rung.demands}, and adds {asked - granted}")
        granted |= asked
    return out
