"""Simulated children for the benches: targets from the dictionary, productions changed sound by sound, links known.

Every change keeps which target sound a produced sound came from, so the true links need no judgement. The changes are
common ones (cluster reduction, stopping, fronting, gliding, vocalization, loss of weak syllables and last consonants,
voicing, assimilation, vowel changes, added vowels) and random slips. Written apart from the rules of the package.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass

from approx.datafiles import rules_path
from approx.ipa import Word, read
from approx.ipa.features import is_vowel
from approx.lexicon.english.dictionary import from_arpabet

Sound = tuple[str, int | None]
Links = tuple[tuple[int | None, int | None], ...]

STOPPED = {"f": "p", "v": "b", "θ": "t", "ð": "d", "s": "t", "z": "d", "ʃ": "t", "ʒ": "d", "t͡ʃ": "t", "d͡ʒ": "d"}
FRONTED = {"k": "t", "ɡ": "d", "ŋ": "n"}
PALATAL = {"ʃ": "s", "ʒ": "z", "t͡ʃ": "t͡s", "d͡ʒ": "d͡z"}
VOICED = {"p": "b", "t": "d", "k": "ɡ", "f": "v", "s": "z"}
VOICELESS = {said: meant for meant, said in VOICED.items()}
VOWELS = {
    "ɪ": "i",
    "ɛ": "æ",
    "æ": "a",
    "ʊ": "u",
    "ɔ": "o",
    "eɪ": "ɛ",
    "oʊ": "o",
    "aɪ": "a",
    "aʊ": "a",
    "ɝ": "ʊ",
    "ɚ": "ə",
    "ɑ": "a",
    "ʌ": "a",
    "ə": "ʌ",
    "i": "ɪ",
    "u": "ʊ",
}
CONSONANTS = list("pbtdkɡfvszʃmnwjlh")


@dataclass(frozen=True)
class Pair:
    """Two forms as IPA text, and which sound stands for which."""

    target: str
    produced: str
    links: Links


def targets(number: int, seed: int = 1) -> list[Word]:
    """Adult forms of 2 to 10 sounds from the dictionary, without repeats."""
    rng = random.Random(seed)
    found: dict[str, Word] = {}
    lines = rules_path("lexicon/cmudict.dict").read_text(encoding="utf-8").splitlines()
    rng.shuffle(lines)
    for line in lines:
        symbols = line.split(" #", 1)[0].split()[1:]
        if 2 <= len(symbols) <= 10:
            ipa = from_arpabet(symbols).ipa()
            found.setdefault(ipa, read(ipa).words[0])
        if len(found) == number:
            break
    return list(found.values())


def pairs(words: list[Word], number: int, seed: int = 1, slips: float = 0.05) -> Iterator[Pair]:
    """Distinct pairs; each child has its own habits. Stops after twenty tries a pair in vain."""
    rng = random.Random(seed)
    seen: set[tuple[str, str]] = set()
    for _ in range(20 * number):
        habits = {name: rng.random() ** 2 for name in HABITS}
        word = rng.choice(words)
        pair = say(word, habits, rng, slips)
        key = (pair.target, pair.produced)
        if pair.produced and key not in seen:
            seen.add(key)
            yield pair
            if len(seen) == number:
                return


HABITS = (
    "weak",
    "cluster",
    "final",
    "stop",
    "front",
    "palatal",
    "glide",
    "vocalize",
    "voice",
    "devoice",
    "vowel",
    "add",
    "assimilate",
)


def say(word: Word, habits: dict[str, float], rng: random.Random, slips: float) -> Pair:
    """One production of a word."""
    out: list[tuple[list[Sound], int]] = []
    ends = (*word.starts[1:], len(word.phones))
    first_stressed = word.stress.index(1)
    for number, (start, end, degree) in enumerate(zip(word.starts, ends, word.stress)):
        weak = degree == 0 and (number < first_stressed or 0 < number < len(ends) - 1)
        if weak and rng.random() < habits["weak"]:
            continue
        out.append((_syllable(word, start, end, number == len(ends) - 1, habits, rng), degree))
    places = [sound for sound, _ in out if sound]
    if rng.random() < habits["assimilate"] / 2 and places:
        _assimilate(places)
    for syllable in places:
        for at, (phone, origin) in enumerate(syllable):
            if rng.random() < slips and phone in CONSONANTS:
                syllable[at] = (rng.choice(CONSONANTS), origin)
    return _written(word, [(sounds, degree) for sounds, degree in out if sounds])


def _syllable(
    word: Word, start: int, end: int, last: bool, habits: dict[str, float], rng: random.Random
) -> list[Sound]:
    sounds: list[Sound] = [(word.phones[at], at) for at in range(start, end)]
    nucleus = next(at for at, (phone, _) in enumerate(sounds) if is_vowel(phone))
    onset, core, coda = sounds[:nucleus], sounds[nucleus], sounds[nucleus + 1 :]
    if len(onset) > 1 and rng.random() < habits["cluster"]:
        onset = _reduced(onset, rng)
    if len(coda) > 1 and rng.random() < habits["cluster"]:
        coda = [rng.choice(coda)]
    if coda and last and rng.random() < habits["final"]:
        coda = []
    if coda and coda[0][0] in ("l", "ɹ") and rng.random() < habits["vocalize"]:
        if core[0] == "ə":
            core, coda = ("oʊ", core[1]), coda[1:]
        else:
            coda = [("ʊ" if core[0] not in ("ɑ", "a", "o", "ɔ") else "ə", coda[0][1]), *coda[1:]]
    onset = [(_changed(phone, True, habits, rng), origin) for phone, origin in onset]
    coda = [(_changed(phone, False, habits, rng), origin) for phone, origin in coda]
    if rng.random() < habits["vowel"] / 2:
        core = (VOWELS.get(core[0], core[0]), core[1])
    added: list[Sound] = []
    if len(onset) == 2 and rng.random() < habits["add"] / 2:
        onset.insert(1, ("ə", None))
    if last and coda and rng.random() < habits["add"] / 4:
        added = [("i", None)]
    return [*onset, core, *coda, *added]


def _reduced(onset: list[Sound], rng: random.Random) -> list[Sound]:
    """s + stop or nasal keeps the second, others the first; now and then the other one."""
    rest = onset[1:] if onset[0][0] == "s" and onset[1][0] not in ("l", "w") else onset
    keep = rest[:1]
    return keep if rng.random() < 0.9 else [onset[-1]]


def _changed(phone: str, onset: bool, habits: dict[str, float], rng: random.Random) -> str:
    for habit, table in (("palatal", PALATAL), ("stop", STOPPED), ("front", FRONTED)):
        if phone in table and rng.random() < habits[habit]:
            phone = table[phone]
    if onset and phone in ("l", "ɹ") and rng.random() < habits["glide"]:
        phone = "w" if phone == "ɹ" or rng.random() < 0.5 else "j"
    table = VOICED if onset else VOICELESS
    return table[phone] if phone in table and rng.random() < habits["voice" if onset else "devoice"] / 2 else phone


def _assimilate(syllables: list[list[Sound]]) -> None:
    """The first stop takes the place of the last stop."""
    place = {"p": 0, "t": 1, "k": 2, "b": 0, "d": 1, "ɡ": 2}
    rows = {"p": "ptk", "t": "ptk", "k": "ptk", "b": "bdɡ", "d": "bdɡ", "ɡ": "bdɡ"}
    stops = [(syllable, at) for syllable in syllables for at, (phone, _) in enumerate(syllable) if phone in place]
    if len(stops) > 1:
        (syllable, at), (other, there) = stops[0], stops[-1]
        phone, origin = syllable[at]
        syllable[at] = (rows[phone][place[other[there][0]]], origin)


def _written(word: Word, syllables: list[tuple[list[Sound], int]]) -> Pair:
    sounds = [sound for syllable, _ in syllables for sound in syllable]
    vowels = sum(is_vowel(phone) for phone, _ in sounds)
    text = ""
    for syllable, degree in syllables:
        parts = [phone for phone, _ in syllable]
        extra = 2 if len(parts) > 2 and parts[1] == "ə" and syllable[1][1] is None else 0
        text += ("." if text and extra else "") + "".join(parts[:extra])
        text += ("ˈˌ"[degree - 1] if degree and vowels > 1 else "." if text else "") + "".join(parts[extra:])
    produced = read(text).words
    if len(produced) != 1 or produced[0].phones != tuple(phone for phone, _ in sounds):
        return Pair(word.ipa, "", ())
    links: list[tuple[int | None, int | None]] = []
    at = 0
    for said, (_, origin) in enumerate(sounds):
        if origin is None:
            links.append((None, said))
            continue
        links += [(lost, None) for lost in range(at, origin)]
        links.append((origin, said))
        at = origin + 1
    links += [(lost, None) for lost in range(at, len(word.phones))]
    return Pair(word.ipa, produced[0].ipa, tuple(links))
