"""Simulated children who do what the taught and published examples show, in English and Spanish, apart from the package.

The words are the adult forms of `tests/data/process_examples.csv` and of the Spanish word lists; the changes are those its rows
show, written here again from the examples: none of the package's rules, readers or alignments is used. A child has a rate
from 0 to 1 for each process; a third of the processes keep to some sounds or one position, as children's do. Every place is
asked once, structure first. In some tokens one more sound is changed at random. All children are invented.
"""

from __future__ import annotations

import csv
import random
import re
from dataclasses import dataclass, field
from functools import cache

from places import DATA

NOISE = 0.06
"""Share of tokens in which one sound more comes out in a way the habits do not account for."""
SOUND = re.compile(r"t͡ʃ|d͡ʒ|t͡s|d͡z|aɪ|aʊ|ɔɪ|eɪ|oʊ|.")
VOWELS = frozenset("i ɪ ɛ æ ɑ ʌ ə u ʊ ɔ ɝ ɚ eɪ aɪ aʊ ɔɪ oʊ a e o".split())
LIQUIDS, NASALS = "lɹɾr", "mnŋɲ"
STOPS = frozenset("pbtdkɡ")
ONSETS = {"en": frozenset("pl bl kl ɡl fl sl pɹ bɹ tɹ dɹ kɹ ɡɹ fɹ θɹ ʃɹ sp st sk sm sn sw tw kw dw spl spɹ stɹ skɹ skw".split()),
          "es": frozenset("pl bl kl ɡl fl pɾ bɾ tɾ dɾ kɾ ɡɾ fɾ".split())}  # fmt: skip
GLIDES = {"en": "", "es": "jw"}

Table = dict[str, str]
STOPPING: Table = dict(zip("f v θ ð s z ʃ ʒ t͡ʃ d͡ʒ x".split(), "p b t d t d t d t d k".split()))
FRONTING: Table = {"k": "t", "ɡ": "d", "ŋ": "n"}
PALATALS: Table = {"ʃ": "s", "ʒ": "z", "t͡ʃ": "t͡s", "d͡ʒ": "d͡z"}
OPENING: Table = {"t͡ʃ": "ʃ", "d͡ʒ": "ʒ"}
BACKING: Table = {"t": "k", "d": "ɡ", "n": "ŋ"}
GLIDING: Table = {"l": "j", "ɹ": "w"}
TO_L: Table = {"ɾ": "l", "r": "l"}
TO_D: Table = {"ɾ": "d", "r": "d"}
LABIALS: Table = {"θ": "f", "ð": "v"}
NASALLESS: Table = {"m": "b", "n": "d", "ŋ": "ɡ"}
VOICING: Table = dict(zip("p t k f s ʃ t͡ʃ".split(), "b d ɡ v z ʒ d͡ʒ".split()))
HUSHING: Table = {voiced: plain for plain, voiced in VOICING.items()}
PLACES = {"labial": "pbm", "alveolar": "tdn", "velar": "kɡŋ"}
VOWEL_SAID: Table = {
    "ɪ": "i",
    "ɛ": "æ",
    "æ": "ɑ",
    "ʊ": "u",
    "eɪ": "ɛ",
    "oʊ": "ʌ",
    "aɪ": "ɑ",
    "aʊ": "ɑ",
    "ɔɪ": "ɔ",
    "i": "ɪ",
}

SUBSTITUTIONS: dict[str, tuple[Table, str]] = {
    "stopping": (STOPPING, "any"),
    "deaffrication": (OPENING, "any"),
    "palatal fronting": (PALATALS, "any"),
    "velar fronting": (FRONTING, "any"),
    "backing": (BACKING, "any"),
    "labialization": (LABIALS, "any"),
    "denasalization": (NASALLESS, "any"),
    "gliding": (GLIDING, "before a vowel"),
    "liquid to l": (TO_L, "before a vowel"),
    "liquid to d": (TO_D, "before a vowel"),
    "prevocalic voicing": (VOICING, "before a vowel"),
    "final devoicing": (HUSHING, "last"),
    "vowel change": (VOWEL_SAID, "any"),
}
"""Process: what each sound becomes, and where. Later ones see what earlier ones left."""
HARMONY = ("labial assimilation", "alveolar assimilation", "velar assimilation")
STRUCTURE = ("reduplication", "weak syllable deletion", "final consonant deletion", "final cluster deletion",
             "initial consonant deletion", "coalescence", "cluster reduction", "epenthesis", "vocalization", "glide loss")  # fmt: skip
USUAL = {
    "weak syllable deletion": 0.5, "final consonant deletion": 0.45, "final cluster deletion": 0.15, "cluster reduction": 0.6,
    "stopping": 0.5, "velar fronting": 0.45, "gliding": 0.6, "vocalization": 0.45, "palatal fronting": 0.3, "deaffrication": 0.3,
    "prevocalic voicing": 0.3, "final devoicing": 0.3, "liquid to l": 0.5, "liquid to d": 0.2, "labialization": 0.3,
    "vowel change": 0.2, "glide loss": 0.4,
}  # fmt: skip
SELDOM = 0.1
"""How many of the children have a process: as `USUAL` says, else this share."""
NEVER_IN_SPANISH = (
    "velar fronting of ŋ",
    "vowel change",
    "gliding",
    "prevocalic voicing",
    "labialization",
    "vocalization",
)


@dataclass
class Child:
    """Process -> rate, and what it keeps to: sounds ("" for all) and position ("" for all)."""

    language: str
    habits: dict[str, float] = field(default_factory=dict)
    sounds: dict[str, frozenset[str]] = field(default_factory=dict)
    position: dict[str, str] = field(default_factory=dict)


def child(seed: int, language: str = "en") -> Child:
    """A child with its habits; the same for the same seed."""
    rng = random.Random(f"{language} {seed}")
    made = Child(language)
    for name in (*STRUCTURE, *SUBSTITUTIONS, *HARMONY):
        if rng.random() >= USUAL.get(name, SELDOM) or (language == "es" and name in NEVER_IN_SPANISH):
            continue
        made.habits[name] = rng.random() if rng.random() < 0.6 else rng.uniform(0.85, 1.0)
        kind = rng.random()
        if name in SUBSTITUTIONS and kind < 0.2:
            table = sorted(SUBSTITUTIONS[name][0])
            made.sounds[name] = frozenset(rng.sample(table, max(1, len(table) // 2)))
        elif name in SUBSTITUTIONS and kind < 0.35 and SUBSTITUTIONS[name][1] == "any" and name != "vowel change":
            made.position[name] = rng.choice(("initial", "final"))
    return made


@cache
def words(language: str = "en") -> tuple[str, ...]:
    """Adult forms of two sounds or more."""
    with (DATA / "process_examples.csv").open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    found = [row["target_ipa"] for row in rows if row["language"].startswith(language)]
    if language == "es":
        for name in ("spanish_words.tsv", "spanish_held_back.tsv", "spanish_rules.tsv"):
            lines = [line for line in (DATA / name).read_text(encoding="utf-8").splitlines() if line[:1] != "#"]
            found += [line.split("\t")[1] for line in lines[1:]]
        found = [ipa for ipa in found if not set("θʎɪʊ") & set(ipa) and not re.search("[aeo][iu]|ui|iu", ipa)]
    kept = [ipa for ipa in dict.fromkeys(found) if len(SOUND.findall(ipa.strip("ˈˌ"))) >= 2 and set(ipa) & VOWELS]
    return tuple(ipa for ipa in kept if not set(ipa) & set(" .ʔ̩") and len(_parse(ipa, language)[0]) > 1)


def _parse(ipa: str, language: str) -> tuple[tuple[str, ...], tuple[int, ...], tuple[str, ...]]:
    """Sounds, the syllable of each, and the mark of each syllable."""
    sounds: list[str] = []
    marked: dict[int, str] = {}
    for sound in SOUND.findall(ipa):
        if sound in "ˈˌ":
            marked[len(sounds)] = sound
        else:
            sounds.append(sound)
    nuclei = [at for at, sound in enumerate(sounds) if sound in VOWELS]
    starts = [0]
    for left, right in zip(nuclei, nuclei[1:]):
        forced = [at for at in marked if left < at <= right]
        starts.append(forced[0] if forced else _cut(sounds, left, right, language))
    syllable = tuple(sum(start <= at for start in starts) - 1 for at in range(len(sounds)))
    return tuple(sounds), syllable, tuple(marked.get(start, "") for start in starts)


def _cut(sounds: list[str], left: int, right: int, language: str) -> int:
    at = right
    while at - 1 > left and (at == right or _onset("".join(sounds[at - 1 : right]), language)):
        at -= 1
    return at


def _onset(run: str, language: str) -> bool:
    plain = run.rstrip(GLIDES[language]) if GLIDES[language] else run
    return run in ONSETS[language] or plain in ONSETS[language] or (language == "es" and len(SOUND.findall(plain)) == 1)


def say(ipa: str, who: Child, rng: random.Random, noise: float = NOISE) -> str:
    """One token of a word, in IPA."""
    return _Token(ipa, who, rng).say(noise)


class _Token:
    """One word on its way."""

    def __init__(self, ipa: str, who: Child, rng: random.Random) -> None:
        self.who, self.rng = who, rng
        adult, syllable, marks = _parse(ipa, who.language)
        self.adult, self.syllable, self.marks = list(adult), list(syllable), list(marks)
        self.said: list[str] = list(adult)

    def does(self, process: str, at: int = -1) -> bool:
        """True if the child does it this time, here."""
        if at >= 0:
            only = self.who.sounds.get(process)
            if only is not None and self.adult[at] not in only:
                return False
            where = self.who.position.get(process)
            if where == "initial" and at != 0 or where == "final" and at != len(self.adult) - 1:
                return False
        return self.rng.random() < self.who.habits.get(process, 0.0)

    def vowel(self, at: int) -> bool:
        return 0 <= at < len(self.adult) and self.adult[at] in VOWELS

    def say(self, noise: float) -> str:
        self.syllables()
        self.edges()
        self.clusters()
        for at in range(len(self.adult)):
            if self.said[at]:
                self.sound(at)
        self.harmony()
        if self.rng.random() < noise:
            self.slip()
        return self.text()

    def syllables(self) -> None:
        """One syllable said twice, or a weak one left off: before the stress, or between two others."""
        count = len(self.marks)
        main = self.marks.index("ˈ") if "ˈ" in self.marks else 0
        if count == 2 and self.does("reduplication"):
            core = [at for at in range(len(self.adult)) if self.syllable[at] == main]
            nucleus = next(at for at in core if self.vowel(at))
            open_part = [self.adult[at] for at in core if at <= nucleus]
            self.adult = open_part * 2
            self.said = list(self.adult)
            self.syllable = [0] * len(open_part) + [1] * len(open_part)
            return
        for number in range(count - 1):
            weak = not self.marks[number] and number != main
            left = any(self.said[at] for at in range(len(self.said)) if self.syllable[at] != number)
            if weak and left and self.does("weak syllable deletion"):
                for at, own in enumerate(self.syllable):
                    if own == number:
                        self.said[at] = ""

    def edges(self) -> None:
        last = len(self.adult) - 1
        if not self.vowel(last):
            run = [at for at in range(last + 1) if all(not self.vowel(n) for n in range(at, last + 1))]
            if self.does("final consonant deletion" if len(run) == 1 else "final cluster deletion"):
                for at in run:
                    self.said[at] = ""
        if not self.vowel(0) and self.vowel(1) and self.said[0] and self.does("initial consonant deletion"):
            self.said[0] = ""

    def runs(self) -> list[list[int]]:
        """Two or more consonants of one syllable side by side, all still there; in Spanish a coda inside a word too."""
        out: list[list[int]] = []
        run: list[int] = []
        for at in range(len(self.adult) + 1):
            joined = run and at < len(self.adult) and self.syllable[at] == self.syllable[run[-1]]
            if at < len(self.adult) and not self.vowel(at) and self.said[at] and (joined or not run):
                run.append(at)
                continue
            out += [run] if len(run) > 1 else []
            run = [at] if at < len(self.adult) and not self.vowel(at) and self.said[at] else []
        return out

    def clusters(self) -> None:
        for run in self.runs():
            first, second = self.adult[run[0]], self.adult[run[1]]
            onset = any(self.vowel(at) for at in (run[-1] + 1,))
            glide = self.who.language == "es" and onset and self.adult[run[-1]] in "jw"
            if glide and len(run) == 2:
                if self.does("glide loss"):
                    self.said[run[-1]] = ""
                continue
            if onset and first == "s" and second in "pmw" and self.does("coalescence"):
                self.said[run[0]], self.said[run[1]] = "f", ""
            elif self.does("cluster reduction"):
                gone = [run[0]] if onset and first == "s" and second in STOPS | set(NASALS) else run[1:]
                if len(run) > 2 and gone == [run[0]]:
                    gone = [run[0], *run[2:]]
                if not onset:
                    gone = [run[0]] if first in NASALS + LIQUIDS and self.rng.random() < 0.8 else [run[-1]]
                for at in gone:
                    self.said[at] = ""
            elif onset and second in LIQUIDS and self.does("epenthesis"):
                self.said[run[0]] += "ə"

    def sound(self, at: int) -> None:
        before_vowel = self.vowel(at + 1) and bool(self.said[at + 1])
        adult, last = self.adult[at], at == len(self.adult) - 1
        tail = "ə" if self.said[at].endswith("ə") and not self.vowel(at) else ""
        said = self.said[at].removesuffix(tail)
        if adult in "lɹɾ" and self.vowel(at - 1) and not self.vowel(at + 1) and self.does("vocalization"):
            weak = self.adult[at - 1] == "ə" and self.who.language == "en"
            if weak and self.said[at - 1]:
                self.said[at - 1], self.said[at] = "oʊ", ""
            else:
                self.said[at] = "ʊ" if self.who.language == "en" and adult == "l" else "ə" if adult == "ɹ" else "i"
            return
        if adult in ("ɝ", "ɚ"):
            self.said[at] = {"ɝ": "ʊ", "ɚ": "ə"}[adult] if self.does("vocalization") else adult
            return
        if adult == "s" and at + 1 < len(self.said) and not self.vowel(at + 1) and self.said[at + 1]:
            return  # s is kept or lost before a consonant, hardly ever stopped there
        for process, (table, where) in SUBSTITUTIONS.items():
            here = where == "any" or (where == "before a vowel" and before_vowel) or (where == "last" and last)
            if here and said in table and self.does(process, at):
                said = table[said]
        self.said[at] = said + tail

    def harmony(self) -> None:
        """A stop or nasal takes the place of another that the adult word has."""
        for process in HARMONY:
            place = process.split()[0]
            own = [at for at, said in enumerate(self.adult) if said in PLACES[place] and self.said[at]]
            for at, said in enumerate(self.said):
                others = [n for n in own if n != at]
                row = next((name for name, sounds in PLACES.items() if said and said in sounds), None)
                if row in (None, place) or not others or not self.does(process):
                    continue
                self.said[at] = PLACES[place][PLACES[row or place].index(said)]

    def slip(self) -> None:
        """One sound said as another, or left off."""
        there = [at for at, said in enumerate(self.said) if said and said not in VOWELS and not said.endswith("ə")]
        if not there:
            return
        at, kind = self.rng.choice(there), self.rng.random()
        self.said[at] = "" if kind < 0.25 and len(there) > 1 else self.rng.choice("pbtdkɡfszʃmnwjlh")

    def text(self) -> str:
        """What was said: a dot or a mark before every syllable but the first."""
        parts: dict[int, str] = {}
        for said, number in zip(self.said, self.syllable):
            if said:
                parts[number] = parts.get(number, "") + said
        marks = {number: self.marks[number] for number in sorted(parts)}
        if len(parts) == 1:
            return next(iter(parts.values()))
        return "".join((marks[n] or ("." if place else "")) + parts[n] for place, n in enumerate(sorted(parts)))
