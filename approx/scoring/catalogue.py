"""All measures by name: what each is, and all of them at once with interval, band and signature.

>>> from approx.scoring.measures import count_pairs
>>> scores = evaluate(count_pairs([("spun", "pun"), ("kæt", "kæ")]))
>>> scores["pcc"].hits, scores["pcc"].out_of, scores["pcc"].value
(3, 5, 60.0)
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from approx.scoring import measures, variability, whole_word
from approx.scoring.bands import Setting, pcc_band
from approx.scoring.counts import Counts
from approx.scoring.intervals import Interval, Resampled, exact
from approx.scoring.measures import Value
from approx.scoring.options import Options, default_options, signature

Function = Callable[[Counts, Options], Value]


@dataclass(frozen=True, slots=True)
class Measure:
    """One measure: its function, its unit ("percent", "proportion" or "points"), and how its interval is found.

    `hits` and `out_of` name the numbers that resampling adds; `by_words` says that the items are whole words, which are
    independent, so that the interval is exact. The error consistency index grows with the sample and has none.
    """

    name: str
    title: str
    of: Function
    unit: str
    hits: tuple[str, ...] = ()
    out_of: tuple[str, ...] = ()
    by_words: bool = False


@dataclass(frozen=True, slots=True)
class Score:
    """One measure of one sample as it is shown."""

    name: str
    hits: int
    out_of: int
    value: float | None
    low: float | None = None
    high: float | None = None
    method: str = ""
    """How the interval was found; "" for none."""
    band: str = ""
    caution: str = ""
    reason: str = ""
    """Why the value is undefined."""
    signature: str = ""

    def as_json(self) -> dict[str, object]:
        """The promise of `approx score --json`: hits, out_of, value, low, high, and what else is not empty."""
        out: dict[str, object] = {
            "hits": self.hits,
            "out_of": self.out_of,
            "value": self.value,
            "low": self.low,
            "high": self.high,
        }
        return out | {key: text for key in ("method", "band", "caution", "reason") if (text := getattr(self, key))}


def _plain(function: Callable[[Counts], Value]) -> Function:
    return lambda counts, options: function(counts)


def _of_class(name: str) -> Function:
    return lambda counts, options: measures.pcc_of_class(counts, name, options)


_C, _V = ("consonants",), ("vowels",)

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
        Measure("aci", "Articulation Competence Index", _plain(measures.articulation_competence), "percent"),
        Measure("pwc", "Proportion of Whole-Word Correctness", _plain(whole_word.pwc), "percent", by_words=True),
        Measure("pmlu", "Phonological Mean Length of Utterance", _plain(whole_word.pmlu), "points", ("points",), ("words",)),
        Measure("pmlu_target", "PMLU of the targets", _plain(whole_word.pmlu_target), "points", ("target_points",), ("words",)),
        Measure("pwp", "Proportion of Whole-Word Proximity", whole_word.pwp, "proportion", ("points",), ("target_points",)),
        Measure("wcm_target", "Word Complexity Measure of the targets", _plain(whole_word.wcm_target), "points",
                ("wcm_target",), ("words",)),
        Measure("wcm_produced", "Word Complexity Measure of what was said", _plain(whole_word.wcm_produced), "points",
                ("wcm_produced",), ("words",)),
        Measure("wcm_ratio", "WCM said over WCM of the targets", _plain(whole_word.wcm_ratio), "proportion",
                ("wcm_produced",), ("wcm_target",)),
        Measure("ipc_target", "Index of Phonetic Complexity of the targets", _plain(whole_word.ipc_target), "points",
                ("ipc_target",), ("words",)),
        Measure("ipc_produced", "Index of Phonetic Complexity of what was said", _plain(whole_word.ipc_produced), "points",
                ("ipc_produced",), ("words",)),
        Measure("syllable_match", "Syllable count as in the target", _plain(whole_word.syllable_match), "percent", by_words=True),
        Measure("shape_match", "Word shape as in the target", _plain(whole_word.shape_match), "percent", by_words=True),
        Measure("stress_match", "Stress pattern as in the target", _plain(whole_word.stress_match), "percent", by_words=True),
        Measure("structure_level", "Mean syllable structure level", _plain(whole_word.structure_level), "points"),
        Measure("inconsistency", "Words not said alike every time", variability.inconsistency, "percent", by_words=True),
        Measure("pwv", "Proportion of Whole-Word Variability", variability.pwv, "proportion"),
        Measure("error_consistency", "Error consistency index", _plain(variability.error_consistency), "points"),
    )
}  # fmt: skip
"""Every measure by its name, in the order in which they are shown."""


def evaluate(counts: Counts, options: Options | None = None, setting: Setting | None = None) -> dict[str, Score]:
    """Every measure of one sample: value, interval, band with cautions, signature.

    `setting` tells the band what it must caution about; without it the number of words is known only.
    """
    chosen = options or default_options()
    drawn = Resampled(counts.rows, chosen)
    where = setting or Setting(drawn.words, chosen.language)
    mark = signature(chosen)
    return {name: _score(measure, counts, chosen, drawn, where, mark) for name, measure in MEASURES.items()}


def _score(measure: Measure, counts: Counts, options: Options, drawn: Resampled, setting: Setting, mark: str) -> Score:
    value = measure.of(counts, options)
    found = _interval(measure, value, counts, options, drawn)
    band = pcc_band(value.value, setting) if measure.name == "pcc" else None
    return Score(
        measure.name,
        value.hits,
        value.out_of,
        value.value,
        found.low if found else None,
        found.high if found else None,
        found.method if found else "",
        band.name if band else "",
        band.caution if band else "",
        value.reason,
        mark,
    )


def _interval(measure: Measure, value: Value, counts: Counts, options: Options, drawn: Resampled) -> Interval | None:
    if value.value is None or options.resamples < 1:
        return None
    if measure.by_words:
        return exact(value.hits, value.out_of, options.confidence)
    if measure.name == "aci":
        return drawn.interval_of(measures.competence)
    if measure.name in _PARTS:
        parts, method = _PARTS[measure.name]
        return Resampled.of_parts(parts(counts, options), options).interval(("points",), ("words",), 1.0, method)
    if not measure.hits:
        return None
    scale = 100.0 if measure.unit == "percent" else 1.0
    hits, out_of = measure.hits, measure.out_of
    if measure.name == "pwp" and options.pwp_of_sample == "mean":
        hits, out_of, scale = ("pwp_billionths",), ("words",), 1e-9
    found = drawn.interval(hits, out_of, scale)
    if found and found.low == found.high and measure.unit == "percent" and value.value in (0.0, 100.0):
        by_words = exact(drawn.words if value.value else 0, drawn.words, options.confidence)
        return by_words and Interval(by_words.low, by_words.high, "exact, over words: nothing varies in the sample")
    return found


_PARTS: dict[str, tuple[Callable[[Counts, Options], list[tuple[int, int]]], str]] = {
    "pwv": (variability.shapes_and_tokens, "words resampled, each with its tokens"),
    "structure_level": (
        lambda counts, options: [(level, 1) for level in whole_word.form_levels(counts)],
        "different forms resampled",
    ),
}
"""Measures that are sums over other items than tokens, and what is drawn for them."""
