"""Accuracy of sounds: PCC and its kin, one function a published measure, each a sum over counted slots.

| by | measures |
|---|---|
| consonants | `pcc`, `pcc_a`, `pcc_r`, `pcc_of_class` (early, middle, late), `articulation_competence` |
| vowels | `pvc`, `pvc_r` |
| both | `ppc`, `ppc_r` |

Whole words (PMLU, PWP, PWC, complexity, structure): `approx.scoring.measures.whole_word`. Variability: `approx.scoring.measures.variability`.
The table by sound and position: `approx.scoring.measures.breakdown`. All with intervals: `approx.scoring.measures.catalogue`.
What is right and what is a distortion is settled by `approx.scoring.judging.judge` and the options of `rules/measures.toml`.
"""

from __future__ import annotations

from dataclasses import dataclass

from approx.scoring.judging.counts import Counts
from approx.scoring.judging.options import ScoringOptions, default_scoring_options
from approx.scoring.judging.structure import class_of_eight
from approx.wording import worded


@dataclass(frozen=True, slots=True)
class MeasureValue:
    """One measure of one sample: two whole numbers and what they come to; `value` is None where it is undefined."""

    hits: int
    out_of: int
    value: float | None
    reason: str = ""
    """Why it is undefined, "" where it is not."""


def percent(hits: int, out_of: int, reason: str) -> MeasureValue:
    """`hits` in a hundred of `out_of`; undefined, for the reason given, where there is none.

    >>> percent(27, 60, "no target consonants").value
    45.0
    >>> percent(0, 0, "no target consonants")
    MeasureValue(hits=0, out_of=0, value=None, reason='no target consonants')
    """
    if not out_of:
        return MeasureValue(hits, 0, None, reason)
    return MeasureValue(hits, out_of, 100 * hits / out_of)


def pcc(counts: Counts) -> MeasureValue:
    """Percentage of Consonants Correct: right target consonants / scored target consonants × 100, pooled.

    Wrong: lost, another sound (glottal stop and voicing cognate included), any distortion, a consonant added to it.
    Right: allophones; h left out and n for ŋ at the end in unstressed syllables. Left out: words not wholly identified
    or without gloss; the third and later of a word said again at once unless it changes.
    Options: `additions_wrong`, `vowel_epenthesis_is_addition`, `final_voicing_errors`, `unstressed_h_and_ng_right`,
    `coalescence`, `metathesis`, `syllabic`, `spanish_glides`, `doubtful`, `unidentified`, `runs`, `repeats`, `accents`.
    Source: Shriberg & Kwiatkowski 1982, J Speech Hear Disord 47:256-270 (definition found; full rules from memory).

    >>> pcc(count_pairs([("spun", "pun"), ("kæt", "kæ")])).value
    60.0
    """
    return percent(counts["consonants_right"], counts["consonants"], "no target consonants")


def pcc_a(counts: Counts) -> MeasureValue:
    """PCC-Adjusted: as `pcc`, but common clinical distortions are right.

    Common: dentalized or lateralized sibilants, derhotacized ɹ ɝ ɚ, labialized or velarized l ɹ. Option besides those of
    PCC: `lisp_is_distortion` (False: [θ] for s is another sound).
    Source: Shriberg, Austin, Lewis, McSweeny & Wilson 1997, J Speech Lang Hear Res 40:708-722 (what is right: from memory).

    >>> [pcc_a(count_pairs([("sʌn", said)])).value for said in ("s̪ʌn", "s̃ʌn")]
    [100.0, 50.0]
    """
    return percent(counts["consonants_right_a"], counts["consonants"], "no target consonants")


def pcc_r(counts: Counts) -> MeasureValue:
    """PCC-Revised: as `pcc`, but every distortion is right; loss and substitution alone are wrong.

    Some pages call distortions wrong here; that is plain PCC. Source: Shriberg et al. 1997, as `pcc_a`.

    >>> pcc_r(count_pairs([("sʌn", "s̃ʌn")])).value
    100.0
    """
    return percent(counts["consonants_right_r"], counts["consonants"], "no target consonants")


def pvc(counts: Counts) -> MeasureValue:
    """Percentage of Vowels Correct: right vowels / target vowels × 100; a distortion is wrong.

    A diphthong is one vowel; ɝ and ɚ are vowels; a diphthong with r is a vowel and a consonant. Options: `syllabic`,
    `spanish_glides`, and those on what is left out. Source: Shriberg et al. 1997, as `pcc_a`.

    >>> pvc(count_pairs([("ˈwɑtɚ", "ˈwɑwɑ")])).value
    50.0
    """
    return percent(counts["vowels_right"], counts["vowels"], "no target vowels")


def pvc_r(counts: Counts) -> MeasureValue:
    """PVC-Revised: as `pvc`, but distortions are right. Source: Shriberg et al. 1997, as `pcc_a`.

    >>> count = count_pairs([("bɝd", "bɜd")])
    >>> pvc(count).value, pvc_r(count).value
    (0.0, 100.0)
    """
    return percent(counts["vowels_right_r"], counts["vowels"], "no target vowels")


def ppc(counts: Counts) -> MeasureValue:
    """Percentage of Phonemes Correct: right consonants and vowels / target sounds × 100. Options of `pcc` and `pvc`.

    Source: Shriberg et al. 1997, as `pcc_a`.

    >>> ppc(count_pairs([("bəˈnænə", "ˈnænə")])).hits, ppc(count_pairs([("bəˈnænə", "ˈnænə")])).out_of
    (4, 6)
    """
    right = counts["consonants_right"] + counts["vowels_right"]
    return percent(right, counts["consonants"] + counts["vowels"], "no target sounds")


def ppc_r(counts: Counts) -> MeasureValue:
    """PPC-Revised: as `ppc`, but distortions are right. Source: Shriberg et al. 1997, as `pcc_a`.

    >>> ppc_r(count_pairs([("sʌn", "s̪ʌn")])).value
    100.0
    """
    right = counts["consonants_right_r"] + counts["vowels_right_r"]
    return percent(right, counts["consonants"] + counts["vowels"], "no target sounds")


def pcc_of_class(counts: Counts, name: str, options: ScoringOptions | None = None) -> MeasureValue:
    """PCC of the early, middle or late eight consonants; the class is the target's.

    Undefined outside English. Options of `pcc`. Source: Shriberg 1993, J Speech Hear Res 36:105-140. The ages some pages
    give with the classes are not norms of that paper.

    >>> rabbit = count_pairs([("ˈɹæbɪt", "ˈwæbɪt")])
    >>> [pcc_of_class(rabbit, name).value for name in ("early", "middle", "late")]
    [100.0, 100.0, 0.0]
    """
    language = (options or default_scoring_options()).language
    if class_of_eight("m", language) is None:
        return MeasureValue(0, 0, None, "the classes are defined for English only")
    return percent(
        counts[f"{name}_right"], counts[name], worded("no target consonants of the {class_} eight", class_=name)
    )


def articulation_competence(counts: Counts) -> MeasureValue:
    """Articulation Competence Index: (PCC + distortions in a hundred errors) / 2.

    It describes the errors, so it is undefined where there are none, as it is without target consonants. `hits` and `out_of`
    are distorted consonants and consonants in error; the value is not their quotient. Options of `pcc`.
    Source: Shriberg 1993, J Speech Hear Res 36:105-140 (formula from memory; what it is without errors is not settled there).

    >>> articulation_competence(count_pairs([("sʌn", "s̪ʌn"), ("kæt", "kæ")])).value
    50.0
    >>> articulation_competence(count_pairs([("kæt", "kæt")]))
    MeasureValue(hits=0, out_of=0, value=None, reason='no consonant in error')
    """
    consonants, right = counts["consonants"], counts["consonants_right"]
    distorted, errors = counts["consonants_right_r"] - right, consonants - right
    if not errors:
        return MeasureValue(0, 0, None, "no consonant in error" if consonants else "no target consonants")
    return MeasureValue(distorted, errors, (100 * right / consonants + 100 * distorted / errors) / 2)


def count_pairs(pairs: list[tuple[str, str]], options: ScoringOptions | None = None) -> Counts:
    """Counts of (target, production) pairs in IPA, for examples and tests; the language is the option's.

    ValueError for text that cannot be read, or that holds no single word.
    """
    from approx.ipa import read
    from approx.scoring.judging.counts import Scored, total
    from approx.scoring.judging.scored_word import score_token

    chosen = options or default_scoring_options()
    scored: list[Scored] = []
    for pair in pairs:
        readings = [read(text, chosen.language) for text in pair]
        problems = [str(problem) for reading in readings for problem in reading.problems]
        if problems or not readings[0].words:
            raise ValueError("; ".join(problems) or f"no word in {pair[0]!r}")
        scored += score_token(readings[0].words, readings[1].words, chosen)
    return total(scored)
