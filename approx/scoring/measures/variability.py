"""How much a word or a sound varies: inconsistency, PWV, error consistency."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

from approx.scoring.judging.counts import Counts
from approx.scoring.judging.options import ScoringOptions, default_scoring_options
from approx.scoring.judging.slots import Verdict
from approx.scoring.measures.accuracy import MeasureValue, percent
from approx.wording import worded


def inconsistency(counts: Counts, options: ScoringOptions | None = None) -> MeasureValue:
    """Words not said alike every time / words said often enough, in percent.

    Allophones make no difference. Options: `tokens_a_word` (3), `variability` ("every difference"; "no turns to the right
    form" leaves out words whose only forms are the right one and one other), `repeats` must be "every".
    Source: Dodd and colleagues, as in Holm, Crosbie & Dodd 2007, Int J Lang Commun Disord 42:467-486 (from memory); 40 % of
    25 words is the line quoted there, for their own list and procedure.

    >>> from approx.scoring.measures.accuracy import count_pairs
    >>> inconsistency(count_pairs([("kʌp", "kʌp"), ("kʌp", "tʌp"), ("kʌp", "kʌ")])).value
    100.0
    """
    chosen = options or default_scoring_options()
    every = chosen.variability == "every difference"
    hits = out_of = 0
    for (forms, tokens, right), words in counts.said.words.items():
        if tokens >= chosen.tokens_a_word and (every or not (forms == 2 and right)):
            out_of += words
            hits += words * (forms > 1)
    return percent(hits, out_of, worded("no word said {times} {times:time|times}", times=chosen.tokens_a_word))


def pwv(counts: Counts, options: ScoringOptions | None = None) -> MeasureValue:
    """Proportion of Whole-Word Variability: different forms / tokens, pooled over words said more than once, 0 to 1.

    Option `pwv`: "shapes over tokens"; "zero when all alike" counts no form for a word always said alike; "shapes less one
    over tokens less one" is 0 for such a word and depends less on the number of tokens.
    Source: Ingram 2002, J Child Lang 29:713-733 (from memory; the zero point is not settled).

    >>> from approx.scoring.measures.accuracy import count_pairs
    >>> pwv(count_pairs([("dɔɡ", said) for said in ("dɔ", "dɔ", "ɡɔɡ", "dɔ", "dɔɡ")])).value
    0.6
    """
    parts = shapes_and_tokens(counts, options).items()
    shapes, tokens = (sum(part[at] * words for part, words in parts) for at in (0, 1))
    return (
        MeasureValue(shapes, tokens, shapes / tokens)
        if tokens
        else MeasureValue(0, 0, None, "no word said more than once")
    )


def shapes_and_tokens(counts: Counts, options: ScoringOptions | None = None) -> Counter[tuple[int, int]]:
    """The two numbers that `pwv` adds, by its option, of words said more than once -> for how many words."""
    way = (options or default_scoring_options()).pwv
    out: Counter[tuple[int, int]] = Counter()
    for (shapes, said, _), words in counts.said.words.items():
        if said < 2:
            continue
        if way == "shapes less one over tokens less one":
            out[shapes - 1, said - 1] += words
        else:
            out[0 if way == "zero when all alike" and shapes == 1 else shapes, said] += words
    return out


ErrorForms = Mapping[str, Mapping[str, int]]
"""Target -> each way it was said wrong ("" for left out) -> how often."""


def error_forms(counts: Counts, by_position: bool = False) -> dict[str, dict[str, int]]:
    """What was said wrong for each target consonant; an addition to a right sound is the form "+"."""
    out: dict[str, dict[str, int]] = {}
    for (sound, position, heard, verdict, vowel), times in counts.slots.items():
        if vowel or verdict == Verdict.RIGHT:
            continue
        target = f"{sound} {position}" if by_position else sound
        said = "+" if heard == sound else heard
        forms = out.setdefault(target, {})
        forms[said] = forms.get(said, 0) + times
    return out


def error_consistency(counts: Counts, by_position: bool = False) -> MeasureValue:
    """Error consistency index: different error forms, loss included, added over target consonants.

    A low number is consistent. It grows with the sample: compare equal samples. `hits` and `value` are the index,
    `out_of` the targets that were tried. Options of `pcc`.
    Source: Tyler, Lewis & Welch 2003, Am J Speech Lang Pathol 12(3) (formula from memory).

    >>> from approx.scoring.measures.accuracy import count_pairs
    >>> error_consistency(count_pairs([("su", "tu"), ("su", "ʃu"), ("su", "u"), ("ki", "ti")])).value
    4
    """
    tried = {target for target, _, _, _, vowel in counts.slots if not vowel}
    if not tried:
        return MeasureValue(0, 0, None, "no target consonants")
    index = different_errors(error_forms(counts, by_position))
    return MeasureValue(index, len(tried), index)


def different_errors(forms: ErrorForms) -> int:
    """Different error forms added over targets.

    >>> different_errors({"s": {"t": 2, "ʃ": 1, "": 1}, "k": {"t": 5}, "ɹ": {"w": 1, "": 3}})
    6
    """
    return sum(map(len, forms.values()))
