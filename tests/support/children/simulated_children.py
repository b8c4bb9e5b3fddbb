"""Simulated children with known habits, written apart from the package: none of its rules, readers or alignments is used.

A child has a few processes, each with a rate. A word is changed in the order of the naming conventions (structure, then
what survives), and every chance and every use is written down as it is made: `Child.chances` and `Child.uses` are the
truth, with no judgement in between. In a tenth of the tokens one more thing is changed at random, of which nothing is
written down. All children are invented.
"""

from __future__ import annotations

import random
import re
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field

VOWELS = frozenset("i ɪ ɛ æ ɑ ʌ ə u ʊ ɔ ɝ ɚ eɪ aɪ aʊ ɔɪ oʊ".split())
STOPS, NASALS, GLIDES = frozenset("pbtdkɡ"), frozenset("mnŋ"), frozenset("lɹwj")
STOPPED = {"f": "p", "v": "b", "θ": "t", "ð": "d", "s": "t", "z": "d", "ʃ": "t", "ʒ": "d", "t͡ʃ": "t", "d͡ʒ": "d"}
FRONTED = {"k": "t", "ɡ": "d", "ŋ": "n"}
PALATAL = {"ʃ": "s", "ʒ": "z", "t͡ʃ": "t͡s", "d͡ʒ": "d͡z"}
OPENED = {"t͡ʃ": "ʃ", "d͡ʒ": "ʒ", "t͡s": "s", "d͡z": "z"}
VOICED = {"p": "b", "t": "d", "k": "ɡ", "f": "v", "θ": "ð", "s": "z", "ʃ": "ʒ", "t͡ʃ": "d͡ʒ", "t͡s": "d͡z"}
VOICELESS = {voiced: plain for plain, voiced in VOICED.items()}
ORAL = {"m": "b", "n": "d", "ŋ": "ɡ"}
ANY_CONSONANT = "pbtdkɡfvszʃmnwjlh"
PROCESSES = (
    "weak syllable deletion", "cluster reduction", "final consonant deletion", "initial consonant deletion", "stopping",
    "velar fronting", "palatal fronting", "deaffrication", "denasalization", "gliding", "vocalization",
    "prevocalic voicing", "final devoicing",
)  # fmt: skip

WORDS = """
bə.ˈnæ.nə tə.ˈmeɪ.toʊ pə.ˈteɪ.toʊ d͡ʒə.ˈɹæf bə.ˈlun ˈtɛ.lə.ˌfoʊn ˈɛ.lə.fənt ˈhɑ.spɪ.təl ˈæ.nə.məl kəm.ˈpju.tɚ
pə.ˈd͡ʒæ.məz ˈkæ.mə.ɹə ˈɑk.tə.pəs ˌkæŋ.ɡə.ˈɹu ˈkɹɑ.kə.ˌdaɪl ˈvɛd͡ʒ.tə.bəl ʌm.ˈbɹɛ.lə spə.ˈɡɛ.ti ə.ˈweɪ ɡə.ˈɹɑʒ
ˈbʌ.tɚ.ˌflaɪ ˈmɛ.də.sən mə.ˈʃin ɡə.ˈɹɪ.lə kə.ˈzu ˈsɛ.lə.ɹi ˈbɹɑ.kə.li tə.ˈdeɪ sə.ˈpɹaɪz ˈtɹæm.pə.ˌlin
spun stɑp skaɪ smoʊk sneɪk slip swɪm pleɪn bɹɛd tɹi dɹʌm kɹaɪ ɡɹin ɡlʌv klɑk blu fleɪm fɹɔɡ θɹoʊ splæʃ stɹɔ skwɛɹ
tɹʌk ɡɹæs dɹɛs kɹæb snoʊ blæk flæɡ ɡlæs klaʊn plʌm hænd lɪst mɪlk bɛlt læmp dɛsk tɛnt wɑsp ɡɪft nɛst bɛnd wʌns kɑɹd
kæt dɔɡ bɛd kʌp pɪɡ bʌs fɪʃ ʃip ʃu t͡ʃɛɹ wɑt͡ʃ d͡ʒus peɪd͡ʒ bɹɪd͡ʒ t͡ʃiz sʌn zu zɪp noʊz haʊs fʊt lif væn faɪv θʌm bæθ
ðɪs tuθ maʊθ kɪŋ sɔŋ ɹɪŋ ɡoʊ ɡeɪm bæɡ bʊk dʌk keɪk lɛɡ ɹɛd ɹʌn leɪk laɪt lɔɡ jɛs wɛb kɑɹ fɔɹ bɛɹ dɔɹ fɪɹ bɝd ɡɝl ʃɝt
fɝ ˈwɔ.tɚ ˈfɪŋ.ɡɚ ˈteɪ.bəl ˈæ.pəl ˈbɑ.təl ˈkʊ.ki ˈbeɪ.bi ˈɹæ.bɪt ˈkɛ.ɹət ˈjɛ.loʊ ˈzɪ.pɚ ˈfɛ.ðɚ ˈmʌ.ðɚ ˈsɪ.zɚz ˈbʌ.tən
ˈwæ.ɡən ˈt͡ʃɪ.kən ˈkɪ.t͡ʃən ˈmʌŋ.ki ˈpɛn.səl ˈpeɪ.pɚ ˈbæ.skət ˈpʌ.pi ˈhæ.mɚ ˈlæ.dɚ ˈmɪ.tən pɑt pæn pin pul bæk bɔl boʊt
biz bɔɪ taɪm teɪp tɛn toʊz daɪv dɪp dɔl kaʊ koʊt ɡʌm ɡeɪt mæn maɪs mun mæp nɑt nɛt naɪf hæt hɑp hoʊm hɪl sup sɑk sɪt
soʊp sɔ seɪl sik sæd ʃɛl ʃaɪn ʃɑp ʃʌt t͡ʃɑp t͡ʃɪn t͡ʃɪp t͡ʃeɪn d͡ʒæm d͡ʒɔɪ d͡ʒɛt vaɪn voʊt vɛst ɹaɪd ɹoʊp ɹɑk ɹeɪn læp
lʌk lɪp ɹoʊz tʌb kʌb ɹɑb wɪɡ hʌɡ mʌd kɪd ɹaɪz pɪz ɡʌz lʌv keɪv pit͡ʃ biˌt͡ʃ keɪd͡ʒ ˈt͡ʃɛ.ɹi ˈd͡ʒɛ.li bɹʌʃ ˈdɪ.ʃɪz wɪʃ
"""


@dataclass
class Child:
    """Habits, the tokens as (adult form, said) in IPA, and the truth: chances and uses of each process."""

    habits: dict[str, float]
    tokens: list[tuple[str, str]] = field(default_factory=list)
    chances: Counter[str] = field(default_factory=Counter)
    uses: Counter[str] = field(default_factory=Counter)

    def percent(self, process: str) -> float:
        """Uses in a hundred chances; 0 without a chance."""
        return 100 * self.uses[process] / self.chances[process] if self.chances[process] else 0.0

    def has(self, process: str) -> bool:
        """True if the child does it, on at least four chances and a fifth of them: by its own record."""
        return self.chances[process] >= 4 and self.percent(process) >= 20


class Saying:
    """One word on its way: sounds (None where one is gone), the syllable of each, and the marks of the syllables."""

    def __init__(self, word: str) -> None:
        self.marks: list[str] = []
        self.adult: list[str] = []
        self.syllable: list[int] = []
        for number, part in enumerate(word.split(".")):
            self.marks.append(part[0] if part[0] in "ˈˌ" else "")
            sounds = re.findall(r"t͡ʃ|d͡ʒ|aɪ|aʊ|ɔɪ|eɪ|oʊ|.", part.lstrip("ˈˌ"))
            self.adult += sounds
            self.syllable += [number] * len(sounds)
        self.said: list[str | None] = list(self.adult)

    def vowel(self, at: int) -> bool:
        """True if an adult vowel stands there."""
        return 0 <= at < len(self.adult) and self.adult[at] in VOWELS

    def runs(self) -> list[list[int]]:
        """Clusters of the adult form: two or more consonants in a row."""
        out: list[list[int]] = [[]]
        for at in range(len(self.adult)):
            out = [*out, []] if self.vowel(at) else [*out[:-1], [*out[-1], at]]
        return [run for run in out if len(run) > 1]

    def text(self) -> str:
        """What was said, in IPA: a dot or a mark before every syllable but the first."""
        parts: dict[int, str] = {}
        for sound, number in zip(self.said, self.syllable):
            if sound:
                parts[number] = parts.get(number, "") + sound
        return spelled([(self.marks[number], parts[number]) for number in sorted(parts)])


def spelled(parts: list[tuple[str, str]]) -> str:
    """Syllables joined; a word of one syllable has no mark."""
    if len(parts) == 1:
        return parts[0][1]
    return "".join((mark or ("." if number else "")) + text for number, (mark, text) in enumerate(parts))


def words() -> list[str]:
    """Adult forms, cut into syllables by dots."""
    return [word for word in dict.fromkeys(WORDS.split()) if "biˌ" not in word]


def target(word: str) -> str:
    """An adult form of `words` as a clinician types it."""
    return word.replace(".ˈ", "ˈ").replace(".ˌ", "ˌ")


def child(seed: int, noise: float = 0.1) -> Child:
    """A child with two to five habits and 60 to 100 words; the same for the same seed."""
    rng = random.Random(seed)
    picked = rng.sample(PROCESSES, rng.randint(2, 5))
    found = Child({process: round(rng.uniform(0.3, 1.0), 2) for process in picked})
    pool = words()
    for word in rng.sample(pool, rng.randint(60, 100)):
        saying = Saying(word)
        say(saying, found, rng)
        if rng.random() < noise:
            slip(saying, rng)
        found.tokens.append((target(word), saying.text()))
    return found


def say(word: Saying, child: Child, rng: random.Random) -> None:
    """One word as the child says it. A chance is counted on the adult form, a use where it comes about."""

    def ask(process: str, possible: bool, change: Callable[[], None]) -> bool:
        child.chances[process] += 1
        if possible and rng.random() < child.habits.get(process, 0.0):
            child.uses[process] += 1
            change()
            return True
        return False

    lose_syllables(word, ask)
    lose_consonants(word, ask)
    for at, sound in enumerate(word.adult):
        change_sound(word, at, sound, ask)


Ask = Callable[[str, bool, Callable[[], None]], bool]


def lose_syllables(word: Saying, ask: Ask) -> None:
    """Weak syllables before the last one."""
    for number, mark in enumerate(word.marks):
        unstressed = not mark and len(word.marks) > 1

        def lose(number: int = number) -> None:
            word.said = [None if own == number else sound for own, sound in zip(word.syllable, word.said)]

        if unstressed:
            ask("weak syllable deletion", number < len(word.marks) - 1, lose)


def lose_consonants(word: Saying, ask: Ask) -> None:
    """Members of clusters, and single consonants at either edge."""
    for run in word.runs():

        def reduce(run: list[int] = run) -> None:
            for at in left_off(word, run):
                word.said[at] = None

        ask("cluster reduction", all(word.said[at] for at in run), reduce)
    last = len(word.adult) - 1
    if not word.vowel(last):
        ask("final consonant deletion", word.vowel(last - 1), lambda: word.said.__setitem__(last, None))
    if not word.vowel(0) and word.vowel(1):
        ask("initial consonant deletion", bool(word.said[0]), lambda: word.said.__setitem__(0, None))


def left_off(word: Saying, run: list[int]) -> list[int]:
    """Which members of a cluster the child leaves off."""
    sounds = [word.adult[at] for at in run]
    if run[0] == 0:
        if sounds[0] == "s" and sounds[1] in STOPS | NASALS:
            return [run[0], *run[2:]]
        return run[1:]
    if run[-1] == len(word.adult) - 1:
        if sounds[-2] in NASALS and sounds[-1] in "ptkfs":
            return [run[-2]]
        return [run[0]] if sounds[0] in GLIDES else [run[-1]]
    if sounds[-1] in GLIDES:
        return [run[-1]]
    return [run[-1]] if sounds[:2] == ["ŋ", "ɡ"] else [run[0]]


def change_sound(word: Saying, at: int, sound: str, ask: Ask) -> None:
    """One adult sound, if it is still there; the tables say what becomes of it, step by step."""

    def becomes(table: dict[str, str]) -> Callable[[], None]:
        return lambda: word.said.__setitem__(at, table[word.said[at] or ""])

    def possible(table: dict[str, str]) -> bool:
        return word.said[at] in table

    before_vowel, end = word.vowel(at + 1), at == len(word.adult) - 1
    stopped = sound in STOPPED and ask("stopping", possible(STOPPED), becomes(STOPPED))
    if sound in FRONTED:
        ask("velar fronting", possible(FRONTED), becomes(FRONTED))
    if sound in PALATAL:
        ask("palatal fronting", possible(PALATAL) and not stopped, becomes(PALATAL))
    if sound in ("t͡ʃ", "d͡ʒ"):
        ask("deaffrication", possible(OPENED) and not stopped, becomes(OPENED))
    if sound in ORAL:
        ask("denasalization", possible(ORAL), becomes(ORAL))
    if sound in "lɹ" and before_vowel:
        ask("gliding", bool(word.said[at]), becomes({"l": "j", "ɹ": "w"}))
    if sound in ("ɝ", "ɚ"):
        ask("vocalization", possible({sound: ""}), becomes({"ɝ": "ʊ", "ɚ": "ə"}))
    if sound in "lɹ" and word.vowel(at - 1) and not before_vowel:

        def vocalize() -> None:
            if word.adult[at - 1] == "ə":
                word.said[at - 1], word.said[at] = "oʊ", None
            else:
                word.said[at] = "ʊ" if sound == "l" else "ə"

        ask("vocalization", bool(word.said[at]) and bool(word.said[at - 1]), vocalize)
    after_s = at > 0 and word.adult[at - 1] == "s"
    if sound in VOICED and before_vowel and not after_s:
        ask("prevocalic voicing", possible(VOICED), becomes(VOICED))
    if sound in VOICELESS and end:
        ask("final devoicing", possible(VOICELESS), becomes(VOICELESS))


def slip(word: Saying, rng: random.Random) -> None:
    """Something the child's habits do not account for: another consonant, or one sound left off."""
    there = [at for at, sound in enumerate(word.said) if sound and not word.vowel(at)]
    if there:
        at = rng.choice(there)
        word.said[at] = rng.choice(ANY_CONSONANT) if rng.random() < 0.7 or len(there) == 1 else None
