"""How complex a form is by itself: Word Complexity Measure and Index of Phonetic Complexity.

Both look at one form, right or wrong, and are whole numbers that add. Use one of the two for choosing words, not their
sum: IPC has no stress and no voicing parameter, and adds change of place and clusters made at two places.
Sound classes and open choices: `rules/measures.toml`.
"""

from __future__ import annotations

from functools import cache
from itertools import pairwise

from approx.ipa.features import features as features_of
from approx.ipa.features import is_nucleus, is_vowel, split
from approx.ipa.word import UNKNOWN_CONSONANT, UNKNOWN_VOWEL, Word
from approx.scoring.judging.options import ScoringOptions, default_scoring_options, measure_data, primary

_SON, _CONT, _DELREL, _VOI, _HI, _BACK, _LAB = 1, 3, 4, 8, 15, 17, 14
"""Places of the features used here in `approx.ipa.features.FEATURES`; a test keeps them together."""


def wcm(word: Word, options: ScoringOptions | None = None) -> int:
    """Word Complexity Measure of one form: points for word pattern, syllable structure and sound classes.

    A point each for: more than two syllables; main stress after the first syllable (no mark: first); a consonant at the
    end; each run of two or more consonants within one syllable, whatever its length; each velar; each liquid, syllabic
    liquid or rhotic vowel; each fricative or affricate, and one more if it is voiced.
    Sounds that were heard but not identified count in the structure only. A form without sounds has 0.

    Options and defaults: `h_is_fricative` (False), `w_is_velar` (False), `postvocalic_r` ("consonant": ɹ of *car* is a
    liquid and the last consonant; "vowel": one point), `wcm_syllabic` ("vowel": l̩ at the end of *bottle* is a nucleus),
    `language` (a flap is a liquid outside English).
    Source: Stoel-Gammon 2010, Clin Linguist Phon 24:271-282 (parameters from memory).

    >>> from approx.ipa import read
    >>> [wcm(read(form).words[0]) for form in ("ˈmɑmi", "spun", "spəˈɡɛti", "d͡ʒəˈɹæf", "stɹɛŋkθ")]
    [0, 3, 5, 6, 8]
    """
    choice = options or default_scoring_options()
    table = _wcm_points(choice.h_is_fricative, choice.w_is_velar, choice.wcm_syllabic, primary(choice.language) == "en")
    rhotic_nucleus = choice.postvocalic_r == "vowel"
    points, run, starts, syllable = 0, 0, word.starts, 0
    after_nucleus = False
    for at, phone in enumerate(word.phones):
        if syllable < len(starts) and starts[syllable] == at:
            syllable, run, after_nucleus = syllable + 1, 0, False
        worth, nucleus = table[phone]
        points += worth
        if nucleus:
            run, after_nucleus = 0, True
        elif not (rhotic_nucleus and after_nucleus and run == 0 and phone[0] in "ɹɻ"):
            run += 1
            points += run == 2
    if run:
        points += 1
    if syllable >= _long("wcm"):
        points += 1
    late_stress = 1 in word.stress[1:] and word.stress[0] != 1
    return points + late_stress


def ipc(word: Word, options: ScoringOptions | None = None) -> int:
    """Index of Phonetic Complexity of one form: eight factors, points added.

    A point each for: a dorsal consonant; a fricative, affricate or liquid; single consonants made at different places
    (once a word); a rhotic vowel; a consonant at the end; three or more syllables; each run of contiguous consonants;
    each such run made at more than one place.

    Options and defaults: `ipc_variegation` ("word"; "change" counts every change of place between single consonants),
    `ipc_clusters` ("contiguous": ŋk of *monkey* counts; "syllable"), `ipc_tr_homorganic` (True), `w_is_velar` (False:
    w is labial), `h_is_fricative` (False), `language`.
    Source: Jakielski 1998, dissertation; used in Howell, Au-Yeung, Yaruss & Eldridge 2006, Clin Linguist Phon
    20:703-716 (table from memory).

    >>> from approx.ipa import read
    >>> [ipc(read(form).words[0]) for form in ("ˈkʊki", "kæt", "spun", "ˈɛləfənt", "spəˈɡɛti")]
    [2, 3, 4, 6, 6]
    """
    choice = options or default_scoring_options()
    table = _ipc_points(choice.h_is_fricative, choice.w_is_velar, primary(choice.language) == "en")
    starts = word.starts if choice.ipc_clusters == "syllable" else ()
    points = 0
    singles: list[str] = []
    run: list[str] = []
    text: list[str] = []
    for at, phone in enumerate((*word.phones, "")):
        worth, place = table[phone] if phone else (0, "")
        points += worth
        if run and (not place or at in starts):
            if len(run) == 1:
                singles.append(run[0])
            else:
                points += 1 + _two_places(run, text, choice.ipc_tr_homorganic)
            run, text = [], []
        if place:
            run.append(place)
            text.append(phone)
    changes = sum(one != other for one, other in pairwise(singles))
    points += changes if choice.ipc_variegation == "change" else changes > 0
    if word.phones and table[word.phones[-1]][1]:
        points += 1
    return points + (len(word.starts) >= _long("ipc"))


def _two_places(run: list[str], text: list[str], tr_homorganic: bool) -> bool:
    """True if a run of consonants is made at more than one place."""
    if len(set(run)) > 1:
        return True
    return not tr_homorganic and any(one in ("t", "d") and other in ("ɹ", "ɻ") for one, other in pairwise(text))


class _Wcm(dict[str, tuple[int, bool]]):
    """Phone -> (points of its sound class, whether it is a nucleus); filled as phones are met."""

    def __init__(self, h: bool, w: bool, syllabic: str, english: bool) -> None:
        super().__init__()
        self.h, self.w, self.syllabic, self.english = h, w, syllabic, english

    def __missing__(self, phone: str) -> tuple[int, bool]:
        nucleus = phone == UNKNOWN_VOWEL or (is_vowel(phone) if self.syllabic == "consonant" else is_nucleus(phone))
        found = self[phone] = _manner_points(phone, self.h, self.english, True) + _is_velar(phone, self.w), nucleus
        return found


class _Ipc(dict[str, tuple[int, str]]):
    """Phone -> (points of its own, place of a consonant or ""); filled as phones are met."""

    def __init__(self, h: bool, w: bool, english: bool) -> None:
        super().__init__()
        self.h, self.w, self.english = h, w, english
        self.place_of = {
            sound: place for place, sounds in measure_data("ipc")["places"].items() for sound in sounds.split()
        }

    def __missing__(self, phone: str) -> tuple[int, str]:
        place = ""
        if not (is_nucleus(phone) or phone == UNKNOWN_VOWEL):
            place = self.place_of.get(split(phone)[0], "unknown" if phone == UNKNOWN_CONSONANT else "coronal")
            if self.w and phone[0] in "wʍ":
                place = "dorsal"
        found = self[phone] = _manner_points(phone, self.h, self.english, False) + (place == "dorsal"), place
        return found


def complexity_tables(options: ScoringOptions) -> tuple[dict[str, tuple[int, bool]], dict[str, tuple[int, str]]]:
    """For any sound its points in WCM and whether it is a nucleus there; its points in IPC and its place there."""
    english = primary(options.language) == "en"
    h, w = options.h_is_fricative, options.w_is_velar
    return _wcm_points(h, w, options.wcm_syllabic, english), _ipc_points(h, w, english)


@cache
def _wcm_points(h: bool, w: bool, syllabic: str, english: bool) -> _Wcm:
    return _Wcm(h, w, syllabic, english)


@cache
def _ipc_points(h: bool, w: bool, english: bool) -> _Ipc:
    return _Ipc(h, w, english)


@cache
def _long(measure: str) -> int:
    number: int = measure_data(measure)["long_word"]
    return number


def _manner_points(phone: str, h: bool, english: bool, voicing: bool) -> int:
    """1 for a liquid, a rhotic vowel, a fricative or an affricate; 1 more for a voiced one of the last two."""
    data, base, values = measure_data("wcm"), split(phone)[0], features_of(phone)
    if base in data["liquids"]["en" if english else "other"].split():
        return 1
    if base in data["rhotic_vowels"].split() or (is_vowel(phone) and "˞" in phone):
        return 1
    if base in ("h", "ɦ"):
        return int(h) + (h and voicing and base == "ɦ")
    if values is None or values[_SON] == 1 or is_vowel(phone) or not (values[_CONT] == 1 or values[_DELREL] == 1):
        return 0
    return 1 + (voicing and values[_VOI] == 1)


def _is_velar(phone: str, w: bool) -> bool:
    """True for a velar consonant; w only where the option says so."""
    if phone[0] in "wʍ":
        return w
    values = features_of(phone)
    return values is not None and not is_vowel(phone) and values[_HI] == 1 and values[_BACK] == 1 and values[_LAB] != 1
