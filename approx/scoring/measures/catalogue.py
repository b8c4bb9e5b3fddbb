"""All measures by name: what each is, and all of them at once with interval, band and signature.

>>> from approx.scoring.measures.accuracy import count_pairs
>>> scores = evaluate(count_pairs([("spun", "pun"), ("kæt", "kæ")]))
>>> scores["pcc"].hits, scores["pcc"].out_of, scores["pcc"].value
(3, 5, 60.0)
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import wraps
from typing import Literal, NamedTuple

from approx.scoring.judging.counts import Counts
from approx.scoring.judging.options import ScoringOptions, default_scoring_options, signature
from approx.scoring.measures import accuracy as measures
from approx.scoring.measures import variability, whole_word
from approx.scoring.measures.accuracy import MeasureValue
from approx.scoring.measures.bands import Setting, pcc_band
from approx.scoring.measures.intervals import (
    NO_DIFFERENCE,
    TOO_FEW,
    Interval,
    Moments,
    Products,
    exact,
    moments_of,
    of_ratio,
    of_sounds,
)

Function = Callable[[Counts, ScoringOptions], MeasureValue]
Unit = Literal["percent", "proportion", "points"]
OtherItems = Callable[[Counts, ScoringOptions], Mapping[tuple[int, int], int]]
"""Other items than tokens that a measure adds up: two numbers -> how many items have them."""


@dataclass(frozen=True, slots=True)
class Measure:
    """One measure: its function, its unit, and what its interval is found from.

    `top` and `bottom` name the numbers of each word that it adds up and divides, `parts` gives them where the items are not
    tokens. `by_words` says that the items are whole words, so that the interval is exact. `counted` is how the two whole
    numbers of the value are written beside it, "" where they are not what makes it. The error consistency index grows with
    the sample and has no interval.
    """

    name: str
    title: str
    of: Function
    unit: Unit
    top: tuple[str, ...] = ()
    bottom: tuple[str, ...] = ()
    by_words: bool = False
    parts: OtherItems | None = None
    counted: str = "{hits} of {out_of}"
    most: float | None = None
    """What the value cannot be above, where its interval might reach."""


class Score(NamedTuple):
    """One measure of one sample as it is shown. (A tuple: a long sample makes one for each measure of each child.)"""

    name: str
    hits: int
    out_of: int
    value: float | None
    low: float | None = None
    high: float | None = None
    method: str = ""
    """How the interval was found, or why there is none."""
    band: str = ""
    caution: str = ""
    reason: str = ""
    """Why the value is undefined."""
    signature: str = ""
    words: int = 0
    """Words with an opportunity: what the interval rests on."""

    def as_json(self) -> dict[str, object]:
        """The promise of `approx score --json`: hits and out_of where they make the value, value, low, high, words, and what
        else is not empty."""
        out: dict[str, object] = {"hits": self.hits, "out_of": self.out_of} if MEASURES[self.name].counted else {}
        out |= {"value": self.value, "low": self.low, "high": self.high, "words": self.words}
        return out | {key: text for key in ("method", "band", "caution", "reason") if (text := getattr(self, key))}


def _plain(function: Callable[[Counts], MeasureValue]) -> Function:
    """The function of a measure that has no options of its own; `inspect.unwrap` gives that function back."""

    @wraps(function)
    def of(counts: Counts, options: ScoringOptions) -> MeasureValue:
        return function(counts)

    return of


def _of_class(name: str) -> Function:
    @wraps(measures.pcc_of_class)
    def of(counts: Counts, options: ScoringOptions) -> MeasureValue:
        return measures.pcc_of_class(counts, name, options)

    return of


_C, _V, _W = ("consonants",), ("vowels",), ("words",)
_MEAN = "{hits} {hits:point|points} in {out_of} {out_of:word|words}"

MEASURES: dict[str, Measure] = {
    measure.name: measure
    for measure in (
        Measure("pcc", "Percentage of Consonants Correct", _plain(measures.pcc), "percent", ("consonants_right",), _C),
        Measure("pcc_a", "PCC-Adjusted", _plain(measures.pcc_a), "percent", ("consonants_right_a",), _C),
        Measure("pcc_r", "PCC-Revised", _plain(measures.pcc_r), "percent", ("consonants_right_r",), _C),
        Measure("pvc", "Percentage of Vowels Correct", _plain(measures.pvc), "percent", ("vowels_right",), _V),
        Measure("pvc_r", "PVC-Revised", _plain(measures.pvc_r), "percent", ("vowels_right_r",), _V),
        Measure("ppc", "Percentage of Phonemes Correct", _plain(measures.ppc), "percent",
                ("consonants_right", "vowels_right"), _C + _V),
        Measure("ppc_r", "PPC-Revised", _plain(measures.ppc_r), "percent", ("consonants_right_r", "vowels_right_r"), _C + _V),
        Measure("pcc_early", "PCC of the early eight", _of_class("early"), "percent", ("early_right",), ("early",)),
        Measure("pcc_middle", "PCC of the middle eight", _of_class("middle"), "percent", ("middle_right",), ("middle",)),
        Measure("pcc_late", "PCC of the late eight", _of_class("late"), "percent", ("late_right",), ("late",)),
        Measure("aci", "Articulation Competence Index", _plain(measures.articulation_competence), "percent",
                ("consonants_right_r",), _C, counted="", most=100.0),
        Measure("pwc", "Proportion of Whole-Word Correctness", _plain(whole_word.pwc), "percent", ("words_right",), _W, by_words=True),
        Measure("pmlu", "Phonological Mean Length of Utterance", _plain(whole_word.pmlu), "points", ("points",), ("words",), counted=_MEAN),
        Measure("pmlu_target", "PMLU of the targets", _plain(whole_word.pmlu_target), "points", ("target_points",), ("words",), counted=_MEAN),
        Measure("pwp", "Proportion of Whole-Word Proximity", whole_word.pwp, "proportion", ("points",), ("target_points",),
                counted="{hits} of {out_of} {out_of:point|points}", most=1.0),
        Measure("wcm_target", "Word Complexity Measure of the targets", _plain(whole_word.wcm_target), "points",
                ("wcm_target",), ("words",), counted=_MEAN),
        Measure("wcm_produced", "Word Complexity Measure of what was said", _plain(whole_word.wcm_produced), "points",
                ("wcm_produced",), ("words",), counted=_MEAN),
        Measure("wcm_ratio", "WCM said over WCM of the targets", _plain(whole_word.wcm_ratio), "proportion",
                ("wcm_produced",), ("wcm_target",), counted="{hits} over {out_of} {out_of:point|points}"),
        Measure("ipc_target", "Index of Phonetic Complexity of the targets", _plain(whole_word.ipc_target), "points",
                ("ipc_target",), ("words",), counted=_MEAN),
        Measure("ipc_produced", "Index of Phonetic Complexity of what was said", _plain(whole_word.ipc_produced), "points",
                ("ipc_produced",), ("words",), counted=_MEAN),
        Measure("syllable_match", "Syllable count as in the target", _plain(whole_word.syllable_match), "percent",
                ("syllables_matched",), _W, by_words=True),
        Measure("shape_match", "Word shape as in the target", _plain(whole_word.shape_match), "percent",
                ("shapes_matched",), _W, by_words=True),
        Measure("stress_match", "Stress pattern as in the target", _plain(whole_word.stress_match), "percent",
                ("stress_matched",), _W, by_words=True),
        Measure("structure_level", "Mean syllable structure level", _plain(whole_word.structure_level), "points",
                parts=whole_word.levels_of_forms, counted="{hits} over {out_of} {out_of:form|forms}", most=3.0),
        Measure("inconsistency", "Words not said alike every time", variability.inconsistency, "percent", by_words=True),
        Measure("pwv", "Proportion of Whole-Word Variability", variability.pwv, "proportion",
                parts=variability.shapes_and_tokens, counted="{hits} over {out_of}", most=1.0),
        Measure("error_consistency", "Error consistency index", _plain(variability.error_consistency), "points", counted=""),
    )
}  # fmt: skip
"""Every measure by its name, in the order in which they are shown."""


def evaluate(counts: Counts, options: ScoringOptions | None = None, setting: Setting | None = None) -> dict[str, Score]:
    """Every measure of one sample: value, interval, band or why there is none, signature.

    `setting` is what is known of the sample and the child; without it the number of words is known only.
    """
    chosen = options or default_scoring_options()
    mark, drawn = signature(chosen), Products(counts.rows)
    out: dict[str, Score] = {}
    for name, measure in MEASURES.items():
        value = measure.of(counts, chosen)
        words, found = _interval(measure, value, counts, chosen, drawn)
        low, high, method = (
            (found.low, found.high, found.method) if isinstance(found, Interval) else (None, None, found)
        )
        band, caution = "", ""
        if name == "pcc" and value.value is not None:
            named = pcc_band(value.value, setting or Setting(counts["words"], chosen.language))
            band, caution = named.name, named.caution
        out[name] = Score(
            name, value.hits, value.out_of, value.value, low, high, method, band, caution, value.reason, mark, words
        )
    return out


def _interval(
    measure: Measure, value: MeasureValue, counts: Counts, options: ScoringOptions, drawn: Products
) -> tuple[int, Interval | str]:
    """How many words a value rests on, and its interval or why it has none."""
    confidence = options.confidence
    if measure.by_words:
        words, found = value.out_of, exact(value.hits, value.out_of, confidence)
    elif measure.parts is not None:
        moments = moments_of(measure.parts(counts, options))
        words, found = moments.words, _of_moments(moments, 1.0, confidence)
    elif not measure.bottom:
        return drawn.words, ""
    elif measure.name == "aci":
        words = drawn.words_with("consonants")
        found = _of_competence(value, counts, drawn, words, confidence) if value.value is not None else None
    elif measure.name == "pwp" and options.pwp_of_sample == "mean":
        moments = drawn.moments(("pwp_billionths",), ("words",), counts.__getitem__)
        words, found = moments.words, _of_moments(moments, 1e-9, confidence)
    else:
        moments = drawn.moments(measure.top, measure.bottom, counts.__getitem__)
        words = moments.words
        if measure.unit == "percent":
            found = of_sounds(moments, confidence) if words else None
        else:
            found = _of_moments(moments, 1.0, confidence)
    if value.value is None:
        return words, ""
    if found and measure.most is not None and found.high > measure.most >= value.value:
        found = Interval(found.low, measure.most, found.method)
    return words, TOO_FEW if words < options.interval_words else found or NO_DIFFERENCE


def _of_moments(found: Moments, scale: float, confidence: float) -> Interval | None:
    if not found.words:
        return None
    return of_ratio(scale * found.share, scale * scale * found.variance, found.words, confidence)


def _of_competence(
    value: MeasureValue, counts: Counts, drawn: Products, words: int, confidence: float
) -> Interval | None:
    """Interval of the index, linearized: half of the share right and half of the share of errors that are distortions."""
    names = ("consonants", "consonants_right", "consonants_right_r")
    all_of, right, heard = (counts[name] for name in names)
    errors = all_of - right
    share, distorted = right / all_of, (heard - right) / errors
    weights = (
        -50 * (share / all_of + distorted / errors),
        50 * (1 / all_of - (1 - distorted) / errors),
        50 / errors,
    )
    apart = sum(a * b * drawn.product(one, other) for a, one in zip(weights, names) for b, other in zip(weights, names))
    return of_ratio(value.value or 0.0, max(0.0, apart) * words / max(1, words - 1), words, confidence)
