"""Measures of whole words: PWC, PMLU, PWP, complexity of targets and productions, and structure kept."""

from __future__ import annotations

from collections import Counter

from approx.scoring.judging.counts import Counts
from approx.scoring.judging.options import ScoringOptions, default_scoring_options
from approx.scoring.measures.accuracy import MeasureValue, percent


def mean(total: int, words: int, reason: str = "no scored words") -> MeasureValue:
    """`total` over `words`; undefined, for the reason given, where there is none."""
    return MeasureValue(total, words, total / words) if words else MeasureValue(total, 0, None, reason)


def pwc(counts: Counts) -> MeasureValue:
    """Proportion of Whole-Word Correctness, in percent: words with every consonant and vowel right and nothing added.

    Stress is not judged. Options: `pwc_distortions_right` (False), `unstressed_h_and_ng_right`, `accents`.
    Source: Ingram 2002, J Child Lang 29:713-733 (from memory).

    >>> from approx.scoring.measures.accuracy import count_pairs
    >>> pwc(count_pairs([("mi", "mi"), ("kʌp", "ˈkʌpi")])).value
    50.0
    """
    return percent(counts["words_right"], counts["words"], "no scored words")


def pmlu(counts: Counts) -> MeasureValue:
    """Phonological Mean Length of Utterance: (sounds said + right consonants) / words.

    A point for each sound said, never more than the target has (`pmlu_cap`), and one more for each right consonant. Right is
    what `pcc` takes as right, n for ŋ and h left out in unstressed syllables too (`unstressed_h_and_ng_right`); but a
    distortion is right, and a consonant beside an added one.
    Options: `pmlu_cap` (True), `pmlu_vowels` (False: vowels are not judged), `pmlu_distortions_right` (True),
    `pmlu_syllabic_point` (True). Rules on choosing words (25 to 50 adult words, one production a word) are the user's.
    Source: Ingram 2002, J Child Lang 29:713-733; Ingram & Ingram 2001, Lang Speech Hear Serv Sch 32:271-283 (rules from
    memory). Not sounds / words, as one page has it. No stages are given: they were not found in print.

    >>> from approx.scoring.measures.accuracy import count_pairs
    >>> pmlu(count_pairs([("bəˈnænə", "ˈnænə")])).value
    6.0
    """
    return mean(counts["points"], counts["words"])


def pmlu_target(counts: Counts) -> MeasureValue:
    """PMLU of the targets, the score of a perfect child: (sounds + consonants) / words. Options and source: `pmlu`.

    >>> from approx.scoring.measures.accuracy import count_pairs
    >>> pmlu_target(count_pairs([("bəˈnænə", "ˈnænə")])).value
    9.0
    """
    return mean(counts["target_points"], counts["words"])


def pwp(counts: Counts, options: ScoringOptions | None = None) -> MeasureValue:
    """Proportion of Whole-Word Proximity: PMLU of the child / PMLU of the targets, 0 to 1.

    Options: `pwp_of_sample` ("ratio" of the two; "mean" of the words' own proportions, exact to a billionth), and those
    of `pmlu`. Source: Ingram 2002, J Child Lang 29:713-733 (from memory).

    >>> from approx.scoring.measures.accuracy import count_pairs
    >>> pwp(count_pairs([("kæt", "kæ")])).value
    0.6
    """
    if (options or default_scoring_options()).pwp_of_sample == "mean":
        words = counts["words"]
        value = counts["pwp_billionths"] / 1e9 / words if words else None
        return MeasureValue(counts["points"], counts["target_points"], value, "" if words else "no scored words")
    return mean(counts["points"], counts["target_points"])


def wcm_target(counts: Counts) -> MeasureValue:
    """Word Complexity Measure of the targets: points / words. Parameters, options and source: `complexity.wcm`.

    >>> from approx.scoring.measures.accuracy import count_pairs
    >>> wcm_target(count_pairs([("tɹʌk", "tʌk")])).value
    4.0
    """
    return mean(counts["wcm_target"], counts["words"])


def wcm_produced(counts: Counts) -> MeasureValue:
    """Word Complexity Measure of what was said, right or wrong: points / words. As `wcm_target`.

    >>> from approx.scoring.measures.accuracy import count_pairs
    >>> wcm_produced(count_pairs([("tɹʌk", "tʌk")])).value
    2.0
    """
    return mean(counts["wcm_produced"], counts["words"])


def wcm_ratio(counts: Counts) -> MeasureValue:
    """WCM of what was said / WCM of the targets, over the same words; can be above 1, undefined for targets of 0.

    Parameters, options and source: `complexity.wcm`.

    >>> from approx.scoring.measures.accuracy import count_pairs
    >>> wcm_ratio(count_pairs([("tɹʌk", "tʌk")])).value, wcm_ratio(count_pairs([("mi", "ki")])).reason
    (0.5, 'no target with a point')
    """
    return mean(counts["wcm_produced"], counts["wcm_target"], "no target with a point")


def ipc_target(counts: Counts) -> MeasureValue:
    """Index of Phonetic Complexity of the targets: points / words. Factors, options and source: `complexity.ipc`.

    >>> from approx.scoring.measures.accuracy import count_pairs
    >>> ipc_target(count_pairs([("spun", "pun")])).value
    4.0
    """
    return mean(counts["ipc_target"], counts["words"])


def ipc_produced(counts: Counts) -> MeasureValue:
    """Index of Phonetic Complexity of what was said: points / words. As `ipc_target`.

    >>> from approx.scoring.measures.accuracy import count_pairs
    >>> ipc_produced(count_pairs([("spun", "pun")])).value
    2.0
    """
    return mean(counts["ipc_produced"], counts["words"])


def syllable_match(counts: Counts) -> MeasureValue:
    """Words with as many syllables as the target, in percent.

    Source: common practice, no source.

    >>> from approx.scoring.measures.accuracy import count_pairs
    >>> syllable_match(count_pairs([("spun", "pun"), ("bəˈnænə", "ˈnænə")])).value
    50.0
    """
    return percent(counts["syllables_matched"], counts["words"], "no scored words")


def shape_match(counts: Counts) -> MeasureValue:
    """Words whose shape (CVC ...) is the target's, in percent; l̩ and əl are one shape.

    Source: common practice, no source.

    >>> from approx.scoring.measures.accuracy import count_pairs
    >>> shape_match(count_pairs([("kæt", "tæt"), ("spun", "pun")])).value
    50.0
    """
    return percent(counts["shapes_matched"], counts["words"], "no scored words")


def stress_match(counts: Counts) -> MeasureValue:
    """Words with main stress on the same syllables and no other, in percent.

    Source: common practice, no source.

    >>> from approx.scoring.measures.accuracy import count_pairs
    >>> stress_match(count_pairs([("təˈmeɪtoʊ", "tʌˈmeɪto"), ("təˈmeɪtoʊ", "ˈmeɪtoʊ")])).value
    50.0
    """
    return percent(counts["stress_matched"], counts["words"], "no scored words")


def structure_level(counts: Counts) -> MeasureValue:
    """Mean syllable structure level, 1 to 3, over the different forms said. Levels: `structure.level_of_kinds`.

    Forms without a vowel have no level. Source: Stoel-Gammon 1989; Paul & Jennings 1992, J Speech Hear Res 35:99-107 (from
    memory).

    >>> from approx.scoring.measures.accuracy import count_pairs
    >>> structure_level(count_pairs([("mi", "a"), ("mi", "wa"), ("mi", "ba"), ("mi", "ˈbaba"), ("mi", "bad")])).value
    1.8
    """
    levels = counts.said.levels
    return mean(sum(level * forms for level, forms in enumerate(levels, 1)), sum(levels), "no form with a vowel")


def levels_of_forms(counts: Counts, options: ScoringOptions | None = None) -> Counter[tuple[int, int]]:
    """A level and 1, the two numbers that `structure_level` adds -> how many different forms have this level."""
    return Counter({(level, 1): forms for level, forms in enumerate(counts.said.levels, 1) if forms})
