"""One token scored: a word, or the words of one cell, into the numbers that the measures add up.

>>> from approx.ipa import read
>>> spoon = score_word(read("spun").words[0], read("pun").words[0])
>>> from approx.scoring.judging.counts import total
>>> counts = total([spoon])
>>> counts["consonants_right"], counts["consonants"], counts["points"], counts["target_points"]
(2, 3, 5, 7)
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache
from typing import NamedTuple

from approx.ipa.word import UNINTELLIGIBLE, UNKNOWN_CONSONANT, UNKNOWN_VOWEL, Word, words_of
from approx.scoring.alignment.align import Alignment, align_forms, word_pairs
from approx.scoring.judging.complexity import ipc, wcm
from approx.scoring.judging.counts import CountRow, Scored, added
from approx.scoring.judging.judge import judge
from approx.scoring.judging.options import ScoringOptions, default_scoring_options
from approx.scoring.judging.slots import JudgedWord, Slot, Verdict
from approx.scoring.judging.structure import class_of_eight, shape_to_match, stress_pattern, syllable_count

_UNIDENTIFIED = frozenset((UNKNOWN_CONSONANT, UNKNOWN_VOWEL, UNINTELLIGIBLE))


class ScoredForm(NamedTuple):
    """What one form is by itself, target or production."""

    syllables: int
    shape: str
    stress: tuple[bool, ...]
    wcm: int
    ipc: int


@lru_cache(maxsize=32768)
def form_of(word: Word, options: ScoringOptions) -> ScoredForm:
    """Facts about one form; kept, since forms come back."""
    return ScoredForm(
        syllable_count(word), shape_to_match(word), stress_pattern(word), wcm(word, options), ipc(word, options)
    )


def left_out_reason(target: Word | None, produced: Word | None, options: ScoringOptions | None = None) -> str:
    """Why a word is not scored, "" if it is: no gloss, no response, or not all of it was identified."""
    if target is None or not target.phones:
        return "no gloss"
    if produced is None:
        return "no response"
    strict = (options or default_scoring_options()).unidentified == "leave the word out"
    if not _UNIDENTIFIED.isdisjoint(target.phones) or (strict and not _UNIDENTIFIED.isdisjoint(produced.phones)):
        return "not all of it was identified"
    return ""


def score_word(
    target: Word,
    produced: Word,
    options: ScoringOptions | None = None,
    word: str = "",
    accepted: Sequence[Word] = (),
    alignment: Alignment | None = None,
) -> Scored:
    """Numbers of one word. `word` names it across tokens (its target form if not given).

    `accepted`: other adult forms that are as right (accent, casual speech); the form with the fewest wrong sounds is
    scored, the target itself where they are equal. `alignment` of target and production may be given if known.
    A word that was left off has a production without sounds. A phrase (`Word.edges`) is scored word by word; its numbers are
    those of its words added up. Ask `left_out_reason` first.
    """
    chosen = options or default_scoring_options()
    best = _scored(target, produced, chosen, word, alignment)
    for other in accepted:
        rival = _scored(other, produced, chosen, word or target.ipa)
        if _wrong(rival) < _wrong(best):
            best = aimed_at(rival, other, target, chosen)._replace(accepted=other.ipa)
    return best


def aimed_at(scored: Scored, form: Word, target: Word, options: ScoringOptions) -> Scored:
    """The numbers of a word scored against another adult form, with the complexity of the target itself: how hard a word
    is does not depend on how it was said."""
    (wcm_meant, ipc_meant), (wcm_form, ipc_form) = (_complexity(word, options) for word in (target, form))
    row = scored.row
    return scored._replace(
        row=row._replace(
            wcm_target=row.wcm_target + wcm_meant - wcm_form, ipc_target=row.ipc_target + ipc_meant - ipc_form
        )
    )


def _complexity(target: Word, options: ScoringOptions) -> tuple[int, int]:
    forms = [form_of(word, options) for word in words_of(target)]
    return sum(form.wcm for form in forms), sum(form.ipc for form in forms)


def _wrong(scored: Scored) -> tuple[int, int]:
    return sum(slot.verdict == Verdict.WRONG for slot in scored.slots), not scored.right


def _scored(
    target: Word, produced: Word, options: ScoringOptions, word: str, alignment: Alignment | None = None
) -> Scored:
    """One form as it stands: a phrase is the sum of its words, each with its part of what was said."""
    if not target.edges:
        return _one_word(target, produced, options, word, alignment or align_forms(target, produced))
    parts = [
        _one_word(pair.target, pair.produced, options, word, align_forms(pair.target, pair.produced))
        for pair in word_pairs(target, produced)
    ]
    slots = tuple(slot for part in parts for slot in part.slots)
    form = " ".join(part.form for part in parts if part.form)
    row = added(part.row for part in parts)
    return Scored(row, slots, (word or target.ipa, form, all(part.right for part in parts)))


def _one_word(target: Word, produced: Word, options: ScoringOptions, word: str, alignment: Alignment) -> Scored:
    judged = judge(target, produced, alignment, options)
    meant, said = form_of(target, options), form_of(produced, options)
    limit = Verdict.DISTORTED if options.pwc_distortions_right else Verdict.RIGHT
    right = judged.added == 0 and max(judged.plain, default=Verdict.RIGHT) <= limit
    points, target_points = _points(target, produced, judged, options)
    own = CountRow(
        words=1,
        words_right=int(right),
        points=points,
        target_points=target_points,
        pwp_billionths=(points * 1_000_000_000 + target_points // 2) // target_points,
        wcm_produced=said.wcm,
        wcm_target=meant.wcm,
        ipc_produced=said.ipc,
        ipc_target=meant.ipc,
        syllables_matched=int(meant.syllables == said.syllables),
        shapes_matched=int(meant.shape == said.shape),
        stress_matched=int(meant.stress == said.stress),
    )
    row = added([own, *[counts_of_slot(slot, options.language) for slot in judged.slots]])
    return Scored(row, judged.slots, (word or target.ipa, " ".join(judged.form), right))


@lru_cache(maxsize=65536)
def counts_of_slot(slot: Slot, language: str) -> CountRow:
    """What one slot adds to the numbers of a word, its points aside."""
    right, any_distortion = int(slot.verdict == Verdict.RIGHT), int(slot.verdict < Verdict.WRONG)
    if slot.vowel:
        return CountRow(vowels=1, vowels_right=right, vowels_right_r=any_distortion)
    row = CountRow(
        consonants=1,
        consonants_right=right,
        consonants_right_a=int(slot.verdict <= Verdict.COMMON),
        consonants_right_r=any_distortion,
    )
    name = class_of_eight(slot.target, language)
    return row._replace(**{name: 1, f"{name}_right": right}) if name else row


def _points(target: Word, produced: Word, judged: JudgedWord, options: ScoringOptions) -> tuple[int, int]:
    """Points of PMLU, of the production and of the target (Ingram 2002, rules 5 and 6)."""
    limit = Verdict.DISTORTED if options.pmlu_distortions_right else Verdict.RIGHT
    points = len(produced.phones)
    target_points = len(target.phones)
    if options.pmlu_cap and points > target_points:
        points = target_points
    for slot, found in zip(judged.slots, judged.plain):
        if not slot.vowel or options.pmlu_vowels:
            target_points += 1
            points += found <= limit
    if judged.syllabic and not options.pmlu_syllabic_point and options.syllabic == "consonant":
        points -= judged.syllabic_right
        target_points -= judged.syllabic
    return points, target_points


def score_token(
    targets: Sequence[Word], produced: Sequence[Word], options: ScoringOptions | None = None, word: str = ""
) -> tuple[Scored, ...]:
    """The words of one cell. As many said as meant: each is scored, and a word said again at once by the option `runs`.

    Otherwise all are scored as one phrase, by the best grouping.

    >>> from approx.ipa import read
    >>> cats = read("kæt kæt kæt").words
    >>> len(score_token(cats, cats)), len(score_token(cats, read("kæt kæk kæt").words))
    (2, 3)
    """
    chosen = options or default_scoring_options()
    if len(targets) != len(produced):
        return (score_word(one_stretch(targets), one_stretch(produced), chosen, word),)
    pairs = zip(targets, produced)
    return tuple([score_word(meant, said, chosen, word) for meant, said in without_runs(pairs, chosen)])


def without_runs(pairs: Iterator[tuple[Word, Word]], options: ScoringOptions) -> Iterator[tuple[Word, Word]]:
    """Pairs of a run as they are scored: the first two of a word said again at once, later ones only where changed."""
    before: tuple[Word, Word] | None = None
    length = 0
    for meant, said in pairs:
        again = before is not None and before[0].phones == meant.phones
        length = length + 1 if again else 1
        same = again and before is not None and before[1].phones == said.phones
        if not (options.runs == "two, then changes" and length > 2 and same):
            yield meant, said
        before = meant, said


def one_stretch(words: Sequence[Word]) -> Word:
    """Several words as one, with the syllables and stress each has."""
    phones: tuple[str, ...] = ()
    starts: tuple[int, ...] = ()
    stress: tuple[int, ...] = ()
    doubtful: frozenset[int] = frozenset()
    edges: set[int] = set()
    for word in words:
        edges.add(len(phones))
        starts += tuple(len(phones) + start for start in word.starts)
        doubtful |= {len(phones) + at for at in word.doubtful}
        phones += word.phones
        stress += word.stress
    return Word(phones, starts, stress, doubtful, edges=tuple(sorted(edges - {0, len(phones)})))
